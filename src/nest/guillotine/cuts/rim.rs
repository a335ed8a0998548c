//! The rim of a sheet: trimmed off first, or left to fall off with what lies beside it.
//!
//! Two straight edges have to be made before anything is measured from them, so left and top are always
//! trimmed. Beyond the last parts, right and bottom, the rim may fall off together with a leftover, which
//! saves a cut where everything at that edge is scrap anyway.

use super::CutRules;
use crate::model::keepable;
use crate::nest::rectangles::{Cell, Patch, What};

/// Whether the rims at the far sides, right and bottom, fall off with what lies beside them.
type Rim = [bool; 2];

/// The ways to deal with a rim.
pub(in crate::nest) fn ways(whole: [i64; 2], inside: Patch) -> Vec<Rim> {
    let has = [0, 1].map(|axis| inside.end(axis) < whole[axis]);
    let mut ways: Vec<Rim> = vec![[false, false]];
    for way in [[true, false], [false, true], [true, true]] {
        if (0..2).all(|axis| has[axis] || !way[axis]) {
            ways.push(way);
        }
    }
    ways
}

/// The pattern with the rims taken in that fall off by themselves.
pub(in crate::nest) fn with_rim(root: &Cell, whole: [i64; 2], rim: Rim, rules: &CutRules) -> Cell {
    let mut root = root.clone();
    for axis in [0, 1].into_iter().filter(|&axis| rim[axis]) {
        let by = whole[axis] - root.patch.end(axis);
        take_in(&mut root, axis, by, rules);
    }
    root
}

/// Makes a cell longer by a rim at its far side.
fn take_in(cell: &mut Cell, axis: usize, by: i64, rules: &CutRules) {
    let before = cell.patch;
    cell.patch.size[axis] += by;
    let end = cell.patch.end(axis);
    // What is kept must have clean edges.
    let may_grow = |mut leftover: Patch| {
        leftover.size[axis] = end - leftover.at[axis];
        rules.rim_is_paper || !keepable(leftover.size, rules.worth_keeping)
    };
    match &mut cell.what {
        What::Leftover if may_grow(before) => {}
        What::Split { axis: along, parts, fixed: false } if *along == axis => {
            match parts.last_mut() {
                Some(last) if last.what == What::Leftover && may_grow(last.patch) => {
                    last.patch.size[axis] = end - last.patch.at[axis];
                }
                last => {
                    let beside = last.map_or(before, |last| last.patch);
                    parts.extend(rim_cell(beside, axis, end, rules));
                }
            }
        }
        What::Split { parts, fixed: false, .. } => {
            parts.iter_mut().for_each(|part| take_in(part, axis, by, rules));
        }
        what @ (What::Piece { .. } | What::Leftover | What::Machine | What::Split { .. }) => {
            let inner = Cell { patch: before, what: std::mem::replace(what, What::Leftover) };
            let parts = std::iter::once(inner).chain(rim_cell(before, axis, end, rules)).collect();
            *what = What::Split { axis, parts, fixed: false };
        }
    }
}

/// The rim beyond a patch as far as `end`, if the blade leaves any of it.
fn rim_cell(beside: Patch, axis: usize, end: i64, rules: &CutRules) -> Option<Cell> {
    let mut patch = beside;
    patch.at[axis] = beside.end(axis) + rules.kerf;
    patch.size[axis] = end - patch.at[axis];
    (patch.size[axis] > 0).then_some(Cell { patch, what: What::Leftover })
}
