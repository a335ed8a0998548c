//! Overlap minimisation with guided local search: pieces that overlap are moved to better places,
//! again and again, while pairs that keep overlapping weigh ever more, until nothing overlaps
//! (Gardeyn, Vanden Berghe & Wauters, arXiv 2509.13329, building on Egeblad, Nielsen & Odgaard 2007
//! and Umetani et al. 2009).

use rayon::prelude::*;

use super::chance::Chance;
use super::crowd::{Crowd, Pose};
use super::look::Look;
use crate::nest::interrupt;

/// Crowds moved side by side in every round, of which the best goes on. A fixed number, whatever the
/// machine has, so that results repeat.
const SIDE_BY_SIDE: u64 = 2;
/// A round has helped when the overlap falls under this share of the least so far.
const HELPED: f32 = 0.98;

/// How patient a separation is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patience {
    /// Rounds without help before the crowd goes back to its best.
    pub rounds: usize,
    /// Times that it may go back without having been helped.
    pub returns: usize,
}

/// A budget of places looked at.
#[derive(Clone, Debug)]
pub(super) struct Budget {
    /// Looks that are left.
    pub looks: u64,
    /// How many separations have begun: the seed of the next.
    pub begun: u64,
}

impl Budget {
    /// A budget of so many looks.
    pub fn new(looks: u64) -> Self {
        Self { looks, begun: 0 }
    }

    /// Counts work other than looking, as so many looks.
    pub fn spend(&mut self, looks: u64) {
        self.looks = self.looks.saturating_sub(looks);
    }

    /// Whether nothing is left, or the search was asked to stop.
    pub fn is_spent(&self) -> bool {
        self.looks == 0 || interrupt::asked()
    }
}

/// A crowd and its doubles.
pub(super) struct Movers<'a> {
    crowds: Vec<Crowd<'a>>,
}

impl<'a> Movers<'a> {
    /// Doubles of a crowd.
    pub fn new(crowd: Crowd<'a>) -> Self {
        let mut crowds = Vec::new();
        for _ in 1..SIDE_BY_SIDE {
            crowds.push(crowd.clone());
        }
        crowds.push(crowd);
        Self { crowds }
    }

    /// The crowd.
    pub fn crowd(&self) -> &Crowd<'a> {
        &self.crowds[0]
    }

    /// The crowd alone.
    pub fn into_crowd(mut self) -> Crowd<'a> {
        self.crowds.swap_remove(0)
    }

    /// Lays all pieces elsewhere.
    pub fn lay_all(&mut self, poses: &[Pose]) {
        for crowd in &mut self.crowds {
            crowd.lay_all(poses);
        }
    }

    /// Gives a sheet another size; see [`Crowd::resize`].
    pub fn resize(&mut self, sheet: usize, size: [f32; 2], poses: &[Pose]) -> bool {
        self.crowds.iter_mut().all(|crowd| crowd.resize(sheet, size, poses))
    }

    /// Moves pieces among `sheets` until nothing overlaps, patience ends or the budget is spent. True
    /// if nothing overlaps; else the crowd lies as it did when it overlapped least.
    pub fn separate(&mut self, sheets: &[usize], patience: Patience, budget: &mut Budget) -> bool {
        budget.begun += 1;
        let mut chances: Vec<Chance> = (0..SIDE_BY_SIDE)
            .map(|mover| Chance::new(budget.begun * SIDE_BY_SIDE + mover))
            .collect();
        for crowd in &mut self.crowds {
            crowd.weigh_alike();
        }
        let mut least = self.crowd().overlap();
        let mut best = self.crowd().poses().to_vec();
        let mut returns = 0;
        while least > 0.0 && returns < patience.returns && !budget.is_spent() {
            let at_first = least;
            let mut unhelped = 0;
            while unhelped < patience.rounds && !budget.is_spent() {
                let looks = self.round(sheets, &mut chances);
                budget.looks = budget.looks.saturating_sub(looks);
                let overlap = self.crowd().overlap();
                if overlap < least {
                    if overlap < HELPED * least {
                        unhelped = 0;
                    } else {
                        unhelped += 1;
                    }
                    least = overlap;
                    best.copy_from_slice(self.crowd().poses());
                    if overlap <= 0.0 {
                        return true;
                    }
                } else {
                    unhelped += 1;
                }
                for crowd in &mut self.crowds {
                    crowd.weigh();
                }
            }
            returns = if least < HELPED * at_first { 0 } else { returns + 1 };
            self.lay_all(&best);
        }
        self.lay_all(&best);
        least <= 0.0
    }

    /// Every double moves its overlapping pieces once; all become like the best. Returns the looks that
    /// the busiest has had, times the number of doubles.
    fn round(&mut self, sheets: &[usize], chances: &mut [Chance]) -> u64 {
        let looks: Vec<u64> = self
            .crowds
            .par_iter_mut()
            .zip(chances)
            .map(|(crowd, chance)| move_all(crowd, sheets, chance))
            .collect();
        let sums: Vec<f32> = self.crowds.iter().map(Crowd::weighted_sum).collect();
        let best = (0..sums.len()).min_by(|&one, &other| sums[one].total_cmp(&sums[other]));
        let best = best.unwrap_or(0);
        self.crowds.swap(0, best);
        let (first, others) = self.crowds.split_at_mut(1);
        for other in others {
            other.become_like(&first[0]);
        }
        looks.iter().sum()
    }
}

/// Moves each piece that overlaps, in a random order, to the best place found; returns the looks.
fn move_all(crowd: &mut Crowd<'_>, sheets: &[usize], chance: &mut Chance) -> u64 {
    let mut overlapping: Vec<usize> =
        (0..crowd.len()).filter(|&piece| crowd.overlaps(piece)).collect();
    chance.shuffle(&mut overlapping);
    let mut looks = 0;
    for piece in overlapping {
        if !crowd.overlaps(piece) {
            continue;
        }
        let before = crowd.weighted(piece);
        let mut look = Look::new(crowd, piece, chance);
        let found = look.best(sheets);
        looks += look.looks;
        if let Some((pose, _)) = found.filter(|(_, overlap)| *overlap < before) {
            crowd.lay(piece, pose);
        }
    }
    looks
}
