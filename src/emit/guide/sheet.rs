//! A sheet's page: its drawing to scale, then its cuts one by one.

use kurbo::Affine;

use crate::length::Units;
use crate::record::{Cut, Falls, Placed, Record, Sheet};

use super::super::drawing::from_rings;
use super::super::pdf::{Anchor, Canvas, Document, Ink};
use super::super::work;
use super::flow::{BLACK, BOLD, Flow, GREY, PAGE, PLAIN, RIM, fitted};
use super::{gutting, shown, shown_size};

/// The drawing's largest height on its page, in inches: the list below needs the rest.
const DRAWING_HEIGHT: f64 = 5.0;
/// Where the drawing begins.
const TOP: f64 = RIM + 0.75;
/// Shades of pieces and of offcuts: told apart on any printer.
const PIECE: Ink = [0.9, 0.9, 0.9];
const OFFCUT: Ink = [1.0, 1.0, 1.0];

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
    }
    if !sheet.cuts.is_empty() {
        flow.heading("Trimmer cuts in order");
        let mut last = None;
        for cut in &sheet.cuts {
            flow.item(&told(sheet, cut, last, units));
            last = Some(cut.fence);
        }
    } else if !to_machine {
        flow.item("Nothing to trim: the whole sheet is the piece.");
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
        if let Some(work) = work::told(record, sheet) {
            flow.item(&format!("Its way: {work}."));
        }
    }
    for note in gutting::notes(record, sheet) {
        flow.item(&note);
    }
    for note in notes(record, sheet) {
        flow.item(&note);
    }
    for offcut in &sheet.offcuts {
        flow.item(&format!("Keep {}: {}.", offcut.id, shown_size(offcut.size, units)));
    }
    let room = [PAGE[0] - 2.0 * RIM, DRAWING_HEIGHT];
    let scale = (room[0] / sheet.size[0]).min(room[1] / sheet.size[1]);
    let bottom = TOP + sheet.size[1] * scale + 0.2;
    flow.write_below(
        document,
        Some((bottom, |canvas: &mut Canvas<'_>| draw(canvas, sheet, scale))),
    );
}

fn about(record: &Record, sheet: &Sheet, units: Units) -> String {
    let size = shown_size(sheet.size, units);
    let from = match (sheet.from.as_str(), record.gutted_for(sheet)) {
        ("new", _) => String::new(),
        (from, Some(_)) => format!("{from}, "),
        (from, None) => format!("offcut {from}, "),
    };
    format!("{}, {from}{size}, {:.0} % used", sheet.paper, sheet.used * 100.0)
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
fn told(sheet: &Sheet, cut: &Cut, last: Option<f64>, units: Units) -> String {
    let fence = if last == Some(cut.fence) {
        format!("fence stays at {}", shown(cut.fence, units))
    } else {
        format!("fence {}", shown(cut.fence, units))
    };
    let across = if (cut.from[0] - cut.to[0]).abs() < 1e-9 { "down" } else { "across" };
    format!(
        "{}. Cut {across}, {fence}: {} at the fence, {} falls off.",
        cut.number,
        becomes(sheet, &cut.keeps, units),
        becomes(sheet, &cut.drops, units)
    )
}

fn becomes(sheet: &Sheet, falls: &Falls, units: Units) -> String {
    let size = shown_size(falls.area.size, units);
    match falls.what.as_str() {
        "piece" => format!("{} ({size})", falls.id),
        "offcut" => {
            let number = sheet.offcuts.iter().position(|offcut| offcut.id == falls.id);
            format!("offcut {} ({size})", number.map_or(1, |number| number + 1))
        }
        "machine" => format!("the machine's part ({size})"),
        "scrap" => format!("scrap ({size})"),
        _ => format!("a part to cut on ({size})"),
    }
}

/// The sheet to scale.
fn draw(canvas: &mut Canvas<'_>, sheet: &Sheet, scale: f64) {
    let left = (PAGE[0] - sheet.size[0] * scale) / 2.0;
    let place = |[x, y]: [f64; 2]| [left + x * scale, TOP + y * scale];
    let scaled = |size: [f64; 2]| size.map(|side| side * scale);
    canvas.fill(OFFCUT);
    canvas.area(place([0.0, 0.0]), scaled(sheet.size));
    for placed in &sheet.placed {
        let Some(path) = from_rings(&placed.rings) else { continue };
        let moved = Affine::translate((left, TOP)) * Affine::scale(scale) * path;
        canvas.fill(PIECE);
        canvas.pen(BLACK, 0.6);
        canvas.path(&moved, true, true);
    }
    for placed in &sheet.placed {
        label(canvas, placed, &place, scale);
    }
    canvas.pen(GREY, 0.6);
    canvas.dashes(&[3.0, 2.0]);
    for offcut in &sheet.offcuts {
        canvas.rectangle(place(offcut.at), scaled(offcut.size));
        let [x, y] = place(offcut.at);
        let [width, height] = scaled(offcut.size);
        if height > 0.2 {
            let text = fitted(canvas, PLAIN, 8.0, "offcut", width - 0.06);
            canvas.fill(GREY);
            canvas.text(PLAIN, 8.0, [x + width / 2.0, y + height / 2.0], Anchor::Middle, &text);
        }
    }
    canvas.dashes(&[]);
    canvas.pen(BLACK, 1.2);
    canvas.rectangle(place([0.0, 0.0]), scaled(sheet.size));
    for cut in &sheet.cuts {
        number(canvas, cut, place(cut.from), place(cut.to));
    }
}

/// The cut's line and, at its start, its number in a white disc.
fn number(canvas: &mut Canvas<'_>, cut: &Cut, from: [f64; 2], to: [f64; 2]) {
    canvas.pen(BLACK, 1.1);
    canvas.line(from, to);
    // Numbers sit along the line so that those of neighbouring cuts do not cover each other.
    let share = 0.12 + 0.16 * f64::from(cut.number % 5);
    let at = [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share];
    let radius = if cut.number > 9 { 0.105 } else { 0.085 };
    canvas.fill([1.0, 1.0, 1.0]);
    canvas.pen(BLACK, 0.6);
    let disc = kurbo::Shape::to_path(&kurbo::Circle::new((at[0], at[1]), radius), 1e-3);
    canvas.path(&disc, true, true);
    canvas.fill(BLACK);
    canvas.text(BOLD, 7.5, [at[0], at[1] + 0.037], Anchor::Middle, &cut.number.to_string());
}

/// The piece's name in its middle, where it fits.
fn label(
    canvas: &mut Canvas<'_>,
    placed: &Placed,
    place: &impl Fn([f64; 2]) -> [f64; 2],
    scale: f64,
) {
    let Some(ring) = placed.rings.first() else { return };
    let side = |axis: usize| {
        let all = ring.iter().map(|point| point[axis]);
        (all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((x0, x1), (y0, y1)) = (side(0), side(1));
    let (width, height) = ((x1 - x0) * scale, (y1 - y0) * scale);
    let short = placed.piece.rsplit('.').next().unwrap_or(&placed.piece);
    let name = if canvas.width(PLAIN, 8.0, &placed.piece) < width - 0.1 {
        placed.piece.clone()
    } else {
        fitted(canvas, PLAIN, 8.0, short, width - 0.04)
    };
    if height < 0.2 || name.is_empty() {
        return;
    }
    canvas.fill(BLACK);
    let [x, y] = place([(x0 + x1) / 2.0, (y0 + y1) / 2.0]);
    canvas.text(PLAIN, 8.0, [x, y + 0.04], Anchor::Middle, &name);
}
