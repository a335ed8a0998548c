//! Forms that a shape can have.

use super::choices;

choices! {
    /// Where a ticket is notched.
    pub enum Notches, "place for notches", usual Ends {
        /// Half a circle in the middle of either end.
        Ends = "ends",
        /// A quarter of a circle in each corner.
        Corners = "corners",
    }
}

choices! {
    /// What hangs on a pennant string.
    pub enum Pennant, "form of pennants", usual Point {
        /// Triangles.
        Point = "point",
        /// Flags with a notch as deep as half their width.
        Dovetail = "dovetail",
    }
}
