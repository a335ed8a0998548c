//! Sheets for the printer: taken from stock as they are, or cut from larger paper first.
//!
//! A sheet that is too large for the printer is cut down in one or two cuts, edge to edge. It stands in the
//! plan as a sheet of its own, before what is printed on its part; the rests go back to stock as offcuts,
//! so that other pieces can be cut from them.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::layout::{Layout, PaperOnHand};
use crate::model::length::{Length, Size};
use crate::model::{Area, Count, Price, Rules, SheetId, SheetSource, Stock};

use super::purchase;
use super::sheet::{Cut, Fall, Falls, Rest, Sheet, count_of, in_all};
use super::story_pages::Page;

/// Sheets that are counted out of one larger sheet at most, by area.
const MOST_COUNTED: f64 = 40.0;

/// Sheets of the printer's size that come from the same paper.
#[derive(Clone)]
pub(super) struct Taken {
    /// What it is taken from.
    pub source: SheetSource,
    /// Whether a new sheet was begun for it.
    pub new: bool,
    /// Whether it is not on hand and has to be bought; of a part, its whole sheet says so.
    pub to_buy: bool,
    /// How many such sheets.
    pub count: Count,
    /// What is printed on them, by place in what is needed.
    pub page: usize,
    /// How many sheets were taken for that before.
    pub before: u32,
}

impl Taken {
    /// The sheet of a story's first page, where that is one that was fed once: it is taken from nowhere.
    pub fn fed_once(page: &Page) -> Option<Self> {
        let source = SheetSource::FedOnce(page.start?);
        let (new, to_buy, count) = (false, false, page.count);
        Some(Self { source, new, to_buy, count, page: 0, before: 0 })
    }
}

/// The sheet of stock that a printer's sheet comes from.
struct Source {
    stock: usize,
    /// How it is cut down; nothing if it is of the printer's size.
    split: Option<Split>,
}

/// A sheet cut down to a part in its top left corner.
struct Split {
    whole: Size,
    part: Size,
    /// Whether the cut from top to bottom, which leaves a rest of the whole height, comes first.
    down_first: bool,
    kerf: Length,
}

/// What a paper supplies the printer with, and what is left of its stock then.
#[derive(Clone)]
pub(super) struct Supply {
    /// The sheets that are cut down, in the order in which they are cut; their parts and rests bear the names
    /// under which they are stock.
    pub cut_down: Vec<Sheet>,
    /// The sheets of the printer's size, in the order in which they are used.
    pub taken: Vec<Taken>,
    /// What is left for other pieces, rests of what was cut down among it.
    pub stock: Vec<Stock>,
    /// The new sheets that were begun.
    pub begun: Vec<Stock>,
}

impl Supply {
    /// Takes as many sheets of the printer's size as are `needed` for each page, or as there are.
    ///
    /// Every rest of a sheet cut down that holds another is used first. Then comes one of the printer's size;
    /// among larger ones an offcut, then the cheapest, then the smallest; if there is none, one that has to
    /// be bought, but not for a layout that is strict. `preferred` are new sheets of one kind that are taken
    /// before all of that; if they have to be bought, for the last of the printer's sheets.
    pub fn of(layout: &Layout, paper: usize, needed: &[u32], preferred: Option<&Stock>) -> Self {
        let stock = layout.papers.get(paper).map_or_else(Vec::new, PaperOnHand::free);
        let (cut_down, taken, begun) = (Vec::new(), Vec::new(), Vec::new());
        let mut supply = Self { cut_down, taken, stock, begun };
        let mut preferred = preferred.cloned();
        let in_all = needed.iter().fold(0_u32, |sum, count| sum.saturating_add(*count));
        let later = match &preferred {
            Some(kind) if kind.to_buy => {
                let each = count_of(from_one(layout, paper, kind.size));
                in_all.saturating_sub(each.saturating_mul(kind.count))
            }
            _ => 0,
        };
        let mut number = 0;
        for (page, &count) in needed.iter().enumerate() {
            let mut before = 0;
            while before < count {
                let most = count - before;
                let most = if number < later { most.min(later - number) } else { most };
                let preferred = preferred.as_mut().filter(|kind| kind.count > 0 && number >= later);
                let Some(taken) = supply.take(layout, paper, preferred, most) else {
                    return supply;
                };
                let taken = Taken { page, before, ..taken };
                before += taken.count.get();
                number += taken.count.get();
                supply.taken.push(taken);
            }
        }
        supply
    }

    /// How many sheets were taken in all.
    pub fn taken_in_all(&self) -> u32 {
        self.taken.iter().fold(0, |sum, taken| sum.saturating_add(taken.count.get()))
    }

    /// How many sheets are cut down.
    pub fn cut_down_in_all(&self) -> usize {
        in_all(&self.cut_down)
    }

