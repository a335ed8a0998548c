//! A sheet's page: its drawing to scale, then its cuts one by one.

use crate::length::Units;
use crate::record::{Cut, Falls, Record, Sheet};

use super::super::parts;
use super::super::pdf::{Canvas, Document};
use super::flow::{CutTold, Flow, PAGE, RIM};
use super::{gutting, machine_step, message, sheet_drawing, shown, shown_size};

/// The drawing's least and largest height on its page, in inches: between these, the list below it has
/// what it needs.
const DRAWING_HEIGHTS: [f64; 2] = [3.0, 5.4];
/// Its height where the list runs over several pages anyway.
const DRAWING_HEIGHT: f64 = 4.6;
/// Where the drawing begins.
const TOP: f64 = RIM + 0.55;
/// Width of the picture of the mat beside the drawing, and the gap between them, in inches.
const MAT: f64 = 2.2;
const MAT_GAP: f64 = 0.25;

/// Adds the pages of one sheet.
pub(super) fn pages(document: &mut Document, record: &Record, sheet: &Sheet) {
    let units = record.shown_units();
    let mut flow = Flow::new(&sheet.id, &about(record, sheet, units));
    let to_machine = machine_step::is_due(sheet);
    if sheet.printed > 0 {
        let prints = record.prints.iter().any(|prints| prints.id == sheet.id);
        let file = if prints { "print/photos.pdf" } else { "print/strips.pdf" };
        flow.item(&format!(
            "Print page {} of {file} at 100 %, no scaling; let it dry, then cut.",
            sheet.printed
        ));
        if !sheet.cuts.is_empty() {
            flow.item(
                "A printer may shift the page by a hair: where the fence and a crop mark disagree, cut \
                 at the mark.",
            );
        }
    }
    if sheet.in_register > 0 {
        flow.item(&format!(
            "Print page {} of print/in-register.pdf on it at 100 %, no scaling; let it dry. Do not trim it \
             before the machine has cut it: the marks must stay.",
            sheet.in_register
        ));
    }
    if sheet.cuts.is_empty() && !to_machine {
        let pile = sheet.placed.first().map(|placed| where_to(record, &placed.piece));
        let pile = pile.unwrap_or_else(|| "done".to_owned());
        flow.item(&format!("Nothing to trim: the whole sheet is the piece; {pile}."));
    }
    machine_between(&mut flow, record, sheet, 0);
    let mut last = None;
    for (place, cut) in sheet.cuts.iter().enumerate() {
        if place == 0 || machine_step::comes_after(sheet, place) {
            flow.heading("Trimmer cuts in order");
        }
        flow.cut(told(record, sheet, cut, last, units));
        last = Some(cut.fence);
        machine_between(&mut flow, record, sheet, place + 1);
    }
    for note in gutting::notes(record, sheet) {
        flow.item(&message(&note));
    }
    for note in notes(record, sheet) {
        flow.item(&message(&note));
    }
    let named = |id: &str| sheet.cuts.iter().any(|cut| cut.keeps.id == id || cut.drops.id == id);
    for offcut in sheet.offcuts.iter().filter(|offcut| !named(&offcut.id)) {
        let size = shown_size(offcut.size, units);
        flow.item(&format!("{} ({size}): keep as {}.", short(sheet, &offcut.id), offcut.id));
    }
    let [least, most] = DRAWING_HEIGHTS;
    let free = PAGE[1] - RIM - TOP - 0.2 - flow.height();
    let height = if free < least { DRAWING_HEIGHT } else { free.min(most) };
    let beside = if to_machine { MAT + MAT_GAP } else { 0.0 };
    let room = [PAGE[0] - 2.0 * RIM - beside, height];
    let scale = (room[0] / sheet.size[0]).min(room[1] / sheet.size[1]);
    let mat = if to_machine { machine_step::height(record, sheet, MAT) } else { 0.0 };
    let bottom = TOP + (sheet.size[1] * scale).max(mat) + 0.15;
    let left = RIM + (room[0] - sheet.size[0] * scale) / 2.0;
    let draw = |canvas: &mut Canvas<'_>| {
        sheet_drawing::draw(canvas, sheet, [left, TOP, scale], units);
        if to_machine {
            machine_step::draw(canvas, record, sheet, [PAGE[0] - RIM - MAT, TOP], MAT);
        }
    };
    flow.write_below(document, Some((bottom, draw)));
}

