//! A nest of rectangles: how a sheet is parted by straight cuts.

use super::Patch;

/// A rectangle of a pattern and what it is.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::nest) struct Cell {
    /// Where it lies.
    pub patch: Patch,
    /// What it is.
    pub what: What,
}

/// What a rectangle of a pattern is.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::nest) enum What {
    /// A copy of an item.
    Piece {
        /// The item, by place in the job.
        item: usize,
        /// Which copy.
        copy: u32,
        /// Whether it is turned by a quarter.
        turned: bool,
    },
    /// Paper that is left.
    Leftover,
    /// Paper for the machine.
    Machine,
    /// Paper that is cut.
    Split {
        /// Along which axis: 0 puts the parts side by side, 1 on top of each other.
        axis: usize,
        /// The parts, leftovers last.
        parts: Vec<Cell>,
        /// Whether the parts have to lie in this order.
        fixed: bool,
    },
}

impl Cell {
    /// Moves it with all that is in it.
    pub fn shift(&mut self, by: [i64; 2]) {
        if by == [0; 2] {
            return;
        }
        for axis in [0, 1] {
            self.patch.at[axis] += by[axis];
        }
        if let What::Split { parts, .. } = &mut self.what {
            parts.iter_mut().for_each(|part| part.shift(by));
        }
    }
}