    fn take(
        &mut self,
        layout: &Layout,
        paper: usize,
        preferred: Option<&mut Stock>,
        most: u32,
    ) -> Option<Taken> {
        // As many are begun at once as hold `most` of the printer's size: those from their rests come next.
        let begun_at_once =
            |size: Size| most.div_ceil(count_of(from_one(layout, paper, size)).max(1));
        let stock = &mut self.stock;
        let rests: Vec<&str> = self
            .cut_down
            .iter()
            .flat_map(|sheet| &sheet.offcuts)
            .map(|rest| rest.id.as_str())
            .collect();
        let is_rest =
            |one: &Stock| one.offcut.as_ref().is_some_and(|id| rests.contains(&id.as_str()));
        let found = source(layout, paper, stock, is_rest).or_else(|| {
            let kind = preferred?;
            let count = begun_at_once(kind.size).min(kind.count);
            kind.count -= count;
            if kind.to_buy {
                stock.push(Stock { count, ..kind.clone() });
            }
            source(layout, paper, stock, |one| is_kind(one, kind))
        });
        let source = match found.or_else(|| source(layout, paper, stock, |_| true)) {
            Some(found) => found,
            None if layout.strict => return None,
            None => bought(layout, paper, stock, begun_at_once),
        };
        let one = &mut stock[source.stock];
        let count = begun_at_once(one.size).min(one.count);
        one.count -= count;
        let one = Stock { count, ..one.clone() };
        if one.offcut.is_none() {
            self.begun.push(one.clone());
        }
        Some(self.begin(layout, paper, &one, source.split))
    }

    /// Where a sheet of this stock comes from, which is no hidden middle.
    pub fn source(&self, one: &Stock) -> SheetSource {
        let Some(id) = &one.offcut else { return SheetSource::New };
        match self.cut_down_to(id) {
            Some(sheet) => SheetSource::Part { whole: sheet.id.clone(), part: id.clone() },
            None => SheetSource::Offcut(id.clone()),
        }
    }

    /// The sheet that is cut down to some paper, its part or a rest, if one is.
    pub fn cut_down_to(&self, id: &str) -> Option<&Sheet> {
        self.cut_down.iter().find(|sheet| sheet.rests().any(|(rest, _)| rest == id))
    }

    /// How many cuts the printer's sheets take.
    pub fn cuts(&self) -> usize {
        self.cut_down.iter().map(|sheet| sheet.cuts.len() * sheet.count.places()).sum()
    }

    /// Cuts sheets of stock down, all of `one`'s count, if they are larger than the printer's; rests worth
    /// keeping go to stock as offcuts.
    fn begin(&mut self, layout: &Layout, paper: usize, one: &Stock, split: Option<Split>) -> Taken {
        let (new, to_buy, source) = (one.offcut.is_none(), one.to_buy, self.source(one));
        let count = Count::of(one.count);
        let (page, before) = (0, 0);
        let Some(split) = split else {
            return Taken { source, new, to_buy, count, page, before };
        };
        let name = layout.papers.get(paper).map_or("", |paper| &paper.name);
        let id = layout.sheet_id(name, self.cut_down_in_all() + 1);
        let part = layout.free_offcut_id(format!("{id}-part"));
        let rests = (1..).zip(split.rests(&layout.rules)).map(|(number, area)| Rest {
            id: layout.free_offcut_id(format!("{id}-offcut-{number}")),
            area,
            count,
        });
        let offcuts: Vec<Rest> = rests.collect();
        self.stock.extend(offcuts.iter().map(|rest| Stock {
            size: rest.area.size,
            count: rest.count.get(),
            offcut: Some(rest.id.clone()),
            rest: true,
            ..Stock::default()
        }));
        let source_of_part = SheetSource::Part { whole: id.clone(), part: part.clone() };
        let corner = Area { size: split.part, ..Area::default() };
        self.cut_down.push(Sheet {
            paper: name.to_owned(),
            size: split.whole,
            source,
            to_buy,
            cuts: split.cuts(&part, &offcuts),
            parts: vec![Rest { id: part.as_str().into(), area: corner, count }],
            offcuts,
            count,
            id,
            ..Sheet::default()
        });
        Taken { source: source_of_part, new, to_buy: false, count, page, before }
    }
}

/// Whether a sheet is a new one of some kind.
pub(super) fn is_kind(one: &Stock, kind: &Stock) -> bool {
    let of = |one: &Stock| (one.size, one.price, one.to_buy);
    one.offcut.is_none() && of(one) == of(kind)
}

/// How many sheets for the printer come from one sheet of a paper, of some size.
pub(super) fn from_one(layout: &Layout, paper: usize, size: Size) -> usize {
    let (wanted, kerf) = (layout.printer.paper, layout.rules.kerf);
    Yield::new(wanted, layout.goes_crosswise(paper), kerf).of(size)
}

