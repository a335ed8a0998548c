//! What paper becomes after a cut.

use super::{OffcutId, PieceId, SheetId};

/// What paper becomes after a cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Fall {
    /// A finished piece, by its id.
    Piece(PieceId),
    /// Paper worth keeping, by its name.
    Offcut(OffcutId),
    /// A sheet of its own, by its name.
    Part(SheetId),
    /// Paper that is cut again.
    More,
    /// Too small to keep.
    #[default]
    Scrap,
    /// The part that goes to the machine.
    Machine,
    /// What the machine has left.
    Spent,
    /// What was printed on an earlier pass through the printer.
    PrintedBefore,
}

impl Fall {
    /// The id of what it becomes, if that has one.
    pub fn id(&self) -> Option<&str> {
        match self {
            Self::Piece(id) => Some(id),
            Self::Offcut(id) => Some(id),
            Self::Part(id) => Some(id),
            Self::More | Self::Scrap | Self::Machine | Self::Spent | Self::PrintedBefore => None,
        }
    }
}
