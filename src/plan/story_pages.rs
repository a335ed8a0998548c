//! The story's printed pages: strips arranged on the printer's paper, and the cuts that free them.

use std::collections::BTreeSet;

use kurbo::BezPath;

use crate::description::{Place, Problem};
use crate::geometry;
use crate::journal;
use crate::layout::{Layout, StoryPiece};
use crate::model::length::{Length, Size, Units};
use crate::model::{Area, Count, Fall, Tool, Warning};
use crate::nest;

use super::fault::{at, no_printer_sheet};
use super::sheet::{Laid, Sheet, count_of, filled};

/// Kits whose strips are tried side by side on pages, and strips on those pages, at most: on more pages the
/// end of the last one weighs little.
const MOST_KITS: u32 = 24;
const MOST_SIDE_BY_SIDE: usize = 600;

/// A page of strips on the printer's paper, before a sheet is taken for it.
#[derive(Clone, Debug, Default)]
pub struct Page {
    /// The strips on it.
    pub strips: Vec<OnPage>,
    /// How often it is printed.
    pub count: Count,
    /// Where it begins on a sheet that went through the printer once before; nothing on any other.
    pub start: Option<Length>,
}

impl Page {
    /// How many sheets are taken for it: none where it has one already.
    pub fn needs(&self) -> u32 {
        if self.start.is_some() { 0 } else { self.count.get() }
    }
}

/// A strip on a page.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OnPage {
    /// The strip, by place in the layout.
    pub strip: usize,
    /// Which of its copies, from 0; where the page is printed several times, later ones follow.
    pub copy: u32,
    /// Where its trim begins, in inches.
    pub at: [f64; 2],
}

/// Arranges a paper's strips on pages of the printer's paper.
pub(super) fn pages(layout: &Layout, paper: usize) -> Result<Vec<Page>, Problem> {
    let strips: Vec<usize> =
        (0..layout.strips.len()).filter(|&index| layout.strips[index].paper == paper).collect();
    // Of strips with different numbers of copies, those that go on are arranged anew for the rest.
    let copies = |strip: usize| layout.copies_of(&layout.strips[strip].id);
    if layout.start.is_some() {
        let each = |&strip: &usize| (0..copies(strip)).map(move |copy| (copy, strip));
        return laid(layout, &strips.iter().flat_map(each).collect::<Vec<_>>());
    }
    let numbers: BTreeSet<u32> = strips.iter().map(|&strip| copies(strip)).collect();
    let several = numbers.len() > 1;
    let (mut pages, mut before) = (Vec::new(), 0);
    for number in numbers {
        let those: Vec<usize> =
            strips.iter().copied().filter(|&strip| copies(strip) >= number).collect();
        pages.extend(of_kits(layout, &those, before, number - before)?);
        before = number;
    }
    // All copies on pages of their own may take fewer sheets, where strips have different numbers.
    let all: Vec<(u32, usize)> = strips
        .iter()
        .flat_map(|&strip| (0..copies(strip)).map(move |copy| (copy, strip)))
        .collect();
    let sheets = pages.iter().map(|page: &Page| page.count.places()).sum::<usize>();
    if several && sheets > 1 && all.len() <= MOST_SIDE_BY_SIDE {
        let apart = laid(layout, &all)?;
        if apart.len() < sheets {
            return Ok(apart);
        }
    }
    Ok(pages)
}

/// Pages for several copies of some strips, of which there were `before`: those of as many kits side by side
/// as take the fewest sheets, printed as often as need be, then what remains.
fn of_kits(
    layout: &Layout,
    strips: &[usize],
    before: u32,
    kits: u32,
) -> Result<Vec<Page>, Problem> {
    let most = count_of(MOST_SIDE_BY_SIDE / strips.len().max(1)).clamp(1, MOST_KITS.min(kits));
    let mut ways: Vec<Vec<Page>> = Vec::new();
    for side_by_side in 1..=most {
        ways.push(arranged(layout, strips, side_by_side)?);
    }
    let way = |side_by_side: u32| {
        let place = usize::try_from(side_by_side).unwrap_or(usize::MAX);
        place
            .checked_sub(1)
            .and_then(|place| ways.get(place))
            .map(Vec::as_slice)
            .unwrap_or_default()
    };
    let sheets = |side_by_side: &u32| {
        let (whole, rest) = (way(*side_by_side).len(), way(kits % side_by_side).len());
        let times = usize::try_from(kits / side_by_side).unwrap_or(usize::MAX);
        (whole.saturating_mul(times).saturating_add(rest), whole + rest)
    };
    let best = (1..=most).min_by_key(sheets).unwrap_or(1);
    let printed = |page: &Page, before: u32, count: u32| {
        let strips = page.strips.iter().map(|one| OnPage { copy: one.copy + before, ..*one });
        Page { strips: strips.collect(), count: Count::of(count), start: None }
    };
    let times = kits / best;
    let whole = way(best).iter().map(|page| printed(page, before, times));
    let rest = way(kits % best).iter().map(|page| printed(page, before + times * best, 1));
    Ok(whole.chain(rest).collect())
}

