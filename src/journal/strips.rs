//! A story to strips of exact height, each as wide as its text needs, or to a card.

use crate::lettering::fonts::Font;
use crate::lettering::shaping::has_right_to_left;
use crate::model::Fault;
use crate::model::Glyph;

use super::rich::{Face, Paragraph, paragraphs};
use super::setting::{Faces, POINTS, ParagraphLine, SetLine, Setting};

/// Paper between the tallest or deepest letter and the strip's edge, in inches: a cut that is off by a
/// hair must not touch the type (common practice, no source).
const CLEAR: f64 = 1.0 / 64.0;
/// Type sizes are offered in steps of this, in points.
pub(super) const SIZE_STEP: f64 = 0.5;
/// No smaller type size is offered, in points: nobody could read it.
pub(super) const SMALLEST: f64 = 4.0;

/// How the story is cut into lines; widths in inches, padding included.
#[derive(Clone, Debug, PartialEq)]
pub enum Lines {
    /// As few strips as it takes, none wider than this.
    Widest(f64),
    /// So many strips, as even as can be, none wider than this if it is told.
    Count(usize, Option<f64>),
    /// Strips of these widths in turn, the last one repeated: they follow a shape.
    Widths(Vec<f64>),
    /// A strip for each word.
    Words,
}

/// A story and the sizes of its strips; lengths in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Story {
    /// The story; a line break starts a new strip, stars mark words (see [`paragraphs`]).
    pub text: String,
    /// Height of every strip.
    pub strip_height: f64,
    /// How it is cut into lines.
    pub lines: Lines,
    /// Paper left and right of the text, at least.
    pub pad: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Whether words may be broken with hyphens.
    pub hyphens: bool,
    /// Most strips there is room for.
    pub most: Option<usize>,
    /// Strips are cut to a multiple of this width: the finest mark of the ruler.
    pub ruler_mark: f64,
}

/// One strip with its text.
#[derive(Clone, Debug, PartialEq)]
pub struct StoryStrip {
    /// Its words.
    pub text: String,
    /// Width and height.
    pub size: [f64; 2],
    /// Baseline below the top; of the first line on a card.
    pub baseline: f64,
    /// Stretches of one face, left to right: glyphs in inches from the left edge and the baseline.
    pub runs: Vec<(Face, Vec<Glyph>)>,
}

impl StoryStrip {
    /// All its glyphs.
    pub fn glyphs(&self) -> impl DoubleEndedIterator<Item = &Glyph> {
        self.runs.iter().flat_map(|(_, glyphs)| glyphs)
    }
}

/// Breaks a story into strips.
pub fn break_story(story: &Story, faces: &Faces<'_>) -> Result<Vec<StoryStrip>, Fault> {
    let told = told(&story.text)?;
    let room = |width: f64| {
        let room = width - 2.0 * story.pad;
        if room > 0.0 {
            return Ok(room);
        }
        Err(Fault::new(
            "the padding leaves no room for text",
            "write a wider strip or less padding",
        ))
    };
    let setting = Setting::new(faces, story.type_size, story.hyphens);
    let lines: Vec<ParagraphLine<'_>> = match &story.lines {
        Lines::Widest(widest) => setting.shaped_to(&told, &[room(*widest)?])?,
        Lines::Words => told.iter().flat_map(words).collect(),
        Lines::Count(count, widest) => {
            setting.counted(&told, *count, widest.map(room).transpose()?)?
        }
        Lines::Widths(widths) => {
            let rooms: Result<Vec<f64>, Fault> = widths.iter().map(|one| room(*one)).collect();
            setting.shaped_to(&told, &rooms?)?
        }
    };
    let lines: Vec<SetLine> =
        lines.iter().map(|line| setting.set(line)).collect::<Result<_, _>>()?;
    check_height(story, faces.plain(), &lines)?;
    let width = |number: usize| match &story.lines {
        Lines::Widths(widths) => widths.get(number).or(widths.last()).copied(),
        Lines::Widest(_) | Lines::Count(..) | Lines::Words => None,
    };
    let strips: Vec<StoryStrip> = lines
        .iter()
        .enumerate()
        .map(|(number, line)| strip(story, faces.plain(), line, width(number)))
        .collect();
    match story.most {
        Some(most) if strips.len() > most => Err(Fault::new(
            format!("the story is too long for its strips: it needs {}, not {most}", strips.len()),
            "shorten it, widen the strips, make the type smaller, or raise `most`",
        )),
        _ => Ok(strips),
    }
}

