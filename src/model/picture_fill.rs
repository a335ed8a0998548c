//! How the picture of a paper lies on a sheet.

use super::choices;

choices! {
    /// How the picture of a paper lies on a sheet.
    pub enum PictureFill, "way for a picture to lie" {
        /// At its real size, again and again from the sheet's top left corner.
        Repeat = "repeat",
        /// Once, over each whole sheet; what it has too much on two sides is left out.
        Whole = "whole",
    }
}
