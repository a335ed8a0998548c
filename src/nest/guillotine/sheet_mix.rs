//! Which mix of sheets to buy where there are several kinds.
//!
//! The search moves pieces well, but seldom empties a sheet to take one of another kind instead. So it
//! is started again on one mix of sheets after the other, each cheaper than the best plan: restarts
//! with restricted sets of sheets, as Gardeyn & Wauters propose (EJOR 301, 2022).

use rayon::prelude::*;

use super::problem::{CuttingProblem, Mix};
use super::ruin_recreate::{RuinAndRecreate, SEEDS};
use super::tree::Forest;
use crate::search::Chance;

/// Most mixes that are tried after a plan is found, those with the most paper first.
const MOST_MIXES: usize = 8;
/// A mix gets one in so many of the steps, twice as many once all have been tried.
const STEPS_PER_MIX: u64 = 16;
/// Mixes that are tried side by side.
const SIDE_BY_SIDE: usize = 2;
/// Where there are more mixes, none is tried.
const MOST_LISTED: u64 = 5_000;

/// Looks for plans on mixes of sheets that cost less than the best plan, and returns the steps it
/// spent, no more than `steps`.
pub(super) fn mixed(problem: &CuttingProblem, best: &mut Forest, steps: u64) -> u64 {
    if problem.kinds().len() < 2 {
        return 0;
    }
    let mut each = steps / STEPS_PER_MIX;
    let mut seeds = Chance::new(SEEDS[0]);
    let mut spent = 0;
    let mut tried: Vec<Mix> = Vec::new();
    while each > 0 && spent + each * SIDE_BY_SIDE as u64 <= steps && !problem.search.is_stopped() {
        let mut mixes = cheaper_mixes(problem, best);
        if mixes.is_empty() {
            break;
        }
        mixes.retain(|mix| !tried.contains(mix));
        mixes.truncate(SIDE_BY_SIDE);
        if mixes.is_empty() || tried.len() >= MOST_MIXES {
            each *= 2;
            tried.clear();
            continue;
        }
        let next: Vec<(&Mix, u64)> = mixes.iter().map(|mix| (mix, seeds.below(u64::MAX))).collect();
        let found: Vec<Forest> =
            next.par_iter().map(|&(mix, seed)| on_mix(problem, mix, seed, each)).collect();
        spent += each * mixes.len() as u64;
        tried.extend(mixes);
        for found in found {
            if found.complete() && found.cost < best.cost {
                *best = found;
                tried.clear();
            }
        }
    }
    spent
}

/// The best plan found on a mix of sheets.
fn on_mix(problem: &CuttingProblem, mix: &Mix, seed: u64, steps: u64) -> Forest {
    let mut restricted = CuttingProblem { steps, ..problem.clone() };
    restricted.limit(mix);
    let mut search = RuinAndRecreate::new(&restricted, seed);
    let first = search.first();
    search.lower(first, steps)
}

/// What a mix costs.
pub(super) fn cost_of(problem: &CuttingProblem, mix: &Mix) -> i128 {
    mix.iter().map(|&(kind, count)| problem.sheets[kind].cost * i128::from(count)).sum()
}

/// Mixes that cost less than a plan in which nothing is left out and have paper for everything, the most
/// paper first. Of the last kind there are as many as the money buys. None where there are too many mixes.
pub(super) fn cheaper_mixes(problem: &CuttingProblem, best: &Forest) -> Vec<Mix> {
    let kinds = problem.kinds();
    let most = |&kind: &usize| u64::from(affordable(problem, kind, best.cost)) + 1;
    // Of the last kind there is one number for each mix of the others.
    let many = kinds.iter().rev().skip(1).map(most).fold(1, u64::saturating_mul);
    if many > MOST_LISTED || !best.complete() {
        return Vec::new();
    }
    let covered: f64 =
        problem.shapes.iter().map(|shape| f64::from(shape.copies) * best.area(shape.size)).sum();
    let free = problem.sheets.iter().filter(|sheets| sheets.cost == 0);
    let free: f64 = free.map(|sheets| f64::from(sheets.count) * best.area(sheets.size)).sum();
    let mut mixes: Vec<(f64, Mix)> = Vec::new();
    let mut mix = vec![0; kinds.len()];
    list(problem, &kinds, best.cost - 1, &mut mix, 0, &mut |mix| {
        let mix: Mix = kinds.iter().copied().zip(mix.iter().copied()).collect();
        let bought = mix
            .iter()
            .map(|&(kind, count)| f64::from(count) * best.area(problem.sheets[kind].size));
        let paper: f64 = free + bought.sum::<f64>();
        if paper >= covered {
            mixes.push((paper, mix));
        }
    });
    mixes.sort_by(|one, other| other.0.total_cmp(&one.0).then_with(|| one.1.cmp(&other.1)));
    mixes.into_iter().map(|(_, mix)| mix).collect()
}

/// Hands out every mix within the budget.
fn list(
    problem: &CuttingProblem,
    kinds: &[usize],
    budget: i128,
    mix: &mut Vec<u32>,
    place: usize,
    take: &mut impl FnMut(&[u32]),
) {
    let Some(&kind) = kinds.get(place) else { return };
    let sheets = problem.sheets[kind];
    let most = affordable(problem, kind, budget);
    let last = place + 1 == kinds.len();
    for count in if last { most..=most } else { 0..=most } {
        mix[place] = count;
        if last {
            take(mix);
        } else {
            list(problem, kinds, budget - i128::from(count) * sheets.cost, mix, place + 1, take);
        }
    }
}

/// How many sheets of a kind the budget buys, no more than there are pieces.
fn affordable(problem: &CuttingProblem, kind: usize, budget: i128) -> u32 {
    let sheets = problem.sheets[kind];
    let most = u32::try_from((budget / sheets.cost.max(1)).max(0)).unwrap_or(u32::MAX);
    most.min(sheets.count).min(problem.pieces())
}
