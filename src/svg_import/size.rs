//! How large an imported drawing becomes.

use crate::model::Fault;
use kurbo::Affine;

use super::{Fit, LARGEST};
use crate::geometry::{Drawing, number};

/// The least side of a drawing in inches: smaller can't be cut.
const SMALLEST: f64 = 1.0 / 32.0;

/// Refuses sizes that no drawing can have.
pub(super) fn check_fit(fit: Fit) -> Result<(), Fault> {
    let sizes = match fit {
        Fit::RealSize => return Ok(()),
        Fit::Width(size) | Fit::Height(size) => [size, size],
        Fit::Within(size) => size,
    };
    if sizes.iter().all(|size| size.is_finite() && *size >= SMALLEST && *size <= LARGEST) {
        return Ok(());
    }
    Err(Fault::new(
        "the size asked for can't be cut",
        format!("give a size between {SMALLEST} and {LARGEST} in"),
    ))
}

/// The drawing in its size, at the origin.
pub(super) fn fitted(mut drawing: Drawing, fit: Fit) -> Result<Drawing, Fault> {
    let [width, height] = drawing.size();
    let factor = match fit {
        Fit::RealSize => 1.0,
        Fit::Width(wanted) => wanted / width,
        Fit::Height(wanted) => wanted / height,
        Fit::Within([wide, high]) => (wide / width).min(high / height),
    };
    let sides = [width * factor, height * factor];
    if !sides.iter().all(|side| (SMALLEST..=LARGEST).contains(side)) {
        return Err(Fault::new(
            format!("the drawing would be {} x {} in", number(sides[0], 3), number(sides[1], 3)),
            format!("give it a size between {SMALLEST} and {LARGEST} in"),
        ));
    }
    let scale = Affine::scale(factor);
    drawing.outline.apply_affine(scale);
    for line in &mut drawing.lines {
        line.path.apply_affine(scale);
    }
    Ok(drawing.at_origin())
}

/// Whether a width or height is in units that have a size on paper.
pub(super) fn is_real(length: &str) -> bool {
    let length = length.trim();
    let digits = length.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
    let unit = &length[digits.len()..];
    let is_positive = digits.trim().parse::<f64>().is_ok_and(|size| size.is_finite() && size > 0.0);
    is_positive && ["in", "mm", "cm", "pt", "pc", "q"].contains(&unit.to_ascii_lowercase().as_str())
}
