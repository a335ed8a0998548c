//! What the printer does to lengths.

use serde::{Deserialize, Serialize};

use super::Record;
use crate::model::printer::ToldBy;

/// Printer's paper of records that don't tell theirs, in inches.
const LETTER: [f64; 2] = [8.5, 11.0];

/// What a printer makes of lengths, by which its pages are corrected.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PrintScale {
    /// Length across the page that is printed where 1 is asked for.
    pub across: f64,
    /// The same down the page.
    pub down: f64,
    /// Who says so.
    pub from: ToldBy,
}

impl Record {
    /// Size of the printer's paper, upright.
    pub fn printer_paper(&self) -> [f64; 2] {
        self.printer.unwrap_or_else(|| self.printed.first().map_or(LETTER, |page| page.size))
    }

    /// What the printer makes of a length of 1, across and down: 1 where nothing is known.
    pub fn printed_scale(&self) -> [f64; 2] {
        self.print_scale.as_ref().map_or([1.0, 1.0], |scale| [scale.across, scale.down])
    }
}
