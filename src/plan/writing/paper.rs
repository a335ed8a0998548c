//! Papers, the story's pages and its strips as the record keeps them.

use crate::model::{Count, Stock, rounded};
use crate::plan::{OffcutUse, OnPage, Plan, Spared};
use crate::record::{
    InsteadOf, OffcutLeft, OffcutUsed, Paper, PaperPicture, PhotoPaper, PrintedPage, StockLeft,
    Strip,
};

use super::print::{self, runs};
use super::{inches, paper_name, size};
use crate::plan::sheet::count_of;

/// The papers with what is left of them.
pub(super) fn papers(plan: &Plan) -> Vec<Paper> {
    let papers = plan.spread.papers.iter().zip(&plan.papers).zip(&plan.totals.used_of_papers);
    let offcut = |stock: &Stock| {
        let id = stock.offcut.clone()?;
        Some(OffcutLeft { id, size: size(stock.size), count: Count::of(stock.count) })
    };
    let paper = |((paper, after), used): ((&crate::layout::PaperOnHand, &_), &f64)| {
        let after: &crate::plan::PaperUse = after;
        Paper {
            name: paper.name.clone(),
            color: paper.color,
            pattern: paper.pattern.clone(),
            picture: paper.picture.as_ref().map(picture_on),
            directional: paper.directional,
            turns: paper.turns,
            from_stock: paper.from_stock,
            left: after.account.left().map(|stock| left(&stock)).collect(),
            offcuts_used: after.offcuts.iter().map(offcut_used).collect(),
            offcuts_left: after.account.offcuts_left().iter().filter_map(offcut).collect(),
            new_sheets: after.account.new_sheets(),
            bound: after.bound,
            used: rounded(*used),
            notes: after.notes.clone(),
        }
    };
    papers.map(paper).collect()
}

fn picture_on(on: &crate::layout::PaperPicture) -> PaperPicture {
    let size = on.size.map(rounded);
    PaperPicture { picture: print::picture(&on.excerpt), size, fill: on.fill }
}

fn offcut_used((offcut, cut): &(OffcutUse, f64)) -> OffcutUsed {
    let spared =
        |one: &Spared| StockLeft { size: size(one.size), count: one.count, price: one.price };
    let instead_of = offcut
        .instead_of
        .iter()
        .map(|(from, area)| InsteadOf { offcut: from.clone(), area: rounded(*area) });
    OffcutUsed {
        id: offcut.id.clone(),
        size: size(offcut.size),
        cut: rounded(*cut),
        saves: offcut.saves.iter().map(spared).collect(),
        takes: offcut.takes.iter().map(spared).collect(),
        price: offcut.price.map(rounded),
        instead_of: instead_of.collect(),
    }
}

fn left(stock: &Stock) -> StockLeft {
    StockLeft { size: size(stock.size), count: stock.count, price: stock.price }
}

/// The photo paper, if there is any.
pub(super) fn photo_paper(plan: &Plan) -> Option<PhotoPaper> {
    let paper = plan.spread.photo_paper;
    let account = plan.prints.account.as_ref();
    plan.prints.has_paper.then(|| PhotoPaper {
        size: size(paper.paper),
        margin: inches(paper.margin),
        left: account.and_then(|account| account.left().next()).map(|stock| left(&stock)),
    })
}

/// The story's pages.
pub(super) fn printed_pages(plan: &Plan) -> Vec<PrintedPage> {
    let pages = (1..).zip(&plan.pages).map(|(number, page)| PrintedPage {
        number,
        paper: paper_name(&plan.spread, page.paper),
        size: size(plan.spread.printer.paper),
        sheet: page.sheet.clone(),
        count: page.page.count,
        start: page.page.start.map(inches),
    });
    pages.collect()
}

/// The story's strips, page by page.
pub(super) fn strips(plan: &Plan) -> Vec<Strip> {
    let strips =
        plan.pages.iter().enumerate().flat_map(|(index, page)| {
            page.page.strips.iter().map(move |one| (index, page.paper, one))
        });
    let strip = |(index, paper, on_page): (usize, usize, &OnPage)| {
        let strip = &plan.spread.strips[on_page.strip];
        Strip {
            id: strip.id.clone(),
            copy: Count::of(on_page.copy + 1),
            text: strip.text.clone(),
            paper: paper_name(&plan.spread, paper),
            size: size(strip.size),
            page: count_of(index + 1),
            at: on_page.at.map(rounded),
            baseline: rounded(strip.baseline),
            type_size: strip.type_size,
            ink: strip.ink,
            ground: strip.ground,
            runs: runs(&strip.runs),
        }
    };
    strips.map(strip).collect()
}