/// Sheets that were cut down, their parts named by the sheets that they became, what became none being an
/// offcut.
pub(super) fn with_named_parts(cut_down: &[Sheet], all: &[&Sheet]) -> Vec<Sheet> {
    let named = |sheet: &Sheet| {
        let became = |(name, area)| {
            let of_paper = move |one: &&&Sheet| one.paper == sheet.paper && one.is_part(name);
            let became = all.iter().filter(of_paper);
            became.map(move |one| (name, Rest { id: one.id.clone(), area, count: one.count }))
        };
        let parts: Vec<(&str, Rest<SheetId>)> = sheet.rests().flat_map(became).collect();
        let name = |falls: &Falls| {
            let part = parts.iter().find(|(was, _)| falls.what.id() == Some(was));
            part.map_or_else(
                || falls.clone(),
                |(_, part)| Falls { what: Fall::Part(part.id.clone()), area: falls.area },
            )
        };
        let cuts = sheet.cuts.iter().map(|cut| Cut {
            keeps: name(&cut.keeps),
            drops: name(&cut.drops),
            ..cut.clone()
        });
        let offcut = |rest: &Rest| {
            let used = parts.iter().filter(|(was, _)| rest.id == *was);
            let used = used.map(|(_, part)| part.count.get()).sum::<u32>();
            let left = rest.count.get().saturating_sub(used);
            (left > 0).then(|| Rest { count: Count::of(left), ..rest.clone() })
        };
        Sheet {
            cuts: cuts.collect(),
            offcuts: sheet.offcuts.iter().filter_map(offcut).collect(),
            parts: parts.iter().map(|(_, part)| part.clone()).collect(),
            ..sheet.clone()
        }
    };
    cut_down.iter().map(named).collect()
}

/// Puts sheets to buy into a paper's stock, so many as one size needs, that give one each for the printer: of
/// its size or cut down, as the paper lists sizes; at a price that nobody knows where none of them does.
fn bought(
    layout: &Layout,
    paper: usize,
    stock: &mut Vec<Stock>,
    needed: impl Fn(Size) -> u32,
) -> Source {
    let mut offers = layout
        .papers
        .get(paper)
        .map_or_else(Vec::new, |paper| purchase::on_offer(layout, paper, 1));
    let found = source(layout, paper, &offers, |_| true);
    let (bought, split) = match found {
        Some(Source { stock: place, split }) => {
            let offer = offers.swap_remove(place);
            (Stock { count: needed(offer.size), ..offer }, split)
        }
        None => {
            let size = layout.printer.paper;
            (Stock { size, count: needed(size), to_buy: true, ..Stock::default() }, None)
        }
    };
    stock.push(bought);
    Source { stock: stock.len() - 1, split }
}

/// Where a sheet of the printer's size comes from, of the paper that `may` be used.
fn source(
    layout: &Layout,
    paper: usize,
    stock: &[Stock],
    may: impl Fn(&Stock) -> bool,
) -> Option<Source> {
    let wanted = layout.printer.paper;
    let crosswise = layout.goes_crosswise(paper);
    let on_hand = || stock.iter().enumerate().filter(|(_, stock)| stock.count > 0 && may(stock));
    let price = |stock: &Stock| stock.price.map_or_else(|| stock.size.area(), Price::amount);
    let of_its_size = on_hand()
        .filter(|(_, stock)| stock.size == wanted || crosswise && stock.size.turned() == wanted)
        .min_by(|(_, one), (_, other)| {
            let key = |stock: &Stock| (stock.offcut.is_none(), stock.cost());
            let (one, other) = (key(one), key(other));
            one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
        });
    if let Some((place, _)) = of_its_size {
        return Some(Source { stock: place, split: None });
    }
    let sheets = &mut Yield::new(wanted, crosswise, layout.rules.kerf);
    let larger =
        on_hand().filter_map(|(place, stock)| Some((place, stock, sheets.split(stock.size)?)));
    let cheapest = larger.min_by(|(_, one, _), (_, other, _)| {
        let by_origin = one.offcut.is_none().cmp(&other.offcut.is_none());
        let by_price = match one.offcut {
            Some(_) => std::cmp::Ordering::Equal,
            None => price(one).total_cmp(&price(other)),
        };
        by_origin.then(by_price).then(one.size.area().total_cmp(&other.size.area()))
    });
    cheapest.map(|(stock, _, split)| Source { stock, split: Some(split) })
}

/// How many sheets of the printer's size come out of larger paper, one cut down after the other.
struct Yield {
    wanted: Size,
    crosswise: bool,
    kerf: Length,
    /// What is known of a size.
    known: BTreeMap<[i64; 2], usize>,
}

