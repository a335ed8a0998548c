//! Words of a title as letters to cut.
//!
//! In come words in their fonts and a style; out come closed outlines, letter by letter, or several
//! letters in one where they touch. `setting` shapes the words, `arranging` lays their lines on a
//! [`Baseline`], `sizing` makes them as tall or wide as asked, `joining` decides what is one piece.

mod arranging;
mod baseline;
mod joining;
mod setting;
mod sizing;

use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::geometry::offset::{Holes, inward, outward};
use crate::geometry::{boolean, bridges};
use crate::lettering::fonts::Font;

pub use crate::model::{Align, Joined, Side};
pub use baseline::Baseline;

/// How tall words are, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// Flat capitals have this height.
    Cap(f64),
    /// Flat small letters have this height.
    SmallLetters(f64),
    /// The whole, from its highest to its lowest point, has this height.
    Total(f64),
    /// The whole has this width.
    Width(f64),
}

/// How words are set; lengths in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct WordStyle {
    /// How tall they are.
    pub height: Height,
    /// Added between letters.
    pub letter_spacing: f64,
    /// Steps up (down, if negative), repeated letter by letter.
    pub lift: Vec<f64>,
    /// Where lines of different width stand.
    pub align: Align,
    /// From one baseline to the next; as close as the letters allow if not given.
    pub leading: Option<f64>,
    /// What they stand on.
    pub baseline: Baseline,
    /// How far each letter is grown, or shrunk if negative.
    pub embolden: f64,
    /// Which letters become one piece.
    pub joined: Joined,
    /// Width of the bars that join loose parts to the rest of their piece, if they are wanted.
    pub bridge: Option<f64>,
    /// Papers repeated letter by letter, as numbers; each span's own where there are none.
    pub papers: Vec<usize>,
}

impl Default for WordStyle {
    fn default() -> Self {
        Self {
            height: Height::Cap(1.0),
            letter_spacing: 0.0,
            lift: Vec::new(),
            align: Align::Left,
            leading: None,
            baseline: Baseline::Straight,
            embolden: 0.0,
            joined: Joined::Auto,
            bridge: None,
            papers: Vec::new(),
        }
    }
}

/// Words of one font and paper. A line break in the text begins a new line.
#[derive(Clone, Debug)]
pub struct Span {
    /// The words, with the blanks round them.
    pub text: String,
    /// Their font, with its axes and features set.
    pub font: Arc<Font>,
    /// Their paper, as a number that only the caller understands.
    pub paper: usize,
}

/// Words set and cut apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Word {
    /// The words.
    pub text: String,
    /// Pieces in reading order: letters, or letters that are joined.
    pub letters: Vec<Letter>,
    /// Whether any letters are joined.
    pub joined: bool,
    /// First baseline, below the top of the whole; of a bent one its highest or lowest letter's.
    pub baseline: f64,
    /// Width and height of the whole.
    pub size: [f64; 2],
    /// Letters that their own font lacks, and the place of the font among the fallbacks that has them.
    pub fallbacks: Vec<(char, usize)>,
    /// Letters that lost a counter when they were grown.
    pub closed: Vec<String>,
    /// Pieces with parts that fall loose when they are cut, and how many.
    pub loose: Vec<(String, usize)>,
}

/// A piece to cut, in coordinates of the whole: its top left is the origin, y down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Letter {
    /// The text it stands for.
    pub text: String,
    /// How many letters it is made of.
    pub count: usize,
    /// Its paper.
    pub paper: usize,
    /// Its closed outline.
    pub outline: BezPath,
    /// Where it stands: its line, and its first byte in that line.
    pub place: (usize, usize),
}

impl Letter {
    /// How many parts fall apart when it is cut: 2 for an `i`.
    pub fn parts(&self) -> usize {
        boolean::count_parts(&self.outline)
    }
}

/// Why words can't be set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WordError {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
    /// Letters that no font has, if that is what is wrong.
    pub missing: Vec<char>,
}

impl WordError {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into(), missing: Vec::new() }
    }
}

/// Sets words in one font.
pub fn set_word(font: &Font, text: &str, style: &WordStyle) -> Result<Word, WordError> {
    let span = Span { text: text.to_owned(), font: Arc::new(font.clone()), paper: 0 };
    set_words(&[span], &[], style)
}

/// Sets words of several fonts and papers. Letters that a span's font lacks are taken from the first
/// of the fallbacks that has them.
pub fn set_words(
    spans: &[Span],
    fallbacks: &[Arc<Font>],
    style: &WordStyle,
) -> Result<Word, WordError> {
    let set = setting::set(spans, fallbacks, style)?;
    let scale = sizing::scale(&set, style)?;
    let arranged = arranging::arrange(&set, style, scale)?;
    let mut letters: Vec<Letter> = arranged
        .into_iter()
        .map(|placed| Letter { outline: boolean::union(&[placed.outline]), ..placed })
        .filter(|letter| !letter.outline.elements().is_empty())
        .collect();
    let closed = embolden(&mut letters, style.embolden)?;
    let mut letters = joining::join(letters, style.joined, &set);
    if let Some(width) = style.bridge {
        for letter in &mut letters {
            letter.outline = bridges::join_parts(&letter.outline, width);
        }
    }
    let loose = loose(&letters);
    let bounds = whole(&letters).ok_or_else(|| {
        WordError::new("the title has no outlines", "write letters that can be cut")
    })?;
    let shift = Affine::translate((-bounds.x0, -bounds.y0));
    for letter in &mut letters {
        letter.outline.apply_affine(shift);
    }
    Ok(Word {
        text: set.text(),
        joined: letters.iter().any(|letter| letter.count > 1),
        letters,
        baseline: -bounds.y0,
        size: [bounds.width(), bounds.height()],
        fallbacks: set.fallbacks,
        closed,
        loose,
    })
}

/// Grows or shrinks letters; the texts of those that lose a counter.
fn embolden(letters: &mut [Letter], by: f64) -> Result<Vec<String>, WordError> {
    let mut closed = Vec::new();
    if by == 0.0 {
        return Ok(closed);
    }
    for letter in letters {
        let before = boolean::count_holes(&letter.outline);
        let parts = letter.parts();
        let outline = if by > 0.0 {
            outward(&letter.outline, by, Holes::Keep)
        } else {
            inward(&letter.outline, -by)
        };
        let after = Letter { outline, ..letter.clone() };
        if after.outline.is_empty() || (by < 0.0 && after.parts() != parts) {
            return Err(WordError::new(
                format!("thinning by that much eats `{}`", letter.text),
                "thin the letters less, or make them larger",
            ));
        }
        if boolean::count_holes(&after.outline) < before {
            closed.push(letter.text.clone());
        }
        *letter = after;
    }
    Ok(closed)
}

/// The pieces that fall apart, dots and accents first of all, each text once with how many loose parts
/// it has in all.
fn loose(letters: &[Letter]) -> Vec<(String, usize)> {
    let mut loose: Vec<(String, usize)> = Vec::new();
    for letter in letters {
        let parts = letter.parts().saturating_sub(1);
        match loose.iter_mut().find(|(text, _)| *text == letter.text) {
            _ if parts == 0 => {}
            Some((_, count)) => *count += parts,
            None => loose.push((letter.text.clone(), parts)),
        }
    }
    loose
}

/// The bounding box of letters.
fn whole(letters: &[Letter]) -> Option<Rect> {
    let boxes = letters.iter().map(|letter| letter.outline.bounding_box());
    boxes.reduce(|all, one| all.union(one))
}
