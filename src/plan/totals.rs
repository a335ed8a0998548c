//! Shares, sums and the shopping list.

use crate::layout::{Layout, PaperOnHand};
use crate::model::{Process, SheetSource};

use super::account::{Account, ShoppingLine};
use super::filling::PaperUse;
use super::prints::Prints;
use super::route::Route;
use super::sheet::Sheet;

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

/// Shares and totals of sheets with their routes, and of photos.
pub(super) fn totals(
    layout: &Layout,
    papers: &[PaperUse],
    sheets: &[&Sheet],
    routes: &[&Route],
    prints: &Prints,
) -> Totals {
    let covered: Vec<f64> =
        sheets.iter().map(|sheet| sheet.covered() * sheet.count.factor()).collect();
    // The paper of a gutted middle, or of a part, is counted with the sheet that it was cut from.
    let areas: Vec<f64> = sheets.iter().map(|sheet| counted_area(sheet)).collect();
    let used = sheets.iter().zip(&covered).map(|(sheet, own)| {
        let is_part = |other: &&Sheet| sheet.parts.iter().any(|part| part.id == other.id);
        let on_parts = sheets.iter().zip(&covered).filter(|(other, _)| is_part(other));
        (own + on_parts.map(|(_, covered)| covered).sum::<f64>())
            / (sheet.area() * sheet.count.factor())
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
    let accounts = || papers.iter().map(|paper| &paper.account);
    let photos = prints.account.as_ref().filter(|_| !prints.sheets.is_empty());
    let cut = sheets.iter().zip(routes).map(|(sheet, route)| {
        let done = route.done.iter().filter(|done| done.process == Process::Cut);
        done.map(|done| done.length).sum::<f64>() * sheet.count.factor()
    });
    Totals {
        used,
        used_of_papers: layout.papers.iter().map(of_paper).collect(),
        piece_area: covered.iter().sum(),
        sheet_area: areas.iter().sum(),
        machine_length: cut.sum(),
        shopping: accounts().chain(photos).flat_map(Account::shopping).cloned().collect(),
        new_sheets: accounts().map(Account::new_sheets).sum(),
    }
}

/// What a sheet, or all that are cut as it is, add to the paper that is used, in square inches.
fn counted_area(sheet: &Sheet) -> f64 {
    match sheet.source {
        SheetSource::New | SheetSource::Offcut(_) => sheet.area() * sheet.count.factor(),
        SheetSource::Middle(_) | SheetSource::Part { .. } => 0.0,
        // What was printed before was counted then.
        SheetSource::FedOnce(start) => {
            let [width, height] = sheet.size.to_inches();
            width * (height - start.to_inches())
        }
    }
}
