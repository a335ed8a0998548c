//! The part of a machine sheet that stays one rectangle.

use super::plan::keepable;
use super::trimmer::Patch;
use crate::length::Length;

/// A machine rectangle is cut off a leftover at the next mark of a ruler, 1/16 in.
pub(super) const MARK: i64 = 25_400_000 / 16;
/// More boxes than this on a sheet, and the largest free rectangle is sought below and beside them
/// only: the exact search takes the square of their number.
const MANY_BOXES: usize = 150;

/// The largest rectangle of a sheet that no box comes near, if it is worth keeping.
pub(super) fn free_rectangle(sheet: Patch, boxes: &[[f64; 4]], spacing: f64) -> Option<Patch> {
    let [width, height] = sheet.size.map(|length| Length::nanometres(length).to_inches());
    let grown: Vec<[f64; 4]> = boxes
        .iter()
        .map(|b| [b[0] - spacing, b[1] - spacing, b[2] + spacing, b[3] + spacing])
        .collect();
    let far = |side: usize| grown.iter().map(|b| b[side]).fold(0.0, f64::max);
    let mut candidates = vec![[0.0, far(3), width, height], [far(2), 0.0, width, height]];
    if grown.len() <= MANY_BOXES {
        candidates.extend(free_bands(&grown, width, height));
    }
    let area = |b: &[f64; 4]| (b[2] - b[0]).max(0.0) * (b[3] - b[1]).max(0.0);
    let best = candidates
        .into_iter()
        .reduce(|best, next| if area(&next) > area(&best) + 1e-9 { next } else { best })?;
    // Rounded inwards to whole marks, so that the edge can be read off a ruler.
    let inwards =
        |length: f64| (Length::inches(length).to_nanometres() + MARK - 1).div_euclid(MARK) * MARK;
    let ends = [(best[2], sheet.size[0]), (best[3], sheet.size[1])].map(|(length, whole)| {
        let end = Length::inches(length).to_nanometres();
        if end >= whole { whole } else { end.div_euclid(MARK) * MARK }
    });
    let at = [inwards(best[0]), inwards(best[1])];
    let patch = Patch { at, size: [ends[0] - at[0], ends[1] - at[1]] };
    keepable(patch.size).then_some(patch)
}

/// For every pair of left and right edges, the tallest gap between the boxes that reach in between.
fn free_bands(boxes: &[[f64; 4]], width: f64, height: f64) -> Vec<[f64; 4]> {
    let mut lefts: Vec<f64> = boxes.iter().map(|b| b[2]).chain([0.0]).collect();
    let mut rights: Vec<f64> = boxes.iter().map(|b| b[0]).chain([width]).collect();
    lefts.retain(|&x| (0.0..width).contains(&x));
    rights.retain(|&x| x > 0.0 && x <= width);
    let mut by_top: Vec<&[f64; 4]> = boxes.iter().collect();
    by_top.sort_by(|one, other| one[1].total_cmp(&other[1]));
    let mut bands = Vec::new();
    for &left in &lefts {
        for &right in rights.iter().filter(|&&right| right - left >= 1.0) {
            let (mut top, mut best) = (0.0_f64, (0.0, 0.0));
            let between = by_top.iter().filter(|b| b[0] < right && b[2] > left);
            let ends = between.map(|b| (b[1], b[3])).chain([(height, height)]);
            for (start, end) in ends {
                if start - top > best.1 - best.0 {
                    best = (top, start);
                }
                top = top.max(end);
            }
            bands.push([left, best.0, right, best.1.min(height)]);
        }
    }
    bands
}
