//! The order of the searches: the trimmer's plan, the machine in what it leaves, and then both searched
//! together.
//!
//! More effort is never worse: a longer search begins where the shorter one ended, and a plan takes the
//! place of another only if it is better by the one order of [`crate::nest::worth`].

use super::kits;
use super::task::{Candidate, Task, demand};
use crate::nest::bounds::{self, Bound, bound};
use crate::nest::guillotine::{Proof, steps};
use crate::nest::nested::new_sheets;
use crate::nest::rectangles::{MOST_COPIES, bounding_size, kerf, trim_margin};
use crate::nest::{Effort, Job, Limit, Nested, Note, Search, SheetCut, Tool};

/// Cuts a job: which sheets are used, where each piece lies, the cuts, and what is left.
///
/// Every copy of every item is placed exactly once or counted in [`Nested::left_out`]. The outcome
/// is a function of the job alone, and never worse than that of less effort, by the order of `worth`.
pub fn nest(job: &Job) -> Nested {
    Search::new().nest(job)
}

impl Search {
    /// Like [`nest`]: stopped, it ends with the best found until then.
    pub fn nest(&self, job: &Job) -> Nested {
        Begun::default().nest(job, self)
    }
}

/// The searches for a job so far: more effort goes on where less effort ended, and no search is run twice.
#[derive(Debug, Default)]
pub struct Begun {
    /// The best plan after each effort, least effort first.
    best: Vec<Option<Candidate>>,
}

impl Begun {
    /// Like [`nest`], for a job that is the same each time but for its effort.
    pub fn nest(&mut self, job: &Job, search: &Search) -> Nested {
        let task = Task::new(job, search);
        let wanted = Effort::ALL.iter().take_while(|&&effort| effort != job.effort).count() + 1;
        while self.best.len() < wanted && (self.best.is_empty() || !search.is_stopped()) {
            let effort = Effort::ALL[self.best.len()];
            let mut best = self.best.last().cloned().flatten();
            if kits::suits(job) {
                kits::improve(&task, &mut best, effort);
            } else {
                task.improve(&mut best, effort, steps(effort), effort == Effort::Long);
            }
            self.best.push(best);
        }
        let reached = self.best.get(wanted - 1).or(self.best.last());
        task.answer(reached.cloned().flatten())
    }

    /// How many searches were run, one an effort.
    pub fn searches(&self) -> usize {
        self.best.len()
    }
}

/// Like [`nest`] with a number of search steps for the trimmer instead of the job's effort, and without
/// the shorter searches before. A job of many copies is nested by patterns, as much as its effort says.
pub fn nest_in_steps(job: &Job, steps: u64) -> Nested {
    let search = Search::new();
    let task = Task::new(job, &search);
    let mut best = None;
    if kits::suits(job) {
        kits::improve(&task, &mut best, job.effort);
    } else {
        task.improve(&mut best, job.effort, steps, false);
    }
    task.answer(best)
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

impl Task<'_> {
    /// The plan with what is known about it.
    fn answer(&self, best: Option<Candidate>) -> Nested {
        let Some(Candidate { nested, left_out, proof, .. }) = best else {
            return Nested::default();
        };
        let least = self.least.proven(proof.sheets);
        let mut notes = notes(self.job, &left_out);
        notes.extend(cheapest(self.job, &nested.sheets, proof, least));
        if self.search.is_stopped() {
            notes.push(Note::Stopped);
        }
        let limit = limit(self.job, &nested.sheets, &left_out, least);
        Nested { bound: least.sheets, limit, notes, ..nested }
    }
}

/// Why items are left out that no sheet could hold.
fn notes(job: &Job, left_out: &[u32]) -> Vec<Note> {
    let mut notes = Vec::new();
    for (place, _) in left_out.iter().enumerate().filter(|(_, copies)| **copies > 0) {
        let item = &job.items[place];
        if bounding_size(item).is_none() {
            notes.push(Note::NoSize { item: place });
        } else if item.copies > MOST_COPIES {
            notes.push(Note::TooMany { most: MOST_COPIES });
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
fn cheapest(job: &Job, sheets: &[SheetCut], proof: Proof, least: Bound) -> Option<Note> {
    let new = new_sheets(&job.stock, sheets);
    let machine = job.items.iter().any(|item| item.tool == Tool::Machine && item.copies > 0);
    (proof.cost && !machine && new > least.sheets as usize).then_some(Note::NoneCheaper)
}
