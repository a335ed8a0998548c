//! What is asked to be done again.

use crate::model::{PieceId, SheetId};

/// What is to be done again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Redo {
    /// One piece, by id.
    Piece(PieceId),
    /// Every piece of one sheet, by the sheet's id.
    Sheet(SheetId),
}
