//! Small jobs to the end: the best plan, and the proof that no other is better.
//!
//! Branch and bound over the sheets, as Martello & Vigo do (Management Science 44, 1998): the largest
//! piece without a place has to lie on some sheet, so every sheet and every set of pieces that can
//! lie beside it is tried. A set that leaves room for a further piece needs no trial of its own (the
//! dominance of Pisinger & Sigurd, INFORMS Journal on Computing 19, 2007). Sets that failed are
//! remembered. Area and dual feasible values cut branches off; [`super::pattern`] answers
//! whether a set can be cut from a sheet. Steps are counted; when they run out, nothing is claimed.

use std::collections::HashMap;

use super::Proof;
use super::pattern::{self, Made, Pattern, Patterns, Set, Spent, form, members, pieces_of};
use crate::nest::bounds::weights;
use crate::nest::guillotine::problem::CuttingProblem;
use crate::nest::guillotine::tree::{Forest, Kind, number};
use crate::nest::rectangles::{Rectangle, Sheets};

/// Most pieces that are searched to the end: sets of them are bits, and their number doubles with
/// each.
pub(in crate::nest::guillotine) const MOST_PIECES: usize = 22;
/// Most kinds of sheets, offcuts among them.
const MOST_KINDS: usize = 8;
/// Most kinds of new sheets: all their mixes are gone through in every step.
const MOST_NEW_KINDS: usize = 3;
/// Rounding of areas must not cut off a branch.
const HAIR: f64 = 1e-9;

/// What the search to the end found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::nest::guillotine) enum Outcome {
    /// No plan stays within the limit: every one was tried.
    Nothing,
    /// A plan within the limit.
    Plan,
    /// The steps ran out.
    Unknown,
}

/// A sheet of a plan.
#[derive(Clone, Copy, Debug)]
struct Filled {
    kind: usize,
    set: Set,
}

/// The search to the end.
pub(in crate::nest::guillotine) struct Exact<'a> {
    problem: &'a CuttingProblem,
    sheets: Vec<Sheets>,
    patterns: Patterns,
    /// Largest budget with which a set is known to fail, by the sheets that are left.
    failed: HashMap<(Set, Vec<u32>), i128>,
    weights: Vec<Vec<f64>>,
    plan: Vec<Filled>,
}

impl<'a> Exact<'a> {
    /// Ready to search, or nothing if the job is too large for it.
    pub fn new(problem: &'a CuttingProblem, steps: u64) -> Option<Self> {
        let total: usize = problem.shapes.iter().map(|shape| shape.copies as usize).sum();
        let kinds = problem.sheets.iter().filter(|sheets| sheets.count > 0).count();
        let new =
            problem.sheets.iter().filter(|sheets| sheets.count > 0 && sheets.cost > 0).count();
        let many = kinds > MOST_KINDS || new > MOST_NEW_KINDS;
        let cut_again = problem.shapes.iter().any(|shape| shape.parts.is_some());
        if total > MOST_PIECES || many || (problem.levels.is_some() && cut_again) {
            return None;
        }
        let pieces = pieces_of(&problem.shapes, problem.kerf);
        let sizes = problem.sheets.iter().filter(|sheets| sheets.count > 0);
        let sizes: Vec<[i64; 2]> = sizes.map(|sheets| sheets.size).collect();
        let forms: Vec<Rectangle> = pieces.iter().map(|piece| piece.form).collect();
        Some(Self {
            problem,
            sheets: problem.sheets.clone(),
            weights: weights(&forms, &sizes, problem.kerf),
            patterns: Patterns::new(
                pieces,
                sizes,
                problem.kerf,
                problem.levels,
                steps,
                &problem.search,
            ),
            failed: HashMap::new(),
            plan: Vec::new(),
        })
    }

    /// Counts every new sheet alike, so that limits are numbers of new sheets.
    pub fn count_sheets(&mut self) {
        self.failed.clear();
        for sheets in &mut self.sheets {
            sheets.cost = sheets.cost.min(1);
        }
    }

    /// Looks for a plan that costs no more than `limit`.
    pub fn within(&mut self, limit: i128) -> Outcome {
        self.plan.clear();
        let all = self.patterns.pieces.len();
        let set = (0..all).fold(0, |set, place| set | 1 << place);
        let mut left: Vec<u32> = self.sheets.iter().map(|sheets| sheets.count).collect();
        for count in &mut left {
            *count = (*count).min(number(all));
        }
        match self.cover(set, limit, &mut left) {
            Ok(true) => Outcome::Plan,
            Ok(false) => Outcome::Nothing,
            Err(Spent) => Outcome::Unknown,
        }
    }

    /// Cost of the plan that was found.
    pub fn cost(&self) -> i128 {
        self.plan.iter().map(|filled| self.sheets[filled.kind].cost).sum()
    }

