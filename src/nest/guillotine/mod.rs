//! Rectangles onto sheets by straight cuts from edge to edge: guillotine cutting.
//!
//! `trim` sets the problem and reads its plan; `course` orders the searches: ruin and recreate, branch and
//! bound (`exact`), column generation with its master problem, plain grids, and mixes of sheets. `cuts` turns
//! a pattern into what a person does at the trimmer.

mod column_generation;
mod course;
mod cuts;
mod exact;
mod grids;
mod master_problem;
mod priced;
mod printed;
mod problem;
mod rank;
mod ruin_recreate;
mod sheet_mix;
mod sheet_pattern;
mod tree;
mod trim;

pub(super) use cuts::CutRules;
pub(super) use exact::Proof;
pub(super) use master_problem::{Column, Covering, dual_values};
pub(super) use priced::priced_patterns;
pub use printed::{printed, printed_below};
pub(super) use trim::{Course, IDLE_SHARE, Patterned, Trimmed, steps, trim};
