//! The machine's part in a sheet's pattern: found among the leftovers, cut down to what is needed, given
//! back.

use std::cmp::Reverse;

use crate::model::keepable;
use crate::nest::guillotine::CutRules;
use crate::nest::rectangles::{Cell, Patch, What};

/// The largest leftover of a pattern.
pub(super) fn largest_leftover(cell: &Cell) -> Option<Patch> {
    match &cell.what {
        What::Leftover => Some(cell.patch),
        What::Split { parts, .. } => parts
            .iter()
            .filter_map(largest_leftover)
            .max_by(|one, other| one.square_inches().total_cmp(&other.square_inches())),
        What::Piece { .. } | What::Machine => None,
    }
}

/// Makes the machine's part of a pattern a leftover again.
pub(in crate::nest::joint) fn give_back(cell: &mut Cell) {
    match &mut cell.what {
        What::Machine => cell.what = What::Leftover,
        What::Split { parts, .. } => parts.iter_mut().for_each(give_back),
        What::Piece { .. } | What::Leftover => {}
    }
}

/// Makes of the paper at `patch` the machine's as much as reaches to `end`, measured from its top left;
/// what is beyond that is cut off where it is worth keeping, so that the largest rest is as large as can
/// be, and where the paper is larger than `most`, what lies on the mat. Returns the size of the machine's
/// part.
pub(super) fn give(
    cell: &mut Cell,
    patch: Patch,
    sizes: [[i64; 2]; 2],
    rules: &CutRules,
) -> Option<[i64; 2]> {
    if let What::Split { parts, .. } = &mut cell.what {
        return parts.iter_mut().find_map(|part| give(part, patch, sizes, rules));
    }
    if !matches!(cell.what, What::Leftover | What::Machine) || cell.patch != patch {
        return None;
    }
    let ways = [[0, 1], [1, 0]].map(|axes| cut_down(patch, sizes, axes, rules));
    let rests = |cell: &Cell| {
        let mut rests = Vec::new();
        leftovers(cell, &mut rests);
        let area = |patch: &Patch| i128::from(patch.size[0]) * i128::from(patch.size[1]);
        (rests.iter().map(area).max(), rests.iter().map(area).sum::<i128>(), Reverse(rests.len()))
    };
    let (best, size) = ways
        .into_iter()
        .reduce(|best, next| if rests(&next.0) > rests(&best.0) { next } else { best })?;
    *cell = best;
    Some(size)
}

fn leftovers(cell: &Cell, found: &mut Vec<Patch>) {
    match &cell.what {
        What::Leftover => found.push(cell.patch),
        What::Split { parts, .. } => parts.iter().for_each(|part| leftovers(part, found)),
        What::Piece { .. } | What::Machine => {}
    }
}

/// Cuts what is worth keeping off the paper for the machine, along one axis and then the other.
fn cut_down(
    patch: Patch,
    [end, most]: [[i64; 2]; 2],
    axes: [usize; 2],
    rules: &CutRules,
) -> (Cell, [i64; 2]) {
    let mut machine = patch;
    let mut rests: Vec<(usize, Patch, Patch)> = Vec::new();
    for axis in axes {
        let (whole, mut rest) = (machine, machine);
        rest.at[axis] += end[axis] + rules.kerf;
        rest.size[axis] -= end[axis] + rules.kerf;
        let too_large = most[axis] < patch.size[axis];
        if too_large || rest.size[axis] > 0 && keepable(rest.size, rules.worth_keeping) {
            machine.size[axis] = end[axis];
            rests.push((axis, whole, rest));
        }
    }
    let mut cell = Cell { patch: machine, what: What::Machine };
    for (axis, whole, rest) in rests.into_iter().rev() {
        let rest = (rest.size[axis] > 0).then_some(Cell { patch: rest, what: What::Leftover });
        let parts = std::iter::once(cell).chain(rest).collect();
        cell = Cell { patch: whole, what: What::Split { axis, parts, fixed: false } };
    }
    (cell, machine.size)
}
