//! A rectangle in inches.

use serde::{Deserialize, Serialize};

use super::rounded;

/// A rectangle in inches, y down, as a record keeps it; of a picture's part in dots. What is measured
/// exactly is an [`super::Area`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rect {
    /// Top left.
    pub at: [f64; 2],
    /// Width and height.
    pub size: [f64; 2],
}

impl Rect {
    /// The same on the grid of what files tell.
    pub fn rounded(self) -> Self {
        Self { at: self.at.map(rounded), size: self.size.map(rounded) }
    }
}
