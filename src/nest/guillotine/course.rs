//! The course of a search: a first plan, a proof where the job is small, cheaper plans, and at last what is
//! left gathered in one piece.

use super::column_generation::{Columns, suits};
use super::exact::{MOST_PIECES, Proof, perfect_sheets, prove};
use super::grids::grids;
use super::problem::{CuttingProblem, Mix};
use super::rank::rank;
use super::ruin_recreate::{RuinAndRecreate, SEEDS};
use super::sheet_mix::{cheaper_mixes, cost_of, mixed};
use super::tree::Forest;

/// Share of the steps kept for gathering leftovers: one in so many.
const GATHERING: u64 = 3;
/// A long run gathers no more than this and one step in so many.
const LONG_GATHERING: (u64, u64) = (4_000, 20);
/// Share of the steps for a first plan before a small job is searched to the end: one in so many.
const BEFORE_PROOF: u64 = 8;
/// The search of each sheet's pattern to the end gets one in so many of the steps of the search to the end.
const SHARE_FOR_SHEETS: u64 = 8;
/// Steps from which a run is long: they are enough for prices to settle, or for two searches that share
/// them and go their own ways, side by side where there are two threads.
const LONG_RUN: u64 = 400_000;
/// Steps of the search before whole sheets are chosen by prices.
const BEFORE_PRICES: u64 = 50_000;
/// Most mixes of sheets that are tried by prices after a plan is found.
const MOST_PRICED: usize = 2;

/// The best plan found, and what is proven about it.
pub(super) fn search(problem: &CuttingProblem) -> (Forest, Proof) {
    let mut search = RuinAndRecreate::new(problem, SEEDS[0]);
    let mut best = search.first();
    let mut proof = Proof::default();
    let pieces = problem.pieces() as usize;
    if pieces < 2 || problem.steps == 0 {
        return (finished(&mut search, best), proof);
    }
    let (some, share) = LONG_GATHERING;
    let last_steps = (problem.steps / GATHERING).min(some + problem.steps / share);
    let mut first_steps = problem.steps - last_steps;
    if pieces <= MOST_PIECES {
        let few = first_steps / BEFORE_PROOF;
        first_steps -= few;
        best = search.lower(best, few);
        if !search.is_done(&best) {
            proof = prove(problem, &mut best, &problem.blank());
        }
    }
    if !proof.cost && !search.is_done(&best) {
        let share = first_steps / if first_steps < LONG_RUN { 2 } else { 3 };
        first_steps -= mixed(problem, &mut best, share);
    }
    if !proof.cost {
        best = cheaper(&mut search, best, first_steps);
    }
    let best = search.onto_offcuts(best);
    let best = search.gather(best, last_steps);
    (finished(&mut search, best), proof)
}

/// A plan with what the search by chance may miss: offcuts before new sheets, plain grids, and the pattern of
/// each sheet of few pieces searched to the end.
fn finished(search: &mut RuinAndRecreate<'_>, best: Forest) -> Forest {
    let problem = search.problem;
    let mut fences = Vec::new();
    let mut best = search.onto_offcuts(best);
    let mut best_rank = rank(&best, problem, &mut fences).0;
    for plan in grids(problem) {
        let plan = search.onto_offcuts(plan);
        let rank = rank(&plan, problem, &mut fences).0;
        if rank.beats(&best_rank) {
            (best, best_rank) = (plan, rank);
        }
    }
    perfect_sheets(problem, best, problem.exact_steps / SHARE_FOR_SHEETS)
}

/// Looks for cheaper plans. A long run chooses whole sheets by prices, after a short search, where a sheet
/// holds few pieces; else it goes two ways, of which the better is kept.
fn cheaper(search: &mut RuinAndRecreate<'_>, best: Forest, steps: u64) -> Forest {
    if steps < LONG_RUN || search.is_done(&best) {
        return search.lower(best, steps);
    }
    if suits(search.problem, &best) {
        let best = search.lower(best, BEFORE_PRICES);
        return by_prices(search, best, steps - BEFORE_PRICES);
    }
    let mut beside = RuinAndRecreate::new(search.problem, SEEDS[1]);
    let begun = best.clone();
    let (one, other) =
        rayon::join(|| search.lower(best, steps / 2), || beside.lower(begun, steps / 2));
    let left = |forest: &Forest| search.problem.left_out(forest);
    let better = left(&other).total_cmp(&left(&one)).then(other.cost.cmp(&one.cost)).is_lt();
    if better { other } else { one }
}

/// Looks for plans of whole sheets that cost less, of several kinds of sheets on one mix after the other.
/// Steps that remain go to the search.
fn by_prices(search: &mut RuinAndRecreate<'_>, mut best: Forest, steps: u64) -> Forest {
    let mut columns = Columns::new(search.problem, steps);
    columns.learn(&best);
    let mut tried: Vec<Mix> = Vec::new();
    while columns.steps > 0 && !search.is_done(&best) && tried.len() < MOST_PRICED {
        let mut mixes = cheaper_mixes(search.problem, &best);
        mixes.retain(|mix| !tried.contains(mix));
        let Some(mix) = mixes.into_iter().next() else { break };
        let several = mix.len() > 1;
        if several {
            columns.problem.limit(&mix);
        }
        let share = if several { steps / MOST_PRICED as u64 } else { columns.steps };
        let goal = cost_of(search.problem, &mix);
        tried.push(mix);
        if let Some(found) = columns.within(goal, share) {
            best = found;
            columns.learn(&best);
            tried.clear();
        } else if !several && columns.hopeless {
            return best;
        }
    }
    search.lower(best, columns.steps)
}
