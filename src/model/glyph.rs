//! Letters as they are set: glyphs of a font, each with its place.

use serde::{Deserialize, Serialize};

/// Glyphs of one font.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Run {
    /// Place of the font in the list of fonts used.
    pub font: usize,
    /// The glyphs, left to right.
    pub glyphs: Vec<Glyph>,
}

/// One glyph on its line; lengths in inches.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Glyph {
    /// Glyph id in its font.
    pub id: u16,
    /// Origin, right of the left edge of what the line stands on.
    pub x: f64,
    /// Origin, above the baseline.
    pub y: f64,
    /// Advance width.
    pub advance: f64,
    /// The text it stands for; empty for the later glyphs of a cluster.
    pub text: String,
}
