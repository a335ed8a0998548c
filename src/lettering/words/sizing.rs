//! How many inches an em is, so that words are as tall or wide as asked.

use super::arranging::bounds;
use super::setting::Set;
use super::{Baseline, Height, WordError, WordStyle};

/// How near a fitted measure comes to the one that is wanted, in inches.
const CLOSE: f64 = 1e-9;
/// A fitted measure this far off, in inches, is no fit.
const FAR: f64 = 1e-3;
/// Corrections of a fitted scale; on a straight baseline the measure is a straight line in it but
/// where another letter becomes the outermost.
const MOST_CORRECTIONS: usize = 40;

/// Inches of an em.
pub(super) fn scale(set: &Set, style: &WordStyle) -> Result<f64, WordError> {
    let grown = 2.0 * style.embolden;
    match style.height {
        Height::Cap(height) => plain(height / set.cap_height),
        Height::SmallLetters(height) => plain(height / set.x_height),
        Height::Total(height) => {
            let natural = natural(set, style)?.1;
            fitted(height - grown, natural, |scale| Ok(bounds(set, style, scale)?.height()))
        }
        Height::Width(width) => {
            let natural = natural(set, style)?.0;
            fitted(width - grown, natural, |scale| Ok(bounds(set, style, scale)?.width()))
        }
    }
}

fn plain(scale: f64) -> Result<f64, WordError> {
    if scale.is_finite() && scale > 0.0 {
        return Ok(scale);
    }
    Err(WordError::new("the words have no height", "write a height of more than 0"))
}

/// Width and height on a straight baseline at an em of 1 in, without spacing or lift.
fn natural(set: &Set, style: &WordStyle) -> Result<(f64, f64), WordError> {
    let straight = WordStyle {
        letter_spacing: 0.0,
        lift: Vec::new(),
        leading: None,
        baseline: Baseline::Straight,
        ..style.clone()
    };
    let bounds = bounds(set, &straight, 1.0)?;
    Ok((bounds.width(), bounds.height()))
}

/// The scale at which a measure is as wanted: spacing, lift and circles don't grow with the letters, so
/// the measure at a scale is taken and the scale corrected by what is missing (secant method).
fn fitted(
    wanted: f64,
    natural: f64,
    measure: impl Fn(f64) -> Result<f64, WordError>,
) -> Result<f64, WordError> {
    let mut scale = plain(wanted / natural)?;
    let mut slope = natural;
    let mut last: Option<(f64, f64)> = None;
    for _ in 0..MOST_CORRECTIONS {
        // Words too long for a circle or path are tried smaller.
        let measured = match measure(scale) {
            Ok(measured) => measured,
            Err(error) if scale < CLOSE => return Err(error),
            Err(_) => {
                scale *= 0.8;
                last = None;
                continue;
            }
        };
        let missing = wanted - measured;
        if missing.abs() < CLOSE {
            return Ok(scale);
        }
        if let Some((scale_before, measured_before)) = last
            && (scale - scale_before).abs() > f64::EPSILON
        {
            let own = (measured - measured_before) / (scale - scale_before);
            if own > natural / 10.0 && own < natural * 10.0 {
                slope = own;
            }
        }
        last = Some((scale, measured));
        scale += missing / slope;
        if scale <= 0.0 {
            return Err(WordError::new(
                "the spacing and the lift alone take more room than that",
                "take less spacing or lift, or make the words larger",
            ));
        }
    }
    match measure(scale) {
        Ok(measured) if (measured - wanted).abs() <= FAR => Ok(scale),
        Ok(_) => Err(WordError::new(
            "the words can't be made to fit that on this baseline",
            "write `height` instead, or a larger circle or path",
        )),
        Err(error) => Err(error),
    }
}
