//! What every picture here needs: names, laid-down outlines, colours.

use kurbo::Affine;

pub(super) use crate::draw::attributes::{fixed, is_printable, plain};
use crate::geometry::{Fold, laying, rectangle};
pub(super) use crate::geometry::{from_rings, readable};
use crate::model::Color;

/// A name made safe for an `id` attribute or a link.
pub(super) fn xml_name(text: &str) -> String {
    let safe = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '.' | '_' | '-');
    text.chars().map(|letter| if safe(letter) { letter } else { '-' }).collect()
}

/// The move that lays a rectangle down by the placing rule.
pub(super) fn laying_rectangle(size: [f64; 2], turn: f64, at: [f64; 2]) -> Affine {
    laying(&rectangle(size[0], size[1]), turn, at)
}

/// An ink that can be read on `paper`.
pub(super) fn legible_on(paper: Color) -> &'static str {
    if paper.luminance() > 0.22 { "#2b2721" } else { "#fdfaf3" }
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
pub(super) const fn dashes(fold: Option<Fold>) -> &'static [f64] {
    match fold {
        None | Some(Fold::Valley) => &[0.12, 0.07],
        Some(Fold::Mountain) => &[0.16, 0.06, 0.02, 0.06],
    }
}