    /// Whether the rest of the pieces can be cut; the plan gets its sheets.
    fn cover(&mut self, set: Set, budget: i128, left: &mut Vec<u32>) -> Result<bool, Spent> {
        if set == 0 {
            return Ok(true);
        }
        self.patterns.step(1)?;
        let set = self.patterns.plain(set);
        let key = (set, left.clone());
        if self.failed.get(&key).is_some_and(|&known| known >= budget) {
            return Ok(false);
        }
        let area = self.patterns.area(set);
        let spare = self.most(budget, left, |sheets| self.patterns.room(sheets.size)) - area;
        if spare >= -HAIR * area && !self.too_many(set, budget, left) {
            for kind in 0..left.len() {
                if self.try_kind(set, kind, spare + HAIR * area, budget, left)? {
                    return Ok(true);
                }
            }
        }
        self.failed.insert(key, budget);
        Ok(false)
    }

    /// Tries every set on a sheet of a kind, the largest first.
    fn try_kind(
        &mut self,
        set: Set,
        kind: usize,
        spare: f64,
        budget: i128,
        left: &mut Vec<u32>,
    ) -> Result<bool, Spent> {
        let sheets = self.sheets[kind];
        let twin = self.sheets[..kind].iter().zip(&*left).any(|(other, &count)| {
            count > 0 && other.cost == sheets.cost && other.size == sheets.size
        });
        if left[kind] == 0 || sheets.cost > budget || twin {
            return Ok(false);
        }
        let mut choice = Choice {
            all: set,
            sheet: sheets.size,
            least: self.patterns.room(sheets.size) - spare,
            sets: Vec::new(),
        };
        let first = set & set.wrapping_neg();
        if self.patterns.fit(first, sheets.size)?.is_none() {
            return Ok(false);
        }
        choice.grow(&mut self.patterns, first, set & !first)?;
        choice.sets.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        left[kind] -= 1;
        for (chosen, _) in choice.sets {
            self.plan.push(Filled { kind, set: chosen });
            if self.cover(set & !chosen, budget - sheets.cost, left)? {
                return Ok(true);
            }
            self.plan.pop();
        }
        left[kind] += 1;
        Ok(false)
    }

    /// The most of something that the sheets within the budget hold.
    fn most(&self, budget: i128, left: &[u32], worth: impl Fn(&Sheets) -> f64) -> f64 {
        let (mut free, mut bought) = (0.0, Vec::new());
        for (sheets, &count) in self.sheets.iter().zip(left) {
            if sheets.cost == 0 {
                free += f64::from(count) * worth(sheets);
            } else if count > 0 {
                bought.push((sheets.cost, count, worth(sheets)));
            }
        }
        free + most_bought(budget, &bought)
    }

    /// Whether dual feasible values ask for more sheets than the budget buys.
    fn too_many(&self, set: Set, budget: i128, left: &[u32]) -> bool {
        let sheets = self.most(budget, left, |_| 1.0);
        let sums = self.weights.iter();
        let mut sums = sums.map(|weights| members(set).map(|place| weights[place]).sum::<f64>());
        sums.any(|sum| sum > sheets + 1e-6)
    }

    /// The plan that was found as trees, on a forest without sheets.
    pub fn build(&mut self, mut forest: Forest) -> Option<Forest> {
        for filled in self.plan.clone() {
            let sheets = self.problem.sheets[filled.kind];
            let pattern = self.patterns.fit(filled.set, sheets.size).ok()??;
            let root = forest.open(filled.kind, sheets.size, sheets.cost);
            self.cut(&mut forest, root, filled.set, pattern)?;
        }
        forest.complete().then_some(forest)
    }

    /// Cuts a pattern from a leftover that nothing lies behind.
    fn cut(&mut self, forest: &mut Forest, slot: u32, set: Set, pattern: Pattern) -> Option<()> {
        let mut fresh = Vec::new();
        match pattern.made {
            Made::Piece => {
                let (block, turned) = self.waiting(forest, set, pattern.size)?;
                forest.waiting[block] -= 1;
                let kind = Kind::Piece { block: number(block), turned };
                let axis = forest.axis_beside(slot).unwrap_or(0);
                forest.place(slot, kind, pattern.size, axis, &mut fresh);
            }
            Made::Two { axis, .. } => {
                let mut parts = Vec::new();
                self.flatten(set, pattern, axis, &mut parts)?;
                let mut slot = slot;
                let wider = forest.nodes[slot as usize].size[1 - axis] > pattern.size[1 - axis];
                // One leftover for all parts is a level more.
                if wider && !self.patterns.limited() {
                    slot = forest.part(slot, 1 - axis, pattern.size[1 - axis], &mut fresh);
                }
                for (set, part) in parts {
                    fresh.clear();
                    let mut here = slot;
                    if forest.nodes[slot as usize].size[axis] > part.size[axis] {
                        here = forest.part(slot, axis, part.size[axis], &mut fresh);
                    }
                    slot = fresh.first().copied().unwrap_or(here);
                    self.cut(forest, here, set, part)?;
                }
            }
        }
        Some(())
    }

