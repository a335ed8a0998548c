//! The story in the record: strips, and their text glyph by glyph.

use serde::{Deserialize, Serialize};

use crate::lettering::shaping::ShapedGlyph;

use super::rounded;

/// One strip of the story.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Strip {
    /// Name, such as `journaling.3`; the piece with this id says where it goes on the spread.
    pub id: String,
    /// Its words.
    pub text: String,
    /// Paper it is printed on.
    pub paper: String,
    /// Trim size.
    pub size: [f64; 2],
    /// The printed page it is on, from 1.
    pub page: u32,
    /// Top left of its trim on the printed page.
    pub at: [f64; 2],
    /// Baseline below the strip's top.
    pub baseline: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Colour of the text, `#rrggbb`.
    pub ink: String,
    /// Colour printed under it, beyond the trim as well; empty for the paper's own.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ground: String,
    /// Text in visual order.
    pub runs: Vec<Run>,
}

/// Glyphs of one font.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Run {
    /// Place of the font in [`super::Record::fonts`].
    pub font: usize,
    /// The glyphs, left to right.
    pub glyphs: Vec<Glyph>,
}

/// One glyph of a strip.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Glyph {
    /// Glyph id in its font.
    pub id: u16,
    /// Origin, right of the strip's left edge.
    pub x: f64,
    /// Origin, above the baseline.
    pub y: f64,
    /// Advance width.
    pub advance: f64,
    /// The text it stands for; empty for the later glyphs of a cluster.
    pub text: String,
}

impl Glyph {
    /// The glyphs of a shaped line of `text`, the first with its pen at `pen`; an em is `em` inches.
    pub fn line(shaped: &[ShapedGlyph], text: &str, mut pen: f64, em: f64) -> Vec<Self> {
        let mut line = Vec::with_capacity(shaped.len());
        // Read from right to left, clusters stand in the order opposite to the text's.
        let mut clusters: Vec<usize> = shaped.iter().map(|glyph| glyph.cluster).collect();
        clusters.sort_unstable();
        for (index, glyph) in shaped.iter().enumerate() {
            let first = index == 0 || shaped[index - 1].cluster != glyph.cluster;
            let after = clusters.partition_point(|cluster| *cluster <= glyph.cluster);
            let end = clusters.get(after).copied().unwrap_or(text.len());
            let text = if first { text.get(glyph.cluster..end).unwrap_or_default() } else { "" };
            line.push(Self {
                id: glyph.id,
                x: rounded(pen + glyph.x * em),
                y: rounded(glyph.y * em),
                advance: rounded(glyph.advance * em),
                text: text.to_owned(),
            });
            pen += glyph.advance * em;
        }
        line
    }
}
