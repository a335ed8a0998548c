//! The form of registration marks.

use super::choices;

choices! {
    /// The form of a registration mark.
    pub enum MarkKind, "registration mark", usual Cross {
        /// Two lines that cross in the middle.
        Cross = "cross",
        /// Two lines that meet at a right angle and run towards the middle of the sheet.
        Corner = "corner",
        /// A circle.
        Ring = "ring",
    }
}
