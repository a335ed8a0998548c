//! A sheet of the guide to scale: its pieces, offcuts and numbered cuts, in black and white.

use kurbo::{Affine, Rect, Shape};

use crate::length::Units;
use crate::record::{Cut, Placed, Sheet};

use super::super::drawing::from_rings;
use super::super::pdf::{Anchor, Canvas, Ink};
use super::flow::{GREY, disc, fitted};
use super::machine_step;
use super::sheet::short;
use super::shown_size;
use crate::emit::printed_page::{BLACK, PLAIN};

/// Shade of pieces: told apart from bare paper on any printer.
const PIECE: Ink = [0.88, 0.88, 0.88];
/// Type sizes of names in points, largest first: the first that fits.
const NAMES: [f64; 3] = [12.0, 10.0, 8.0];
/// Radius of a cut's number in inches, and its type size in points.
const DISC: [f64; 2] = [0.115, 9.5];
/// Where along a cut its number may stand, best first.
const DISC_PLACES: [f64; 11] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.1, 0.9, 0.27, 0.73];

/// Draws a sheet; the drawing's left and top on its page and its scale are given.
pub(super) fn draw(
    canvas: &mut Canvas<'_>,
    sheet: &Sheet,
    [left, top, scale]: [f64; 3],
    units: Units,
) {
    let lay = Affine::translate((left, top)) * Affine::scale(scale);
    let rect = |at: [f64; 2], size: [f64; 2]| {
        lay.transform_rect_bbox(Rect::new(at[0], at[1], at[0] + size[0], at[1] + size[1]))
    };
    for placed in &sheet.placed {
        let Some(path) = from_rings(&placed.rings) else { continue };
        canvas.fill(PIECE);
        canvas.pen(BLACK, 0.6);
        canvas.path(&(lay * path), true, true);
    }
    canvas.pen(BLACK, 0.6);
    for part in &sheet.parts {
        outline(canvas, rect(part.at, part.size));
    }
    canvas.pen(GREY, 0.8);
    canvas.dashes(&[3.0, 2.5]);
    for offcut in &sheet.offcuts {
        outline(canvas, rect(offcut.at, offcut.size));
    }
    if let Some(machine) = sheet.machine {
        canvas.dashes(&[7.0, 2.0, 1.5, 2.0]);
        outline(canvas, rect(machine.at, machine.size));
    }
    canvas.dashes(&[]);
    canvas.pen(BLACK, 1.2);
    outline(canvas, rect([0.0; 2], sheet.size));
    machine_step::corner(canvas, sheet, lay);
    let mut taken: Vec<Rect> = Vec::new();
    for placed in &sheet.placed {
        taken.extend(name(canvas, placed, lay));
    }
    for part in &sheet.parts {
        let lines = [part.id.clone(), shown_size(part.size, units)];
        taken.extend(told(canvas, &lines, rect(part.at, part.size), BLACK));
    }
    for offcut in &sheet.offcuts {
        let lines = [short(sheet, &offcut.id), shown_size(offcut.size, units)];
        taken.extend(told(canvas, &lines, rect(offcut.at, offcut.size), GREY));
    }
    canvas.pen(BLACK, 1.8);
    for cut in &sheet.cuts {
        let [from, to] = ends(cut, lay);
        canvas.line(from, to);
    }
    for cut in &sheet.cuts {
        number(canvas, cut, lay, &mut taken);
    }
}

fn outline(canvas: &mut Canvas<'_>, rect: Rect) {
    canvas.rectangle([rect.x0, rect.y0], [rect.width(), rect.height()]);
}

fn ends(cut: &Cut, lay: Affine) -> [[f64; 2]; 2] {
    [cut.from, cut.to].map(|[x, y]| {
        let point = lay * kurbo::Point::new(x, y);
        [point.x, point.y]
    })
}

