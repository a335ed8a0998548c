//! What cuts a piece.

use super::choices;

choices! {
    /// What cuts a piece.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Tool, "tool", usual Trimmer {
        /// Straight cuts from edge to edge.
        Trimmer = "trimmer",
        /// A knife that follows a path.
        Machine = "machine",
        /// Scissors, or torn along a ruler; laid out as a rectangle by the trimmer.
        Hand = "hand",
    }
}