/// Pages for the strips of some kits: copies of a strip follow on each other, since they are cut at the same
/// settings of the fence.
fn arranged(layout: &Layout, strips: &[usize], kits: u32) -> Result<Vec<Page>, Problem> {
    let all = strips.iter().flat_map(|&strip| (0..kits).map(move |kit| (kit, strip)));
    laid(layout, &all.collect::<Vec<_>>())
}

/// Pages for some copies of strips.
fn laid(layout: &Layout, all: &[(u32, usize)]) -> Result<Vec<Page>, Problem> {
    if all.is_empty() {
        return Ok(Vec::new());
    }
    let sizes: Vec<[f64; 2]> =
        all.iter().map(|&(_, index)| layout.strips[index].size.to_inches()).collect();
    let printer = layout.printer.paper.to_inches();
    let margin = layout.printer.margin.to_inches();
    let kerf = layout.rules.kerf.to_inches();
    let ground = all.iter().any(|&(_, index)| layout.strips[index].ground.is_some());
    let bleed = if ground { journal::BLEED } else { 0.0 };
    let start = layout.start.map_or(0.0, Length::to_inches);
    let places = journal::arrange_below(start, &sizes, printer, margin, kerf, bleed)
        .map_err(Problem::from)?;
    let tallest = sizes.iter().map(|size| size[1]).fold(0.0, f64::max) + kerf;
    if places.iter().all(|place| place.page > 0) {
        let room = journal::room_below(start, printer, margin, bleed);
        return Err(no_room(layout, [room, tallest].map(Length::inches)));
    }
    let mut pages: Vec<Page> = Vec::new();
    for (&(copy, strip), place) in all.iter().zip(places) {
        if pages.len() <= place.page {
            pages.resize(place.page + 1, Page::default());
        }
        pages[place.page].strips.push(OnPage { strip, copy, at: place.at });
    }
    if let Some(first) = pages.first_mut() {
        first.start = layout.start;
    }
    Ok(pages)
}

/// Says that no strip has room on the sheet that was fed once; `room` is there, `needed` is what one takes.
fn no_room(layout: &Layout, [room, needed]: [Length; 2]) -> Problem {
    // A ruler's marks would not tell a hair's breadth too little.
    let shown = |length: Length| match layout.units {
        Units::Inches => format!("{:.3} in", length.to_inches()),
        Units::Millimetres => format!("{:.1} mm", length.to_mm()),
    };
    let start = layout.start.unwrap_or_default().show(layout.units);
    let room = match room > Length::ZERO {
        true => format!("strips have a room of {} below {start}", shown(room)),
        false => format!("strips have no room below {start}"),
    };
    let message = format!("{room}, and one takes {}", shown(needed));
    let help = "the ruler above the strips, the marks below them and the printer's margin take the rest; feed a \
                sheet with more blank paper, or leave out --start";
    Problem::input(message, help)
}

/// Says that of a redo's strips not all have room on the sheet that was fed once.
pub(super) fn overflow(layout: &Layout, pages: &[super::StoryPage]) -> Option<Warning> {
    let start = layout.start?;
    let (fed, others): (Vec<_>, Vec<_>) = pages.iter().partition(|one| one.page.start.is_some());
    let strips = |page: &Page| page.strips.len().saturating_mul(page.count.places());
    let sum =
        |pages: &[&super::StoryPage]| pages.iter().map(|one| strips(&one.page)).sum::<usize>();
    let sheets = others.iter().map(|one| one.page.count.places()).sum::<usize>();
    let (room, all) = (sum(&fed), sum(&fed) + sum(&others));
    let sheets = match sheets {
        0 => return None,
        1 => "on another sheet".to_owned(),
        several => format!("on {several} other sheets"),
    };
    Some(Warning {
        kind: "printed below".to_owned(),
        message: format!(
            "of {all} strips {room} have room below {}; the others are printed {sheets}",
            start.show(layout.units)
        ),
        help: "to spare that, redo fewer, or feed a sheet with more blank paper".to_owned(),
        piece: None,
        line: None,
    })
}

