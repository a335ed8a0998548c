//! Lines of letters laid on their baselines, at a size.

use kurbo::{Affine, Rect, Shape};

use super::baseline::{self, PlacedBaseline, Stops, walk_along};
use super::setting::Set;
use super::{Align, Baseline, Letter, Side, WordError, WordStyle};

/// Paper between the lowest letter of a line and the highest of the next, as a share of the capitals'
/// height, where no leading is written (common practice, no source).
const USUAL_GAP: f64 = 0.15;

/// How often the start of words in the middle or at the end of a path is corrected.
const STARTS: usize = 4;

/// Letters before they lie on a baseline.
struct Row {
    letters: Vec<Letter>,
    /// The middle of each letter's advance.
    middles: Vec<f64>,
    bounds: Option<Rect>,
}

/// The letters where they stand when an em is `scale` inches, crossings not yet resolved.
pub(super) fn arrange(set: &Set, style: &WordStyle, scale: f64) -> Result<Vec<Letter>, WordError> {
    let mut rows: Vec<Row> =
        set.lines.iter().enumerate().map(|(number, _)| row(set, style, scale, number)).collect();
    let leading =
        style.leading.unwrap_or_else(|| closest(&rows, USUAL_GAP * set.cap_height * scale));
    let width = align(&mut rows, style.align);
    let mut letters = Vec::new();
    let mut down = 0.0;
    for row in rows {
        let line = line(style, width, down, set.x_height * scale)?;
        for (letter, middle) in row.letters.into_iter().zip(row.middles) {
            let outline = line.place(middle) * letter.outline;
            letters.push(Letter { outline, ..letter });
        }
        down += leading;
    }
    Ok(letters)
}

/// The letters of one line on a straight baseline at 0, spaced and lifted.
fn row(set: &Set, style: &WordStyle, scale: f64, number: usize) -> Row {
    let clusters = &set.lines[number].clusters;
    let mut letters = Vec::with_capacity(clusters.len());
    let mut middles = Vec::with_capacity(clusters.len());
    for cluster in clusters {
        let step = cluster.number % style.lift.len().max(1);
        let lift = style.lift.get(step).copied().unwrap_or(0.0);
        let right = cluster.gaps * style.letter_spacing;
        let place = Affine::translate((right, -lift)) * Affine::scale(scale);
        middles.push((cluster.from + cluster.to) / 2.0 * scale + right);
        letters.push(Letter {
            text: cluster.text.clone(),
            count: 1,
            paper: cluster.paper,
            outline: place * &cluster.outline,
            place: (number, cluster.start),
        });
    }
    let bounds = super::whole(&letters);
    Row { letters, middles, bounds }
}

/// The least leading that keeps lines `gap` apart.
fn closest(rows: &[Row], gap: f64) -> f64 {
    let inked: Vec<Rect> = rows.iter().filter_map(|row| row.bounds).collect();
    let pairs = inked.iter().zip(inked.iter().skip(1));
    pairs.map(|(upper, lower)| upper.y1 - lower.y0 + gap).fold(0.0, f64::max)
}

/// Moves the lines against each other; the width of the widest, which begins at 0.
fn align(rows: &mut [Row], align: Align) -> f64 {
    let width =
        rows.iter().filter_map(|row| row.bounds).map(|bounds| bounds.width()).fold(0.0, f64::max);
    for row in rows {
        let Some(bounds) = row.bounds else { continue };
        let spare = width - bounds.width();
        let right = match align {
            Align::Left => 0.0,
            Align::Center => spare / 2.0,
            Align::Right => spare,
        } - bounds.x0;
        for letter in &mut row.letters {
            letter.outline.apply_affine(Affine::translate((right, 0.0)));
        }
        for middle in &mut row.middles {
            *middle += right;
        }
    }
    width
}

/// The baseline of a line `down` below the first.
fn line(
    style: &WordStyle,
    width: f64,
    down: f64,
    x_height: f64,
) -> Result<PlacedBaseline, WordError> {
    let circle = |radius: f64, side: Side| {
        let radius = baseline::radius_of_line(radius, side, down)?;
        let measured = baseline::measured_radius(radius, side, x_height);
        baseline::fits_round(width, measured)?;
        Ok(PlacedBaseline::Circle { radius, measured, side, middle: width / 2.0 })
    };
    match &style.baseline {
        Baseline::Straight => Ok(PlacedBaseline::Straight { down }),
        Baseline::Circle { radius, side } => circle(*radius, *side),
        Baseline::Angle { degrees, side } => {
            let measured = width / degrees.to_radians();
            circle(if *side == Side::Under { measured + x_height } else { measured }, *side)
        }
        Baseline::Along(path) => {
            let path = walk_along(path);
            let mut stops = Stops::of(&path, 0.0, width, x_height);
            let share = match style.align {
                Align::Left => 0.0,
                Align::Center => 0.5,
                Align::Right => 1.0,
            };
            // Where they begin changes how much they are spread, and that where they begin.
            for _ in 0..if share > 0.0 { STARTS } else { 0 } {
                let from = (path.length() - stops.length(width)) * share;
                stops = Stops::of(&path, from.max(0.0), width, x_height);
            }
            let taken = stops.length(width);
            if taken > path.length() {
                return Err(WordError::new(
                    format!(
                        "the words are {taken:.2} in long, and the path only {:.2} in",
                        path.length()
                    ),
                    "make the words smaller, or draw a longer path",
                ));
            }
            if down > 0.0 {
                return Err(WordError::new(
                    "only one line goes along a path",
                    "write a word group for each line, each with its own path",
                ));
            }
            Ok(PlacedBaseline::Along { path, stops })
        }
    }
}

/// The bounding box of the letters at a size.
pub(super) fn bounds(set: &Set, style: &WordStyle, scale: f64) -> Result<Rect, WordError> {
    let letters = arrange(set, style, scale)?;
    let boxes = letters.iter().map(|letter| letter.outline.bounding_box());
    boxes
        .reduce(|all, one| all.union(one))
        .ok_or_else(|| WordError::new("the title has no outlines", "write letters that can be cut"))
}
