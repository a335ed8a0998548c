//! One paper's job from pieces to sheets: the trimmer's plan, the machine in what it leaves, and then both
//! searched together.
//!
//! More effort is never worse: a longer search begins where the shorter one ended, and a plan takes the
//! place of another only if it is better by the one order of [`super::worth`].

use kurbo::Shape as _;

use super::bounds::{self, Bound, Demand, bound};
use super::guillotine::Proof;
use super::guillotine::{Course, steps, trim};
use super::joint;
use super::machine_part::{Draft, Machine, machine_fits, outline_of};
use super::nested::new_sheets;
use super::rectangles::{
    MOST_COPIES, Shape as Rectangle, Sheets, blocks, bounding_size, costs, holds, inside_rim, kerf,
    sheet_size, trim_margin,
};
use super::worth::Worth;
use super::{Effort, Job, LeftOut, Limit, Nested, SheetCut, Tool, guillotine, interrupt};

/// Cuts a job: which sheets are used, where each piece lies, the cuts, and what is left.
///
/// Every copy of every item is placed exactly once or counted in [`Nested::left_out`]. The outcome
/// is a function of the job alone, and by [`Worth`] never worse than that of less effort.
pub fn nest(job: &Job) -> Nested {
    Begun::default().nest(job)
}

/// The searches for a job so far: more effort goes on where less effort ended, and no search is run twice.
#[derive(Debug, Default)]
pub struct Begun {
    /// The best plan after each effort, least effort first.
    best: Vec<Option<Found>>,
}

impl Begun {
    /// Like [`nest`], for a job that is the same each time but for its effort.
    pub fn nest(&mut self, job: &Job) -> Nested {
        let task = Task::new(job);
        let wanted = Effort::ALL.iter().take_while(|&&effort| effort != job.effort).count() + 1;
        while self.best.len() < wanted && (self.best.is_empty() || !interrupt::asked()) {
            let effort = Effort::ALL[self.best.len()];
            let mut best = self.best.last().cloned().flatten();
            task.improve(&mut best, effort, steps(effort), effort == Effort::Long);
            self.best.push(best);
        }
        let reached = self.best.get(wanted - 1).or(self.best.last());
        task.told(reached.cloned().flatten())
    }

    /// How many searches were run, one an effort.
    pub fn searches(&self) -> usize {
        self.best.len()
    }
}

/// Like [`nest`] with a number of search steps for the trimmer instead of the job's effort, and without
/// the shorter searches before.
pub fn nest_in_steps(job: &Job, steps: u64) -> Nested {
    let task = Task::new(job);
    let mut best = None;
    task.improve(&mut best, job.effort, steps, false);
    task.told(best)
}

/// How many new sheets a job needs at the least, by bounds that take no search.
pub fn least_sheets(job: &Job) -> u32 {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    bound(&demand(job, kerf, margin)).sheets
}

/// What the new sheets of a job cost at the least, by bounds that take no search: the prices written,
/// for trimmer pieces alone and sheets of which a rim is trimmed.
pub fn least_price(job: &Job) -> f64 {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    bounds::least_price(job, kerf, margin)
}

/// The best plan so far.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub worth: Worth,
    nested: Nested,
    left_out: Vec<u32>,
    /// What all searches together have proven.
    proof: Proof,
}

/// A job on its way to a plan.
pub(super) struct Task<'a> {
    pub job: &'a Job,
    pub machine: Machine<'a>,
    pub kerf: i64,
    pub margin: i64,
    least: Bound,
    /// New sheets that the trimmer's pieces alone need.
    sheet_bound: u32,
    /// No plan costs less.
    cost_bound: i128,
}

impl<'a> Task<'a> {
    fn new(job: &'a Job) -> Self {
        let kerf = kerf(job);
        let margin = trim_margin(job);
        let whole = demand(job, kerf, margin);
        let least = bound(&whole);
        let sheet_bound = bound(&Demand { machine_area: 0.0, ..whole }).sheets;
        Self {
            job,
            machine: Machine::new(job),
            kerf,
            margin,
            least,
            sheet_bound,
            cost_bound: cost_bound(job),
        }
    }

