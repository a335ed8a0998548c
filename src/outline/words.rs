//! Words of a title as letters to cut.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, Rect, Shape};

use super::boolean;
use super::fonts::Font;
use super::shaping::{ShapedGlyph, shape};

/// How near a fitted measure comes to the one that is wanted, in inches.
const CLOSE: f64 = 1e-9;
/// Corrections of a fitted scale; the measure is a straight line in it but where another letter becomes
/// the outermost.
const MOST_CORRECTIONS: usize = 8;

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
}

/// Words set and cut apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// The words.
    pub text: String,
    /// Letters in reading order; a single one if they are joined.
    pub letters: Vec<Letter>,
    /// Whether letters touch, so that the words are one piece.
    pub joined: bool,
    /// Baseline, below the top of the whole.
    pub baseline: f64,
    /// Width and height of the whole.
    pub size: [f64; 2],
}

/// A letter to cut, in coordinates of the whole: its top left is the origin, y down.
#[derive(Clone, Debug, PartialEq)]
pub struct Letter {
    /// The text it stands for.
    pub text: String,
    /// Its closed outline.
    pub outline: BezPath,
}

impl Letter {
    /// How many parts fall apart when it is cut: 2 for an `i`.
    pub fn parts(&self) -> usize {
        boolean::contours(&self.outline).iter().filter(|contour| contour.depth % 2 == 0).count()
    }
}

/// Why words can't be set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordError {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// Sets words in a font.
pub fn set_word(font: &Font, text: &str, style: &WordStyle) -> Result<Word, WordError> {
    let error = |message: &str, help: &str| WordError {
        message: message.to_owned(),
        help: help.to_owned(),
    };
    if text.trim().is_empty() {
        return Err(error("the title has no words", "write its words"));
    }
    let glyphs = shape(font, text)
        .map_err(|missing| WordError { message: missing.message, help: missing.help })?;
    let scale = scale(font, text, &glyphs, style)?;
    let letters = letters(font, text, &glyphs, style, scale);
    let bounds = letters
        .iter()
        .map(|letter| letter.outline.bounding_box())
        .reduce(|all, one| all.union(one))
        .ok_or_else(|| error("the title has no outlines", "write letters that can be cut"))?;
    let shift = Affine::translate((-bounds.x0, -bounds.y0));
    let mut letters: Vec<Letter> = letters
        .into_iter()
        .map(|letter| Letter { outline: shift * letter.outline, ..letter })
        .collect();
    let joined = touching(&letters);
    if joined {
        let outlines: Vec<BezPath> = letters.into_iter().map(|letter| letter.outline).collect();
        letters = vec![Letter { text: text.to_owned(), outline: boolean::union(&outlines) }];
    }
    Ok(Word {
        text: text.to_owned(),
        letters,
        joined,
        baseline: -bounds.y0,
        size: [bounds.width(), bounds.height()],
    })
}

/// Inches of an em.
fn scale(
    font: &Font,
    text: &str,
    glyphs: &[ShapedGlyph],
    style: &WordStyle,
) -> Result<f64, WordError> {
    let (wanted, natural) = match style.height {
        Height::Cap(height) => (height, font.cap_height),
        Height::SmallLetters(height) => (height, font.x_height),
        Height::Total(height) => (height, natural_size(font, text, glyphs).height()),
        Height::Width(width) => (width, natural_size(font, text, glyphs).width()),
    };
    let plain = wanted / natural;
    let scale = match style.height {
        Height::Cap(_) | Height::SmallLetters(_) => plain,
        Height::Total(_) | Height::Width(_) if !plain.is_finite() => plain,
        Height::Total(height) => fitted(plain, height, natural, |scale| {
            whole(&letters(font, text, glyphs, style, scale)).height()
        }),
        Height::Width(width) => fitted(plain, width, natural, |scale| {
            whole(&letters(font, text, glyphs, style, scale)).width()
        }),
    };
    if scale.is_finite() && scale > 0.0 {
        return Ok(scale);
    }
    Err(if plain.is_finite() && plain > 0.0 {
        WordError {
            message: "the spacing and the lift alone take more room than that".to_owned(),
            help: "take less spacing or lift, or make the words larger".to_owned(),
        }
    } else {
        WordError {
            message: "the words have no height".to_owned(),
            help: "write a height of more than 0".to_owned(),
        }
    })
}

