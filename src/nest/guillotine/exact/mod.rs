//! Small jobs to the end: branch and bound over plans, and over the pattern of one sheet.

mod pattern;
mod plan;
mod proof;
mod sheet;

pub(super) use plan::{MOST_PIECES, prove};
pub(in crate::nest) use proof::Proof;
pub(super) use sheet::perfect_sheets;
