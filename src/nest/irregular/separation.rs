//! Overlap minimisation with guided local search: pieces that overlap are moved to better places,
//! again and again, while pairs that keep overlapping weigh ever more, until nothing overlaps
//! (Gardeyn, Vanden Berghe & Wauters, arXiv 2509.13329, building on Egeblad, Nielsen & Odgaard 2007
//! and Umetani et al. 2009).

use rayon::prelude::*;

use super::arrangement::{Arrangement, Pose};
use super::candidates::CandidateSearch;
use crate::nest::Search;
use crate::search::Chance;

/// Crowds moved side by side in every round, of which the best goes on. A fixed number, whatever the
/// machine has, so that results repeat.
const SIDE_BY_SIDE: u64 = 2;
/// A round has helped when the overlap falls under this share of the least so far.
const HELPED: f32 = 0.98;

/// How patient a separation is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// Rounds without help before the arrangement goes back to its best.
    pub rounds: usize,
    /// Times that it may go back without having been helped.
    pub returns: usize,
}

/// A budget of places looked at.
#[derive(Clone, Debug)]
pub(super) struct Budget {
    /// Evaluations that are left.
    pub evaluations: u64,
    /// How many separations have begun: the seed of the next.
    pub begun: u64,
    search: Search,
}

impl Budget {
    /// A budget of so many evaluations.
    pub fn new(evaluations: u64, search: &Search) -> Self {
        Self { evaluations, begun: 0, search: search.clone() }
    }

    /// Counts work other than evaluating, as so many evaluations.
    pub fn spend(&mut self, evaluations: u64) {
        self.evaluations = self.evaluations.saturating_sub(evaluations);
    }

    /// Whether nothing is left, or the search was asked to stop.
    pub fn is_spent(&self) -> bool {
        self.evaluations == 0 || self.search.is_stopped()
    }
}

/// An arrangement and its doubles.
pub(super) struct Separator<'a> {
    arrangements: Vec<Arrangement<'a>>,
}

impl<'a> Separator<'a> {
    /// Doubles of an arrangement.
    pub fn new(arrangement: Arrangement<'a>) -> Self {
        let mut arrangements = Vec::new();
        for _ in 1..SIDE_BY_SIDE {
            arrangements.push(arrangement.clone());
        }
        arrangements.push(arrangement);
        Self { arrangements }
    }

    /// The arrangement.
    pub fn arrangement(&self) -> &Arrangement<'a> {
        &self.arrangements[0]
    }

    /// The arrangement alone.
    pub fn into_arrangement(mut self) -> Arrangement<'a> {
        self.arrangements.swap_remove(0)
    }

    /// Lays all pieces elsewhere.
    pub fn lay_all(&mut self, poses: &[Pose]) {
        for arrangement in &mut self.arrangements {
            arrangement.lay_all(poses);
        }
    }

    /// Gives a sheet another size; see [`Arrangement::resize`].
    pub fn resize(&mut self, sheet: usize, size: [f32; 2], poses: &[Pose]) -> bool {
        self.arrangements.iter_mut().all(|arrangement| arrangement.resize(sheet, size, poses))
    }

    /// Moves pieces among `sheets` until nothing overlaps, patience ends or the budget is spent. True
    /// if nothing overlaps; else the arrangement lies as it did when it overlapped least.
    pub fn separate(&mut self, sheets: &[usize], patience: Patience, budget: &mut Budget) -> bool {
        budget.begun += 1;
        let mut chances: Vec<Chance> = (0..SIDE_BY_SIDE)
            .map(|mover| Chance::new(budget.begun * SIDE_BY_SIDE + mover))
            .collect();
        for arrangement in &mut self.arrangements {
            arrangement.weigh_alike();
        }
        let mut least = self.arrangement().overlap();
        let mut best = self.arrangement().poses().to_vec();
        let mut returns = 0;
        while least > 0.0 && returns < patience.returns && !budget.is_spent() {
            let at_first = least;
            let mut unhelped = 0;
            while unhelped < patience.rounds && !budget.is_spent() && budget.search.step() {
                let evaluations = self.round(sheets, &mut chances);
                budget.evaluations = budget.evaluations.saturating_sub(evaluations);
                let overlap = self.arrangement().overlap();
                if overlap < least {
                    if overlap < HELPED * least {
                        unhelped = 0;
                    } else {
                        unhelped += 1;
                    }
                    least = overlap;
                    best.copy_from_slice(self.arrangement().poses());
                    if overlap <= 0.0 {
                        return true;
                    }
                } else {
                    unhelped += 1;
                }
                for arrangement in &mut self.arrangements {
                    arrangement.weigh();
                }
            }
            returns = if least < HELPED * at_first { 0 } else { returns + 1 };
            self.lay_all(&best);
        }
        self.lay_all(&best);
        least <= 0.0
    }

    /// Every double moves its overlapping pieces once; all become like the best. Returns the evaluations that
    /// the busiest has had, times the number of doubles.
    fn round(&mut self, sheets: &[usize], chances: &mut [Chance]) -> u64 {
        let evaluations: Vec<u64> = self
            .arrangements
            .par_iter_mut()
            .zip(chances)
            .map(|(arrangement, chance)| move_all(arrangement, sheets, chance))
            .collect();
        let sums: Vec<f32> = self.arrangements.iter().map(Arrangement::weighted_sum).collect();
        let best = (0..sums.len()).min_by(|&one, &other| sums[one].total_cmp(&sums[other]));
        let best = best.unwrap_or(0);
        self.arrangements.swap(0, best);
        let (first, others) = self.arrangements.split_at_mut(1);
        for other in others {
            other.become_like(&first[0]);
        }
        evaluations.iter().sum()
    }
}

/// Moves each piece that overlaps, in a random order, to the best place found; returns the evaluations.
fn move_all(arrangement: &mut Arrangement<'_>, sheets: &[usize], chance: &mut Chance) -> u64 {
    let mut overlapping: Vec<usize> =
        (0..arrangement.len()).filter(|&piece| arrangement.overlaps(piece)).collect();
    chance.shuffle(&mut overlapping);
    let mut evaluations = 0;
    for piece in overlapping {
        if !arrangement.overlaps(piece) {
            continue;
        }
        let before = arrangement.weighted(piece);
        let mut search = CandidateSearch::new(arrangement, piece, chance);
        let found = search.best(sheets);
        evaluations += search.evaluations;
        if let Some((pose, _)) = found.filter(|(_, overlap)| *overlap < before) {
            arrangement.lay(piece, pose);
        }
    }
    evaluations
}