/// The machine's step, if it comes after so many cuts.
fn machine_between(flow: &mut Flow, record: &Record, sheet: &Sheet, cuts: usize) {
    if machine_step::comes_after(sheet, cuts) {
        flow.heading(&machine_step::heading(sheet));
        for sentence in machine_step::sentences(record, sheet) {
            flow.item(&sentence);
        }
    }
}

fn about(record: &Record, sheet: &Sheet, units: Units) -> String {
    let size = shown_size(sheet.size, units);
    let from = match (sheet.from.as_str(), record.gutted_for(sheet)) {
        ("new", _) => String::new(),
        (from, Some(_)) => format!("{from}, "),
        (whole, None) if record.part_of(sheet).is_some() => format!("cut from {whole}, "),
        (from, None) => format!("offcut {from}, "),
    };
    format!("{}, {from}{size}", sheet.paper)
}

/// What a person needs to know about the pieces beyond where to cut.
fn notes(record: &Record, sheet: &Sheet) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for placed in &sheet.placed {
        let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
        let told = piece.into_iter().flat_map(|piece| &piece.notes);
        notes.extend(told.map(|note| format!("{}: {note}.", placed.piece)));
    }
    notes
}

/// A cut in words.
fn told(record: &Record, sheet: &Sheet, cut: &Cut, last: Option<f64>, units: Units) -> CutTold {
    let down = (cut.from[0] - cut.to[0]).abs() < 1e-9;
    let way = if down { "cut from top to bottom" } else { "cut from left to right" };
    let stays = if last == Some(cut.fence) { "the fence stays; " } else { "" };
    CutTold {
        number: cut.number,
        fence: format!("Fence {}", shown(cut.fence, units)),
        way: format!("{stays}{way}"),
        parts: [
            format!("At the fence: {}.", becomes(record, sheet, &cut.keeps, units)),
            format!("Falls off: {}.", becomes(record, sheet, &cut.drops, units)),
        ],
    }
}

/// What a part is and where it goes.
fn becomes(record: &Record, sheet: &Sheet, falls: &Falls, units: Units) -> String {
    let size = shown_size(falls.area.size, units);
    match falls.what.as_str() {
        "piece" => format!("{} ({size}), {}", falls.id, where_to(record, &falls.id)),
        "offcut" => format!("{} ({size}), keep as {}", short(sheet, &falls.id), falls.id),
        "part" => format!("{} ({size})", parts::told(record, &falls.id)),
        "machine" => format!("the machine's part ({size}), put aside"),
        "spent" => format!("what the machine has left ({size})"),
        "scrap" => format!("scrap ({size})"),
        _ => match sheet.cuts.iter().find(|cut| cut.in_hand == falls.area) {
            Some(next) => format!("a part ({size}) for cut\u{a0}{}", next.number),
            None => format!("a part to cut on ({size})"),
        },
    }
}

/// An offcut as the drawing calls it.
pub(super) fn short(sheet: &Sheet, id: &str) -> String {
    let number = sheet.offcuts.iter().position(|offcut| offcut.id == id);
    format!("offcut {}", number.map_or(1, |number| number + 1))
}

/// The pile that a finished piece or photo goes to.
fn where_to(record: &Record, id: &str) -> String {
    let piece = record.pieces.iter().find(|piece| piece.id == id);
    let photo = record.photos.iter().find(|photo| photo.id == id);
    let page = piece.map(|piece| &piece.page).or_else(|| photo.map(|photo| &photo.page));
    match (piece.is_some_and(|piece| !piece.gutted.is_empty()), page) {
        (true, _) => "gut it next".to_owned(),
        (false, Some(page)) if record.pages.len() > 1 => format!("done: {page} page"),
        (false, _) => "done".to_owned(),
    }
}
