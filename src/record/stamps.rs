//! Rows of a stamped motif.

use serde::{Deserialize, Serialize};

/// A motif at even distances along a row, in inches from the row's start.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StampRow {
    /// What it runs along: a piece's id, or its length in words.
    pub along: String,
    /// Length of the row.
    pub length: f64,
    /// Width of the motif.
    pub stamp: f64,
    /// Where each motif begins.
    pub starts: Vec<f64>,
}
