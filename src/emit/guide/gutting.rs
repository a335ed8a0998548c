//! Gutting in the guide: each piece whose middle comes out by hand, drawn with the measures to mark.

use crate::emit::drawing::from_rings;
use crate::length::Units;
use crate::record::{Offcut, Piece, Record, Sheet};

use super::super::pdf::{Anchor, Canvas, Document};
use super::flow::{Flow, GREY, PAGE, RIM};
use super::{shown, shown_size};
use crate::emit::printed_page::{BLACK, BOLD, PLAIN};

/// The drawing's largest sides on its page, in inches.
const DRAWING: [f64; 2] = [4.6, 4.6];
/// Where the drawing begins.
const TOP: f64 = RIM + 0.8;
/// Type size of the measures in points, and the room a number needs in inches.
const MEASURE: f64 = 12.0;
const MEASURE_HEIGHT: f64 = 0.17;

/// What comes before and after gutting, told on the page of a sheet.
pub(super) fn notes(record: &Record, sheet: &Sheet) -> Vec<String> {
    let mut notes = Vec::new();
    for piece in gutted_on(record, sheet) {
        for middle in &piece.gutted {
            let how = if piece.tool == "machine" { "the machine cuts" } else { "next, cut" };
            let then = use_of(record, middle);
            notes.push(format!("Gutting {}: {how} its hidden middle out; {then}", piece.id));
        }
        for opening in &piece.opened {
            let held = opening.holds.join(", ");
            notes.push(format!(
                "Gutting {}: the machine cuts its hidden middle out, and {held} from that.",
                piece.id
            ));
        }
    }
    notes
}

/// A page for each piece on a sheet whose middle is cut out by hand.
pub(super) fn pages(document: &mut Document, record: &Record, sheet: &Sheet) {
    for piece in gutted_on(record, sheet).filter(|piece| piece.tool != "machine") {
        page(document, record, piece);
    }
}

fn gutted_on<'a>(record: &'a Record, sheet: &'a Sheet) -> impl Iterator<Item = &'a Piece> {
    let pieces = sheet
        .placed
        .iter()
        .filter_map(|placed| record.pieces.iter().find(|piece| piece.id == placed.piece));
    pieces.filter(|piece| !piece.gutted.is_empty() || !piece.opened.is_empty())
}

/// What a middle is for.
fn use_of(record: &Record, middle: &Offcut) -> String {
    match record.sheets.iter().find(|sheet| sheet.from == middle.id) {
        Some(sheet) => format!("it is sheet {}.", sheet.id),
        None => "keep it for other work.".to_owned(),
    }
}

fn page(document: &mut Document, record: &Record, piece: &Piece) {
    let units = record.shown_units();
    let about = format!("{}, {}", piece.paper, shown_size(piece.size, units));
    let mut flow = Flow::new(&format!("Gut {}", piece.id), &about);
    flow.heading("Cut the hidden middle out by hand");
    for middle in &piece.gutted {
        flow.item(&format!(
            "Gut {}: cut out {}, {} from the left, {} from the top; {}",
            piece.id,
            shown_size(middle.size, units),
            shown(middle.at[0], units),
            shown(middle.at[1], units),
            use_of(record, middle)
        ));
    }
    flow.item(
        "Mark the four corners with a pencil. Cut from corner to corner with a craft knife along a \
         metal ruler, and stop at the corners: the frame must stay whole.",
    );
    flow.item("Cut away from your body, fingers behind the ruler; cap the blade when it rests.");
    flow.item(&format!(
        "What lies on it hides the window: {} of paper stays under its edge for the glue.",
        shown(record.rules.glue, units)
    ));
    let scale = (DRAWING[0] / piece.size[0]).min(DRAWING[1] / piece.size[1]);
    let bottom = TOP + piece.size[1] * scale + 0.3;
    let draw = |canvas: &mut Canvas<'_>| draw(canvas, piece, scale, units);
    flow.write_below(document, Some((bottom, draw)));
}

/// The piece to scale with its windows and their measures.
fn draw(canvas: &mut Canvas<'_>, piece: &Piece, scale: f64, units: Units) {
    let left = (PAGE[0] - piece.size[0] * scale) / 2.0;
    let place = |[x, y]: [f64; 2]| [left + x * scale, TOP + y * scale];
    if let Some(path) = from_rings(&piece.outline) {
        let lay = kurbo::Affine::translate((left, TOP)) * kurbo::Affine::scale(scale);
        canvas.fill([0.9, 0.9, 0.9]);
        canvas.pen(BLACK, 1.0);
        canvas.path(&(lay * path), true, true);
    }
    for middle in &piece.gutted {
        let [x, y] = middle.at;
        let [width, height] = middle.size;
        // Its pieces lie on another page, so the window is plain paper.
        canvas.fill([1.0, 1.0, 1.0]);
        canvas.area(place([x, y]), [width * scale, height * scale]);
        canvas.pen(BLACK, 1.2);
        canvas.dashes(&[5.0, 3.0]);
        canvas.rectangle(place([x, y]), [width * scale, height * scale]);
        canvas.dashes(&[]);
        canvas.fill(BLACK);
        let middle_at = place([x + width / 2.0, y + height / 2.0]);
        canvas.text(BOLD, MEASURE, middle_at, Anchor::Middle, &shown_size(middle.size, units));
        canvas.pen(GREY, 0.8);
        let (across, down) = (y + height / 3.0, x + width / 3.0);
        canvas.line(place([0.0, across]), place([x, across]));
        canvas.line(place([down, 0.0]), place([down, y]));
        canvas.fill(BLACK);
        let [px, py] = place([x, across]);
        canvas.text(PLAIN, MEASURE, [px + 0.06, py + 0.05], Anchor::Start, &shown(x, units));
        let [px, py] = place([down, y]);
        let at = [px, py + MEASURE_HEIGHT + 0.06];
        canvas.text(PLAIN, MEASURE, at, Anchor::Middle, &shown(y, units));
    }
}
