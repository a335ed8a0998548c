//! `guide.pdf`: what to have at hand, then a page a sheet with its cuts in order.
//!
//! Black and white, large enough to read at arm's length beside the trimmer.

pub(super) mod flow;
mod gutting;
mod machine_step;
mod sheet;
mod sheet_drawing;

use std::sync::Arc;

use crate::length::{Length, Size, Units};
use crate::outline::fonts::Font;
use crate::record::{Record, Sheet};

use super::cautions::CAUTIONS;
use super::pdf::Document;
use super::printed_page::lettered;
use flow::Flow;

/// Draws the guide of a record.
pub fn guide_pdf(record: &Record, label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    let mut document = lettered(&format!("{}: cut guide", record.name), label_font)?;
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

/// A length as the guide shows it: in one piece, whatever line it stands in.
pub(super) fn shown(inches: f64, units: Units) -> String {
    unbroken(&Length::inches(inches).show(units))
}

/// A measure whose parts no line break tears apart.
fn unbroken(measure: &str) -> String {
    measure.replace(' ', "\u{a0}")
}

/// A message of the program for print: what it quotes in backticks stands in quotation marks.
fn message(message: &str) -> String {
    let mut told = String::new();
    let mut open = false;
    for letter in message.chars() {
        match letter {
            '`' if open => told.push('\u{201d}'),
            '`' => told.push('\u{201c}'),
            other => told.push(other),
        }
        open ^= letter == '`';
    }
    told
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
    unbroken(&Size::inches(width, height).show(units))
}

/// The first page: shopping list, totals, warnings, cautions.
fn front(document: &mut Document, record: &Record) {
    let mut flow = Flow::new(&record.name, "Cut guide");
    paper_to_have(&mut flow, record);
    totals(&mut flow, record);
    if !record.warnings.is_empty() {
        flow.heading("Look at these first");
        for warning in &record.warnings {
            flow.item(&message(&format!("{}: {}", warning.message, warning.help)));
        }
    }
    flow.heading("Take care");
    for caution in CAUTIONS {
        flow.item(caution);
    }
    flow.write(document);
}

/// The shopping list: what is used of each paper, and what of it has to be bought.
fn paper_to_have(flow: &mut Flow, record: &Record) {
    let units = record.shown_units();
    let sheets = |count: u32| if count == 1 { "sheet" } else { "sheets" };
    let shopping = &record.totals.shopping;
    let buys = shopping.iter().any(|line| line.uses > line.on_hand);
    flow.heading(if buys { "Paper to have at hand, and to buy" } else { "Paper to have at hand" });
    for line in shopping.iter().filter(|line| line.uses > 0) {
        let size = shown_size(line.size, units);
        let price =
            if line.price > 0.0 { format!(", worth {:.2}", line.price) } else { String::new() };
        let have = match line.uses.saturating_sub(line.on_hand) {
            0 => format!("of {} on hand", line.on_hand),
            buy => format!("buy {buy}, {} on hand", line.on_hand),
        };
        let count = sheets(line.uses);
        flow.item(&format!("{}: {} {count} of {size}, {have}{price}", line.paper, line.uses));
    }
    for sheet in record.sheets.iter().filter(|sheet| sheet.from != "new") {
        if record.part_of(sheet).is_some() {
            continue;
        }
        let size = shown_size(sheet.size, units);
        flow.item(&format!("{}: {}, {size}", sheet.paper, origin(record, sheet)));
    }
    if let Some(first) = record.prints.first() {
        let count = u32::try_from(record.prints.len()).unwrap_or(u32::MAX);
        let (size, word) = (shown_size(first.size, units), sheets(count));
        flow.item(&format!("{}: {count} {word} of {size}, for print/photos.pdf", first.paper));
    }
}

fn totals(flow: &mut Flow, record: &Record) {
    let totals = &record.totals;
    flow.heading("In all");
    let mut told = vec![
        format!("{} pieces", totals.pieces),
        format!("{} photos", record.photos.len()),
        format!("{} sheets, {} of them new", totals.sheets, totals.new_sheets),
        format!("{} trimmer cuts", totals.trimmer_cuts),
    ];
    if !record.prints.is_empty() {
        let cuts: usize = record.prints.iter().map(|sheet| sheet.cuts.len()).sum();
        told.push(format!("{cuts} cuts more for the photos"));
    }
    if totals.machine_length > 0.0 {
        told.push(match record.shown_units() {
            Units::Inches => format!("{:.0} in of machine cutting", totals.machine_length),
            Units::Millimetres => {
                format!("{:.1} m of machine cutting", totals.machine_length * 0.0254)
            }
        });
    }
    flow.item(&told.join("; "));
    if totals.price > 0.0 {
        flow.item(&format!("{:.2} worth of new paper", totals.price));
    }
    if totals.sheet_area > 0.0 {
        let share = 100.0 * totals.piece_area / totals.sheet_area;
        flow.item(&format!(
            "{share:.0} % of the paper becomes pieces; offcuts are named to be kept"
        ));
    }
    for note in record.papers.iter().flat_map(|paper| &paper.notes) {
        flow.item(&message(note));
    }
}
