//! Chance for searches, the same on every machine.

/// Split mix (Steele, Lea, Flood, OOPSLA 2014): small, fast and the same everywhere.
#[derive(Clone, Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    /// Chance from a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `limit`, which is at least 1.
    pub fn below(&mut self, limit: u64) -> u64 {
        let product = u128::from(self.next()) * u128::from(limit);
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
