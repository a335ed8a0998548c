//! A hidden middle that the machine cuts in its true shape.

use serde::{Deserialize, Serialize};

use crate::model::PieceId;

/// An opening in a piece: a hidden middle of any shape, with smaller pieces that lie in it on the same
/// sheet and are cut in the same pass.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Opening {
    /// Top left of its bounding box in the piece's own frame.
    pub at: [f64; 2],
    /// Width and height of that box.
    pub size: [f64; 2],
    /// SVG path data in the piece's own frame, with true curves.
    pub path: String,
    /// Ids of the pieces that are cut inside it.
    pub holds: Vec<PieceId>,
}
