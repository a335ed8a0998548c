//! Text to positioned glyphs: kerning, ligatures, contextual forms, both directions.

use harfrust::{Buffer, ShapeOptions, ShaperFont};
use kurbo::BezPath;
use unicode_bidi::BidiInfo;

use super::fonts::Font;

/// One glyph of a shaped text, in em, y up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapedGlyph {
    /// Glyph id.
    pub id: u16,
    /// Byte in the text at which its cluster begins.
    pub cluster: usize,
    /// How far the pen moves on.
    pub advance: f64,
    /// Shift of this glyph to the right.
    pub x: f64,
    /// Shift of this glyph upwards.
    pub y: f64,
}

/// Letters that a font lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingGlyphs {
    /// Which, with their code points.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// Shapes one line of text; glyphs come in visual order, left to right.
///
/// Directional runs are found by the Unicode Bidirectional Algorithm (UAX 9); each is shaped by
/// itself.
pub fn shape(font: &Font, text: &str) -> Result<Vec<ShapedGlyph>, MissingGlyphs> {
    let shaper = ShaperFont::new(&font.face);
    let bidi = BidiInfo::new(text, None);
    let mut glyphs = Vec::new();
    for paragraph in &bidi.paragraphs {
        let (_, runs) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let mut buffer = Buffer::new();
            let piece = text.get(run.clone()).unwrap_or_default();
            buffer.push_str(piece);
            buffer.guess_segment_properties();
            if harfrust::shape(&shaper, &mut buffer, ShapeOptions::new()).is_err() {
                continue;
            }
            let infos = buffer.glyph_infos().iter().zip(buffer.glyph_positions());
            glyphs.extend(infos.map(|(info, position)| ShapedGlyph {
                id: u16::try_from(info.glyph_id).unwrap_or(0),
                cluster: run.start + usize::try_from(info.cluster).unwrap_or(0),
                advance: f64::from(position.x_advance) / font.units_per_em,
                x: f64::from(position.x_offset) / font.units_per_em,
                y: f64::from(position.y_offset) / font.units_per_em,
            }));
        }
    }
    let mut missing: Vec<char> = glyphs
        .iter()
        .filter(|glyph| glyph.id == 0)
        .filter_map(|glyph| text.get(glyph.cluster..)?.chars().next())
        .collect();
    missing.sort_unstable();
    missing.dedup();
    if missing.is_empty() {
        return Ok(glyphs);
    }
    let named: Vec<String> =
        missing.iter().map(|letter| format!("`{letter}` (U+{:04X})", u32::from(*letter))).collect();
    Err(MissingGlyphs {
        message: format!("the font {} has no {}", font.family, named.join(", ")),
        help: "use another font, or other letters".to_owned(),
    })
}

/// Shapes a label: a letter that the font lacks becomes a question mark. Returns the text as it was
/// set, and its glyphs.
pub fn shape_known(font: &Font, text: &str) -> (String, Vec<ShapedGlyph>) {
    if let Ok(glyphs) = shape(font, text) {
        return (text.to_owned(), glyphs);
    }
    let known = |letter: char| if font.glyph(letter).is_some() { letter } else { '?' };
    let text: String = text.chars().map(known).collect();
    let glyphs = shape(font, &text).unwrap_or_default();
    (text, glyphs)
}

/// A glyph's outline in em, y down, its baseline at 0.
pub fn glyph_outline(font: &Font, id: u16) -> Option<BezPath> {
    font.outline(id)
}

/// Whether the text holds a run that is read from right to left.
pub fn has_right_to_left(text: &str) -> bool {
    BidiInfo::new(text, None).has_rtl()
}
