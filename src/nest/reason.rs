//! Reasons for an answer, as data; [`crate::plan`] puts them into words.

/// Why one new sheet less can't do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// What the pieces cover, in areas of the largest new sheet, offcuts taken off.
    Area(f64),
    /// The sizes of the pieces.
    Sizes,
    /// Every plan was tried.
    Tried,
}

/// What else is to be said of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Note {
    /// An item is left out because it has no size.
    NoSize {
        /// The item, by place in the job.
        item: usize,
    },
    /// More copies are asked for than are cut in one go.
    TooMany {
        /// How many are.
        most: u32,
    },
    /// No cheaper sheets can do, although fewer might: every plan was tried.
    NoneCheaper,
    /// The search was stopped early; this is the best found until then.
    Stopped,
}
