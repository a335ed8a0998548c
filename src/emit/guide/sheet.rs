//! A sheet's page: its drawing to scale, then its cuts one by one.

use crate::length::Units;
use crate::record::{Cut, Falls, Record, Sheet};

use super::super::pdf::{Canvas, Document};
use super::super::{parts, work};
use super::flow::{CutTold, Flow, PAGE, RIM};
use super::{gutting, message, sheet_drawing, shown, shown_size};

/// The drawing's least and largest height on its page, in inches: between these, the list below it has
/// what it needs.
const DRAWING_HEIGHTS: [f64; 2] = [3.0, 5.4];
/// Its height where the list runs over several pages anyway.
const DRAWING_HEIGHT: f64 = 4.6;
/// Where the drawing begins.
const TOP: f64 = RIM + 0.55;

/// Adds the pages of one sheet.
pub(super) fn pages(document: &mut Document, record: &Record, sheet: &Sheet) {
    let units = record.shown_units();
    let mut flow = Flow::new(&sheet.id, &about(record, sheet, units));
    let to_machine = sheet.placed.iter().any(|placed| placed.tool == "machine");
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
    if !sheet.cuts.is_empty() {
        flow.heading("Trimmer cuts in order");
        let mut last = None;
        for cut in &sheet.cuts {
            flow.cut(told(record, sheet, cut, last, units));
            last = Some(cut.fence);
        }
    } else if !to_machine {
        let pile = sheet.placed.first().map(|placed| where_to(record, &placed.piece));
        let pile = pile.unwrap_or_else(|| "done".to_owned());
        flow.item(&format!("Nothing to trim: the whole sheet is the piece; {pile}."));
    }
    if to_machine {
        flow.heading("Then the machine");
        let area = sheet.machine.map_or(sheet.size, |area| area.size);
        flow.item(&format!(
            "Load the machine's part ({}) and cut cut/{}.svg at its real size. Blade, pressure and speed: see \
             the machine's own manual.",
            shown_size(area, units),
            sheet.id
        ));
        if sheet.in_register > 0 {
            flow.item("Line the machine up on the printed marks; its manual tells how.");
        }
        if let Some(work) = work::told(record, sheet) {
            flow.item(&format!("Its way: {work}."));
        }
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
    let room = [PAGE[0] - 2.0 * RIM, height];
    let scale = (room[0] / sheet.size[0]).min(room[1] / sheet.size[1]);
    let bottom = TOP + sheet.size[1] * scale + 0.15;
    let draw = |canvas: &mut Canvas<'_>| sheet_drawing::draw(canvas, sheet, [TOP, scale], units);
    flow.write_below(document, Some((bottom, draw)));
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
