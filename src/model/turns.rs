//! How a piece may be turned on a sheet.

use super::choices;

choices! {
    /// How a piece may be turned on a sheet, the strictest way first.
    ///
    /// ```
    /// use cutleaf::model::Turns;
    /// assert!(Turns::Never < Turns::Quarter);
    /// assert!(!Turns::Half.crosswise());
    /// ```
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Turns, "way to turn on a sheet", usual Quarter {
        /// Not at all: the paper has a direction.
        Never = "never",
        /// By half a turn: the paper has a grain.
        Half = "half",
        /// By quarter turns.
        Quarter = "quarter",
        /// By any angle.
        Any = "any",
    }
}

impl Turns {
    /// Whether width and height may change places.
    pub const fn crosswise(self) -> bool {
        matches!(self, Self::Quarter | Self::Any)
    }
}