/// The story's paragraphs, if it can be set at all.
pub(super) fn told(text: &str) -> Result<Vec<Paragraph>, Fault> {
    let told = paragraphs(text)?;
    if told.is_empty() {
        return Err(Fault::new("the story is empty", "write it, or leave journaling out"));
    }
    if told.iter().any(|paragraph| has_right_to_left(&paragraph.text)) {
        return Err(Fault::new(
            "the story holds text that is read from right to left",
            "strips are set from left to right only, so far",
        ));
    }
    Ok(told)
}

/// The type's height, from its deepest to its tallest letter, must fit the strip.
fn check_height(story: &Story, font: &Font, lines: &[SetLine]) -> Result<(), Fault> {
    let up = lines.iter().map(|line| line.ink.up).fold(0.0, f64::max);
    let down = lines.iter().map(|line| line.ink.down).fold(0.0, f64::max);
    let middle = baseline(story, font) - story.strip_height / 2.0;
    let reach = (up - middle).max(down + middle);
    let room = story.strip_height / 2.0 - CLEAR;
    if reach <= room + 1e-9 {
        return Ok(());
    }
    // The baseline moves with the type, so everything grows with it.
    let largest = (room / reach * story.type_size / SIZE_STEP).floor() * SIZE_STEP;
    let help = match largest >= SMALLEST {
        true => format!("the largest size that fits is {largest} pt; or make the strip higher"),
        false => "no size that can be read fits: make the strip higher".to_owned(),
    };
    Err(Fault::new(format!("type of {} pt is too tall for the strip", story.type_size), help))
}

/// The baseline below the top of a strip: text is centred midway between the middles of capitals
/// and of small letters (common practice, no source).
fn baseline(story: &Story, font: &Font) -> f64 {
    let em = story.type_size / POINTS;
    story.strip_height / 2.0 + (font.cap_height + font.x_height) / 4.0 * em
}

/// A line for each word; signs that stand alone go with the word before.
fn words(paragraph: &Paragraph) -> Vec<ParagraphLine<'_>> {
    let mut lines: Vec<ParagraphLine<'_>> = Vec::new();
    let mut from = 0;
    for word in paragraph.text.split(' ') {
        let to = from + word.len();
        match lines.last_mut() {
            Some(last) if !word.chars().any(char::is_alphanumeric) => last.to = to,
            _ => lines.push(ParagraphLine { paragraph, from, to, hyphen: false }),
        }
        from = to + 1;
    }
    lines
}

/// A strip round a line, the ink in its middle, so that both sides have the same padding: as wide as
/// told, or the next ruler mark that holds text and padding.
fn strip(story: &Story, font: &Font, line: &SetLine, width: Option<f64>) -> StoryStrip {
    let needed = (line.ink.width() + 2.0 * story.pad) / story.ruler_mark;
    let needed = (needed - 1e-9).ceil() * story.ruler_mark;
    let widest = match &story.lines {
        Lines::Widest(widest) | Lines::Count(_, Some(widest)) => *widest,
        Lines::Count(_, None) | Lines::Widths(_) | Lines::Words => f64::INFINITY,
    };
    let width = width.unwrap_or(needed.min(widest));
    StoryStrip {
        text: line.text.clone(),
        size: [width, story.strip_height],
        baseline: baseline(story, font),
        runs: line.runs((width - line.ink.width()) / 2.0 - line.ink.left, 0.0),
    }
}
