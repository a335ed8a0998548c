//! What SVG is told: numbers, paths, moves and texts as attributes.

use kurbo::{Affine, BezPath};

use crate::geometry::{number, path_data};
use crate::model::Color;

/// Decimals of picture coordinates in inches: a ten-thousandth is finer than any screen or printer.
const PICTURE_DECIMALS: usize = 4;

/// A picture coordinate as text.
pub(crate) fn fixed(value: f64) -> String {
    numeral(value, PICTURE_DECIMALS)
}

/// A number as text; what is no number becomes 0, so that no picture is unreadable.
pub(crate) fn numeral(value: f64, decimals: usize) -> String {
    number(if value.is_finite() { value } else { 0.0 }, decimals)
}

/// Path data for a picture.
pub(crate) fn data(path: &BezPath) -> String {
    if path.is_finite() { path_data(path, PICTURE_DECIMALS) } else { String::new() }
}

/// An affine move as a `transform` value.
pub(crate) fn matrix(affine: Affine) -> String {
    let [a, b, c, d, e, f] = affine.as_coeffs();
    let turn = [a, b, c, d].map(|value| numeral(value, 6));
    format!("matrix({} {} {})", turn.join(" "), fixed(e), fixed(f))
}

/// Lengths of dashes and gaps.
pub(crate) fn dashes(lengths: &[f64]) -> String {
    lengths.iter().copied().map(fixed).collect::<Vec<_>>().join(" ")
}

/// An ink of the display list: a colour, whatever was meant.
pub(crate) fn color(ink: &str) -> Color {
    Color::parse(ink).unwrap_or(Color::UNKNOWN)
}

/// Whether XML and HTML can hold a letter.
pub(crate) fn is_printable(letter: char) -> bool {
    !(letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}'))
}

/// A text that XML can hold: control characters, which it can't, become spaces.
pub(crate) fn plain(text: &str) -> String {
    text.replace(|letter| !is_printable(letter), " ")
}
