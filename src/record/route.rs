//! What the machine does on a sheet, in order.

use serde::{Deserialize, Serialize};

use super::Sheet;
use crate::model::{PieceId, Process};

/// One line that the machine follows without lifting, from where it begins to where it ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stroke {
    /// What is done along it.
    pub process: Process,
    /// The piece it belongs to.
    pub piece: PieceId,
    /// Which of its copies, from 1.
    pub copy: u32,
    /// SVG path data in the frame of the paper on the mat ([`super::OnMat`]), with true curves.
    pub path: String,
}

/// How much work a sheet is for the machine.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Work {
    /// For each process, in the order of work, how many strokes and how many inches.
    pub done: Vec<Done>,
    /// The way lifted from stroke to stroke, from the mat's top left, in inches.
    pub travel: f64,
    /// An estimate of the time in seconds, at the speed that the spec states.
    pub seconds: f64,
}

/// The strokes of one process on a sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Done {
    /// The process.
    pub process: Process,
    /// How many strokes.
    pub strokes: u32,
    /// Their length in inches.
    pub length: f64,
}

/// How fast the machine works and how it ends a contour, as the spec states.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pace {
    /// Inches in a second, cutting or lifted.
    pub speed: f64,
    /// Seconds to lower and lift the blade for a stroke.
    pub lift: f64,
    /// How far in inches a contour is cut on beyond its start.
    pub overcut: f64,
}

impl Sheet {
    /// How far the machine goes along a process on this sheet, in inches.
    pub fn length_of(&self, process: Process) -> f64 {
        let done = self.work.iter().flat_map(|work| &work.done);
        done.filter(|done| done.process == process).map(|done| done.length).sum()
    }
}
