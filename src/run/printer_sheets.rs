//! Sheets for the printer: taken from stock as they are, or cut from larger paper first.
//!
//! A sheet that is too large for the printer is cut down in one or two cuts, edge to edge. It stands in the
//! record as a sheet of its own, before what is printed on its part; the rests go back to stock as offcuts,
//! so that other pieces can be cut from them.

use std::cmp::Reverse;

use crate::layout::Layout;
use crate::length::{Length, Size};
use crate::nest::{Rules, Stock, Turns};
use crate::record::{Area, Cut, Falls, Offcut, Record, Sheet, rounded};

use super::purchase;

/// A sheet of the printer's size.
pub(super) struct Taken {
    /// What the record's sheet is from.
    pub from: String,
    /// Whether a new sheet was begun for it.
    pub new: bool,
    /// Whether it is not on hand and has to be bought; of a part, its whole sheet says so.
    pub to_buy: bool,
}

/// The sheets that are cut down for the printer, in the order in which they are cut.
#[derive(Clone, Default)]
pub(super) struct PrinterSheets {
    cut: Vec<Sheet>,
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

/// How many sheets of the printer's size there are of a paper, cut from larger ones if need be; counted up
/// to `most`.
pub(super) fn available(layout: &Layout, paper: usize, stock: &[Stock], most: usize) -> u32 {
    let (mut sheets, mut stock) = (PrinterSheets::default(), stock.to_vec());
    let takes = (0..most).take_while(|_| sheets.take(layout, paper, &mut stock).is_some());
    u32::try_from(takes.count()).unwrap_or(u32::MAX)
}

/// What to add where no such sheet is left.
pub(super) fn help(layout: &Layout, paper: usize) -> String {
    let size = layout.printer.paper.show(layout.units);
    let name = layout.papers.get(paper).map_or("it", |paper| &paper.name);
    let turned = match layout.papers.get(paper).is_some_and(|_| !crosswise(layout, paper)) {
        true => " (its direction forbids turning one)",
        false => "",
    };
    format!(
        "the printer takes {size}: add such a sheet of {name}, or a larger one to cut it from{turned}"
    )
}

impl PrinterSheets {
    /// Takes a sheet of the printer's size from a paper's stock, if there is one or a larger one to cut
    /// it from; if there is none, one that has to be bought. Rests worth keeping go back to stock as
    /// offcuts.
    ///
    /// One of the printer's size comes first; among larger ones an offcut, then the cheapest, then the
    /// smallest. Nothing is bought for a layout that is strict.
    pub fn take(&mut self, layout: &Layout, paper: usize, stock: &mut Vec<Stock>) -> Option<Taken> {
        let found = source(layout, paper, stock);
        let Source { stock: place, split } = match found {
            Some(found) => found,
            None if layout.strict => return None,
            None => bought(layout, paper, stock),
        };
        let taken = &mut stock[place];
        taken.count -= 1;
        let (new, to_buy) = (taken.offcut.is_none(), taken.to_buy);
        let from = taken.offcut.clone().unwrap_or_else(|| "new".to_owned());
        let Some(split) = split else { return Some(Taken { from, new, to_buy }) };
        let name = layout.papers.get(paper).map_or("", |paper| &paper.name);
        let before = self.cut.iter().filter(|sheet| sheet.paper == name).count();
        let id = layout.sheet_id(name, before + 1);
        let part = layout.free_offcut_id(format!("{id}-part"));
        let mut sheet = Sheet {
            id,
            paper: name.to_owned(),
            size: inches(split.whole),
            from,
            to_buy,
            ..Sheet::default()
        };
        for (number, area) in (1..).zip(split.rests(&layout.rules)) {
            let id = layout.free_offcut_id(format!("{}-offcut-{number}", sheet.id));
            sheet.offcuts.push(Offcut { id: id.clone(), at: area.at, size: area.size });
            let size = Size::inches(area.size[0], area.size[1]);
            stock.push(Stock { size, count: 1, offcut: Some(id), ..Stock::default() });
        }
        sheet.cuts = split.cuts(&part, &sheet.offcuts);
        sheet.parts.push(Offcut { id: part.clone(), at: [0.0; 2], size: inches(split.part) });
        self.cut.push(sheet);
        Some(Taken { from: part, new, to_buy: false })
    }

