//! Shaped glyphs, each with its place on its line.

use crate::lettering::shaping::ShapedGlyph;
use crate::model::Glyph;

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
                x: pen + glyph.x * em,
                y: glyph.y * em,
                advance: glyph.advance * em,
                text: text.to_owned(),
            });
            pen += glyph.advance * em;
        }
        line
    }
}
