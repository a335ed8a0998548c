//! A sheet of the guide to scale: its pieces, offcuts and numbered cuts, in black and white.

use kurbo::{Affine, Point, Rect, Shape};

use crate::record::{Record, Sheet};

use super::super::printed_page::{BLACK, BOLD, PLAIN, WHITE};
use super::super::sheet_layout::label::{CAPITALS, DEPTH, Label};
use super::super::sheet_layout::{LaidCut, Style, lay_out};
use super::columns::COLUMN;
use super::flow::GREY;
use super::machine_step;
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Ink};

/// Shade of pieces: told apart from bare paper on any printer.
const PIECE: Ink = [0.88, 0.88, 0.88];
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

/// Draws a sheet with its top left at a place; `em` measures names.
pub(super) fn draw(
    canvas: &mut Canvas<'_>,
    record: &Record,
    sheet: &Sheet,
    (at, lay): ([f64; 2], Lay),
    em: &dyn Fn(&str) -> f64,
) {
    let style = Style {
        at: at.map(|edge| edge + RIM),
        scale: lay.scale,
        sizes: &NAMES,
        room: 0.03,
        discs: &DISCS,
        rim: RIM,
        all_names: false,
    };
    let laid = lay_out(record, sheet, &style, em);
    canvas.fill(PIECE);
    canvas.pen(BLACK, 0.6);
    for piece in &laid.pieces {
        canvas.path(&piece.outline, true, true);
    }
    for part in &laid.parts {
        outline(canvas, part.part);
    }
    canvas.pen(GREY, 0.8);
    canvas.dashes(&[3.0, 2.5]);
    for offcut in &laid.offcuts {
        outline(canvas, offcut.part);
    }
    if let Some(machine) = laid.machine {
        canvas.dashes(&[7.0, 2.0, 1.5, 2.0]);
        outline(canvas, machine);
    }
    canvas.dashes(&[]);
    edge(canvas, sheet, laid.whole);
    let [left, top] = style.at;
    machine_step::corner(canvas, sheet, Affine::translate((left, top)) * Affine::scale(lay.scale));
    canvas.pen(BLACK, 1.8);
    for cut in &laid.cuts {
        canvas.line([cut.from.x, cut.from.y], [cut.to.x, cut.to.y]);
    }
    let names = laid.pieces.iter().filter_map(|piece| Some((piece.label.as_ref()?, BLACK)));
    let kept = laid.offcuts.iter().filter_map(|offcut| Some((offcut.label.as_ref()?, GREY)));
    let parts = laid.parts.iter().filter_map(|part| Some((part.label.as_ref()?, BLACK)));
    for (label, ink) in names.chain(parts).chain(kept) {
        write(canvas, label, ink);
    }
    for cut in &laid.cuts {
        number(canvas, cut);
    }
}

/// The edge of a sheet: dashed if it has to be bought, on white, so that nothing beneath closes the gaps.
fn edge(canvas: &mut Canvas<'_>, sheet: &Sheet, whole: Rect) {
    if sheet.to_buy {
        canvas.pen(WHITE, 2.6);
        outline(canvas, whole);
        canvas.dashes(&[9.0, 5.0]);
        canvas.pen(BLACK, 1.6);
        outline(canvas, whole);
        canvas.dashes(&[]);
    } else {
        canvas.pen(BLACK, 1.2);
        outline(canvas, whole);
    }
}

fn outline(canvas: &mut Canvas<'_>, rect: Rect) {
    canvas.rectangle([rect.x0, rect.y0], [rect.width(), rect.height()]);
}

/// A name; one that runs up the page is turned.
fn write(canvas: &mut Canvas<'_>, label: &Label, ink: Ink) {
    let Point { x, y } = label.center;
    let down = label.size * (CAPITALS - DEPTH) / 2.0;
    let write = |canvas: &mut Canvas<'_>| {
        canvas.fill(ink);
        canvas.text(PLAIN, label.size * 72.0, [x, y + down], Anchor::Middle, &label.text);
    };
    if label.upright {
        write(canvas);
    } else {
        let turn = Affine::rotate_about(-std::f64::consts::FRAC_PI_2, label.center);
        canvas.laid(turn, write);
    }
}

/// A cut's number in a white disc, with a line to its cut where it stands beside it.
fn number(canvas: &mut Canvas<'_>, cut: &LaidCut) {
    canvas.pen(BLACK, 0.7);
    if let Some(point) = cut.points_to {
        canvas.line([point.x, point.y], [cut.disc.x, cut.disc.y]);
    }
    canvas.fill(WHITE);
    let disc = kurbo::Circle::new(cut.disc, cut.radius).to_path(1e-3);
    canvas.path(&disc, true, true);
    canvas.fill(BLACK);
    let number = cut.number.to_string();
    let size = cut.radius * FIGURES;
    let at = [cut.disc.x, cut.disc.y + size * 0.36];
    canvas.text(BOLD, size * 72.0, at, Anchor::Middle, &number);
}
