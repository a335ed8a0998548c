//! The way people in a photo look.

use super::choices;

choices! {
    /// The way people in a photo look.
    pub enum Facing, "way to look" {
        /// To the left.
        Left = "left",
        /// To the right.
        Right = "right",
    }
}
