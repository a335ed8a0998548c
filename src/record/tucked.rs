//! How a piece or photo is tucked under another.

use serde::{Deserialize, Serialize};

use crate::model::PieceId;

/// It lies beneath its host, and so much of it sticks out on one side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Tucked {
    /// The lowest piece or photo of its host.
    pub under: PieceId,
    /// The side of its host: `top`, `right`, `bottom` or `left`.
    pub side: String,
    /// How much of it sticks out there.
    pub shows: f64,
}
