//! Which of two trimmer plans is better.
//!
//! In this order: fewer pieces left out, cheaper new sheets, more paper taken from offcuts, a larger
//! largest leftover, fewer cuts, fewer fence settings.

use super::problem::CuttingProblem;
use super::tree::{Forest, Kind};

/// Weight of the largest leftover against the others, so that one grows at the expense of the rest.
const LARGEST_WEIGHT: f64 = 2.0;
/// Weight of paper taken from offcuts.
const OFFCUT_WEIGHT: f64 = 10.0;
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
    let from_offcuts = from_offcuts(forest, problem);
    let rank =
        Rank { left_out, cost: forest.cost, from_offcuts, largest, cuts, fences: fences.len() };
    let measure = CUT_WEIGHT * cuts as f64 + FENCE_WEIGHT * fences.len() as f64
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

fn from_offcuts(forest: &Forest, problem: &CuttingProblem) -> f64 {
    if problem.sheets.iter().all(|sheets| sheets.cost > 0) {
        return 0.0;
    }
    let offcuts = forest.sheets.iter().filter(|sheet| {
        problem.sheets.get(sheet.stock as usize).is_some_and(|sheets| sheets.cost == 0)
    });
    offcuts.map(|sheet| filled(forest, sheet.root)).sum()
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