    /// Looks for a better plan.
    fn improve(&self, best: &mut Option<Found>, effort: Effort, steps: u64, patient: bool) {
        let course =
            Course { steps, sheet_bound: self.sheet_bound, ends_idle: patient, kept: None };
        let trimmed = trim(self.job, self.kerf, self.margin, &course);
        let mut draft = Draft::of(&trimmed);
        let copies = self.machine.copies(&mut draft.left_out);
        let mut preferences = self.machine.preferences();
        preferences.truncate(if effort == Effort::Quick || copies.is_empty() { 1 } else { 3 });
        let mut chosen = 0;
        for (place, preference) in preferences.iter().enumerate() {
            // The usual order gets all the effort, the others a glance.
            let effort = if place == 0 { effort } else { Effort::Quick };
            let mut draft = draft.clone();
            self.machine.lay(&mut draft, &copies, preference, effort);
            if self.consider(best, draft, trimmed.proof) && place > 0 {
                chosen = place;
            }
        }
        if chosen > 0 {
            self.machine.lay(&mut draft, &copies, &preferences[chosen], effort);
            self.consider(best, draft, trimmed.proof);
        }
        let at_bound = best
            .as_ref()
            .is_some_and(|best| best.worth.left_out == 0 && best.worth.cost <= self.cost_bound);
        let both = !copies.is_empty() && !trimmed.blocks.is_empty();
        match effort {
            Effort::Normal | Effort::Long if both && !at_bound => {
                joint::improve(self, best, &copies, effort, steps);
            }
            // Nothing costs less: only the rest may still grow.
            Effort::Long if both => {
                let effort = Effort::Normal;
                joint::improve(self, best, &copies, effort, guillotine::steps(effort));
            }
            _ => {}
        }
    }

    /// Takes a plan if it is better than the best so far.
    pub fn consider(&self, best: &mut Option<Found>, draft: Draft, proof: Proof) -> bool {
        let found = self.found(draft, proof);
        self.better(best, found)
    }

    /// The better of two plans; both proofs hold for it.
    pub fn better(&self, best: &mut Option<Found>, mut found: Found) -> bool {
        let Some(known) = best else {
            *best = Some(found);
            return true;
        };
        let proof = known.proof.and(found.proof);
        let better = found.worth < known.worth;
        if better {
            std::mem::swap(known, &mut found);
        }
        known.proof = proof;
        better
    }

    /// A draft written out and weighed.
    pub fn found(&self, mut draft: Draft, proof: Proof) -> Found {
        self.machine.relieve(&mut draft);
        let sheets = draft.open.iter().filter_map(|open| self.machine.finished(open)).collect();
        let left_out = self.counted(&draft.left_out);
        let nested = Nested { sheets, left_out, ..Nested::default() };
        let worth = Worth::of(self.job, &nested);
        Found { worth, nested, left_out: draft.left_out, proof }
    }

    /// The plan with what is known about it.
    fn told(&self, best: Option<Found>) -> Nested {
        let Some(Found { nested, left_out, proof, .. }) = best else { return Nested::default() };
        let least = self.least.proven(proof.sheets);
        let mut notes = notes(self.job, &left_out);
        notes.extend(cheapest(self.job, &nested.sheets, proof, least));
        if interrupt::asked() {
            notes.push(interrupt::NOTE.to_owned());
        }
        let limit = limit(self.job, &nested.sheets, &left_out, least);
        Nested { bound: least.sheets, limit, notes, ..nested }
    }
}

/// The least that new sheets with enough paper for all pieces cost.
fn cost_bound(job: &Job) -> i128 {
    let fits = |item: &&super::Item| match item.tool {
        Tool::Machine => machine_fits(job, item),
        Tool::Trimmer | Tool::Hand => bounding_size(item).is_some(),
    };
    let asked: f64 =
        job.items.iter().filter(fits).map(|item| item.area() * f64::from(item.copies)).sum();
    let costs = costs(job);
    let kinds = job.stock.iter().zip(costs).filter_map(|(stock, cost)| {
        Some(Sheets { size: sheet_size(stock)?, count: stock.count, cost })
    });
    bounds::least_cost_by_area(asked, &kinds.collect::<Vec<_>>())
}

