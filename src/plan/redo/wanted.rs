//! What is asked to be done again.

/// What is to be done again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Redo {
    /// One piece, by id.
    Piece(String),
    /// Every piece of one sheet, by the sheet's id.
    Sheet(String),
}
