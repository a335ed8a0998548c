//! The story's printed pages: strips arranged on the printer's paper, and the cuts that free them.

use kurbo::BezPath;

use crate::description::{Place, Problem};
use crate::geometry;
use crate::journal;
use crate::layout::{Layout, StoryPiece};
use crate::model::length::{Length, Size};
use crate::model::{Area, Tool};
use crate::nest;

use super::fault::at;
use super::sheet::{Laid, Sheet, filled};
use super::supply;

/// A page of strips on the printer's paper, before a sheet is taken for it.
#[derive(Clone, Debug, Default)]
pub struct Page {
    /// Strips, by place in the layout, and where their trims begin, in inches.
    pub strips: Vec<(usize, [f64; 2])>,
}

/// Arranges a paper's strips on pages of the printer's paper.
pub(super) fn pages(layout: &Layout, paper: usize) -> Result<Vec<Page>, Problem> {
    let strips: Vec<usize> =
        (0..layout.strips.len()).filter(|&index| layout.strips[index].paper == paper).collect();
    if strips.is_empty() {
        return Ok(Vec::new());
    }
    let sizes: Vec<[f64; 2]> =
        strips.iter().map(|&index| layout.strips[index].size.to_inches()).collect();
    let printer = layout.printer.paper.to_inches();
    let margin = layout.printer.margin.to_inches();
    let kerf = layout.rules.kerf.to_inches();
    let ground = strips.iter().any(|&index| layout.strips[index].ground.is_some());
    let bleed = if ground { journal::BLEED } else { 0.0 };
    let places = journal::arrange(&sizes, printer, margin, kerf, bleed).map_err(Problem::from)?;
    let mut pages: Vec<Page> = Vec::new();
    for (strip, place) in strips.into_iter().zip(places) {
        if pages.len() <= place.page {
            pages.resize(place.page + 1, Page::default());
        }
        pages[place.page].strips.push((strip, place.at));
    }
    Ok(pages)
}

/// Says that a paper has no sheet for a page.
pub(super) fn no_sheet(layout: &Layout, paper: usize) -> Problem {
    let name = layout.papers.get(paper).map_or("paper", |paper| &paper.name);
    let place = layout.papers.get(paper).map_or(Place::default(), |paper| paper.place);
    let message = format!("there is no sheet of {name} left to print the story on");
    at(place, message, supply::help(layout, paper))
}

impl Page {
    /// The sheet with its strips and the cuts that free them.
    pub(super) fn filled(&self, layout: &Layout, sheet: Sheet) -> Sheet {
        let strips: Vec<&StoryPiece> =
            self.strips.iter().map(|&(strip, _)| &layout.strips[strip]).collect();
        let areas: Vec<Area> = strips
            .iter()
            .zip(&self.strips)
            .map(|(strip, &(_, [left, top]))| Area {
                left: Length::inches(left),
                top: Length::inches(top),
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
        let blank = journal::blank_from(bottom.unwrap_or_default(), layout.printer.margin);
        let rest = size.height - blank - layout.rules.kerf;
        let keeps = rest > Length::ZERO && layout.rules.keeps(Size::new(size.width, rest));
        let cut = nest::printed(size, &areas, keeps.then_some(blank), &layout.rules);
        filled(layout, &items, &cut, sheet)
    }
}
