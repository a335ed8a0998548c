//! Numbers that look random, for searches: the same on every machine.

use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// Split mix (Steele, Lea, Flood, OOPSLA 2014): small, fast and the same everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Chance(SplitMix64);

impl Chance {
    /// Chance from a seed; different seeds give unlike numbers.
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

    /// A number from 0 up to, not including, 1.
    pub fn part(&mut self) -> f32 {
        // 24 bits are all that fit without rounding up to 1.
        let bits = self.0.next_u64();
        let coarse = u16::try_from(bits >> 52).unwrap_or(0);
        let fine = u16::try_from((bits >> 40) & 0xfff).unwrap_or(0);
        (f32::from(coarse) + f32::from(fine) / 4096.0) / 4096.0
    }

    /// A number between two.
    pub fn between(&mut self, low: f32, high: f32) -> f32 {
        low + self.part() * (high - low)
    }

    /// A number scattered round 0 as by the normal distribution of deviation 1 (the sum of twelve
    /// uniform numbers).
    pub fn scattered(&mut self) -> f32 {
        (0..12).map(|_| self.part()).sum::<f32>() - 6.0
    }

    /// Puts a list in another order (Fisher & Yates).
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for index in (1..list.len()).rev() {
            list.swap(index, self.place(index + 1));
        }
    }
}
