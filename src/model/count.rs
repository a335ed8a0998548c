//! How many of one kind something stands for.

use std::fmt;
use std::num::NonZeroU32;

use serde::{Deserialize, Serialize};

/// A number of equal things that stand in one place, one at least: sheets that are cut in the same way, pages
/// that are printed several times.
///
/// ```
/// use cutleaf::model::Count;
/// assert!(Count::default().is_one());
/// assert_eq!(Count::of(12).get(), 12);
/// assert_eq!(Count::of(0).get(), 1);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Count(NonZeroU32);

impl Count {
    /// So many; one where nothing is told.
    pub fn of(number: u32) -> Self {
        Self(NonZeroU32::new(number).unwrap_or(NonZeroU32::MIN))
    }

    /// The number.
    pub const fn get(self) -> u32 {
        self.0.get()
    }

    /// Whether it is one alone.
    pub fn is_one(&self) -> bool {
        self.get() == 1
    }

    /// The number, to compute with areas and lengths.
    pub fn factor(self) -> f64 {
        f64::from(self.get())
    }

    /// The number, to count in memory.
    pub fn places(self) -> usize {
        usize::try_from(self.get()).unwrap_or(usize::MAX)
    }
}

impl Default for Count {
    fn default() -> Self {
        Self::of(1)
    }
}

impl fmt::Display for Count {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.get().fmt(formatter)
    }
}
