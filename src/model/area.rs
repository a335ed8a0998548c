//! A rectangle of paper.

use super::Rect;
use crate::model::length::{Length, Size};

/// A rectangle on a sheet, in exact lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Area {
    /// Left edge.
    pub left: Length,
    /// Top edge.
    pub top: Length,
    /// Width and height.
    pub size: Size,
}

impl Area {
    /// From inches, as the record keeps it.
    pub fn of_inches(Rect { at: [left, top], size }: Rect) -> Self {
        let [left, top] = [left, top].map(Length::inches);
        Self { left, top, size: Size::of_inches(size) }
    }

    /// In inches.
    pub fn to_inches(self) -> Rect {
        Rect { at: [self.left, self.top].map(Length::to_inches), size: self.size.to_inches() }
    }
}
