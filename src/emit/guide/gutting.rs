//! Gutting in the guide: each piece whose middle comes out by hand, drawn with the measures to mark.

use crate::emit::drawing::from_rings;
use crate::model::Tool;
use crate::model::length::Units;
use crate::record::{Offcut, Piece, Record, Sheet};

use super::columns::COLUMN;
use super::entries::{Block, Drawing, Entry};
use super::flow::GREY;
use super::steps::numbered;
use super::{shown, shown_size};
use crate::draw::Anchor;
use crate::draw::pdf::Canvas;
use crate::emit::printed_page::{BLACK, BOLD, PLAIN};
use crate::lettering::label::isolated;

/// The drawing's largest sides in inches.
const DRAWING: [f64; 2] = [COLUMN - 0.1, 2.3];
/// Type size of the measures in points, and the room a number needs in inches.
const MEASURE: f64 = 12.0;
const MEASURE_HEIGHT: f64 = 0.17;

/// What comes before and after gutting, told in the block of a sheet.
pub(super) fn notes(record: &Record, sheet: &Sheet) -> Vec<String> {
    let mut notes = Vec::new();
    for piece in gutted_on(record, sheet) {
        for middle in &piece.gutted {
            let how = if piece.tool == Tool::Machine { "the machine cuts" } else { "next, cut" };
            let then = use_of(record, middle);
            let name = numbered(record, &piece.id);
            notes.push(format!("Gutting {name}: {how} its hidden middle out; {then}"));
        }
        for opening in &piece.opened {
            let held: Vec<String> = opening.holds.iter().map(|id| numbered(record, id)).collect();
            notes.push(format!(
                "Gutting {}: the machine cuts its hidden middle out, and {} from that.",
                numbered(record, &piece.id),
                held.join(", ")
            ));
        }
    }
    notes
}

/// A block for each piece on a sheet whose middle is cut out by hand.
pub(super) fn blocks<'a>(record: &'a Record, sheet: &'a Sheet) -> Vec<Block<'a>> {
    let by_hand = gutted_on(record, sheet).filter(|piece| piece.tool != Tool::Machine);
    by_hand.filter(|piece| !piece.gutted.is_empty()).map(|piece| block(record, piece)).collect()
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
    match record.sheets.iter().find(|sheet| sheet.from.as_ref() == Some(&middle.id)) {
        Some(sheet) => format!("it is sheet {}.", isolated(&sheet.id)),
        None => "keep it for other work.".to_owned(),
    }
}

fn block<'a>(record: &'a Record, piece: &'a Piece) -> Block<'a> {
    let units = record.shown_units();
    let about = format!("{}, {}", isolated(&piece.paper), shown_size(piece.size, units));
    let name = format!("Gut {}", numbered(record, &piece.id));
    let mut block = Block::new(&format!("Gut {}: {about}", piece.id), &name);
    block.add(Entry::Title { title: name, about });
    let sides = piece.size.map(|side| if side > 0.0 && side.is_finite() { side } else { 1.0 });
    let scale = (DRAWING[0] / sides[0]).min(DRAWING[1] / sides[1]);
    let draw = move |canvas: &mut Canvas<'_>, at: [f64; 2]| draw(canvas, piece, (at, scale), units);
    block.add(Entry::Drawing(Drawing {
        size: sides.map(|side| side * scale),
        draw: Box::new(draw),
    }));
    block.heading("Cut the hidden middle out by hand");
    for middle in &piece.gutted {
        block.item(&format!(
            "Cut out {}, {} from the left, {} from the top; {}",
            shown_size(middle.size, units),
            shown(middle.at[0], units),
            shown(middle.at[1], units),
            use_of(record, middle)
        ));
    }
    block.item(
        "Mark the four corners with a pencil. Cut from corner to corner with a craft knife along a \
         metal ruler, and stop at the corners: the frame must stay whole.",
    );
    block.item("Cut away from your body, fingers behind the ruler; cap the blade when it rests.");
    block.item(&format!(
        "What lies on it hides the window: {} of paper stays under its edge for the glue.",
        shown(record.rules.glue, units)
    ));
    block
}

/// The piece to scale with its windows and their measures.
fn draw(
    canvas: &mut Canvas<'_>,
    piece: &Piece,
    ([left, top], scale): ([f64; 2], f64),
    units: Units,
) {
    let place = |[x, y]: [f64; 2]| [left + x * scale, top + y * scale];
    if let Some(path) = from_rings(&piece.outline) {
        let lay = kurbo::Affine::translate((left, top)) * kurbo::Affine::scale(scale);
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
        canvas.pen(GREY, 0.8);
        let (across, down) = (y + height * 0.75, x + width * 0.75);
        canvas.line(place([0.0, across]), place([x, across]));
        canvas.line(place([down, 0.0]), place([down, y]));
        canvas.fill(BLACK);
        // Each measure stands on its line if it fits there, else where the line ends, within the window.
        let (left, above) = (shown(x, units), shown(y, units));
        let wide = canvas.width(PLAIN, MEASURE, &left);
        let at = match x * scale > wide + 0.1 {
            true => [x / 2.0, across],
            false => [x + (wide / 2.0 + 0.06) / scale, across],
        };
        let [px, py] = place(at);
        canvas.text(PLAIN, MEASURE, [px, py - 0.04], Anchor::Middle, &left);
        let [px, py] = place([down, y]);
        let high = if y * scale > MEASURE_HEIGHT + 0.1 { -0.08 } else { MEASURE_HEIGHT + 0.02 };
        canvas.text(PLAIN, MEASURE, [px - 0.05, py + high], Anchor::End, &above);
        let size = shown_size(middle.size, units);
        let room = [width * scale - 0.1, height * scale / 2.0];
        if canvas.width(BOLD, MEASURE, &size) <= room[0] && MEASURE_HEIGHT <= room[1] {
            let at = place([x + width / 2.0, y + height / 2.0]);
            canvas.text(BOLD, MEASURE, at, Anchor::Middle, &size);
        }
    }
}
