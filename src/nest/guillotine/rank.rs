//! Which of two trimmer plans is better.
//!
//! In this order: fewer pieces left out, cheaper new sheets, more paper taken from offcuts, less left over in
//! the offcuts from earlier that are used, a larger largest leftover, fewer cuts, fewer fence settings.

use super::problem::CuttingProblem;
use super::tree::{Forest, Kind};

/// Weight of the largest leftover against the others, so that one grows at the expense of the rest.
const LARGEST_WEIGHT: f64 = 2.0;
/// Weight of paper taken from offcuts.
const OFFCUT_WEIGHT: f64 = 10.0;
/// Weight of what is left over in offcuts from earlier: more than a larger leftover can make up for.
const LEFT_OVER_WEIGHT: f64 = 5.0;
/// Weight of a cut, in squares of the longest sheet side.
const CUT_WEIGHT: f64 = 0.002;
/// Weight of a fence setting, in squares of the longest sheet side.
const FENCE_WEIGHT: f64 = 0.001;
/// Differences of area below this, in squares of the longest sheet side, are none.
const SAME: f64 = 1e-9;

/// What plans are compared by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rank {
    /// Area without a place.
    left_out: f64,
    /// Cost of the sheets.
    cost: i128,
    /// Area cut from offcuts.
    from_offcuts: f64,
    /// Area left over in the offcuts from earlier that are used.
    offcuts_left: f64,
    /// Area of the largest leftover.
    largest: f64,
    /// Cuts.
    cuts: usize,
    /// Different fence settings.
    fences: usize,
}

impl Rank {
    /// Whether this is the better plan.
    pub fn beats(&self, other: &Self) -> bool {
        let less = |one: f64, two: f64| {
            if (one - two).abs() <= SAME { std::cmp::Ordering::Equal } else { one.total_cmp(&two) }
        };
        less(self.left_out, other.left_out)
            .then(self.cost.cmp(&other.cost))
            .then(less(other.from_offcuts, self.from_offcuts))
            .then(less(self.offcuts_left, other.offcuts_left))
            .then(less(other.largest, self.largest))
            .then(self.cuts.cmp(&other.cuts))
            .then(self.fences.cmp(&other.fences))
            .is_lt()
    }
}

/// The rank of a plan, and a smooth measure of the same, to be made small by the search.
pub(super) fn rank(
    forest: &Forest,
    problem: &CuttingProblem,
    fences: &mut Vec<i64>,
) -> (Rank, f64) {
    let waiting = forest.waiting.iter().zip(&problem.shapes);
    let left_out = waiting.map(|(&count, shape)| f64::from(count) * forest.area(shape.size)).sum();
    let (mut squares, mut largest, mut cuts) = (0.0, 0.0_f64, 0);
    fences.clear();
    for (id, node) in forest.nodes.iter().enumerate() {
        match node.kind {
            Kind::Leftover => {
                let area = forest.area(node.size);
                squares += area * area;
                largest = largest.max(area);
            }
            Kind::Split(axis) => cuts += count_cuts(forest, id, axis, |fence| fences.push(fence)),
            Kind::Vacant | Kind::Piece { .. } => {}
        }
    }
    fences.sort_unstable();
    fences.dedup();
    let (from_offcuts, offcuts_left) = of_offcuts(forest, problem);
    let (cost, fences) = (forest.cost, fences.len());
    let rank = Rank { left_out, cost, from_offcuts, offcuts_left, largest, cuts, fences };
    let measure =
        CUT_WEIGHT * cuts as f64 + FENCE_WEIGHT * fences as f64 + LEFT_OVER_WEIGHT * offcuts_left
            - squares
            - LARGEST_WEIGHT * largest
            - OFFCUT_WEIGHT * from_offcuts;
    (rank, measure)
}

/// Cuts of one split; `fence` hears the measure of each.
fn count_cuts(forest: &Forest, id: usize, axis: usize, mut fence: impl FnMut(i64)) -> usize {
    let mut rest = forest.nodes[id].size[axis];
    let mut cuts = 0;
    let mut part = forest.nodes[id].first;
    while let Some(node) = forest.nodes.get(part as usize) {
        if node.size[axis] < rest {
            fence(node.size[axis]);
            cuts += 1;
        }
        rest -= node.size[axis] + forest.kerf;
        part = node.next;
    }
    cuts
}

/// The area of the pieces that come from offcuts, and what is left over in those from earlier.
fn of_offcuts(forest: &Forest, problem: &CuttingProblem) -> (f64, f64) {
    let (mut pieces, mut left) = (0.0, 0.0);
    if problem.sheets.iter().all(|sheets| sheets.cost > 0) {
        return (pieces, left);
    }
    for sheet in &forest.sheets {
        let known = problem.sheets.get(sheet.stock as usize);
        let Some(sheets) = known.filter(|sheets| sheets.cost == 0) else { continue };
        let filled = filled(forest, sheet.root);
        pieces += filled;
        if sheets.old {
            left += forest.area(sheets.size) - filled;
        }
    }
    (pieces, left)
}

/// The area of the pieces in a tree.
pub(super) fn filled(forest: &Forest, id: u32) -> f64 {
    let node = &forest.nodes[id as usize];
    match node.kind {
        Kind::Piece { .. } => forest.area(node.size),
        Kind::Split(_) => forest.parts(id).map(|part| filled(forest, part)).sum(),
        Kind::Leftover | Kind::Vacant => 0.0,
    }
}
