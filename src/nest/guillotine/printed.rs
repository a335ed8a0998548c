//! A page that is printed already: its strips lie where they are, and the trimmer frees them.
//!
//! The pattern follows the page: what is blank below comes off first, then the rim left and above, then
//! columns, the rows of each, and each strip's own width. Its parts keep their order, for they are printed
//! in it; but which paper is cut next is free, and is chosen so that the fence is set anew as seldom as can
//! be ([`super::cuts::sequence`]).

use super::cuts::CutRules;
use crate::model::length::{Length, Size};
use crate::nest::rectangles::{Cell, Patch, What};
use crate::nest::{Area, Fall, Rules, SheetCut};

/// The cuts that free strips, which lie in columns flush under each other (a kerf apart). `size` is the
/// page's; what lies below `blank` is kept.
pub fn printed(size: Size, strips: &[Area], blank: Option<Length>, rules: &Rules) -> SheetCut {
    printed_below(Length::ZERO, size, strips, blank, rules)
}

/// The same on a page on which what lies above `start` is none of this: that comes off first.
pub fn printed_below(
    start: Length,
    size: Size,
    strips: &[Area],
    blank: Option<Length>,
    rules: &Rules,
) -> SheetCut {
    let page = Patch { at: [0; 2], size: [size.width, size.height].map(Length::to_nanometres) };
    let knife = Knife { kerf: rules.kerf.to_nanometres() };
    let blank = blank.map(Length::to_nanometres).filter(|blank| *blank < page.size[1]);
    if strips.is_empty() {
        return SheetCut::default();
    }
    let mut free = page;
    free.at[1] = start.to_nanometres().clamp(0, page.size[1]);
    free.size[1] = page.size[1] - free.at[1];
    let root = knife.without_rim(page, 1, knife.page(free, &pieces(strips), blank));
    let table = CutRules {
        kerf: knife.kerf,
        worth_keeping: rules.worth_keeping,
        rim_is_paper: true,
        staged: false,
    };
    let plan = table.plan(page.size, &root, &[]);
    // Other rests bear marks or notes, whatever their size.
    let kept = blank.map(|blank| knife.after(page, 1, blank).area());
    let place = plan.offcuts.iter().position(|offcut| Some(*offcut) == kept);
    let mut cuts = plan.cuts;
    for falls in cuts.iter_mut().flat_map(|cut| [&mut cut.keeps, &mut cut.drops]) {
        if let Fall::Offcut(number) = falls.what {
            falls.what = if Some(number) == place { Fall::Offcut(0) } else { Fall::Scrap };
        }
    }
    let offcuts = place.into_iter().filter_map(|_| kept).collect();
    SheetCut { placed: plan.placed, cuts, offcuts, ..SheetCut::default() }
}

/// A strip and its place in the list.
#[derive(Clone, Copy)]
struct Strip {
    item: usize,
    patch: Patch,
}

fn pieces(strips: &[Area]) -> Vec<Strip> {
    let patch = |area: &Area| Patch {
        at: [area.left, area.top].map(Length::to_nanometres),
        size: [area.size.width, area.size.height].map(Length::to_nanometres),
    };
    strips.iter().enumerate().map(|(item, area)| Strip { item, patch: patch(area) }).collect()
}

struct Knife {
    kerf: i64,
}

impl Knife {
    /// The printed part of a page, without its rim left and above, beside the blank rest.
    fn page(&self, page: Patch, strips: &[Strip], blank: Option<i64>) -> Cell {
        let edge = |axis: usize| strips.iter().map(|strip| strip.patch.at[axis]).min();
        let printed = blank.map_or(page, |blank| upto(page, 1, blank));
        let mut inside = printed;
        let mut rims: Vec<(usize, Patch)> = Vec::new();
        for axis in [0, 1] {
            let start = edge(axis).unwrap_or(inside.at[axis]).max(inside.at[axis]);
            rims.push((axis, inside));
            inside.size[axis] = inside.end(axis) - start;
            inside.at[axis] = start;
        }
        let mut cell = self.columns(inside, strips);
        while let Some((axis, whole)) = rims.pop() {
            cell = self.without_rim(whole, axis, cell);
        }
        self.with_rest(page, 1, vec![cell])
    }

