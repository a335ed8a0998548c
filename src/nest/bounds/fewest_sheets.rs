//! How few sheets can possibly do.
//!
//! Two bounds: the area of all pieces, and for the trimmer's rectangles the areas after their lengths
//! are replaced by dual feasible values (Fekete & Schepers, Mathematical Methods of Operations
//! Research 60, 2004): lengths that share a sheet's side keep sharing it under any such function, so
//! the replaced areas bound the sheets as true ones do. Three families are tried on either side:
//! large counts whole and small nothing (Martello & Vigo, Management Science 44, 1998), rounding to
//! k-ths (Fekete & Schepers, Theorem 1), and rounding to multiples (Carlier, Clautiaux & Moukrim,
//! Computers & Operations Research 34, 2007). A rectangle that may be turned counts with the smaller
//! of its two values; on a square sheet the mean of a pair of functions and the same pair exchanged
//! has one value for both (after Boschetti & Mingozzi, 4OR 1, 2003), which is never less.

use super::dual_feasible::Values;
use crate::nest::Limit;
use crate::nest::rectangles::{Patch, Rectangle};

/// Rounding in floating point must not claim a sheet too many.
const HAIR: f64 = 1e-6;

/// What the bound is computed from; measures in nanometres.
#[derive(Clone, Debug, Default)]
pub(in crate::nest) struct Demand {
    /// The trimmer's rectangles.
    pub shapes: Vec<Rectangle>,
    /// Area of the machine's outlines in square inches.
    pub machine_area: f64,
    /// Sizes of the new sheets.
    pub new: Vec<[i64; 2]>,
    /// Sizes of the offcuts, one each.
    pub offcuts: Vec<[i64; 2]>,
    /// Paper lost by a cut.
    pub kerf: i64,
}

/// A bound and the reason for it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::nest) struct Bound {
    /// No plan uses fewer new sheets.
    pub sheets: u32,
    /// What the pieces cover, in areas of the largest new sheet, offcuts taken off.
    pub covered: f64,
    /// Why.
    pub reason: Reason,
}

/// What gives a bound.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::nest) enum Reason {
    /// The area alone.
    #[default]
    Area,
    /// The sizes of the pieces.
    Sizes,
    /// Every plan was tried.
    Tried,
}

impl Bound {
    /// The same with the outcome of the search to the end.
    pub fn proven(self, sheets: Option<u32>) -> Self {
        match sheets {
            Some(sheets) if sheets > self.sheets => Self { sheets, reason: Reason::Tried, ..self },
            _ => self,
        }
    }

    /// The reason, for those who hear of the answer.
    pub const fn limit(self) -> Limit {
        match self.reason {
            Reason::Area => Limit::Area(self.covered),
            Reason::Sizes => Limit::Sizes,
            Reason::Tried => Limit::Tried,
        }
    }
}

/// The fewest new sheets.
pub(in crate::nest) fn bound(demand: &Demand) -> Bound {
    let Some(largest) = demand.new.iter().map(|&size| square_inches(size)).reduce(f64::max) else {
        return Bound::default();
    };
    let shapes = demand.shapes.iter();
    let trimmer: f64 =
        shapes.map(|shape| square_inches(shape.size) * f64::from(shape.copies)).sum();
    let offcuts: f64 = demand.offcuts.iter().map(|&size| square_inches(size)).sum();
    let covered = ((trimmer + demand.machine_area - offcuts) / largest).max(0.0);
    let by_area = ceiling(covered - HAIR);
    let spare = u32::try_from(demand.offcuts.len()).unwrap_or(u32::MAX);
    let by_size = by_size(demand);
    let by_size = ceiling(by_size - HAIR).saturating_sub(spare);
    let reason = if by_area >= by_size { Reason::Area } else { Reason::Sizes };
    Bound { sheets: by_area.max(by_size), covered, reason }
}

fn square_inches(size: [i64; 2]) -> f64 {
    Patch { at: [0; 2], size }.square_inches()
}

fn ceiling(number: f64) -> u32 {
    let number = number.ceil().clamp(0.0, f64::from(u32::MAX));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped above")]
    let whole = number as u32;
    whole
}

/// Sheets needed by the sizes of the rectangles, on sheets as wide and high as the widest and highest.
fn by_size(demand: &Demand) -> f64 {
    let sizes: Vec<[i64; 2]> = demand.new.iter().chain(&demand.offcuts).copied().collect();
    let values = Values::new(&demand.shapes, &sizes, demand.kerf);
    let copies: Vec<f64> = demand.shapes.iter().map(|shape| f64::from(shape.copies)).collect();
    let mut most = 0.0_f64;
    values.each_pair(|values| {
        most = most.max(values.iter().zip(&copies).map(|(value, count)| value * count).sum());
    });
    most
}
