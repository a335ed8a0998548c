//! Fonts, shaping, words and labels as true curves.
//!
//! In come font files and text; out come outlines of letters in f64 inches, y down, and rows of
//! glyphs for the files that are printed. It never knows about pages, papers or sheets.

pub mod fonts;
pub mod label;
pub mod shaping;
pub mod stencil;
pub mod words;
