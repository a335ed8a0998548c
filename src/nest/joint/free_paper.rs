//! The parts of a machine's paper that stay whole: rectangles beside what the machine cuts.

use crate::model::keepable;
use crate::model::length::{Length, Size};
use crate::nest::rectangles::{Patch, largest_first};

/// Free rectangles begin and end on marks of a ruler, 1/16 in.
pub(super) const MARK: i64 = 25_400_000 / 16;
/// More boxes than this on a sheet, and free rectangles are sought below and beside them only: the exact
/// search takes the square of their number.
const MANY_BOXES: usize = 150;
/// Most free rectangles of one sheet.
const MOST_FREE: usize = 12;

/// Rectangles of paper of this size that no box comes near and that are worth keeping: the largest, then
/// the largest of what is left beside it, and so on, a kerf apart.
pub(super) fn free_rectangles(
    paper: [i64; 2],
    boxes: &[[f64; 4]],
    [spacing, kerf]: [f64; 2],
    worth_keeping: Size,
) -> Vec<Patch> {
    let grown = |b: [f64; 4], by: f64| [b[0] - by, b[1] - by, b[2] + by, b[3] + by];
    let mut taken: Vec<[f64; 4]> = boxes.iter().map(|&b| grown(b, spacing)).collect();
    let mut free = Vec::new();
    while free.len() < MOST_FREE {
        let Some(patch) = largest(paper, &taken, worth_keeping) else { break };
        let [left, top] = patch.at.map(inches);
        taken.push(grown([left, top, inches(patch.end(0)), inches(patch.end(1))], kerf));
        free.push(patch);
    }
    largest_first(&mut free);
    free
}

fn inches(length: i64) -> f64 {
    Length::nanometres(length).to_inches()
}

/// The largest rectangle worth keeping that meets none of the boxes.
fn largest(paper: [i64; 2], boxes: &[[f64; 4]], worth_keeping: Size) -> Option<Patch> {
    let [width, height] = paper.map(inches);
    let far = |side: usize| boxes.iter().map(|b| b[side]).fold(0.0, f64::max);
    let mut candidates = vec![[0.0, far(3), width, height], [far(2), 0.0, width, height]];
    if boxes.len() <= MANY_BOXES {
        let narrowest = worth_keeping.width.min(worth_keeping.height).to_inches();
        candidates.extend(free_bands(boxes, [width, height], narrowest));
    }
    // Rounded inwards to whole marks, so that the edge can be read off a ruler.
    let patches = candidates.into_iter().map(|b| {
        let at = [0, 1].map(|axis| {
            (Length::inches(b[axis]).to_nanometres() + MARK - 1).div_euclid(MARK) * MARK
        });
        let ends = [0, 1].map(|axis| {
            let end = Length::inches(b[axis + 2]).to_nanometres();
            if end >= paper[axis] { paper[axis] } else { end.div_euclid(MARK) * MARK }
        });
        Patch { at, size: [ends[0] - at[0], ends[1] - at[1]] }
    });
    patches.filter(|patch| keepable(patch.size, worth_keeping)).max_by_key(|patch| {
        let area = i128::from(patch.size[0]) * i128::from(patch.size[1]);
        (area, std::cmp::Reverse((patch.at[1], patch.at[0])))
    })
}

/// For every pair of left and right edges at least `narrowest` apart, the tallest gap between the boxes
/// that reach in between.
fn free_bands(boxes: &[[f64; 4]], [width, height]: [f64; 2], narrowest: f64) -> Vec<[f64; 4]> {
    let mut lefts: Vec<f64> = boxes.iter().map(|b| b[2]).chain([0.0]).collect();
    let mut rights: Vec<f64> = boxes.iter().map(|b| b[0]).chain([width]).collect();
    lefts.retain(|&x| (0.0..width).contains(&x));
    rights.retain(|&x| x > 0.0 && x <= width);
    for edges in [&mut lefts, &mut rights] {
        edges.sort_by(f64::total_cmp);
        edges.dedup();
    }
    let mut by_top: Vec<&[f64; 4]> = boxes.iter().collect();
    by_top.sort_by(|one, other| one[1].total_cmp(&other[1]));
    let mut bands = Vec::new();
    for &left in &lefts {
        for &right in rights.iter().filter(|&&right| right > left && right - left >= narrowest) {
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
