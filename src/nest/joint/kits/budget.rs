//! How much each effort tries, in numbers of jobs and of steps.

use crate::nest::Effort;

/// How much an effort tries.
#[derive(Clone, Copy)]
pub(super) struct Budget {
    /// Most pieces of the kits that are nested at once.
    pub kits: u32,
    /// Most pieces of what is left and nested anew.
    pub rest: u32,
    /// The effort of each of these.
    pub direct: Effort,
    /// Largest pieces that are left aside in turn.
    pub without: usize,
    /// Steps of the search for the trimmer's patterns by prices.
    pub steps: u64,
    /// Rounds of choosing.
    pub rounds: usize,
    /// Most sheets that are taken over with places left empty before the rest is nested.
    pub thinned: usize,
    /// Pairs of patterns that are nested anew in a round.
    pub pairs: usize,
    /// Attempts to save a sheet among a few.
    pub anew: usize,
}

impl Budget {
    /// What an effort tries.
    pub const fn of(effort: Effort) -> Self {
        let quick = Self {
            kits: 40,
            rest: 60,
            direct: Effort::Quick,
            without: 1,
            steps: 60_000,
            rounds: 1,
            thinned: 2,
            pairs: 0,
            anew: 4,
        };
        match effort {
            Effort::Quick => quick,
            Effort::Normal => Self {
                kits: 60,
                rest: 80,
                without: 3,
                steps: 200_000,
                rounds: 3,
                thinned: 4,
                pairs: 4,
                anew: 16,
                ..quick
            },
            Effort::Long => Self {
                kits: 100,
                rest: 100,
                direct: Effort::Normal,
                without: 6,
                steps: 1_000_000,
                rounds: 6,
                thinned: 6,
                pairs: 8,
                anew: 60,
            },
        }
    }
}
