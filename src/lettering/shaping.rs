//! Text to positioned glyphs: kerning, ligatures, contextual forms, both directions.

use std::ops::Range;

use harfrust::{Buffer, Direction, Script, ShapeOptions, ShaperFont};
use unicode_bidi::{BidiInfo, Level};

use crate::lettering::fonts::Font;

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
    /// The letters, in order of their code points.
    pub letters: Vec<char>,
}

/// A stretch of a line that is set in one font.
#[derive(Clone, Debug)]
pub struct Stretch<'a> {
    /// Its bytes in the line.
    pub bytes: Range<usize>,
    /// The font, with its axes and features set.
    pub font: &'a Font,
}

/// Shapes one line of text; glyphs come in visual order, left to right.
///
/// Directional runs are found by the Unicode Bidirectional Algorithm (UAX 9), and within them runs of
/// one script; each is shaped by itself.
pub fn shape(font: &Font, text: &str) -> Result<Vec<ShapedGlyph>, MissingGlyphs> {
    let whole = [Stretch { bytes: 0..text.len(), font }];
    let glyphs: Vec<ShapedGlyph> =
        shape_stretches(text, &whole).into_iter().map(|(_, glyph)| glyph).collect();
    let missing = glyphs.iter().filter(|glyph| glyph.id == 0);
    let letters = letters_at(text, missing.map(|glyph| glyph.cluster));
    if letters.is_empty() { Ok(glyphs) } else { Err(missing_glyphs(&font.family, letters)) }
}

/// Shapes one line set in several fonts; each glyph with the place of its stretch in `stretches`,
/// which follow each other and together make the line. A letter that its font lacks is glyph 0.
pub fn shape_stretches(text: &str, stretches: &[Stretch<'_>]) -> Vec<(usize, ShapedGlyph)> {
    shape_along(text, stretches, None)
}

/// As [`shape_stretches`], for a line of a given direction, or that of its first strong letter.
pub(super) fn shape_along(
    text: &str,
    stretches: &[Stretch<'_>],
    direction: Option<Level>,
) -> Vec<(usize, ShapedGlyph)> {
    let bidi = BidiInfo::new(text, direction);
    let mut glyphs = Vec::new();
    for paragraph in &bidi.paragraphs {
        let (levels, runs) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let backwards = levels.get(run.start).is_some_and(|level| level.is_rtl());
            let mut pieces = pieces(text, &run, stretches);
            if backwards {
                pieces.reverse();
            }
            for (stretch, piece) in pieces {
                let font = stretches[stretch].font;
                let shaped = shape_run(font, text, piece, backwards);
                glyphs.extend(shaped.into_iter().map(|glyph| (stretch, glyph)));
            }
        }
    }
    glyphs
}

/// A directional run cut where the font or the script changes; signs common to all scripts go with
/// what stands before them.
fn pieces(text: &str, run: &Range<usize>, stretches: &[Stretch<'_>]) -> Vec<(usize, Range<usize>)> {
    let mut pieces: Vec<(usize, Range<usize>)> = Vec::new();
    let mut script = None;
    for (offset, letter) in text.get(run.clone()).unwrap_or_default().char_indices() {
        let at = run.start + offset;
        let end = at + letter.len_utf8();
        let stretch = stretches.iter().position(|stretch| stretch.bytes.contains(&at)).unwrap_or(0);
        let own = match harfrust::unicode::script(u32::from(letter)) {
            Script::COMMON | Script::INHERITED | Script::UNKNOWN => None,
            own => Some(own),
        };
        let changes = own.is_some() && script.is_some() && own != script;
        match pieces.last_mut() {
            Some((last, range)) if *last == stretch && !changes => {
                range.end = end;
                script = script.or(own);
            }
            _ => {
                pieces.push((stretch, at..end));
                script = own;
            }
        }
    }
    pieces
}

/// Glyphs of a run of one font, script and direction.
fn shape_run(font: &Font, text: &str, run: Range<usize>, backwards: bool) -> Vec<ShapedGlyph> {
    let shaper = ShaperFont::new(&font.face);
    let features = font.shaper_features();
    let mut buffer = Buffer::new();
    buffer.push_str(text.get(run.clone()).unwrap_or_default());
    buffer.set_pre_context(text.get(..run.start).unwrap_or_default());
    buffer.set_post_context(text.get(run.end..).unwrap_or_default());
    buffer.set_direction(if backwards { Direction::RightToLeft } else { Direction::LeftToRight });
    buffer.guess_segment_properties();
    let options = ShapeOptions::new().features(&features);
    if harfrust::shape(&shaper, &mut buffer, options).is_err() {
        return Vec::new();
    }
    let infos = buffer.glyph_infos().iter().zip(buffer.glyph_positions());
    infos
        .map(|(info, position)| ShapedGlyph {
            id: u16::try_from(info.glyph_id).unwrap_or(0),
            cluster: run.start + usize::try_from(info.cluster).unwrap_or(0),
            advance: f64::from(position.x_advance) / font.units_per_em,
            x: f64::from(position.x_offset) / font.units_per_em,
            y: f64::from(position.y_offset) / font.units_per_em,
        })
        .collect()
}

/// The letters that stand at some bytes of a text, each once.
pub(super) fn letters_at(text: &str, bytes: impl Iterator<Item = usize>) -> Vec<char> {
    let mut letters: Vec<char> = bytes.filter_map(|at| text.get(at..)?.chars().next()).collect();
    letters.sort_unstable();
    letters.dedup();
    letters
}

/// The letters of a text at some bytes, told as what a font lacks; nothing if there are none.
pub fn missing_at(
    font: &Font,
    text: &str,
    bytes: impl Iterator<Item = usize>,
) -> Option<MissingGlyphs> {
    let letters = letters_at(text, bytes);
    (!letters.is_empty()).then(|| missing_glyphs(&font.family, letters))
}

/// The letters a font lacks, as they are told.
pub(super) fn missing_glyphs(family: &str, letters: Vec<char>) -> MissingGlyphs {
    let named: Vec<String> = letters.iter().copied().map(with_code_point).collect();
    MissingGlyphs {
        message: format!("the font {family} has no {}", named.join(", ")),
        help: "use another font, or other letters".to_owned(),
        letters,
    }
}

/// A letter as messages name it.
pub fn with_code_point(letter: char) -> String {
    format!("`{letter}` (U+{:04X})", u32::from(letter))
}

/// Where the letters of a text begin, in the order in which they are seen from left to right.
pub fn visual_order(text: &str) -> Vec<usize> {
    let bidi = BidiInfo::new(text, None);
    let mut order = Vec::new();
    for paragraph in &bidi.paragraphs {
        let (levels, runs) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for run in runs {
            let letters = text.get(run.clone()).unwrap_or_default().char_indices();
            let mut letters: Vec<usize> = letters.map(|(at, _)| run.start + at).collect();
            if levels.get(run.start).is_some_and(|level| level.is_rtl()) {
                letters.reverse();
            }
            order.extend(letters);
        }
    }
    order
}

/// Whether the text holds a run that is read from right to left.
pub fn has_right_to_left(text: &str) -> bool {
    BidiInfo::new(text, None).has_rtl()
}
