//! Gutting in the guide: each piece whose middle comes out by hand, drawn with the measures to mark.

use kurbo::{Affine, Point, Rect};

use crate::emit::drawing::from_rings;
use crate::model::Tool;
use crate::model::length::Units;
use crate::record::{Offcut, Piece, Record, Sheet};

use super::columns::COLUMN;
use super::entries::{Block, Drawing, Entry};
use super::steps::numbered;
use super::{shown, shown_size};
use crate::draw::Anchor;
use crate::draw::display_list::{Item, Paint, Shape};
use crate::draw::pdf::Document;
use crate::emit::printed_page::{BLACK, BOLD, GREY, PLAIN, POINT, WHITE, line, words};
use crate::lettering::label::isolated;

/// The drawing's largest sides in inches.
const DRAWING: [f64; 2] = [COLUMN - 0.1, 2.3];
/// Type size of the measures in points, and the room a number needs in inches.
const MEASURE: f64 = 12.0;
const MEASURE_HEIGHT: f64 = 0.17;
/// Dashes of a window's edge in inches.
const DASHES: [f64; 2] = [5.0 * POINT, 3.0 * POINT];

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
pub(super) fn blocks<'a>(
    document: &Document,
    record: &'a Record,
    sheet: &'a Sheet,
) -> Vec<Block<'a>> {
    let by_hand = gutted_on(record, sheet).filter(|piece| piece.tool != Tool::Machine);
    let by_hand = by_hand.filter(|piece| !piece.gutted.is_empty());
    by_hand.map(|piece| block(document, record, piece)).collect()
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
    match record.sheets.iter().find(|sheet| sheet.from.as_deref() == Some(middle.id.as_str())) {
        Some(sheet) => format!("it is sheet {}.", isolated(&sheet.id)),
        None => "keep it for other work.".to_owned(),
    }
}

fn block<'a>(document: &Document, record: &Record, piece: &'a Piece) -> Block<'a> {
    let units = record.shown_units();
    let about = format!("{}, {}", isolated(&piece.paper), shown_size(piece.size, units));
    let name = format!("Gut {}", numbered(record, &piece.id));
    let mut block = Block::new(&format!("Gut {}: {about}", piece.id), &name);
    block.add(Entry::Title { title: name, about });
    let sides = piece.size.map(|side| if side > 0.0 && side.is_finite() { side } else { 1.0 });
    let scale = (DRAWING[0] / sides[0]).min(DRAWING[1] / sides[1]);
    let (size, items) = (sides.map(|side| side * scale), drawing(document, piece, scale, units));
    block.add(Entry::Drawing(Drawing { size, items }));
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
fn drawing<'a>(document: &Document, piece: &Piece, scale: f64, units: Units) -> Vec<Item<'a>> {
    let mut items: Vec<Item<'a>> = Vec::new();
    let lay = Affine::scale(scale);
    if let Some(path) = from_rings(&piece.outline) {
        let piece = Shape::path(lay * path).filled(Paint::Ink("#e6e6e6", 1.0));
        items.push(piece.stroked(line(BLACK, 1.0)).into());
    }
    for middle in &piece.gutted {
        let window = Rect::from(middle.area());
        let window = lay.transform_rect_bbox(window);
        // Its pieces lie on another page, so the window is plain paper.
        let shown_window = Shape::rectangle(window).filled(Paint::Ink(WHITE, 1.0));
        items.push(shown_window.stroked(line(BLACK, 1.2).dashed(&DASHES)).into());
        let Rect { x0: x, y0: y, .. } = window;
        let (across, down) = (y + window.height() * 0.75, x + window.width() * 0.75);
        let measures = [[(0.0, across), (x, across)], [(down, 0.0), (down, y)]];
        let measures = measures.map(|ends| ends.map(Point::from));
        items.push(Shape::lines(measures, line(GREY, 0.8)).into());
        let measure = |bold: bool, at: [f64; 2], anchor: Anchor, told: &str| -> Item<'a> {
            words(bold, MEASURE, at, told).anchored(anchor).into()
        };
        // Each measure stands on its line if it fits there, else where the line ends, within the window.
        let (left, above) = (shown(middle.at[0], units), shown(middle.at[1], units));
        let wide = document.width(PLAIN, MEASURE, &left);
        let at = if x > wide + 0.1 { x / 2.0 } else { x + wide / 2.0 + 0.06 };
        items.push(measure(PLAIN, [at, across - 0.04], Anchor::Middle, &left));
        let high = if y > MEASURE_HEIGHT + 0.1 { -0.08 } else { MEASURE_HEIGHT + 0.02 };
        items.push(measure(PLAIN, [down - 0.05, y + high], Anchor::End, &above));
        let size = shown_size(middle.size, units);
        let room = [window.width() - 0.1, window.height() / 2.0];
        if document.width(BOLD, MEASURE, &size) <= room[0] && MEASURE_HEIGHT <= room[1] {
            let Point { x, y } = window.center();
            items.push(measure(BOLD, [x, y], Anchor::Middle, &size));
        }
    }
    items
}