impl Yield {
    fn new(wanted: Size, crosswise: bool, kerf: Length) -> Self {
        Self {
            wanted,
            crosswise: crosswise && wanted.turned() != wanted,
            kerf,
            known: BTreeMap::new(),
        }
    }

    /// The ways to cut a sheet down to one part in its corner.
    fn ways(&self, whole: Size) -> Vec<Split> {
        let turned = self.crosswise.then(|| self.wanted.turned());
        let parts = std::iter::once(self.wanted).chain(turned).filter(|part| whole.holds(*part));
        let ways = parts.flat_map(|part| [true, false].map(|down_first| (part, down_first)));
        ways.map(|(part, down_first)| Split { whole, part, down_first, kerf: self.kerf }).collect()
    }

    /// How many sheets come out of one of this size.
    fn of(&mut self, whole: Size) -> usize {
        let key = [whole.width, whole.height].map(Length::to_nanometres);
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let ways = self.ways(whole);
        // Of very large paper there is enough, whichever way it is cut.
        let few = whole.area() <= MOST_COUNTED * self.wanted.area();
        let most = match few {
            true => ways.iter().map(|way| 1 + self.further(way)).max().unwrap_or(0),
            false => usize::from(!ways.is_empty()),
        };
        self.known.insert(key, most);
        most
    }

    /// How many more come out of the rests.
    fn further(&mut self, split: &Split) -> usize {
        split.sizes().into_iter().map(|rest| self.of(rest)).sum()
    }

    /// The cuts that leave the most: as many more sheets of the printer's size as can be, few cuts, a large
    /// rest, the sheet as it lies.
    fn split(&mut self, whole: Size) -> Option<Split> {
        let square = |rest: &Size| {
            i128::from(rest.width.to_nanometres()) * i128::from(rest.height.to_nanometres())
        };
        // Of equal ways the first stays.
        self.ways(whole).into_iter().min_by_key(|split| {
            let largest = split.sizes().iter().map(square).max().unwrap_or(0);
            (Reverse(self.further(split)), split.count(), Reverse(largest))
        })
    }
}

impl Split {
    /// What lies beyond the part, across and down, on the whole sheet.
    fn beyond(&self) -> [Length; 2] {
        [self.whole.width - self.part.width, self.whole.height - self.part.height]
    }

    fn count(&self) -> usize {
        self.beyond().iter().filter(|beyond| **beyond > Length::ZERO).count()
    }

    /// The sizes of the rests, beside and below the part; of no width where there is none.
    fn sizes(&self) -> [Size; 2] {
        let [beside, below] = self.beyond().map(|beyond| (beyond - self.kerf).max(Length::ZERO));
        match self.down_first {
            true => [Size::new(beside, self.whole.height), Size::new(self.part.width, below)],
            false => [Size::new(beside, self.part.height), Size::new(self.whole.width, below)],
        }
    }

    /// Where those rests lie.
    fn areas(&self) -> [Area; 2] {
        let [beside, below] = self.sizes();
        [
            Area { left: self.whole.width - beside.width, size: beside, ..Area::default() },
            Area { top: self.whole.height - below.height, size: below, ..Area::default() },
        ]
    }

    /// The rests worth keeping, the largest first.
    fn rests(&self, rules: &Rules) -> Vec<Area> {
        let mut rests: Vec<Area> = self.areas().into_iter().collect();
        rests.retain(|rest| rules.keeps(rest.size));
        rests.sort_by(|one, other| other.size.area().total_cmp(&one.size.area()));
        rests
    }

    /// The cuts in order: the part, called `part`, stays at the fence.
    fn cuts(&self, part: &str, offcuts: &[Rest]) -> Vec<Cut> {
        let order = if self.down_first { [0, 1] } else { [1, 0] };
        let order = order.into_iter().filter(|axis| self.beyond()[*axis] > Length::ZERO);
        let mut hand = Area { size: self.whole, ..Area::default() };
        let mut cuts = Vec::new();
        for axis in order {
            let (mut kept, end) = (hand, [hand.size.width, hand.size.height]);
            let fence = [self.part.width, self.part.height][axis];
            match axis {
                0 => kept.size.width = fence,
                _ => kept.size.height = fence,
            }
            let rest = self.areas()[axis];
            let offcut = offcuts.iter().find(|offcut| offcut.area == rest);
            let drops = offcut.map_or(Fall::Scrap, |offcut| Fall::Offcut(offcut.id.clone()));
            let keeps = match kept.size == self.part {
                true => Fall::Part(part.into()),
                false => Fall::More,
            };
            let (mut from, mut to) = ([Length::ZERO; 2], end);
            (from[axis], to[axis]) = (fence, fence);
            cuts.push(Cut {
                in_hand: hand,
                from,
                to,
                fence,
                keeps: Falls { what: keeps, area: kept },
                drops: Falls { what: drops, area: rest },
            });
            hand = kept;
        }
        cuts
    }
}
