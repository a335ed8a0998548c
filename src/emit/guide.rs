//! `guide.pdf`: what to have at hand, then a page a sheet with its cuts in order.
//!
//! Black and white, large enough to read at arm's length beside the trimmer.

mod flow;
mod gutting;
mod sheet;

use std::sync::Arc;

use crate::length::{Length, Size, Units};
use crate::outline::fonts::{Font, FontBook};
use crate::record::{Record, Sheet};

use super::cautions::CAUTIONS;
use super::pdf::Document;
use flow::Flow;

/// Draws the guide of a record.
pub fn guide_pdf(record: &Record, label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    let bold = FontBook::default().find("text bold").map_err(|error| error.message)?;
    let fonts = [Arc::clone(label_font), bold];
    let mut document = Document::new(&format!("{}: cut guide", record.name), &fonts);
    front(&mut document, record);
    for one in &record.sheets {
        sheet::pages(&mut document, record, one);
        gutting::pages(&mut document, record, one);
    }
    for one in &record.prints {
        sheet::pages(&mut document, record, one);
    }
    document.finish()
}

/// A length as the guide shows it.
pub(super) fn shown(inches: f64, units: Units) -> String {
    Length::inches(inches).show(units)
}

/// Where a sheet that isn't new is from.
pub(super) fn origin(record: &Record, sheet: &Sheet) -> String {
    match record.gutted_for(sheet) {
        Some(_) => format!("the {} (gutting)", sheet.from),
        None => format!("offcut {}", sheet.from),
    }
}

/// A size as the guide shows it.
pub(super) fn shown_size([width, height]: [f64; 2], units: Units) -> String {
    Size::inches(width, height).show(units)
}

/// The first page: shopping list, totals, warnings, cautions.
fn front(document: &mut Document, record: &Record) {
    let units = record.shown_units();
    let mut flow = Flow::new(&record.name, "Cut guide");
    flow.heading("Paper to have at hand");
    for line in record.totals.shopping.iter().filter(|line| line.uses > 0) {
        let sheets = if line.uses == 1 { "sheet" } else { "sheets" };
        let size = shown_size(line.size, units);
        let price = if line.price > 0.0 { format!(", {:.2}", line.price) } else { String::new() };
        flow.item(&format!(
            "{}: {} {sheets} of {size} (on hand: {}){price}",
            line.paper, line.uses, line.on_hand
        ));
    }
    for sheet in record.sheets.iter().filter(|sheet| sheet.from != "new") {
        flow.item(&format!(
            "{}: {}, {}",
            sheet.paper,
            origin(record, sheet),
            shown_size(sheet.size, units)
        ));
    }
    if let Some(first) = record.prints.first() {
        let (count, size) = (record.prints.len(), shown_size(first.size, units));
        let sheets = if count == 1 { "sheet" } else { "sheets" };
        flow.item(&format!("{}: {count} {sheets} of {size} for print/photos.pdf", first.paper));
    }
    let totals = &record.totals;
    flow.heading("In all");
    flow.item(&format!(
        "{} pieces and {} photos; {} sheets; {} trimmer cuts; {:.0} in of machine cutting",
        totals.pieces,
        record.photos.len(),
        totals.sheets,
        totals.trimmer_cuts,
        totals.machine_length
    ));
    let share = 100.0 * totals.piece_area / totals.sheet_area.max(1e-9);
    flow.item(&format!("{share:.0} % of the paper becomes pieces; offcuts are named to be kept"));
    let notes = record.papers.iter().flat_map(|paper| &paper.notes);
    for note in notes {
        flow.item(note);
    }
    if !record.warnings.is_empty() {
        flow.heading("Look at these first");
        for warning in &record.warnings {
            flow.item(&format!("{}: {}", warning.message, warning.help));
        }
    }
    flow.heading("Take care");
    for caution in CAUTIONS {
        flow.item(caution);
    }
    flow.write(document);
}
