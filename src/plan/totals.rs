//! Shares, sums and the shopping list.

use crate::layout::{Layout, PaperOnHand};
use crate::model::length::Size;
use crate::model::{Price, Process, SheetSource};

use super::prints::{self, Prints};
use super::route::Route;
use super::sheet::{Sheet, count_of};

/// Sums over a plan.
#[derive(Clone, Debug, Default)]
pub struct Totals {
    /// Share of each sheet's area that became pieces, those on its parts among them, 0 to 1.
    pub used: Vec<f64>,
    /// The same of each paper's sheets.
    pub used_of_papers: Vec<f64>,
    /// Area of the pieces in square inches.
    pub piece_area: f64,
    /// Area of the sheets in square inches.
    pub sheet_area: f64,
    /// Length in inches that the machine cuts.
    pub machine_length: f64,
    /// What to have at hand, per paper and size; last the photo paper, if it is known how much there is.
    pub shopping: Vec<ShoppingLine>,
    /// New sheets used, photo paper not counted.
    pub new_sheets: u32,
}

/// What is used of sheets of one paper and size.
#[derive(Clone, Debug)]
pub struct ShoppingLine {
    /// The paper's name.
    pub paper: String,
    /// Sheet size.
    pub size: Size,
    /// Sheets that are used.
    pub uses: u32,
    /// Sheets on hand before.
    pub on_hand: u32,
    /// Sheets of those used that are not on hand and have to be bought.
    pub buy: u32,
    /// Price of one, if it is known.
    pub price: Option<Price>,
}

/// Shares and totals of sheets with their routes, and of photos.
pub(super) fn totals(
    layout: &Layout,
    sheets: &[&Sheet],
    routes: &[&Route],
    prints: &Prints,
) -> Totals {
    let covered: Vec<f64> = sheets.iter().map(|sheet| sheet.covered()).collect();
    // The paper of a gutted middle, or of a part, is counted with the sheet that it was cut from.
    let areas: Vec<f64> = sheets.iter().map(|sheet| counted_area(sheet)).collect();
    let used = sheets.iter().zip(&covered).map(|(sheet, own)| {
        let is_part = |other: &&Sheet| sheet.parts.iter().any(|part| part.id == other.id);
        let on_parts = sheets.iter().zip(&covered).filter(|(other, _)| is_part(other));
        (own + on_parts.map(|(_, covered)| covered).sum::<f64>()) / sheet.area()
    });
    let used = used.collect();
    let of_paper = |paper: &PaperOnHand| {
        let mut sums = (0.0, 0.0);
        for (place, sheet) in sheets.iter().enumerate() {
            if sheet.paper == paper.name {
                sums = (sums.0 + covered[place], sums.1 + areas[place]);
            }
        }
        if sums.1 > 0.0 { sums.0 / sums.1 } else { 0.0 }
    };
    let mut shopping = shopping(layout, sheets);
    let new_sheets = shopping.iter().map(|line| line.uses).sum();
    shopping.extend(photo_paper(layout, prints));
    let cut = routes.iter().map(|route| {
        let done = route.done.iter().filter(|done| done.process == Process::Cut);
        done.map(|done| done.length).sum::<f64>()
    });
    Totals {
        used,
        used_of_papers: layout.papers.iter().map(of_paper).collect(),
        piece_area: covered.iter().sum(),
        sheet_area: areas.iter().sum(),
        machine_length: cut.sum(),
        shopping,
        new_sheets,
    }
}

/// What a sheet adds to the paper that is used, in square inches.
fn counted_area(sheet: &Sheet) -> f64 {
    match sheet.source {
        SheetSource::New | SheetSource::Offcut(_) => sheet.area(),
        SheetSource::Middle(_) | SheetSource::Part { .. } => 0.0,
    }
}

/// What is used of each paper and size, beside what is on hand and what has to be bought.
fn shopping(layout: &Layout, sheets: &[&Sheet]) -> Vec<ShoppingLine> {
    let mut lines: Vec<ShoppingLine> = Vec::new();
    for paper in &layout.papers {
        let first = lines.len();
        let line = |size: Size, on_hand: u32, price: Option<Price>| ShoppingLine {
            paper: paper.name.clone(),
            size,
            uses: 0,
            on_hand,
            buy: 0,
            price,
        };
        for stock in paper.stock.iter().filter(|stock| stock.offcut.is_none()) {
            match lines[first..].iter_mut().find(|line| line.size == stock.size) {
                Some(line) => line.on_hand += stock.count,
                None => lines.push(line(stock.size, stock.count, stock.price)),
            }
        }
        let is_new =
            |sheet: &&&Sheet| sheet.paper == paper.name && sheet.source == SheetSource::New;
        for sheet in sheets.iter().filter(is_new) {
            let lies = |size: Size| lines[first..].iter().position(|line| line.size == size);
            // The printer takes a sheet that is listed the other way round as its own.
            let place = lies(sheet.size).or_else(|| lies(sheet.size.turned()));
            let place = place.unwrap_or_else(|| {
                lines.push(line(sheet.size, 0, None));
                lines.len() - 1 - first
            });
            let line = &mut lines[first + place];
            line.uses += 1;
            line.buy += u32::from(sheet.to_buy);
        }
    }
    lines
}

/// The photo paper that is used, where it is known how much there is.
fn photo_paper(layout: &Layout, prints: &Prints) -> Option<ShoppingLine> {
    let stock = layout.photo_stock.as_ref()?;
    let sheets = &prints.sheets;
    (!sheets.is_empty()).then(|| ShoppingLine {
        paper: prints::paper_name(layout),
        size: stock.size,
        uses: count_of(sheets.len()),
        on_hand: stock.count,
        buy: count_of(sheets.iter().filter(|sheet| sheet.to_buy).count()),
        price: stock.price,
    })
}
