//! Labels: names that the user gave, in whatever script, set with a font and those that stand in for it.
//!
//! A label is part of an English page: it runs from left to right, and what is read from right to left in
//! it keeps its own order (UAX 9). Names that could upset what stands beside them are put into isolates
//! with [`isolated`].

use harfrust::Script;
use unicode_bidi::Level;

use crate::lettering::fonts::Font;
use crate::lettering::shaping::{ShapedGlyph, Stretch, has_right_to_left, shape_along};

/// First strong isolate and pop directional isolate (UAX 9, 2.2): what stands between them is ordered by
/// itself.
const ISOLATE: [char; 2] = ['\u{2068}', '\u{2069}'];

/// A name that keeps to itself in a line, whichever way it is read.
///
/// ```
/// use cutleaf::lettering::label::isolated;
/// assert_eq!(isolated("left.sky"), "left.sky");
/// assert_eq!(isolated("بحر"), "\u{2068}بحر\u{2069}");
/// ```
pub fn isolated(name: &str) -> String {
    let name: String = name.chars().map(|one| if is_control(one) { ' ' } else { one }).collect();
    if has_right_to_left(&name) { format!("{}{name}{}", ISOLATE[0], ISOLATE[1]) } else { name }
}

/// Whether a letter only steers the order of others (UAX 9, 2).
pub fn is_control(letter: char) -> bool {
    matches!(letter, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Shapes a label with the first of `fonts` that has each letter; a letter that none has is written as its
/// code point, such as `[U+0905]`. Returns the text as it was set, and its glyphs in visual order, each
/// with its font's place.
pub fn shape_label(fonts: &[&Font], text: &str) -> (String, Vec<(usize, ShapedGlyph)>) {
    let text = known(fonts, text);
    let mut stretches: Vec<Stretch<'_>> = Vec::new();
    let mut places: Vec<usize> = Vec::new();
    for (start, letter) in text.char_indices() {
        let end = start + letter.len_utf8();
        let last = places.last().copied();
        // What joins or marks a letter goes with it.
        let follows = harfrust::unicode::script(u32::from(letter)) == Script::INHERITED;
        let place = match last {
            Some(last) if follows || is_control(letter) => last,
            _ => having(fonts, letter).unwrap_or(0),
        };
        match stretches.last_mut() {
            Some(stretch) if last == Some(place) => stretch.bytes.end = end,
            _ => {
                let Some(font) = fonts.get(place) else { continue };
                stretches.push(Stretch { bytes: start..end, font });
                places.push(place);
            }
        }
    }
    let controls = |glyph: &ShapedGlyph| {
        text.get(glyph.cluster..).and_then(|rest| rest.chars().next()).is_some_and(is_control)
    };
    let shaped = shape_along(&text, &stretches, Some(Level::ltr()));
    let glyphs = shaped.into_iter().filter(|(_, glyph)| !controls(glyph));
    let glyphs = glyphs.map(|(stretch, glyph)| (places[stretch], glyph)).collect();
    (text, glyphs)
}

/// Width of a label in ems.
pub fn label_width(fonts: &[&Font], text: &str) -> f64 {
    shape_label(fonts, text).1.iter().map(|(_, glyph)| glyph.advance).sum()
}

/// The letters of a text that a font lacks, each once, in order of their code points.
pub fn lacking(fonts: &[&Font], text: &str) -> Vec<char> {
    let mut letters: Vec<char> = text.chars().filter(|letter| !is_set(fonts, *letter)).collect();
    letters.sort_unstable();
    letters.dedup();
    letters
}

fn having(fonts: &[&Font], letter: char) -> Option<usize> {
    fonts.iter().position(|font| font.glyph(letter).is_some())
}

/// Whether a letter is set at all: it steers or joins others, or a font has it.
fn is_set(fonts: &[&Font], letter: char) -> bool {
    is_control(letter)
        || matches!(letter, '\u{200c}' | '\u{200d}')
        || having(fonts, letter).is_some()
}

fn known(fonts: &[&Font], text: &str) -> String {
    let mut known = String::with_capacity(text.len());
    for letter in text.chars() {
        if is_set(fonts, letter) {
            known.push(letter);
        } else {
            known += &format!("[U+{:04X}]", u32::from(letter));
        }
    }
    known
}
