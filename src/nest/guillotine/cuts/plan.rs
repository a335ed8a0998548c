//! From a pattern to the trimmer's cuts, in the order a person makes them.
//!
//! Every cut runs from edge to edge of the paper in hand. The order is one that sets the fence anew as
//! seldom as can be ([`super::sequence`]); parts that are cut one after the other lie side by side in that
//! order. The measure between fence and blade is always that of the part kept.

use super::CutRules;
use super::rim::{ways, with_rim};
use super::sequence::{self, Link};
use crate::model::keepable;
use crate::model::length::Length;
use crate::nest::rectangles::{Cell, Patch, What, largest_first};
use crate::nest::{Area, Cut, CutLine, Fall, Falls, PlacedItem};

/// What is read from a pattern.
#[derive(Clone, Debug, Default)]
pub(in crate::nest) struct CutPlan {
    /// Pieces and where they lie.
    pub placed: Vec<PlacedItem>,
    /// The cuts in order.
    pub cuts: Vec<Cut>,
    /// Paper worth keeping, largest first.
    pub offcuts: Vec<Area>,
    /// The part for the machine.
    pub machine: Option<Area>,
}

impl CutRules {
    /// The plan for a sheet of `whole` size whose pattern is `root`. `free` are parts of the machine's part
    /// that stay free, measured from its top left.
    pub fn plan(&self, whole: [i64; 2], root: &Cell, free: &[Patch]) -> CutPlan {
        let ways = ways(whole, root.patch).into_iter().take(if self.staged { 1 } else { 4 });
        let plans = ways.map(|rim| {
            let root = with_rim(root, whole, rim, self);
            self.plan_of(whole, &root, free)
        });
        // The first of equals: the rim goes first.
        let effort = |plan: &CutPlan| (plan.cuts.len(), crate::nest::worth::settings(&plan.cuts));
        plans.min_by_key(effort).unwrap_or_default()
    }

    fn plan_of(&self, whole: [i64; 2], root: &Cell, free: &[Patch]) -> CutPlan {
        let mut cuts = Vec::new();
        self.trim_rim(whole, root, &mut cuts);
        let fence = cuts.last().map(|cut| cut.fence.to_nanometres());
        let mut chains = Vec::new();
        list(root, &mut chains);
        let settings = sequence::settings(&chains, fence);
        let orders = sequence::orders(&chains, fence, &settings);
        let root = self.in_order(root, &orders, &mut 0);
        let mut plan = CutPlan::default();
        let mut leftovers = Vec::new();
        gather(&root, &mut plan, &mut leftovers);
        leftovers.retain(|patch| keepable(patch.size, self.worth_keeping));
        if let Some(machine) = plan.machine {
            let at = [machine.left.to_nanometres(), machine.top.to_nanometres()];
            let moved = |patch: &Patch| Patch {
                at: [0, 1].map(|axis| at[axis] + patch.at[axis]),
                ..*patch
            };
            leftovers.extend(free.iter().map(moved));
        }
        largest_first(&mut leftovers);
        plan.offcuts = leftovers.iter().map(|patch| patch.area()).collect();
        let cutter = Cutter { kerf: self.kerf, offcuts: &plan.offcuts };
        if let Some(last) = cuts.last_mut()
            && last.keeps.area == root.patch.area()
        {
            last.keeps.what = cutter.fall(&root);
        }
        cutter.order(&root, &settings, &mut cuts);
        plan.cuts = cuts;
        plan
    }

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
                let more = Falls { what: Fall::More, area: kept.area() };
                cuts.push(cut(in_hand, axis, line, more, scrap));
                in_hand = kept;
            }
        }
    }

    /// The pattern with the parts of each split in the order in which they are freed; `next` counts splits
    /// as [`list`] does.
    fn in_order(&self, cell: &Cell, orders: &[Vec<usize>], next: &mut usize) -> Cell {
        let What::Split { axis, parts, fixed } = &cell.what else { return cell.clone() };
        let own = *next;
        *next += 1;
        let mut parts: Vec<Option<Cell>> =
            parts.iter().map(|part| Some(self.in_order(part, orders, next))).collect();
        if *fixed {
            let parts = parts.into_iter().flatten().collect();
            return Cell { what: What::Split { axis: *axis, parts, fixed: true }, ..*cell };
        }
        let freed = orders.get(own).map_or(&[] as &[usize], Vec::as_slice);
        let mut sorted: Vec<Cell> =
            freed.iter().filter_map(|&part| parts.get_mut(part)?.take()).collect();
        sorted.extend(parts.into_iter().flatten());
        let mut at = cell.patch.at;
        for part in &mut sorted {
            let by = [0, 1].map(|axis| at[axis] - part.patch.at[axis]);
            part.shift(by);
            at[*axis] += part.patch.size[*axis] + self.kerf;
        }
        Cell { what: What::Split { axis: *axis, parts: sorted, fixed: false }, ..*cell }
    }
}