/// A cut's number on its line, where it covers no name and no other number.
fn number(canvas: &mut Canvas<'_>, cut: &Cut, lay: Affine, taken: &mut Vec<Rect>) {
    let [from, to] = ends(cut, lay);
    let [radius, size] = DISC;
    let radius = if cut.number > 9 { radius * 1.2 } else { radius };
    let round = |share: f64| {
        let at = [0, 1].map(|axis| from[axis] + (to[axis] - from[axis]) * share);
        Rect::from_center_size((at[0], at[1]), (2.0 * radius, 2.0 * radius))
    };
    let covered = |place: &Rect| -> f64 {
        taken.iter().map(|other| place.intersect(*other)).map(|common| common.area()).sum()
    };
    let places = DISC_PLACES.map(round);
    let best = places.iter().min_by(|one, other| covered(one).total_cmp(&covered(other)));
    let Some(place) = best.copied() else { return };
    taken.push(place);
    disc(canvas, cut.number, [place.center().x, place.center().y], radius, size);
}

/// A piece's name in its middle, as large as it fits; returns where it stands.
fn name(canvas: &mut Canvas<'_>, placed: &Placed, lay: Affine) -> Option<Rect> {
    let path = lay * from_rings(&placed.rings)?;
    let bounds = path.bounding_box();
    let last = placed.piece.rsplit('.').next().unwrap_or(&placed.piece);
    let fits = |canvas: &Canvas<'_>, text: &str, size: f64| {
        canvas.width(PLAIN, size, text) < bounds.width() - 0.08
            && size / 72.0 < bounds.height() - 0.04
    };
    let tries = NAMES.iter().flat_map(|&size| [(placed.piece.as_str(), size), (last, size)]);
    let (text, size) = tries
        .into_iter()
        .find(|(text, size)| fits(canvas, text, *size))
        .map(|(text, size)| (text.to_owned(), size))
        .or_else(|| {
            let size = NAMES[2];
            let cut = fitted(canvas, PLAIN, size, last, bounds.width() - 0.04);
            (cut.chars().count() > 2 && size / 72.0 < bounds.height()).then_some((cut, size))
        })?;
    // Where the middle is cut out, the name stands on the paper below or above it.
    let on_paper = |share: &&f64| {
        let y = bounds.y0 + bounds.height() * **share;
        path.winding((bounds.center().x, y).into()) % 2 != 0
    };
    let share = [0.5, 0.86, 0.14].iter().find(on_paper).copied().unwrap_or(0.5);
    let down = bounds.height() * (share - 0.5);
    Some(words(canvas, &[text], size, bounds + kurbo::Vec2::new(0.0, down), BLACK))
}

/// The name and size of an offcut or a part in its middle; returns where they stand.
fn told(canvas: &mut Canvas<'_>, lines: &[String; 2], bounds: Rect, ink: Ink) -> Option<Rect> {
    let fits = |count: usize, size: f64| {
        let wide = lines[..count].iter().map(|line| canvas.width(PLAIN, size, line));
        let high = size * 1.25 / 72.0 * if count == 2 { 2.0 } else { 1.0 };
        wide.fold(0.0, f64::max) < bounds.width() - 0.08 && high < bounds.height() - 0.04
    };
    let tries = NAMES.iter().flat_map(|&size| [(2, size), (1, size)]);
    let (count, size) = tries.into_iter().find(|(count, size)| fits(*count, *size))?;
    Some(words(canvas, &lines[..count], size, bounds, ink))
}

/// Lines of text in the middle of a rectangle; returns the room they take.
fn words(canvas: &mut Canvas<'_>, lines: &[String], size: f64, bounds: Rect, ink: Ink) -> Rect {
    let step = size * 1.25 / 72.0;
    let count = f64::from(u32::try_from(lines.len()).unwrap_or(1));
    let center = bounds.center();
    let mut baseline = center.y - step * (count - 1.0) / 2.0 + size * 0.36 / 72.0;
    let mut wide: f64 = 0.0;
    canvas.fill(ink);
    for line in lines {
        wide = wide.max(canvas.width(PLAIN, size, line));
        canvas.text(PLAIN, size, [center.x, baseline], Anchor::Middle, line);
        baseline += step;
    }
    Rect::from_center_size(center, (wide, step * count))
}
