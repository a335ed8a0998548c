//! Photos that are to end flush, and what is asked of them.

use crate::description::BankBy;
use crate::model::length::{Length, Units};

use super::line::in_marks;

/// The shortest side that a photo is cropped to (common practice, no source).
pub(super) const LEAST: Length = Length::part(1, 2);
/// What costs no more than that beyond another, in square marks, costs the same.
pub(super) const EQUAL: f64 = 1e-6;

/// A photo as it is before anything is done to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Print {
    /// What it is called.
    pub name: String,
    /// Its width and height; with its mat, if it gets one of its own.
    pub size: [Length; 2],
}

/// What is asked of the photos.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flush {
    /// Along which axis photos follow each other in a line: 0 for rows, 1 for columns.
    pub along: usize,
    /// What is done to them.
    pub by: BankBy,
    /// What lies between them.
    pub gap: Length,
    /// How long a line is, if that is asked for.
    pub long: Option<Length>,
    /// How thick it is, if that is asked for.
    pub thick: Option<Length>,
    /// Whose marks are kept.
    pub units: Units,
}

/// Sides of a photo in marks: along the line, over it.
pub(super) type Sides = [i64; 2];

impl Flush {
    /// The sides of a photo in whole marks: no more than it has where it is cropped, no less where it is
    /// matted.
    pub(super) fn sides(&self, print: &Print) -> Sides {
        [self.along, 1 - self.along].map(|axis| {
            let (marks, beyond) = in_marks(print.size[axis], self.units);
            marks + i64::from(self.by == BankBy::Mat && beyond > Length::ZERO)
        })
    }

    /// Whether photos that are cropped come to whole marks of a length, and none of them has left what that
    /// has beyond.
    pub(super) fn is_short(&self, [sum, room]: [i64; 2], rest: Length, beyond: Length) -> bool {
        self.by == BankBy::Crop && sum == room && rest > beyond
    }

    /// The least and the most marks that a side may have, which had so many.
    pub(super) fn bounds(&self, side: i64) -> (i64, Option<i64>) {
        let least = in_marks(LEAST, self.units).0;
        match self.by {
            BankBy::Crop => (least.min(side), Some(side)),
            BankBy::Enlarge => (least, None),
            BankBy::Mat => (side, None),
        }
    }

    /// The whole marks that so many photos have along a line of a length, and what is left of it.
    pub(super) fn room(&self, long: Length, photos: usize) -> (i64, Length) {
        let gaps = i64::try_from(photos).unwrap_or(1) - 1;
        in_marks(long - self.gap * gaps, self.units)
    }
}

/// The sum of what photos are long for each mark that they are thick.
pub(super) fn ratios(sides: &[Sides]) -> f64 {
    sides.iter().map(|[long, thick]| *long as f64 / (*thick).max(1) as f64).sum()
}
