//! What every SVG picture here needs: numbers, names, laid-down outlines, colours.

use kurbo::{Affine, BezPath};
use svg::node::element::{Group, Path, Rectangle};

pub(super) use crate::color::{channels, color, luminance};
use crate::geometry::{Fold, laying, number, path_data, rectangle};
pub(super) use crate::geometry::{from_rings, readable};
use crate::record::Area;

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

/// A group that is printed on what lies below: ink lets the paper through and white is none, so colours are
/// multiplied (W3C Compositing and Blending, 9.1.2), as `color::on_paper` does. Within the group
/// what is printed later replaces what is below it, as in the print files.
pub(super) fn printed(group: Group) -> Group {
    group.set("style", "mix-blend-mode:multiply")
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

/// The move that lays a rectangle down by the placing rule.
pub(super) fn laying_rectangle(size: [f64; 2], turn: f64, at: [f64; 2]) -> Affine {
    laying(&rectangle(size[0], size[1]), turn, at)
}

/// An ink that can be read on `paper`.
pub(super) fn legible_on(paper: &str) -> &'static str {
    if luminance(paper) > 0.22 { "#2b2721" } else { "#fdfaf3" }
}

/// A, B, …, Z, AA, AB, ….
pub(super) fn letters(number: u32) -> String {
    let letter = char::from_u32(u32::from('A') + number % 26).unwrap_or('A');
    match number / 26 {
        0 => letter.to_string(),
        more => letters(more - 1) + &letter.to_string(),
    }
}

/// The dashes of a score line: valley folds dashes, mountain folds dashes and dots, as in the marks of
/// paper folders (Yoshizawa-Randlett).
pub(super) const fn dashes(fold: Option<Fold>) -> &'static str {
    match fold {
        None | Some(Fold::Valley) => "0.12 0.07",
        Some(Fold::Mountain) => "0.16 0.06 0.02 0.06",
    }
}
