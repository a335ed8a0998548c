//! Distances to keep when paper is cut.

use crate::model::length::{Length, Size};

/// Distances to keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Paper lost by a trimmer cut.
    pub kerf: Length,
    /// Rim of a sheet that the trimmer cuts away first.
    pub trim_margin: Length,
    /// Distance between machine pieces.
    pub spacing: Length,
    /// Rim of a sheet that the machine can't reach.
    pub machine_margin: Length,
    /// Most times the direction of trimmer cuts may change, if limited.
    pub stages: Option<u32>,
    /// The machine's mat: no paper that is larger can be loaded. Nothing for no limit.
    pub mat: Option<Size>,
    /// The smallest paper worth keeping.
    pub worth_keeping: Size,
    /// Whether a leftover may keep a part of the rim.
    pub rim_is_paper: bool,
}

impl Rules {
    /// The smallest paper worth keeping where nothing is said: a tag can still be cut from 1 x 2 in (common
    /// practice, no source).
    pub const WORTH_KEEPING: Size = Size::new(Length::part(1, 1), Length::part(2, 1));

    /// Whether what is left of a sheet is worth keeping.
    pub fn keeps(&self, size: Size) -> bool {
        keepable([size.width, size.height].map(Length::to_nanometres), self.worth_keeping)
    }
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            kerf: Length::ZERO,
            trim_margin: Length::ZERO,
            spacing: Length::ZERO,
            machine_margin: Length::ZERO,
            stages: None,
            mat: None,
            worth_keeping: Self::WORTH_KEEPING,
            rim_is_paper: false,
        }
    }
}

/// Whether a leftover is worth keeping, as it lies or turned.
pub(crate) fn keepable(size: [i64; 2], worth: Size) -> bool {
    let sides = |one: i64, other: i64| [one.min(other), one.max(other)];
    let least = sides(worth.width.to_nanometres(), worth.height.to_nanometres());
    let [short, long] = sides(size[0], size[1]);
    short > 0 && short >= least[0] && long >= least[1]
}