    /// The columns side by side, each with what is scrap right of it.
    fn columns(&self, whole: Patch, strips: &[Strip]) -> Cell {
        let lefts = apart(strips.iter().map(|strip| strip.patch.at[0]));
        let mut parts = Vec::new();
        for (number, &left) in lefts.iter().enumerate() {
            let here: Vec<Strip> =
                strips.iter().copied().filter(|strip| strip.patch.at[0] == left).collect();
            let end = lefts.get(number + 1).map_or(whole.end(0), |next| next - self.kerf);
            let part = Patch { at: [left, whole.at[1]], size: [end - left, whole.size[1]] };
            let right = here.iter().map(|strip| strip.patch.end(0)).max().unwrap_or(end);
            let column = self.rows(upto(part, 0, right), &here);
            parts.push(self.with_rest(part, 0, vec![column]));
        }
        self.with_rest(whole, 0, parts)
    }

    /// The rows of a column, what is scrap between and below them, and each strip of its own width.
    fn rows(&self, column: Patch, strips: &[Strip]) -> Cell {
        let mut rows = Vec::new();
        let mut top = column.at[1];
        let mut strips = strips.to_vec();
        strips.sort_by_key(|strip| strip.patch.at[1]);
        for strip in strips {
            if strip.patch.at[1] - self.kerf > top {
                let gap = strip.patch.at[1] - self.kerf - top;
                let patch = Patch { at: [column.at[0], top], size: [column.size[0], gap] };
                rows.push(Cell { patch, what: What::Leftover });
            }
            let row = Patch {
                at: [column.at[0], strip.patch.at[1]],
                size: [column.size[0], strip.patch.size[1]],
            };
            let what = What::Piece { item: strip.item, copy: 0, turned: false };
            rows.push(self.with_rest(row, 0, vec![Cell { patch: strip.patch, what }]));
            top = strip.patch.end(1) + self.kerf;
        }
        self.with_rest(column, 1, rows)
    }

    /// Parts along an axis in their order, and what is left of the whole after them.
    fn with_rest(&self, whole: Patch, axis: usize, mut parts: Vec<Cell>) -> Cell {
        let end = parts.last().map_or(whole.at[axis], |part| part.patch.end(axis));
        let rest = self.after(whole, axis, end);
        if rest.size[axis] > 0 {
            parts.push(Cell { patch: rest, what: What::Leftover });
        }
        match <[Cell; 1]>::try_from(parts) {
            Ok([only]) if only.patch == whole => only,
            Ok(only) => split(whole, axis, only.into()),
            Err(parts) => split(whole, axis, parts),
        }
    }

    /// A part at the far side of paper whose rim before it comes off.
    fn without_rim(&self, whole: Patch, axis: usize, part: Cell) -> Cell {
        let width = part.patch.at[axis] - whole.at[axis];
        if width <= 0 {
            return part;
        }
        let mut rim = whole;
        rim.size[axis] = (width - self.kerf).max(0);
        split(whole, axis, vec![Cell { patch: rim, what: What::Leftover }, part])
    }

    /// What lies after a cut.
    fn after(&self, whole: Patch, axis: usize, at: i64) -> Patch {
        let mut after = whole;
        after.at[axis] = (at + self.kerf).min(whole.end(axis));
        after.size[axis] = whole.end(axis) - after.at[axis];
        after
    }
}

fn split(patch: Patch, axis: usize, parts: Vec<Cell>) -> Cell {
    Cell { patch, what: What::Split { axis, parts, fixed: true } }
}

fn upto(whole: Patch, axis: usize, end: i64) -> Patch {
    let mut before = whole;
    before.size[axis] = end - whole.at[axis];
    before
}

/// Different numbers in order.
fn apart(numbers: impl Iterator<Item = i64>) -> Vec<i64> {
    let mut numbers: Vec<i64> = numbers.collect();
    numbers.sort_unstable();
    numbers.dedup();
    numbers
}