/// The scale at which a measure is as wanted: spacing and lift don't grow with the letters, so the
/// measure at a scale is taken and the scale corrected by what is missing.
fn fitted(plain: f64, wanted: f64, natural: f64, measure: impl Fn(f64) -> f64) -> f64 {
    let mut scale = plain;
    for _ in 0..MOST_CORRECTIONS {
        let missing = wanted - measure(scale);
        if missing.abs() < CLOSE || scale <= 0.0 {
            break;
        }
        scale += missing / natural;
    }
    scale
}

/// The bounding box of the words at an em of 1 in, without spacing or lift.
fn natural_size(font: &Font, text: &str, glyphs: &[ShapedGlyph]) -> Rect {
    let plain = WordStyle { height: Height::Cap(1.0), letter_spacing: 0.0, lift: Vec::new() };
    whole(&letters(font, text, glyphs, &plain, 1.0))
}

/// The bounding box of letters.
fn whole(letters: &[Letter]) -> Rect {
    let boxes = letters.iter().map(|letter| letter.outline.bounding_box());
    boxes.reduce(|all, one| all.union(one)).unwrap_or_default()
}

/// Each cluster's outline where it stands in the line, the baseline at 0; blanks are left out.
fn letters(
    font: &Font,
    text: &str,
    glyphs: &[ShapedGlyph],
    style: &WordStyle,
    scale: f64,
) -> Vec<Letter> {
    let mut pen = 0.0;
    let mut clusters: BTreeMap<usize, BezPath> = BTreeMap::new();
    let (mut last, mut inked) = (None, 0_usize);
    for glyph in glyphs {
        if last.is_some_and(|last| last != glyph.cluster) {
            pen += style.letter_spacing;
        }
        let outline = font.outline(glyph.id).unwrap_or_default();
        if !outline.elements().is_empty() {
            let fresh = !clusters.contains_key(&glyph.cluster);
            inked += usize::from(fresh);
            let step = inked.saturating_sub(1) % style.lift.len().max(1);
            let lift = style.lift.get(step).copied().unwrap_or(0.0);
            let place = Affine::translate((pen + glyph.x * scale, -glyph.y * scale - lift));
            let outline = place * Affine::scale(scale) * outline;
            clusters.entry(glyph.cluster).or_default().extend(outline.elements().iter().copied());
        }
        last = Some(glyph.cluster);
        pen += glyph.advance * scale;
    }
    let starts: Vec<usize> = {
        let mut starts: Vec<usize> = glyphs.iter().map(|glyph| glyph.cluster).collect();
        starts.sort_unstable();
        starts.dedup();
        starts
    };
    let end =
        |start: usize| starts.iter().copied().find(|next| *next > start).unwrap_or(text.len());
    clusters
        .into_iter()
        .map(|(start, outline)| Letter {
            text: text.get(start..end(start)).unwrap_or_default().trim().to_owned(),
            outline: boolean::union(&[outline]),
        })
        .filter(|letter| !letter.outline.elements().is_empty())
        .collect()
}

/// Whether any two letters share paper, as in a script, so that they can't be cut apart.
fn touching(letters: &[Letter]) -> bool {
    let boxes: Vec<Rect> = letters.iter().map(|letter| letter.outline.bounding_box()).collect();
    (0..letters.len()).any(|one| {
        (one + 1..letters.len()).any(|other| {
            boxes[one].intersect(boxes[other]).area() > 0.0
                && boolean::intersect(&letters[one].outline, &letters[other].outline).area().abs()
                    > SHARED_PAPER
        })
    })
}

/// Letters that share more than this are one piece, in square inches: a touch by rounding is none.
const SHARED_PAPER: f64 = 1e-5;
