//! Chance for searches, the same on every machine.

use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Split mix (Steele, Lea, Flood, OOPSLA 2014): small, fast and the same everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Chance(SplitMix64);

impl Chance {
    /// Chance from a seed.
    pub fn new(seed: u64) -> Self {
        Self(SplitMix64::from_seed(seed.to_le_bytes()))
    }

    /// A number below `limit`, which is at least 1.
    pub fn below(&mut self, limit: u64) -> u64 {
        let product = u128::from(self.0.next_u64()) * u128::from(limit);
        u64::try_from(product >> 64).unwrap_or(0)
    }

    /// A factor that is 1 give or take `part`.
    pub fn shaken(&mut self, part: f64) -> f64 {
        const FINE: u64 = 1 << 32;
        let share = self.below(FINE) as f64 / FINE as f64;
        1.0 + part * (2.0 * share - 1.0)
    }

    /// A place in a list of `length`, 0 for an empty one.
    pub fn place(&mut self, length: usize) -> usize {
        usize::try_from(self.below(length as u64)).unwrap_or(0)
    }
}
