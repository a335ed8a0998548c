//! The grid of what files tell: no finer than a reader can measure or a machine can follow.
//!
//! What the plan computes with once a piece lies on its sheet is on this grid, so that a redo, which starts
//! from the record, computes with the very same numbers.

pub use crate::model::length::rounded;

/// Decimals of path data in inches: 1e-6 in, a hundredth of what a machine can follow.
pub const PATH_DECIMALS: usize = 6;
