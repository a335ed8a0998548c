//! What is asked to be done again.

use crate::model::{PieceId, SheetId};

/// What is to be done again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Redo {
    /// One piece, by id; of several alike, one.
    Piece(PieceId),
    /// So many of a piece that is cut several times.
    Copies(PieceId, u32),
    /// Every piece of one sheet, by the sheet's id; of several that are cut alike, one.
    Sheet(SheetId),
}
