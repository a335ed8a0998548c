//! A rectangle on a sheet.

use crate::model::length::{Length, Size};
use crate::nest::Area;

/// A rectangle on a sheet, in nanometres: [`Area`] by axis, for searches that treat width and height alike
/// and place millions of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::nest) struct Patch {
    /// Left and top.
    pub at: [i64; 2],
    /// Width and height.
    pub size: [i64; 2],
}

impl Patch {
    /// The same with lengths.
    pub fn area(self) -> Area {
        Area {
            left: Length::nanometres(self.at[0]),
            top: Length::nanometres(self.at[1]),
            size: Size::new(Length::nanometres(self.size[0]), Length::nanometres(self.size[1])),
        }
    }

    /// Right or bottom edge.
    pub fn end(self, axis: usize) -> i64 {
        self.at[axis] + self.size[axis]
    }

    /// Area in square inches.
    pub fn square_inches(self) -> f64 {
        Size::new(Length::nanometres(self.size[0]), Length::nanometres(self.size[1])).area()
    }
}

/// Largest first, then from the top left.
pub(in crate::nest) fn largest_first(patches: &mut [Patch]) {
    patches.sort_by_key(|patch| {
        let area = i128::from(patch.size[0]) * i128::from(patch.size[1]);
        (std::cmp::Reverse(area), patch.at[1], patch.at[0])
    });
}
