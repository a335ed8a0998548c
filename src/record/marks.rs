//! Registration marks as data: the cut file and the printed page of a sheet draw the same ones.

use serde::{Deserialize, Serialize};

pub use crate::model::MarkKind;

/// One registration mark on a sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// Its form.
    pub kind: MarkKind,
    /// Its middle, or a corner mark's corner, in the frame of the paper on the mat.
    pub at: [f64; 2],
    /// Length of an arm, or radius of a ring.
    pub arm: f64,
    /// Width of its lines.
    pub weight: f64,
    /// Which way a corner mark's arms run, -1 or 1 across and down.
    pub toward: [i8; 2],
}

/// How a run's marks look and where they go, as the spec says; a redo goes by it too.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct MarkStyle {
    /// Their form.
    pub kind: MarkKind,
    /// Whether every sheet of the machine bears them, not only those that are printed.
    #[serde(default)]
    pub every_sheet: bool,
    /// Distance of their middle from the edges of the machine's part; the run's own choice if not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inset: Option<f64>,
    /// Length of an arm or radius of a ring; half the inset if not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arm: Option<f64>,
    /// Width of their lines.
    pub weight: f64,
}
