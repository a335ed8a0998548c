//! What every SVG picture here needs: numbers, names, laid-down outlines, colours.

use kurbo::{Affine, BezPath};
use svg::node::element::{Group, Path, Rectangle};

pub(super) use crate::outline::{from_rings, readable};
use crate::outline::{laying, number, path_data, rectangle};
use crate::record::{Area, Piece};

/// Decimals of picture coordinates in inches: a ten-thousandth is finer than any screen or printer.
const PICTURE_DECIMALS: usize = 4;

/// A picture coordinate as text.
pub(super) fn fixed(value: f64) -> String {
    numeral(value, PICTURE_DECIMALS)
}

/// A number as text; what is no number becomes 0, so that no picture is unreadable.
pub(super) fn numeral(value: f64, decimals: usize) -> String {
    number(if value.is_finite() { value } else { 0.0 }, decimals)
}

/// Path data for a picture.
pub(super) fn data(path: &BezPath) -> String {
    if path.is_finite() { path_data(path, PICTURE_DECIMALS) } else { String::new() }
}

/// An affine move as a `transform` value.
pub(super) fn matrix(affine: Affine) -> String {
    let [a, b, c, d, e, f] = affine.as_coeffs();
    let turn = [a, b, c, d].map(|value| numeral(value, 6));
    format!("matrix({} {} {})", turn.join(" "), fixed(e), fixed(f))
}

/// A group moved by `affine`.
pub(super) fn moved(affine: Affine) -> Group {
    Group::new().set("transform", matrix(affine))
}

/// A rectangle of inches.
pub(super) fn area(area: &Area) -> Rectangle {
    Rectangle::new()
        .set("x", fixed(area.at[0]))
        .set("y", fixed(area.at[1]))
        .set("width", fixed(area.size[0]))
        .set("height", fixed(area.size[1]))
}

/// A straight line between two points in inches.
pub(super) fn straight(from: [f64; 2], to: [f64; 2]) -> Path {
    let [x0, y0] = from.map(fixed);
    let [x1, y1] = to.map(fixed);
    Path::new().set("d", format!("M{x0} {y0}L{x1} {y1}"))
}

/// A text that XML can hold: control characters, which it can't, become spaces.
pub(super) fn plain(text: &str) -> String {
    let printable = |letter: char| {
        let forbidden = letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}');
        if forbidden { ' ' } else { letter }
    };
    text.chars().map(printable).collect()
}

/// A name made safe for an `id` attribute or a link.
pub(super) fn slug(text: &str) -> String {
    let safe = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '.' | '_' | '-');
    text.chars().map(|letter| if safe(letter) { letter } else { '-' }).collect()
}

/// A piece's outline in its own coordinates: its true curves, or its rings if those can't be read.
pub(super) fn outline_of(piece: &Piece) -> BezPath {
    let path = readable(&piece.path);
    path.or_else(|| from_rings(&piece.outline))
        .unwrap_or_else(|| rectangle(piece.size[0], piece.size[1]))
}

/// The move that lays a rectangle down by the placing rule.
pub(super) fn laying_rectangle(size: [f64; 2], turn: f64, at: [f64; 2]) -> Affine {
    laying(&rectangle(size[0], size[1]), turn, at)
}

/// A colour of the record, or a plain grey if it isn't one: nothing else gets into an attribute.
pub(super) fn color(text: &str) -> &str {
    let digits = text.strip_prefix('#').unwrap_or_default();
    let is_color = digits.len() == 6 && digits.bytes().all(|digit| digit.is_ascii_hexdigit());
    if is_color { text } else { "#9a948a" }
}

/// Red, green and blue of a colour of the record, from 0 to 1.
pub(super) fn channels(text: &str) -> [f32; 3] {
    [1, 3, 5].map(|from| {
        let digits = color(text).get(from..from + 2).unwrap_or("80");
        f32::from(u8::from_str_radix(digits, 16).unwrap_or(128)) / 255.0
    })
}

/// How light a colour looks, from 0 (black) to 1 (white): WCAG 2 relative luminance.
pub(super) fn luminance(text: &str) -> f64 {
    let [red, green, blue] = channels(text).map(|value| {
        let value = f64::from(value);
        if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// An ink that can be read on `paper`.
pub(super) fn legible_on(paper: &str) -> &'static str {
    if luminance(paper) > 0.22 { "#2b2721" } else { "#fdfaf3" }
}
