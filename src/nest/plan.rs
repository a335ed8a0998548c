//! From a pattern to the trimmer's cuts, in the order a person makes them.
//!
//! Every cut runs from edge to edge of the paper in hand. Long cuts come first; a cut with the fence
//! as it stands goes before any other, so that equal measures are cut one after the other wherever
//! the pattern permits. The measure between fence and blade is always that of the part kept.

use super::trimmer::{Cell, Patch, What};
use super::{Area, Cut, CutLine, Fall, Falls, PlacedItem};
use crate::length::Length;

/// Shorter side of the smallest paper worth keeping.
pub(super) const SHORT_SIDE: Length = Length::part(1, 1);
/// Longer side of the smallest paper worth keeping: a tag can still be cut from 1 x 2 in.
pub(super) const LONG_SIDE: Length = Length::part(2, 1);

/// What is read from a pattern.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan {
    /// Pieces and where they lie.
    pub placed: Vec<PlacedItem>,
    /// The cuts in order.
    pub cuts: Vec<Cut>,
    /// Paper worth keeping, largest first.
    pub offcuts: Vec<Area>,
    /// The part for the machine.
    pub machine: Option<Area>,
}

/// Whether a leftover is worth keeping.
pub(super) fn keepable(size: [i64; 2]) -> bool {
    let (short, long) = (size[0].min(size[1]), size[0].max(size[1]));
    short >= SHORT_SIDE.to_nanometres() && long >= LONG_SIDE.to_nanometres()
}

/// The plan for a sheet of `whole` size whose pattern is `root`.
pub(super) fn plan(whole: [i64; 2], root: &Cell, kerf: i64) -> Plan {
    let mut plan = Plan::default();
    let mut leftovers = Vec::new();
    gather(root, &mut plan, &mut leftovers);
    leftovers.retain(|patch| keepable(patch.size));
    leftovers.sort_by_key(|patch| {
        let area = i128::from(patch.size[0]) * i128::from(patch.size[1]);
        (std::cmp::Reverse(area), patch.at[1], patch.at[0])
    });
    plan.offcuts = leftovers.iter().map(|patch| patch.area()).collect();
    let cutter = Cutter { kerf, offcuts: &plan.offcuts };
    let mut cuts = Vec::new();
    cutter.trim_rim(whole, root, &mut cuts);
    cutter.order(root, &mut cuts);
    plan.cuts = cuts;
    plan
}

fn gather(cell: &Cell, plan: &mut Plan, leftovers: &mut Vec<Patch>) {
    match &cell.what {
        What::Piece { item, copy, turned } => {
            let at = cell.patch.at.map(|length| Length::nanometres(length).to_inches());
            let turn = if *turned { 90.0 } else { 0.0 };
            plan.placed.push(PlacedItem { item: *item, copy: *copy, at, turn });
        }
        What::Leftover => leftovers.push(cell.patch),
        What::Machine => plan.machine = Some(cell.patch.area()),
        What::Split(_, parts) => parts.iter().for_each(|part| gather(part, plan, leftovers)),
    }
}

/// A split and how many of its cuts are done.
struct Chain<'a> {
    axis: usize,
    /// The paper in hand.
    in_hand: Patch,
    /// The next part and those after it.
    part: &'a Cell,
    others: &'a [Cell],
}

struct Cutter<'a> {
    kerf: i64,
    offcuts: &'a [Area],
}

