//! The rules that a sheet's cuts follow.

use crate::model::length::Size;

/// What a plan is made by.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest) struct CutRules {
    /// Paper lost by a cut.
    pub kerf: i64,
    /// The smallest paper worth keeping.
    pub worth_keeping: Size,
    /// Whether a leftover may keep a part of the rim.
    pub rim_is_paper: bool,
    /// Whether the changes of direction are limited: then the rim goes first.
    pub staged: bool,
}
