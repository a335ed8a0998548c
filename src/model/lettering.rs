//! How words are set.

use super::choices;

choices! {
    /// Where lines of different width stand.
    pub enum Align, "alignment", usual Left {
        /// Their first letters stand below each other.
        Left = "left",
        /// Their middles do.
        Center = "center",
        /// Their last letters do.
        Right = "right",
    }
}

choices! {
    /// Which letters become one piece.
    pub enum Joined, "way to join letters", usual Auto {
        /// Those that touch, as in a script.
        Auto = "auto",
        /// All of one paper.
        Always = "always",
        /// None: letters that touch overlap when they are glued.
        Never = "never",
    }
}

choices! {
    /// Which side of a circle words stand on.
    pub enum Side, "side of a circle", usual Over {
        /// On its top, read clockwise, letters upright at the top.
        Over = "over",
        /// In its bottom, read anticlockwise, letters upright at the bottom.
        Under = "under",
    }
}
