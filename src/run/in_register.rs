//! Printed, then cut: the pieces that carry print, on sheets that go through the printer first.
//!
//! They are nested by themselves, on sheets of the printer's size, cut from larger ones if need be: far enough from one another for
//! the bleed, and far enough from the rim for registration marks that the printer can reach.

use crate::description::Problem;
use crate::layout::Layout;
use crate::layout::print::BLEED;
use crate::length::{Length, Size};
use crate::nest::{self, Job, Nested, Rules, Search, Stock};
use crate::record::{Record, Sheet, rounded};

use super::printer_sheets::{self, Taken};
use super::{marks, sheets};

/// The printed pieces of a paper on their sheets, before these are taken from stock.
pub(super) struct OfPaper {
    paper: usize,
    pieces: Vec<usize>,
    nested: Nested,
}

impl OfPaper {
    /// How many sheets of the printer's size they are on.
    pub fn sheets(&self) -> usize {
        self.nested.sheets.len()
    }
}

/// The sheets of a run that are printed and cut, with where each is from; before they are written into the
/// record.
#[derive(Default)]
pub(super) struct InRegister {
    papers: Vec<(OfPaper, Vec<Taken>)>,
}

/// Nests a paper's printed pieces, if it has any, on sheets of the printer's size, of which there are
/// `available` of as many as are asked for.
pub(super) fn nest(
    layout: &Layout,
    search: &Search,
    paper: usize,
    available: impl FnOnce(usize) -> u32,
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
    let items = pieces.iter().map(|&index| super::item(&layout.pieces[index])).collect();
    let count = available(pieces.len());
    if count == 0 {
        return Err(vec![no_sheet(layout, paper, first)]);
    }
    let stock = vec![Stock { size: layout.printer.paper, count, ..Stock::default() }];
    let job = Job { stock, items, rules: rules(layout), effort: layout.effort };
    let nested = search.nest(&job);
    let problems = super::missing(layout, paper, &job, &pieces, &nested);
    if problems.is_empty() { Ok(Some(OfPaper { paper, pieces, nested })) } else { Err(problems) }
}

fn no_sheet(layout: &Layout, paper: usize, piece: usize) -> Problem {
    let (name, lacking) = (&layout.papers[paper].name, &layout.pieces[piece]);
    super::at(
        lacking.place,
        format!("there is no sheet of {name} that the printer takes, for `{}`", lacking.id),
        printer_sheets::help(layout, paper),
    )
}

/// A printed sheet is cut by its marks, so it is loaded whole.
fn not_on_the_mat(layout: &Layout, paper: usize, piece: usize) -> Problem {
    let (paper, piece) = (&layout.papers[paper], &layout.pieces[piece]);
    let [page, mat] = [Some(layout.printer.paper), layout.rules.mat]
        .map(|size| size.unwrap_or_default().show(layout.units));
    super::at(
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

/// Leaves of a sheet's offcuts what bears no mark: what lies `reached` inside its edges.
fn keep_blank(sheet: &mut Sheet, reached: f64, rules: &Rules) {
    for offcut in &mut sheet.offcuts {
        for axis in 0..2 {
            let end = (offcut.at[axis] + offcut.size[axis]).min(sheet.size[axis] - reached);
            offcut.at[axis] = rounded(offcut.at[axis].max(reached));
            offcut.size[axis] = rounded(end - offcut.at[axis]);
        }
    }
    sheet.offcuts.retain(|offcut| {
        let [width, height] = offcut.size;
        width > 0.0 && height > 0.0 && rules.keeps(Size::inches(width, height))
    });
}

impl InRegister {
    /// Adds a paper's printed pieces and where each of their sheets is from.
    pub fn add(&mut self, of_paper: OfPaper, from: Vec<Taken>) {
        self.papers.push((of_paper, from));
    }

    /// Adds the sheets to the record, whose papers are there already.
    pub fn write(self, layout: &Layout, record: &mut Record) {
        let mut page = 0;
        for (OfPaper { paper, pieces, nested }, from) in self.papers {
            let name = &layout.papers[paper].name;
            if let Some(paper) = record.papers.iter_mut().find(|one| one.name == *name) {
                let new = from.iter().filter(|taken| taken.new).count();
                let new = u32::try_from(new).unwrap_or(u32::MAX);
                paper.new_sheets += new;
                paper.bound += nested.bound.min(new);
            }
            let laid: Vec<sheets::Laid<'_>> =
                pieces.iter().map(|&index| sheets::Laid::of(&layout.pieces[index])).collect();
            for (cut, taken) in nested.sheets.iter().zip(from) {
                page += 1;
                let before = record.sheets.iter().filter(|sheet| sheet.paper == *name).count();
                let sheet = Sheet {
                    id: layout.sheet_id(name, before + 1),
                    paper: name.clone(),
                    size: layout.printer.paper.to_inches().map(rounded),
                    from: taken.from,
                    to_buy: taken.to_buy,
                    in_register: page,
                    ..Sheet::default()
                };
                let mut sheet = sheets::filled(layout, &laid, cut, sheet);
                keep_blank(&mut sheet, reached(layout).to_inches(), &layout.rules);
                record.sheets.push(sheet);
            }
        }
    }
}
