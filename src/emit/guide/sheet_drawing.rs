//! A sheet of the guide to scale, in black and white.

use crate::draw::display_list::{Item, Paint, Stroke};
use crate::emit::labels::Names;
use crate::emit::printed_page::{BLACK, GREY, POINT, WHITE, line};
use crate::emit::sheet_drawing::{Look, Words, drawn};
use crate::emit::sheet_layout::{Style, lay_out};
use crate::record::{Record, Sheet};

use super::columns::COLUMN;
use super::machine_step::TRIANGLE;

/// The shade of pieces, told apart from bare paper on any printer.
const PIECE: &str = "#e0e0e0";
/// Type sizes of names in inches: 12, 10 and 8 pt.
const NAMES: [f64; 3] = [12.0 / 72.0, 10.0 / 72.0, 8.0 / 72.0];
/// Radii of cut numbers in inches.
const DISCS: [f64; 2] = [0.115, 0.1];
/// A cut number's type size over its disc's radius.
const FIGURES: f64 = 1.13;
/// How far names and numbers may stand beyond the sheet, in inches.
const RIM: f64 = 0.14;
/// Longest side of a drawing in inches, by the most cuts that it is large enough for.
const SIDES: [(usize, f64); 5] =
    [(0, 1.88), (2, 2.1), (6, 2.35), (10, 2.75), (16, COLUMN - 2.0 * RIM)];
/// A sheet with more cuts than that is drawn over both columns, so large at most.
const WIDE: [f64; 2] = [6.9, 5.6];
/// No sheet is drawn larger than this share of its size.
const LARGEST: f64 = 0.5;

/// How a sheet is drawn.
#[derive(Clone, Copy)]
pub(super) struct Lay {
    scale: f64,
    /// Whether it takes the width of both columns.
    pub wide: bool,
}

/// The size of a sheet's drawing in inches, and how it is drawn.
pub(super) fn size(sheet: &Sheet) -> ([f64; 2], Lay) {
    let sides = sheet.size.map(|side| if side > 0.0 && side.is_finite() { side } else { 1.0 });
    let enough = SIDES.iter().find(|(cuts, _)| sheet.cuts.len() <= *cuts);
    let (room, wide) = match enough {
        Some(&(_, side)) => ([side.min(COLUMN - 2.0 * RIM), side], false),
        None => (WIDE, true),
    };
    let scale = (room[0] / sides[0]).min(room[1] / sides[1]).min(LARGEST);
    (sides.map(|side| side * scale + 2.0 * RIM), Lay { scale, wide })
}

/// A sheet; `em` measures names.
pub(super) fn drawing<'a>(
    record: &'a Record,
    sheet: &'a Sheet,
    lay: Lay,
    em: &dyn Fn(&str) -> f64,
) -> Vec<Item<'a>> {
    let names = Names { sizes: &NAMES, room: 0.03, rim: RIM, all: false };
    let style = Style { at: [RIM; 2], scale: lay.scale, names, discs: &DISCS };
    let laid = lay_out(record, sheet, &style, em);
    drawn(record, sheet, &laid, &style, &look())
}

/// How a sheet looks in the guide.
fn look() -> Look<'static> {
    const BUY: [f64; 2] = [9.0 * POINT, 5.0 * POINT];
    const KEEP: [f64; 2] = [3.0 * POINT, 2.5 * POINT];
    const MACHINE: [f64; 4] = [7.0 * POINT, 2.0 * POINT, 1.5 * POINT, 2.0 * POINT];
    let names = Words { ink: BLACK, ground: None };
    Look {
        drawn: None,
        veil: Paint::Ink(WHITE, 1.0),
        paper: Vec::new(),
        piece: vec![Paint::Ink(PIECE, 1.0)],
        part: Vec::new(),
        offcut: Vec::new(),
        edge: line(BLACK, 1.2),
        // White below, so that nothing beneath closes the gaps.
        edge_to_buy: [Stroke::new(WHITE, 2.6 * POINT), line(BLACK, 1.6).dashed(&BUY)],
        part_edge: line(BLACK, 0.6),
        offcut_edge: Stroke::new(GREY, 0.8 * POINT).dashed(&KEEP),
        piece_edges: [line(BLACK, 0.6); 3],
        lines: None,
        names,
        names_beside: names,
        part_names: names,
        offcut_names: Words { ink: GREY, ground: None },
        machine: Stroke::new(GREY, 0.8 * POINT).dashed(&MACHINE),
        corner: (TRIANGLE, BLACK),
        edge_over_machine: true,
        machine_words: None,
        cuts: vec![line(BLACK, 1.8)],
        leader: line(BLACK, 0.7),
        disc: (Paint::Ink(WHITE, 1.0), line(BLACK, 0.7)),
        figures: (BLACK, [FIGURES; 2]),
    }
}
