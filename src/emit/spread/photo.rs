//! What lies where a photo will be glued: its picture, or a print of the right size with a day on the
//! dunes.

use kurbo::{Affine, BezPath, Circle, Point, Rect};

use crate::draw::Anchor;
use crate::draw::display_list::{Item, Outline, Paint, Shape, Stroke, Text};
use crate::model::length::{Size, Units};
use crate::record::Photo;

/// Sky, sun, far dune and near dune; muted, so that the papers keep the stage.
const PALETTES: [[&str; 4]; 4] = [
    ["#bfd4d8", "#f4e6bd", "#dac7a2", "#c4aa80"],
    ["#dccbd2", "#f6dfb4", "#cfbb9f", "#b69d7c"],
    ["#c8d8c9", "#f2e8c6", "#d8cba7", "#bfae85"],
    ["#cdd5e3", "#f5e2be", "#d5c6ac", "#bca88b"],
];
/// Ink of the words on a stand-in.
const WORDS: &str = "#4a4034";
/// Largest and smallest type of a stand-in in inches; a photo too small for the latter has none.
const TYPE_SIZES: [f64; 2] = [0.26, 0.07];

/// The stand-in for `photo`, the `number`th, with its top left corner at the origin; `em` measures words.
pub(super) fn stand_in<'a>(
    photo: &Photo,
    number: usize,
    units: Units,
    em: &dyn Fn(&str) -> f64,
) -> Vec<Item<'a>> {
    let [width, height] = photo.size;
    let inset = photo.border.min(width.min(height) / 2.0).max(0.0);
    let field = Rect::new(inset, inset, width - inset, height - inset);
    let [sky, sun, far, near] = PALETTES[number % PALETTES.len()];
    let size = field.width().min(field.height());
    let disc = Circle::new(within(&field, 0.5 + 0.2 * lean(number), 0.27), size * 0.11);
    let paint = |outline: Outline, ink| Shape::new(outline).filled(Paint::Ink(ink, 1.0)).into();
    let far_dune = dune(&field, 0.62, 0.54, lean(number));
    let near_dune = dune(&field, 0.74, 0.86, -lean(number));
    let mut items = vec![
        paint(Outline::Rectangle(field, 0.0), sky),
        paint(Outline::Disc(disc), sun),
        paint(Outline::Path(far_dune), far),
        paint(Outline::Path(near_dune), near),
    ];
    items.extend(kite(&field, size, lean(number)));
    let shown = Size::inches(width, height).show(units);
    let looks = photo.looks.map_or_else(String::new, |way| format!(", looks {way}"));
    let lines = [(photo.name.as_str(), 1.0), (&format!("{shown}{looks}"), 0.72)];
    items.extend(words(&field, &lines, em));
    items
}

/// Every other stand-in is a mirror image, or nearly.
fn lean(number: usize) -> f64 {
    if number.is_multiple_of(2) { 1.0 } else { -1.0 }
}

fn within(field: &Rect, across: f64, down: f64) -> Point {
    Point::new(field.x0 + across * field.width(), field.y0 + down * field.height())
}

/// A dune that fills the field from a crest line down; `left` and `right` are shares of the height.
fn dune(field: &Rect, left: f64, right: f64, lean: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(within(field, 0.0, left));
    let (one, two) = (left - 0.14 * lean, right + 0.12 * lean);
    path.curve_to(within(field, 0.35, one), within(field, 0.62, two), within(field, 1.0, right));
    path.line_to(within(field, 1.0, 1.0));
    path.line_to(within(field, 0.0, 1.0));
    path.close_path();
    path
}

/// A kite and its tail.
fn kite<'a>(field: &Rect, size: f64, lean: f64) -> [Item<'a>; 2] {
    let middle = within(field, 0.5 - 0.2 * lean, 0.26);
    let place = Affine::translate(middle.to_vec2())
        * Affine::rotate(0.35 * lean)
        * Affine::scale(size * 0.1);
    let mut sail = BezPath::new();
    for (index, corner) in [(0.0, -1.0), (0.7, -0.2), (0.0, 1.0), (-0.7, -0.2)].iter().enumerate() {
        if index == 0 { sail.move_to(*corner) } else { sail.line_to(*corner) }
    }
    sail.close_path();
    let mut tail = BezPath::new();
    tail.move_to((0.0, 1.0));
    tail.curve_to((0.7, 1.5), (-0.7, 1.9), (0.1, 2.6));
    let line = Stroke { opacity: 0.8, ..Stroke::new("#ffffff", size * 0.012) };
    let sail = Shape::path(place * sail).filled(Paint::Ink("#ffffff", 0.75));
    [sail.into(), Shape::path(place * tail).stroked(line).into()]
}

/// Lines of text in the field's foot, as large as they fit.
fn words<'a>(field: &Rect, lines: &[(&str, f64)], em: &dyn Fn(&str) -> f64) -> Vec<Item<'a>> {
    let [largest, smallest] = TYPE_SIZES;
    let room = field.width() * 0.88;
    let widest = lines.iter().map(|(text, share)| em(text) * share).fold(1e-6, f64::max);
    let size = largest.min(room / widest).min(field.height() * 0.12);
    if size < smallest {
        return Vec::new();
    }
    let first = field.y1 - size * 0.55 - 1.15 * size * 0.8;
    let baselines = [first, first + 1.15 * size * 0.86];
    let lines = lines.iter().zip(baselines).map(|((text, share), baseline)| {
        let at = (field.center().x, baseline);
        Text::new(text, at, size * share, WORDS).anchored(Anchor::Middle).into()
    });
    lines.collect()
}
