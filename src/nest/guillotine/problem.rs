//! What the trimmer's searches work on.

use super::tree::Forest;
use crate::nest::Search;
use crate::nest::rectangles::{Rectangle, Sheets};

/// What the search works on.
#[derive(Clone, Debug)]
pub(super) struct CuttingProblem {
    /// Pieces.
    pub shapes: Vec<Rectangle>,
    /// Sheets.
    pub sheets: Vec<Sheets>,
    /// Paper lost by a cut.
    pub kerf: i64,
    /// Most levels of cuts in one direction, if limited.
    pub levels: Option<u32>,
    /// No plan costs less.
    pub cost_bound: i128,
    /// Steps of the search.
    pub steps: u64,
    /// Steps without a gain after which it ends.
    pub idle: u64,
    /// Steps of the search to the end.
    pub exact_steps: u64,
    /// Whether it goes on.
    pub search: Search,
}

/// How many sheets of each kind of new sheet, by place.
pub(super) type Mix = Vec<(usize, u32)>;

impl CuttingProblem {
    /// How many pieces there are.
    pub fn pieces(&self) -> u32 {
        self.shapes.iter().map(|shape| shape.copies).sum()
    }

    /// The kinds of new sheets on hand, by place.
    pub fn kinds(&self) -> Vec<usize> {
        let new = |kind: &usize| self.sheets[*kind].cost > 0 && self.sheets[*kind].count > 0;
        (0..self.sheets.len()).filter(new).collect()
    }

    /// Limits the new sheets to a mix.
    pub fn limit(&mut self, mix: &Mix) {
        for &(kind, count) in mix {
            self.sheets[kind].count = count;
        }
    }

    /// No sheet in use; everything waits.
    pub fn blank(&self) -> Forest {
        let waiting = self.shapes.iter().map(|shape| shape.copies).collect();
        let longest = self.sheets.iter().flat_map(|sheets| sheets.size).max().unwrap_or(1);
        let scale = 1.0 / longest.max(1) as f64;
        Forest::new(self.sheets.len(), waiting, self.kerf, scale)
    }

    /// Area of what waits in a plan, in squares of the longest sheet side.
    pub fn left_out(&self, forest: &Forest) -> f64 {
        let waiting = forest.waiting.iter().zip(&self.shapes);
        waiting
            .filter(|(count, _)| **count > 0)
            .map(|(&count, shape)| f64::from(count) * forest.area(shape.size))
            .sum()
    }
}
