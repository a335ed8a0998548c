//! Printed, then cut: the pieces that carry print, on sheets that go through the printer first.
//!
//! They are nested by themselves, on sheets of the printer's size, cut from larger ones if need be: far
//! enough from one another for the bleed, and far enough from the rim for registration marks that the printer
//! can reach.

use crate::description::Problem;
use crate::layout::Layout;
use crate::layout::print::BLEED;
use crate::model::length::{Length, Size};
use crate::model::{Area, Rules, Stock};
use crate::nest::{self, Job, Nested, Search};

use super::alike;
use super::fault::{at, no_printer_sheet};
use super::jobs;
use super::marks;
use super::sheet::{Laid, Rest, Sheet, filled, later_copies, times};

/// The printed pieces of a paper on their sheets, before these are taken from stock.
pub(super) struct OfPaper {
    pieces: Vec<usize>,
    nested: Nested,
}

impl OfPaper {
    /// The sheets of the printer's size that they are on: how many of each way in which they are laid.
    pub fn sheets(&self) -> Vec<u32> {
        self.nested.sheets.iter().map(|cut| times(cut).get()).collect()
    }

    /// The fewest new sheets that any plan of them could do with.
    pub fn bound(&self) -> u32 {
        self.nested.bound
    }

    /// Their sheets, on those that `taken` names and sources in order; each with its place among
    /// [`Self::sheets`], and how many of those came before.
    pub fn filled(&self, layout: &Layout, taken: Vec<(usize, u32, Sheet)>) -> Vec<Sheet> {
        let laid: Vec<Laid<'_>> =
            self.pieces.iter().map(|&index| Laid::of(&layout.pieces[index])).collect();
        let fill = |(place, before, sheet)| {
            let mut sheet = filled(layout, &laid, self.nested.sheets.get(place)?, sheet);
            later_copies(&mut sheet.placed, before);
            let offcuts = blank(&sheet, reached(layout), &layout.rules);
            Some(Sheet { offcuts, ..sheet })
        };
        taken.into_iter().filter_map(fill).collect()
    }
}

/// Nests a paper's printed pieces, if it has any, on sheets of the printer's size, of which there are
/// `available` of as many as are asked for.
pub(super) fn nest(
    layout: &Layout,
    search: &Search,
    paper: usize,
    available: impl FnOnce(u32) -> u32,
) -> Result<Option<OfPaper>, Vec<Problem>> {
    let carries = |index: &usize| {
        let piece = &layout.pieces[*index];
        piece.paper == paper && piece.print.is_some()
    };
    let pieces: Vec<usize> = (0..layout.pieces.len()).filter(carries).collect();
    let Some(&first) = pieces.first() else { return Ok(None) };
    if nest::mat::lies(layout.printer.paper, layout.rules.mat).is_none() {
        return Err(vec![not_on_the_mat(layout, paper, first)]);
    }
    let items = pieces.iter().map(|&index| jobs::item(&layout.pieces[index])).collect();
    let copies = pieces.iter().map(|&index| layout.pieces[index].copies);
    let count = available(copies.fold(0, u32::saturating_add));
    if count == 0 {
        return Err(vec![no_sheet(layout, paper, first)]);
    }
    let stock = vec![Stock { size: layout.printer.paper, count, ..Stock::default() }];
    let job = Job { stock, items, rules: rules(layout), effort: layout.effort };
    let mut nested = search.nest(&job);
    nested.sheets = alike::told_once(&nested.sheets, &job.stock);
    let problems = jobs::missing(layout, paper, &job, &pieces, &nested);
    if problems.is_empty() { Ok(Some(OfPaper { pieces, nested })) } else { Err(problems) }
}

fn no_sheet(layout: &Layout, paper: usize, piece: usize) -> Problem {
    let (name, lacking) = (&layout.papers[paper].name, &layout.pieces[piece]);
    at(
        lacking.place,
        format!("there is no sheet of {name} that the printer takes, for `{}`", lacking.id),
        no_printer_sheet(layout, paper),
    )
}

/// A printed sheet is cut by its marks, so it is loaded whole.
fn not_on_the_mat(layout: &Layout, paper: usize, piece: usize) -> Problem {
    let (paper, piece) = (&layout.papers[paper], &layout.pieces[piece]);
    let [page, mat] = [Some(layout.printer.paper), layout.rules.mat]
        .map(|size| size.unwrap_or_default().show(layout.units));
    at(
        piece.place,
        format!(
            "`{}` is cut from a printed sheet of {page}, which the mat of {mat} doesn't take",
            piece.id
        ),
        format!(
            "a printed sheet is loaded whole, for its marks: name the mat's true size in `cutting: {{mat: …}}`, \
             or a smaller `printer: {{paper: …}}` and {} of that size",
            paper.name
        ),
    )
}

/// Distances that leave room for the bleed and the marks.
fn rules(layout: &Layout) -> Rules {
    let bleed = Length::inches(BLEED);
    let rim = reached(layout) + bleed;
    Rules {
        spacing: layout.rules.spacing.max(bleed * 2),
        machine_margin: layout.rules.machine_margin.max(rim),
        trim_margin: layout.rules.trim_margin.max(rim),
        ..layout.rules
    }
}

/// How far marks (or the rim that the printer leaves white) reach from the edges of a sheet.
fn reached(layout: &Layout) -> Length {
    match &layout.marks {
        Some(marks) => marks::reach(marks, layout.printer.margin),
        None => layout.printer.margin,
    }
}

/// What bears no mark of a sheet's offcuts: what lies `reached` inside its edges.
fn blank(sheet: &Sheet, reached: Length, rules: &Rules) -> Vec<Rest> {
    let inside = |start: Length, length: Length, of: Length| {
        let end = (start + length).min(of - reached);
        let start = start.max(reached);
        (start, end - start)
    };
    let blank = |rest: &Rest| {
        let Area { left, top, size } = rest.area;
        let (left, width) = inside(left, size.width, sheet.size.width);
        let (top, height) = inside(top, size.height, sheet.size.height);
        let area = Area { left, top, size: Size::new(width, height) };
        Rest { area, ..rest.clone() }
    };
    let keeps = |rest: &Rest| {
        let size = rest.area.size;
        size.width > Length::ZERO && size.height > Length::ZERO && rules.keeps(size)
    };
    sheet.offcuts.iter().map(blank).filter(keeps).collect()
}