    /// Adds the sheets to the record, before any others.
    pub fn write(&self, record: &mut Record) {
        record.sheets.extend(self.cut.iter().cloned());
    }

    /// Names the parts by the sheets that they became, and what became none as offcuts; once every sheet
    /// is in the record.
    pub fn name_parts(&self, record: &mut Record) {
        for cut in &self.cut {
            let Some(place) = record.sheets.iter().position(|sheet| sheet.id == cut.id) else {
                continue;
            };
            let mut parts = Vec::new();
            for part in cut.parts.iter().chain(&cut.offcuts) {
                let on_shelf = record.papers.iter_mut().filter(|paper| paper.name == cut.paper);
                on_shelf.for_each(|paper| paper.offcuts_left.retain(|left| left.id != part.id));
                let became = record
                    .sheets
                    .iter_mut()
                    .find(|sheet| sheet.paper == cut.paper && sheet.from == part.id);
                let Some(became) = became else { continue };
                became.from.clone_from(&cut.id);
                parts.push((part.id.clone(), Offcut { id: became.id.clone(), ..part.clone() }));
            }
            let sheet = &mut record.sheets[place];
            sheet.offcuts.retain(|offcut| parts.iter().all(|(id, _)| *id != offcut.id));
            for falls in sheet.cuts.iter_mut().flat_map(|cut| [&mut cut.keeps, &mut cut.drops]) {
                if let Some((_, part)) = parts.iter().find(|(id, _)| *id == falls.id) {
                    *falls = self::falls("part", &part.id, falls.area);
                }
            }
            sheet.parts = parts.into_iter().map(|(_, part)| part).collect();
        }
    }
}

/// Puts a sheet to buy into a paper's stock that gives one for the printer: of its size or cut down, as
/// the paper lists sizes; at a price that nobody knows where none of them does.
fn bought(layout: &Layout, paper: usize, stock: &mut Vec<Stock>) -> Source {
    let mut offers = layout
        .papers
        .get(paper)
        .map_or_else(Vec::new, |paper| purchase::on_offer(layout, paper, 1));
    let found = source(layout, paper, &offers);
    let (bought, split) = match found {
        Some(Source { stock: place, split }) => (offers.swap_remove(place), split),
        None => {
            let size = layout.printer.paper;
            (Stock { size, count: 1, to_buy: true, ..Stock::default() }, None)
        }
    };
    stock.push(bought);
    Source { stock: stock.len() - 1, split }
}

/// Whether a paper's sheets may go through the printer turned by a quarter.
fn crosswise(layout: &Layout, paper: usize) -> bool {
    layout
        .papers
        .get(paper)
        .is_none_or(|paper| !paper.directional && paper.turns.is_none_or(Turns::crosswise))
}

/// Where a sheet of the printer's size comes from.
fn source(layout: &Layout, paper: usize, stock: &[Stock]) -> Option<Source> {
    let wanted = layout.printer.paper;
    let crosswise = crosswise(layout, paper);
    let on_hand = || stock.iter().enumerate().filter(|(_, stock)| stock.count > 0);
    let price = |stock: &Stock| match stock.price > 0.0 {
        true => stock.price,
        false => stock.size.area(),
    };
    let of_its_size = on_hand()
        .filter(|(_, stock)| stock.size == wanted || crosswise && stock.size.turned() == wanted)
        .min_by(|(_, one), (_, other)| {
            let key = |stock: &Stock| (stock.offcut.is_none(), stock.price);
            let (one, other) = (key(one), key(other));
            one.0.cmp(&other.0).then(one.1.total_cmp(&other.1))
        });
    if let Some((place, _)) = of_its_size {
        return Some(Source { stock: place, split: None });
    }
    let kerf = layout.rules.kerf;
    let larger = on_hand().filter_map(|(place, stock)| {
        Some((place, stock, Split::best(stock.size, wanted, crosswise, kerf)?))
    });
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

impl Split {
    /// The cuts that leave the most: another sheet of the printer's size if possible, few cuts, a large
    /// rest, the sheet as it lies.
    fn best(whole: Size, wanted: Size, crosswise: bool, kerf: Length) -> Option<Self> {
        let turned = (crosswise && wanted.turned() != wanted).then(|| wanted.turned());
        let parts = std::iter::once(wanted).chain(turned).filter(|part| whole.holds(*part));
        let ways = parts.flat_map(|part| [true, false].map(|down_first| (part, down_first)));
        let ways = ways.map(|(part, down_first)| Self { whole, part, down_first, kerf });
        let further = |rest: &Size| rest.holds(wanted) || crosswise && rest.holds(wanted.turned());
        let square = |rest: &Size| {
            i128::from(rest.width.to_nanometres()) * i128::from(rest.height.to_nanometres())
        };
        // Of equal ways the first stays.
        ways.min_by_key(|split| {
            let rests = split.sizes();
            let largest = rests.iter().map(square).max().unwrap_or(0);
            (
                Reverse(rests.iter().filter(|rest| further(rest)).count()),
                split.count(),
                Reverse(largest),
            )
        })
    }

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
        let end = |axis: usize, rest: Length| inches(self.whole)[axis] - rest.to_inches();
        [
            Area { at: [rounded(end(0, beside.width)), 0.0], size: inches(beside) },
            Area { at: [0.0, rounded(end(1, below.height))], size: inches(below) },
        ]
    }

    /// The rests worth keeping, the largest first.
    fn rests(&self, rules: &Rules) -> Vec<Area> {
        let mut rests: Vec<(Size, Area)> = self.sizes().into_iter().zip(self.areas()).collect();
        rests.retain(|(size, _)| rules.keeps(*size));
        rests.sort_by(|(one, _), (other, _)| other.area().total_cmp(&one.area()));
        rests.into_iter().map(|(_, area)| area).collect()
    }

    /// The cuts in order: the part, called `part`, stays at the fence.
    fn cuts(&self, part: &str, offcuts: &[Offcut]) -> Vec<Cut> {
        let order = if self.down_first { [0, 1] } else { [1, 0] };
        let order = order.into_iter().filter(|axis| self.beyond()[*axis] > Length::ZERO);
        let wanted = inches(self.part);
        let mut hand = Area { at: [0.0; 2], size: inches(self.whole) };
        let mut cuts = Vec::new();
        for axis in order {
            let mut kept = hand;
            kept.size[axis] = wanted[axis];
            let rest = self.areas()[axis];
            let offcut = offcuts.iter().find(|offcut| offcut.at == rest.at);
            let drops = match offcut {
                Some(offcut) => falls("offcut", &offcut.id, rest),
                None => falls("scrap", "", rest),
            };
            let keeps = match kept.size == wanted {
                true => falls("part", part, kept),
                false => falls("more", "", kept),
            };
            let mut from = [0.0; 2];
            from[axis] = wanted[axis];
            let mut to = hand.size;
            to[axis] = wanted[axis];
            let number = u32::try_from(cuts.len() + 1).unwrap_or(u32::MAX);
            cuts.push(Cut { number, in_hand: hand, from, to, fence: wanted[axis], keeps, drops });
            hand = kept;
        }
        cuts
    }
}

fn inches(size: Size) -> [f64; 2] {
    size.to_inches().map(rounded)
}

fn falls(what: &str, id: &str, area: Area) -> Falls {
    Falls { what: what.to_owned(), id: id.to_owned(), area }
}
