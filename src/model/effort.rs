//! How long a search may take.

use super::choices;

choices! {
    /// How long to search. Budgets are steps, never seconds, so results repeat.
    pub enum Effort, "way to search", usual Normal {
        /// An answer at once.
        Quick = "quick",
        /// A good answer.
        Normal = "normal",
        /// The best that patience buys.
        Long = "long",
    }
}