/// Says that a paper has no sheet for a page.
pub(super) fn no_sheet(layout: &Layout, paper: usize) -> Problem {
    let name = layout.papers.get(paper).map_or("paper", |paper| &paper.name);
    let place = layout.papers.get(paper).map_or(Place::default(), |paper| paper.place);
    let message = format!("there is no sheet of {name} left to print the story on");
    at(place, message, no_printer_sheet(layout, paper))
}

impl Page {
    /// The page on sheets that follow after some others on which it is printed.
    pub(super) fn after(&self, before: u32, count: Count) -> Self {
        let each =
            |strip: usize| count_of(self.strips.iter().filter(|one| one.strip == strip).count());
        let strips = self.strips.iter().map(|one| {
            let copy = one.copy.saturating_add(before.saturating_mul(each(one.strip)));
            OnPage { copy, ..*one }
        });
        Self { strips: strips.collect(), count, start: self.start }
    }

    /// The sheet with its strips and the cuts that free them.
    pub(super) fn filled(&self, layout: &Layout, sheet: Sheet) -> Sheet {
        let strips: Vec<&StoryPiece> =
            self.strips.iter().map(|one| &layout.strips[one.strip]).collect();
        let areas: Vec<Area> = strips
            .iter()
            .zip(&self.strips)
            .map(|(strip, one)| Area {
                left: Length::inches(one.at[0]),
                top: Length::inches(one.at[1]),
                size: strip.size,
            })
            .collect();
        let outlines: Vec<BezPath> = strips
            .iter()
            .map(|strip| {
                geometry::rectangle(strip.size.width.to_inches(), strip.size.height.to_inches())
            })
            .collect();
        let tool = |id: &str| {
            layout
                .pieces
                .iter()
                .find(|piece| piece.id == id)
                .map_or(Tool::Trimmer, |piece| piece.tool)
        };
        let items: Vec<Laid<'_>> = strips
            .iter()
            .zip(&outlines)
            .map(|(strip, outline)| Laid { id: &strip.id, tool: tool(&strip.id), outline })
            .collect();
        let size = layout.printer.paper;
        let bottom = areas.iter().map(|area| area.top + area.size.height).max();
        let start = self.start.unwrap_or_default();
        let top = layout.printer.margin.max(start);
        let blank = journal::blank_from(bottom.unwrap_or_default(), top);
        let rest = size.height - blank - layout.rules.kerf;
        let keeps = rest > Length::ZERO && layout.rules.keeps(Size::new(size.width, rest));
        let blank = keeps.then_some(blank);
        let cut = nest::printed_below(start, size, &areas, blank, &layout.rules);
        let mut sheet = filled(layout, &items, &cut, sheet);
        if self.start.is_some() {
            self.tell_printed_before(layout, &mut sheet);
        }
        for (placed, one) in sheet.placed.iter_mut().zip(&self.strips) {
            placed.copy = one.copy + 1;
        }
        sheet
    }

    /// Of a sheet that was fed once, what falls off above was printed before. What stays blank is no offcut:
    /// the sheet is in no count, so nothing of it comes into one.
    fn tell_printed_before(&self, layout: &Layout, sheet: &mut Sheet) {
        let height = self.start.unwrap_or_default() - layout.rules.kerf;
        let above = Area { size: Size::new(sheet.size.width, height), ..Area::default() };
        for falls in sheet.cuts.iter_mut().flat_map(|cut| [&mut cut.keeps, &mut cut.drops]) {
            if falls.area == above {
                falls.what = Fall::PrintedBefore;
            } else if matches!(falls.what, Fall::Offcut(_)) {
                falls.what = Fall::Scrap;
            }
        }
        sheet.offcuts.clear();
    }
}