/// The splits of a pattern as chains, each before those within it.
fn list(cell: &Cell, chains: &mut Vec<sequence::Chain>) {
    let What::Split { axis, parts, fixed } = &cell.what else { return };
    let own = chains.len();
    chains.push(sequence::Chain { fixed: *fixed, ..sequence::Chain::default() });
    let is_left = |part: &Cell| part.what == What::Leftover;
    let near = matches!(parts.as_slice(), [first, last] if is_left(first) && !is_left(last));
    let last = parts.len().saturating_sub(1);
    let far = !near && parts.last().is_some_and(is_left);
    // What the blade takes beyond the last part still takes a cut.
    let end = parts.iter().map(|part| part.patch.end(*axis)).max();
    let swallowed = end.is_some_and(|end| end < cell.patch.end(*axis));
    for (place, part) in parts.iter().enumerate() {
        let beyond = if near { place == 0 } else { far && place == last };
        if beyond {
            continue;
        }
        let then = matches!(part.what, What::Split { .. }).then_some(chains.len());
        list(part, chains);
        chains[own].parts.push(Link { measure: part.patch.size[*axis], then, place });
    }
    chains[own].leftover = near || far || swallowed;
}

fn gather(cell: &Cell, plan: &mut CutPlan, leftovers: &mut Vec<Patch>) {
    match &cell.what {
        What::Piece { item, copy, turned } => {
            let at = cell.patch.at.map(|length| Length::nanometres(length).to_inches());
            let turn = if *turned { 90.0 } else { 0.0 };
            plan.placed.push(PlacedItem { item: *item, copy: *copy, at, turn });
        }
        What::Leftover => leftovers.push(cell.patch),
        What::Machine => plan.machine = Some(cell.patch.area()),
        What::Split { parts, .. } => parts.iter().for_each(|part| gather(part, plan, leftovers)),
    }
}

/// A split and how many of its cuts are done.
struct OpenSplit<'a> {
    axis: usize,
    /// The paper in hand.
    in_hand: Patch,
    /// The next part and those after it.
    part: &'a Cell,
    others: &'a [Cell],
}

impl OpenSplit<'_> {
    fn measure(&self) -> i64 {
        kept_and_rest(self).0.patch.size[self.axis]
    }
}

struct Cutter<'a> {
    kerf: i64,
    offcuts: &'a [Area],
}

impl Cutter<'_> {
    /// The cuts of the pattern with these settings of the fence.
    fn order(&self, root: &Cell, settings: &[i64], cuts: &mut Vec<Cut>) {
        let mut open = Vec::new();
        begin_at(root, &mut open, &mut 0);
        let mut fence = cuts.last().map(|cut| cut.fence.to_nanometres());
        let mut settings = settings.iter();
        while !open.is_empty() {
            let place = loop {
                if let Some(place) = next(&open, fence) {
                    break place;
                }
                fence = settings.next().copied().or_else(|| open.first().map(OpenSplit::measure));
            };
            let chain = open.remove(place);
            cuts.push(self.make(&chain, &mut open, place));
        }
    }

    /// Makes the next cut of a chain; what can be cut afterwards goes to `open`.
    fn make<'a>(&self, chain: &OpenSplit<'a>, open: &mut Vec<OpenSplit<'a>>, place: usize) -> Cut {
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
                open.insert(place, OpenSplit { axis, in_hand: drop, part, others });
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
            What::Split { .. } => Fall::More,
            What::Leftover => {
                let area = cell.patch.area();
                let place = self.offcuts.iter().position(|offcut| *offcut == area);
                place.map_or(Fall::Scrap, Fall::Offcut)
            }
        }
    }
}

/// The part that the next cut frees, and the parts that stay together.
fn kept_and_rest<'a>(chain: &OpenSplit<'a>) -> (&'a Cell, &'a [Cell]) {
    match chain.others {
        [kept] if chain.part.what == What::Leftover => (kept, std::slice::from_ref(chain.part)),
        others => (chain.part, others),
    }
}

fn begin_at<'a>(cell: &'a Cell, open: &mut Vec<OpenSplit<'a>>, place: &mut usize) {
    if let What::Split { axis, parts, .. } = &cell.what
        && let [part, others @ ..] = parts.as_slice()
    {
        open.insert(*place, OpenSplit { axis: *axis, in_hand: cell.patch, part, others });
        *place += 1;
    }
}

/// The chain to cut next with the fence as it stands: the one with the longest cut.
fn next(open: &[OpenSplit<'_>], fence: Option<i64>) -> Option<usize> {
    (0..open.len()).filter(|&place| Some(open[place].measure()) == fence).max_by_key(|&place| {
        (open[place].in_hand.size[1 - open[place].axis], std::cmp::Reverse(place))
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
