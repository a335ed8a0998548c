//! Numbers for moves of outlines: parts, places and normal scatter.

use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// A repeatable source of numbers (xorshift, Marsaglia 2003).
#[derive(Clone, Debug)]
pub(crate) struct Scatter(u64);

impl Scatter {
    /// A source for a seed; different seeds give unlike numbers.
    pub fn new(seed: u64) -> Self {
        // A step of split mix, so that near seeds start far apart.
        Self(SplitMix64::from_seed(seed.to_le_bytes()).next_u64().max(1))
    }

    /// The next 64 bits.
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// A number under `limit`; 0 where the limit is 0.
    pub fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(limit.max(1)).unwrap_or(1)).unwrap_or(0)
    }

    /// A number from 0 up to 1.
    pub fn part(&mut self) -> f32 {
        // 24 bits are all that fit without rounding up to 1.
        let bits = u16::try_from(self.next() >> 52).unwrap_or(0);
        let fine = u16::try_from((self.next() >> 40) & 0xfff).unwrap_or(0);
        (f32::from(bits) + f32::from(fine) / 4096.0) / 4096.0
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
            list.swap(index, self.below(index + 1));
        }
    }
}