    /// The parts of a pattern that lie one after the other along an axis.
    fn flatten(
        &mut self,
        set: Set,
        pattern: Pattern,
        axis: usize,
        parts: &mut Vec<(Set, Pattern)>,
    ) -> Option<()> {
        match pattern.made {
            Made::Two { axis: along, parts: two } if along == axis => {
                for part in two {
                    let pattern = self.patterns.at(part)?;
                    self.flatten(part.0.set, pattern, axis, parts)?;
                }
            }
            Made::Two { .. } | Made::Piece => parts.push((set, pattern)),
        }
        Some(())
    }

    /// A shape that waits, has the form of the set's one piece, and lies as large as `size`.
    fn waiting(&self, forest: &Forest, set: Set, size: [i64; 2]) -> Option<(usize, bool)> {
        let form = form(&self.patterns.pieces.get(set.trailing_zeros() as usize)?.form);
        let mut shapes = self.problem.shapes.iter().enumerate();
        shapes.find_map(|(block, shape)| {
            let ways = shape.ways().iter();
            let way = ways.copied().find(|&turned| shape.lying(turned) == size)?;
            (forest.waiting[block] > 0 && pattern::form(shape) == form).then_some((block, way))
        })
    }
}

/// The sets that may share a sheet.
struct Choice {
    all: Set,
    sheet: [i64; 2],
    /// Smaller sets waste too much.
    least: f64,
    sets: Vec<(Set, f64)>,
}

impl Choice {
    /// Takes the first piece of `open` or does without it.
    fn grow(&mut self, patterns: &mut Patterns, set: Set, open: Set) -> Result<(), Spent> {
        patterns.step(1)?;
        if patterns.area(set | open) < self.least {
            return Ok(());
        }
        let next = open & open.wrapping_neg();
        if next == 0 {
            if !self.has_room(patterns, set)? {
                self.sets.push((set, patterns.area(set)));
            }
            return Ok(());
        }
        let rest = open & !next;
        if patterns.fit(set | next, self.sheet)?.is_some() {
            self.grow(patterns, set | next, rest)?;
        }
        // Without this piece, without those equal to it as well.
        let mut without = rest;
        let mut bit = next << 1;
        while patterns.same_as_before(bit) {
            without &= !bit;
            bit <<= 1;
        }
        self.grow(patterns, set, without)
    }

    /// Whether a further piece fits.
    fn has_room(&self, patterns: &mut Patterns, set: Set) -> Result<bool, Spent> {
        for place in members(self.all & !set) {
            if patterns.fit(set | 1 << place, self.sheet)?.is_some() {
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// The most that sheets of some price, number and worth give within a budget.
fn most_bought(budget: i128, kinds: &[(i128, u32, f64)]) -> f64 {
    let Some((&(cost, count, worth), others)) = kinds.split_first() else { return 0.0 };
    let affordable = u32::try_from((budget / cost).max(0)).unwrap_or(u32::MAX).min(count);
    if others.is_empty() {
        return f64::from(affordable) * worth;
    }
    (0..=affordable)
        .map(|number| {
            let rest = budget - i128::from(number) * cost;
            f64::from(number) * worth + most_bought(rest, others)
        })
        .fold(0.0, f64::max)
}

/// Makes a plan the cheapest if the job is small enough, and says what that proves; `blank` is a
/// forest without sheets.
pub(in crate::nest::guillotine) fn prove(
    problem: &CuttingProblem,
    best: &mut Forest,
    blank: &Forest,
) -> Proof {
    let mut proof = Proof::default();
    let Some(mut exact) = Exact::new(problem, problem.exact_steps) else { return proof };
    loop {
        let complete = best.complete();
        let limit = if complete { best.cost - 1 } else { i128::MAX };
        match exact.within(limit) {
            Outcome::Unknown => return proof,
            Outcome::Nothing if complete => break,
            Outcome::Nothing => return proof,
            Outcome::Plan => match exact.build(blank.clone()) {
                Some(plan) if plan.cost <= limit => *best = plan,
                _ => return proof,
            },
        }
    }
    proof.cost = true;
    proof.sheets = exact.least_sheets(best);
    proof
}

impl Exact<'_> {
    /// The fewest new sheets, if the steps last; `best` is the cheapest plan.
    fn least_sheets(&mut self, best: &Forest) -> Option<u32> {
        let bought = self.sheets.iter().zip(&best.used).filter(|(sheets, _)| sheets.cost > 0);
        let mut least: u32 = bought.map(|(_, &used)| used).sum();
        let mut costs = self.sheets.iter().filter(|sheets| sheets.cost > 0 && sheets.count > 0);
        let first = costs.next()?.cost;
        if costs.all(|sheets| sheets.cost == first) {
            return Some(least);
        }
        self.count_sheets();
        while least > 0 {
            match self.within(i128::from(least) - 1) {
                Outcome::Unknown => return None,
                Outcome::Nothing => break,
                Outcome::Plan => least = u32::try_from(self.cost()).ok()?,
            }
        }
        Some(least)
    }
}
