//! Jobs of many copies: nested by patterns.
//!
//! A pattern is the arrangement of a sheet, and it is cut any number of times: the cutting stock problem
//! (Gilmore & Gomory, Operations Research 9, 1961, and 11, 1963). Patterns come from the direct search for a
//! few kits at once, from sheets with copies of one piece alone, and for the trimmer from prices. How often
//! each is cut is a linear program, rounded down; what is left is nested anew, and its sheets are patterns as
//! well, so that the next round chooses from more. Last, some sheets of the plan at a time are nested anew.
//! So the time depends on the kinds of pieces, not on how many copies are cut of each.

mod anew;
mod budget;
mod choice;
mod demand;
mod first_patterns;
mod pattern;
mod plan;
mod pool;
mod rounds;

use super::task::{Candidate, Task};
use crate::nest::{Effort, Job};
use demand::Demand;
use rounds::Rounds;

/// Pieces up to which a job is searched directly.
const FEW_PIECES: u32 = 60;
/// Copies of a piece, on average, from which a job of more pieces is nested by patterns.
const MANY_COPIES: u32 = 4;

/// Whether a job is nested by patterns.
pub(super) fn suits(job: &Job) -> bool {
    let wanted = job.items.iter().filter(|item| item.copies > 0);
    let items = u32::try_from(wanted.clone().count()).unwrap_or(u32::MAX);
    let pieces = wanted.fold(0_u32, |sum, item| sum.saturating_add(item.copies));
    pieces > FEW_PIECES && pieces / MANY_COPIES >= items
}

/// Looks for a better plan.
pub(super) fn improve(task: &Task<'_>, best: &mut Option<Candidate>, effort: Effort) {
    let demand = Demand::of(task);
    let found = Rounds::new(task, &demand, effort).best();
    task.better(best, found);
    task.choose_offcuts(best);
}
