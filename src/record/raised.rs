//! What raised pieces and photos stand on.

use serde::{Deserialize, Serialize};

/// The foam under a piece or photo.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Raised {
    /// How high it stands.
    pub height: f64,
    /// Side of a foam square.
    pub square: f64,
    /// The middles of the squares, in the coordinates of what is seen of the piece before it is turned.
    pub at: Vec<[f64; 2]>,
}

/// Foam squares of one kind that the spread takes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct FoamLine {
    /// Side of a square.
    pub square: f64,
    /// Its height.
    pub height: f64,
    /// How many there are.
    pub count: u64,
}
