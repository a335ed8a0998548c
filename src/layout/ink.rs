//! Inks where none is written.

/// The colour of type where none is written: near black, kinder to the eye than black.
pub(super) const TYPE_INK: &str = "#33312e";
/// The colour of type on a dark ground where none is written: no ink, so that the paper shows.
pub(super) const NO_INK: &str = "#ffffff";
