//! The pages of a spread.

use super::choices;

/// Photos that are placed as one at most; more lie on no two pages.
pub const MOST_PHOTOS: usize = 60;

choices! {
    /// A page of a spread, or the one of a single page.
    #[derive(Hash)]
    pub enum PageName, "page", usual Single {
        /// The left page.
        Left = "left",
        /// The right page.
        Right = "right",
        /// The only page.
        Single = "single",
    }
}
