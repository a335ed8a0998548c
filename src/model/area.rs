//! A rectangle of paper.

use crate::model::length::{Length, Size};

/// A rectangle on a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Area {
    /// Left edge.
    pub left: Length,
    /// Top edge.
    pub top: Length,
    /// Width and height.
    pub size: Size,
}
