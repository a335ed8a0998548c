//! Plain grids: equal pieces in rows and columns.
//!
//! What a person would cut first. A grid of equal cards takes few cuts and two settings of the fence, which
//! a search by chance seldom meets; so plans of grids are laid out in every way to lie, along either axis,
//! on every kind of sheet, and the search's own plan has to beat them.

use super::problem::CuttingProblem;
use super::tree::{Forest, Kind, number};
use crate::nest::rectangles::holds;

/// A row is tried full and up to so many pieces shorter.
const SHORTER: i64 = 4;
/// Pieces above which no grids are laid out.
const MOST_PIECES: u32 = 2_000;

/// How the pieces of a plan of grids lie.
#[derive(Clone, Copy)]
struct Style {
    /// The kind of new sheets that is used up first.
    kind: usize,
    /// Rows lie one after the other along this axis.
    axis: usize,
    /// Whether pieces lie turned where they may.
    turned: bool,
    /// Pieces that a row has less than it could.
    shorter: i64,
}

/// Plans of grids.
pub(super) fn grids(problem: &CuttingProblem) -> Vec<Forest> {
    let mut plans = Vec::new();
    if problem.levels.is_some() || problem.pieces() > MOST_PIECES {
        return plans;
    }
    let mut kinds = problem.kinds();
    kinds.truncate(4);
    if kinds.is_empty() {
        kinds.push(0);
    }
    for kind in kinds {
        for axis in [0, 1] {
            for turned in [false, true] {
                for shorter in 0..SHORTER {
                    plans.push(plan(problem, Style { kind, axis, turned, shorter }));
                }
            }
        }
    }
    plans
}

fn plan(problem: &CuttingProblem, style: Style) -> Forest {
    let mut forest = problem.blank();
    let mut shapes: Vec<usize> = (0..problem.shapes.len()).collect();
    shapes.sort_by_key(|&shape| {
        let [width, height] = problem.shapes[shape].size;
        std::cmp::Reverse(i128::from(width) * i128::from(height))
    });
    for shape in shapes {
        while forest.waiting[shape] > 0 {
            let Some(slot) = room(problem, &mut forest, shape, style.kind) else { break };
            fill(problem, &mut forest, slot, shape, style);
        }
    }
    forest
}

/// The smallest leftover that holds a piece, on a new sheet if need be.
fn room(problem: &CuttingProblem, forest: &mut Forest, shape: usize, first: usize) -> Option<u32> {
    let form = &problem.shapes[shape];
    let fits = |size: [i64; 2]| form.ways().iter().any(|&way| holds(size, form.lying(way)));
    let area = |size: [i64; 2]| i128::from(size[0]) * i128::from(size[1]);
    let slots = forest.nodes.iter().enumerate();
    let smallest = slots
        .filter(|(_, node)| node.kind == Kind::Leftover && fits(node.size))
        .min_by_key(|(_, node)| area(node.size));
    if let Some((slot, _)) = smallest {
        return Some(number(slot));
    }
    let all = 0..problem.sheets.len();
    let (free, new): (Vec<usize>, Vec<usize>) =
        all.partition(|&kind| problem.sheets[kind].cost == 0);
    let kinds = free.into_iter().chain([first]).chain(new);
    let kind = kinds.into_iter().find(|&kind| {
        let sheets = &problem.sheets[kind];
        forest.used[kind] < sheets.count && fits(sheets.size)
    })?;
    Some(forest.open(kind, problem.sheets[kind].size, problem.sheets[kind].cost))
}

/// Lays copies in rows into a leftover.
fn fill(problem: &CuttingProblem, forest: &mut Forest, slot: u32, shape: usize, style: Style) {
    let form = &problem.shapes[shape];
    let room = forest.nodes[slot as usize].size;
    let ways = form.ways().iter().copied();
    let Some(turned) =
        ways.filter(|&way| holds(room, form.lying(way))).min_by_key(|&way| way != style.turned)
    else {
        return;
    };
    let size = form.lying(turned);
    let (axis, across) = (style.axis, 1 - style.axis);
    let most = |axis: usize| (room[axis] + problem.kerf) / (size[axis] + problem.kerf);
    let each = (most(across) - style.shorter).max(1);
    let kind = Kind::Piece { block: number(shape), turned };
    let mut rest = Some(slot);
    for _ in 0..most(axis) {
        let Some(slot) = rest.filter(|_| forest.waiting[shape] > 0) else { return };
        let mut fresh = Vec::new();
        let row = cut_off(forest, slot, axis, size[axis], &mut fresh);
        rest = fresh.first().copied();
        let mut place = Some(row);
        for _ in 0..each {
            let Some(slot) = place.filter(|_| forest.waiting[shape] > 0) else { break };
            let mut fresh = Vec::new();
            let cell = cut_off(forest, slot, across, size[across], &mut fresh);
            place = fresh.first().copied();
            forest.nodes[cell as usize].kind = kind;
            forest.waiting[shape] -= 1;
        }
    }
}

/// Cuts a part off a leftover, if there is anything beyond it.
fn cut_off(forest: &mut Forest, slot: u32, axis: usize, extent: i64, fresh: &mut Vec<u32>) -> u32 {
    if forest.nodes[slot as usize].size[axis] > extent {
        forest.part(slot, axis, extent, fresh)
    } else {
        slot
    }
}