/// What the bound is computed from.
fn demand(job: &Job, kerf: i64, margin: i64) -> Demand {
    let mut demand = Demand { kerf, ..Demand::default() };
    let fits = |shape: &Rectangle| {
        job.stock
            .iter()
            .filter_map(sheet_size)
            .any(|size| shape.ways().iter().any(|&way| holds(size, shape.lying(way))))
    };
    demand.shapes = blocks(job, kerf).iter().map(|block| block.shape).filter(|s| fits(s)).collect();
    for item in job.items.iter().filter(|item| item.tool == Tool::Machine) {
        if machine_fits(job, item) {
            demand.machine_area += outline_of(item).area().abs() * f64::from(item.copies);
        }
    }
    for stock in &job.stock {
        let Some(size) = sheet_size(stock) else { continue };
        if stock.offcut.is_none() {
            // Machine pieces and pieces as large as the sheet need no trimmed rim.
            let whole = demand.machine_area > 0.0
                || demand
                    .shapes
                    .iter()
                    .any(|shape| shape.ways().iter().any(|&way| shape.lying(way) == size));
            let inside = inside_rim(stock, margin).map(|patch| patch.size);
            demand.new.extend(if whole { Some(size) } else { inside });
        } else {
            let count = stock.count.min(MOST_COPIES) as usize;
            demand.offcuts.extend(std::iter::repeat_n(size, count));
        }
    }
    demand
}

impl Task<'_> {
    /// Copies without a place, by item.
    fn counted(&self, left_out: &[u32]) -> Vec<LeftOut> {
        let (job, margin) = (self.job, self.margin);
        if left_out.iter().all(|&copies| copies == 0) {
            return Vec::new();
        }
        let blocks = blocks(job, self.kerf);
        let room = |stock| {
            let inside = inside_rim(stock, margin).map(|patch| patch.size);
            sheet_size(stock).into_iter().chain(inside)
        };
        let stocked = job.stock.iter().any(|stock| sheet_size(stock).is_some());
        let trimmer_fits = |item: usize| {
            blocks.iter().filter(|block| block.has(item)).any(|block| {
                job.stock.iter().any(|stock| {
                    room(stock).enumerate().any(|(inside, room)| {
                        block.shape.ways().iter().any(|&way| {
                            let size = block.shape.lying(way);
                            if inside == 0 && margin > 0 { room == size } else { holds(room, size) }
                        })
                    })
                })
            })
        };
        let mut counted = Vec::new();
        for (item, &copies) in left_out.iter().enumerate().filter(|(_, copies)| **copies > 0) {
            let fits = match job.items[item].tool {
                Tool::Machine => machine_fits(job, &job.items[item]),
                Tool::Trimmer | Tool::Hand => trimmer_fits(item),
            };
            let sized = bounding_size(&job.items[item]).is_some();
            counted.push(LeftOut { item, copies, too_large: stocked && sized && !fits });
        }
        counted
    }
}

/// Why items are left out that no sheet could hold.
fn notes(job: &Job, left_out: &[u32]) -> Vec<String> {
    let mut notes = Vec::new();
    for (item, _) in left_out.iter().enumerate().filter(|(_, copies)| **copies > 0) {
        let item = &job.items[item];
        if bounding_size(item).is_none() {
            notes.push(format!("{} has no size, so there is nothing to cut", item.id));
        } else if item.copies > MOST_COPIES {
            notes.push(format!("no more than {MOST_COPIES} pieces are cut in one go"));
        }
    }
    notes
}

/// What limits the number of sheets, if there are no more of them than the bound says.
fn limit(job: &Job, sheets: &[SheetCut], left_out: &[u32], least: Bound) -> Option<Limit> {
    let complete = left_out.iter().all(|&copies| copies == 0);
    let proven = new_sheets(&job.stock, sheets) == least.sheets as usize;
    (complete && proven && least.sheets > 1).then(|| least.limit())
}

/// Says so where no cheaper mix of sheets can do, although fewer sheets might.
fn cheapest(job: &Job, sheets: &[SheetCut], proof: Proof, least: Bound) -> Option<String> {
    let new = new_sheets(&job.stock, sheets);
    let machine = job.items.iter().any(|item| item.tool == Tool::Machine && item.copies > 0);
    (proof.cost && !machine && new > least.sheets as usize)
        .then(|| "no cheaper sheets can do: every way of sharing the pieces out was tried".into())
}
