//! Inks where none is written.

use crate::model::Color;

/// The colour of type where none is written: near black, kinder to the eye than black.
pub(super) const TYPE_INK: Color = Color::new([0x33, 0x31, 0x2e]);
/// The colour of type on a dark ground where none is written: no ink, so that the paper shows.
pub(super) const NO_INK: Color = Color::WHITE;
