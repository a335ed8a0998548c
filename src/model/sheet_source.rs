//! Where a sheet comes from.

use super::length::Length;
use super::{OffcutId, SheetId};

/// Where a sheet comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum SheetSource {
    /// A new sheet.
    #[default]
    New,
    /// An offcut on hand, by its id.
    Offcut(OffcutId),
    /// The hidden middle of a piece, by its id.
    Middle(OffcutId),
    /// A part of a larger sheet that is cut down first.
    Part {
        /// The id of that sheet.
        whole: SheetId,
        /// The name of the part, before it was a sheet.
        part: OffcutId,
    },
    /// A sheet that went through the printer before, on which only what lies below this is free.
    FedOnce(Length),
}

impl SheetSource {
    /// How a record says of a sheet that it is new; no offcut can be called so.
    pub const NEW: &str = "new";
}