impl Cutter<'_> {
    /// The cuts that take the rim off: right and bottom with the sheet against the fence as it is,
    /// then left and top.
    fn trim_rim(&self, whole: [i64; 2], root: &Cell, cuts: &mut Vec<Cut>) {
        let mut in_hand = Patch { at: [0; 2], size: whole };
        for far in [true, false] {
            for axis in [0, 1] {
                let (start, end) = (root.patch.at[axis], root.patch.end(axis));
                let (mut kept, mut rim) = (in_hand, in_hand);
                if far {
                    kept.size[axis] = end - in_hand.at[axis];
                    rim.size[axis] = (in_hand.end(axis) - end - self.kerf).max(0);
                    rim.at[axis] = in_hand.end(axis) - rim.size[axis];
                } else {
                    kept.at[axis] = start;
                    kept.size[axis] = end - start;
                    rim.size[axis] = (start - in_hand.at[axis] - self.kerf).max(0);
                }
                if kept == in_hand {
                    continue;
                }
                let line = if far { end } else { start };
                let scrap = Falls { what: Fall::Scrap, area: rim.area() };
                let done = kept == root.patch;
                let what = if done { self.fall(root) } else { Fall::More };
                cuts.push(cut(in_hand, axis, line, Falls { what, area: kept.area() }, scrap));
                in_hand = kept;
            }
        }
    }

    /// The cuts of the pattern.
    fn order(&self, root: &Cell, cuts: &mut Vec<Cut>) {
        let mut open = Vec::new();
        begin(root, &mut open);
        let mut fence = cuts.last().map(|cut| cut.fence);
        while let Some(place) = next(&open, fence) {
            let chain = open.remove(place);
            let cut = self.make(&chain, &mut open, place);
            fence = Some(cut.fence);
            cuts.push(cut);
        }
    }

    /// Makes the next cut of a chain; what can be cut afterwards goes to `open`.
    fn make<'a>(&self, chain: &Chain<'a>, open: &mut Vec<Chain<'a>>, place: usize) -> Cut {
        let axis = chain.axis;
        let (kept, rest) = kept_and_rest(chain);
        let in_hand = chain.in_hand;
        // A leftover on the near side: the piece on the far side goes to the fence.
        let near = kept.patch.at[axis] > in_hand.at[axis];
        let mut drop = in_hand;
        let line = if near {
            drop.size[axis] = (kept.patch.at[axis] - in_hand.at[axis] - self.kerf).max(0);
            kept.patch.at[axis]
        } else {
            drop.at[axis] = (kept.patch.end(axis) + self.kerf).min(in_hand.end(axis));
            drop.size[axis] = in_hand.end(axis) - drop.at[axis];
            kept.patch.end(axis)
        };
        let what = match rest {
            [] => Fall::Scrap,
            [only] if only.patch == drop => self.fall(only),
            _ => Fall::More,
        };
        let mut place = place;
        match rest {
            [only] if only.patch == drop => begin_at(only, open, &mut place),
            [] => {}
            [part, others @ ..] => {
                open.insert(place, Chain { axis, in_hand: drop, part, others });
                place += 1;
            }
        }
        begin_at(kept, open, &mut place);
        let keeps = Falls { what: self.fall(kept), area: kept.patch.area() };
        cut(in_hand, axis, line, keeps, Falls { what, area: drop.area() })
    }

    fn fall(&self, cell: &Cell) -> Fall {
        match &cell.what {
            What::Piece { item, copy, .. } => Fall::Piece(*item, *copy),
            What::Machine => Fall::Machine,
            What::Split(..) => Fall::More,
            What::Leftover => {
                let area = cell.patch.area();
                let place = self.offcuts.iter().position(|offcut| *offcut == area);
                place.map_or(Fall::Scrap, Fall::Offcut)
            }
        }
    }
}

/// The part that the next cut frees, and the parts that stay together.
fn kept_and_rest<'a>(chain: &Chain<'a>) -> (&'a Cell, &'a [Cell]) {
    match chain.others {
        [kept] if chain.part.what == What::Leftover => (kept, std::slice::from_ref(chain.part)),
        others => (chain.part, others),
    }
}

fn begin<'a>(cell: &'a Cell, open: &mut Vec<Chain<'a>>) {
    let mut place = open.len();
    begin_at(cell, open, &mut place);
}

fn begin_at<'a>(cell: &'a Cell, open: &mut Vec<Chain<'a>>, place: &mut usize) {
    if let What::Split(axis, parts) = &cell.what
        && let [part, others @ ..] = parts.as_slice()
    {
        open.insert(*place, Chain { axis: *axis, in_hand: cell.patch, part, others });
        *place += 1;
    }
}

/// The chain to cut next: one with the fence as it stands, else the longest cut.
fn next(open: &[Chain<'_>], fence: Option<Length>) -> Option<usize> {
    (0..open.len()).max_by_key(|&place| {
        let chain = &open[place];
        let (kept, _) = kept_and_rest(chain);
        let same = fence.is_some_and(|fence| fence.to_nanometres() == kept.patch.size[chain.axis]);
        (same, chain.in_hand.size[1 - chain.axis], std::cmp::Reverse(place))
    })
}

fn cut(in_hand: Patch, axis: usize, line: i64, keeps: Falls, drops: Falls) -> Cut {
    let at = Length::nanometres(line);
    let (line, fence) = if axis == 0 {
        (CutLine::Down(at), keeps.area.size.width)
    } else {
        (CutLine::Across(at), keeps.area.size.height)
    };
    Cut { in_hand: in_hand.area(), line, fence, keeps, drops }
}
