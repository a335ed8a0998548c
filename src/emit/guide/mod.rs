//! `guide.pdf`: what to have at hand, then sheet after sheet with its cuts in order.
//!
//! Black and white, in two columns; what is read while the hands are busy is large enough to read at arm's
//! length beside the trimmer. Whole sheets are a line each, and cuts at one setting of the fence are one
//! step. Pieces bear the numbers that they have in the proof.

mod bags;
mod columns;
mod entries;
pub(super) mod flow;
mod front;
mod gutting;
mod lines;
mod machine_step;
mod setter;
mod sheet;
mod sheet_drawing;
mod steps;
mod tally;

use std::sync::Arc;

use crate::lettering::fonts::Font;
use crate::lettering::label::{isolated, label_width};
use crate::model::length::{Length, Size, Units};
use crate::record::Record;

use super::printed_page::lettered;
use entries::Block;

/// Draws the guide of a record.
pub fn guide_pdf(record: &Record, label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    let mut document = lettered(&format!("{}: cut guide", record.name), label_font)?;
    let fonts = label_font.with_its_stand_ins();
    let em = |text: &str| label_width(&fonts, text);
    let mut blocks = front::blocks(record);
    let all = || record.sheets.iter().chain(&record.prints);
    let mut whole = Block::new("Whole sheets", "Whole sheets");
    for one in all().filter(|one| sheet::is_whole(record, one)) {
        whole.item(&sheet::whole(record, one));
    }
    if !whole.entries.is_empty() {
        let heading = entries::Entry::Heading("Whole sheets: nothing to cut".to_owned());
        whole.entries.insert(0, heading);
        blocks.push(whole);
    }
    for one in all().filter(|one| !sheet::is_whole(record, one)) {
        blocks.push(sheet::block(&document, record, one, &em));
        blocks.extend(gutting::blocks(&document, record, one));
    }
    blocks.extend(bags::block(record));
    let running = format!("{}: cut guide", isolated(&record.name));
    columns::write(&mut document, &running, blocks);
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

/// A size as the guide shows it.
pub(super) fn shown_size([width, height]: [f64; 2], units: Units) -> String {
    unbroken(&Size::inches(width, height).show(units))
}
