//! A story to strips of exact height, each as wide as its text needs, or to a card.

use kurbo::{Rect, Shape, Vec2};

use crate::outline::fonts::Font;
use crate::outline::shaping::{
    ShapedGlyph, Stretch, has_right_to_left, missing_at, shape_stretches,
};
use crate::record::Glyph;

use super::JournalError;
use super::rich::{Face, Paragraph, paragraphs};
use super::segments::Segment;

/// Points in an inch.
pub(super) const POINTS: f64 = 72.0;
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

/// The fonts of a story, by [`Face::ALL`].
#[derive(Clone, Copy, Debug)]
pub struct Faces<'a>(pub [&'a Font; 4]);

impl<'a> Faces<'a> {
    /// The same font for every face.
    pub fn alike(font: &'a Font) -> Self {
        Self([font; 4])
    }

    /// The font of plain text.
    pub fn plain(&self) -> &'a Font {
        self.0[0]
    }
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
pub fn break_story(story: &Story, faces: &Faces<'_>) -> Result<Vec<StoryStrip>, JournalError> {
    let told = told(&story.text)?;
    let room = |width: f64| {
        let room = width - 2.0 * story.pad;
        if room > 0.0 {
            return Ok(room);
        }
        Err(JournalError::new(
            "the padding leaves no room for text",
            "write a wider strip or less padding",
        ))
    };
    let setting = Setting { faces, type_size: story.type_size, hyphens: story.hyphens };
    let lines: Vec<Line<'_>> = match &story.lines {
        Lines::Widest(widest) => setting.shaped_to(&told, &[room(*widest)?])?,
        Lines::Words => told.iter().flat_map(words).collect(),
        Lines::Count(count, widest) => {
            setting.counted(&told, *count, widest.map(room).transpose()?)?
        }
        Lines::Widths(widths) => {
            let rooms: Result<Vec<f64>, JournalError> =
                widths.iter().map(|one| room(*one)).collect();
            setting.shaped_to(&told, &rooms?)?
        }
    };
    check_height(story, &setting, &lines)?;
    let width = |number: usize| match &story.lines {
        Lines::Widths(widths) => widths.get(number).or(widths.last()).copied(),
        _ => None,
    };
    let strips = lines.iter().enumerate();
    let strips: Vec<StoryStrip> = strips
        .map(|(number, line)| strip(story, &setting, line, width(number)))
        .collect::<Result<_, _>>()?;
    match story.most {
        Some(most) if strips.len() > most => Err(JournalError::new(
            format!("the story is too long for its strips: it needs {}, not {most}", strips.len()),
            "shorten it, widen the strips, make the type smaller, or raise `most`",
        )),
        _ => Ok(strips),
    }
}

/// The story's paragraphs, if it can be set at all.
pub(super) fn told(text: &str) -> Result<Vec<Paragraph>, JournalError> {
    let told = paragraphs(text)?;
    if told.is_empty() {
        return Err(JournalError::new("the story is empty", "write it, or leave journaling out"));
    }
    if told.iter().any(|paragraph| has_right_to_left(&paragraph.text)) {
        return Err(JournalError::new(
            "the story holds text that is read from right to left",
            "strips are set from left to right only, so far",
        ));
    }
    Ok(told)
}

/// The type's height, from its deepest to its tallest letter, must fit the strip.
fn check_height(
    story: &Story,
    setting: &Setting<'_>,
    lines: &[Line<'_>],
) -> Result<(), JournalError> {
    let (mut up, mut down) = (0.0_f64, 0.0_f64);
    for line in lines {
        let ink = setting.ink(line)?;
        (up, down) = (up.max(ink.up), down.max(ink.down));
    }
    let middle = baseline(story, setting.faces.plain()) - story.strip_height / 2.0;
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
    Err(JournalError::new(
        format!("type of {} pt is too tall for the strip", story.type_size),
        help,
    ))
}

/// The baseline below the top of a strip: text is centred midway between the middles of capitals
/// and of small letters (common practice, no source).
fn baseline(story: &Story, font: &Font) -> f64 {
    let em = story.type_size / POINTS;
    story.strip_height / 2.0 + (font.cap_height + font.x_height) / 4.0 * em
}

/// A line of a paragraph.
pub(super) struct Line<'a> {
    pub paragraph: &'a Paragraph,
    pub from: usize,
    pub to: usize,
    pub hyphen: bool,
}

impl<'a> Line<'a> {
    /// The line from one segment to another of a paragraph.
    pub fn of(paragraph: &'a Paragraph, segments: &[Segment], start: usize, end: usize) -> Self {
        let from = segments[start].start;
        let (to, hyphen) = match segments.get(end) {
            Some(next) => (next.start, next.hyphen),
            None => (paragraph.text.len(), false),
        };
        let words = paragraph.text.get(from..to).unwrap_or_default();
        Self { paragraph, from, to: from + words.trim_end().len(), hyphen }
    }

    /// Its words.
    pub fn text(&self) -> String {
        let words = self.paragraph.text.get(self.from..self.to).unwrap_or_default();
        if self.hyphen { format!("{words}-") } else { words.to_owned() }
    }
}

/// A line for each word; signs that stand alone go with the word before.
fn words(paragraph: &Paragraph) -> Vec<Line<'_>> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    let mut from = 0;
    for word in paragraph.text.split(' ') {
        let to = from + word.len();
        match lines.last_mut() {
            Some(last) if !word.chars().any(char::is_alphanumeric) => last.to = to,
            _ => lines.push(Line { paragraph, from, to, hyphen: false }),
        }
        from = to + 1;
    }
    lines
}

/// What the letters of a line cover, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ink {
    /// Right of where the pen begins.
    pub left: f64,
    /// Right of where the pen begins.
    pub right: f64,
    /// Above the baseline.
    pub up: f64,
    /// Below the baseline.
    pub down: f64,
}

/// How lines are set.
pub(super) struct Setting<'a> {
    /// The fonts.
    pub faces: &'a Faces<'a>,
    /// Type size in points.
    pub type_size: f64,
    /// Whether words may be broken.
    pub hyphens: bool,
}

impl Setting<'_> {
    /// The glyphs of a line, each with its face.
    pub fn glyphs(&self, line: &Line<'_>) -> Result<Vec<(Face, ShapedGlyph)>, JournalError> {
        let text = line.text();
        let mut stretches: Vec<(std::ops::Range<usize>, Face)> = line
            .paragraph
            .stretches(line.from, line.to)
            .into_iter()
            .map(|(bytes, face)| (bytes.start - line.from..bytes.end - line.from, face))
            .collect();
        if let Some(last) = stretches.last_mut() {
            last.0.end = text.len();
        }
        let font = |face: Face| self.faces.0[face as usize];
        let set: Vec<Stretch<'_>> = stretches
            .iter()
            .map(|(bytes, face)| Stretch { bytes: bytes.clone(), font: font(*face) })
            .collect();
        let glyphs = shape_stretches(&text, &set);
        for (number, (_, face)) in stretches.iter().enumerate() {
            let missing =
                glyphs.iter().filter(|(stretch, glyph)| *stretch == number && glyph.id == 0);
            if let Some(missing) =
                missing_at(font(*face), &text, missing.map(|(_, glyph)| glyph.cluster))
            {
                return Err(JournalError::new(missing.message, missing.help));
            }
        }
        Ok(glyphs.into_iter().map(|(stretch, glyph)| (stretches[stretch].1, glyph)).collect())
    }

    /// The width of a line in inches.
    pub fn width(&self, line: &Line<'_>) -> Result<f64, JournalError> {
        let glyphs = self.glyphs(line)?;
        Ok(glyphs.iter().map(|(_, glyph)| glyph.advance).sum::<f64>() * self.type_size / POINTS)
    }

    /// The width of a line with what its letters reach beyond where the pen begins and ends.
    pub fn reach(&self, line: &Line<'_>) -> Result<f64, JournalError> {
        let ink = self.ink(line)?;
        Ok(self.width(line)?.max(ink.right - ink.left))
    }

    /// What the letters of a line cover, in inches from where the pen begins and from the baseline.
    pub fn ink(&self, line: &Line<'_>) -> Result<Ink, JournalError> {
        let mut all: Option<Rect> = None;
        let mut pen = 0.0;
        for (face, glyph) in self.glyphs(line)? {
            let outline = self.faces.0[face as usize].outline(glyph.id).unwrap_or_default();
            if !outline.elements().is_empty() {
                let moved = outline.bounding_box() + Vec2::new(pen + glyph.x, -glyph.y);
                all = Some(all.map_or(moved, |all| all.union(moved)));
            }
            pen += glyph.advance;
        }
        let em = self.type_size / POINTS;
        let all = all.unwrap_or(Rect::new(0.0, 0.0, pen, 0.0));
        let [left, right, up, down] = [all.x0, all.x1, -all.y0, all.y1].map(|part| part * em);
        Ok(Ink { left, right, up, down })
    }
}

/// A strip round a line, the ink in its middle, so that both sides have the same padding: as wide as
/// told, or the next ruler mark that holds text and padding.
fn strip(
    story: &Story,
    setting: &Setting<'_>,
    line: &Line<'_>,
    width: Option<f64>,
) -> Result<StoryStrip, JournalError> {
    let ink = setting.ink(line)?;
    let ink_width = ink.right - ink.left;
    let needed = (ink_width + 2.0 * story.pad) / story.ruler_mark;
    let needed = (needed - 1e-9).ceil() * story.ruler_mark;
    let widest = match &story.lines {
        Lines::Widest(widest) | Lines::Count(_, Some(widest)) => *widest,
        Lines::Count(_, None) | Lines::Widths(_) | Lines::Words => f64::INFINITY,
    };
    let width = width.unwrap_or(needed.min(widest));
    Ok(StoryStrip {
        text: line.text(),
        size: [width, story.strip_height],
        baseline: baseline(story, setting.faces.plain()),
        runs: runs(setting, line, (width - ink_width) / 2.0 - ink.left, 0.0)?,
    })
}

/// A line's glyphs as runs of one face, the pen at `pen` and so far above the strip's baseline.
pub(super) fn runs(
    setting: &Setting<'_>,
    line: &Line<'_>,
    pen: f64,
    above: f64,
) -> Result<Vec<(Face, Vec<Glyph>)>, JournalError> {
    let (faces, shaped): (Vec<Face>, Vec<ShapedGlyph>) = setting.glyphs(line)?.into_iter().unzip();
    let mut runs: Vec<(Face, Vec<Glyph>)> = Vec::new();
    let glyphs = Glyph::line(&shaped, &line.text(), pen, setting.type_size / POINTS);
    for (face, mut glyph) in faces.into_iter().zip(glyphs) {
        glyph.y = crate::record::rounded(glyph.y + above);
        match runs.last_mut() {
            Some((last, run)) if *last == face => run.push(glyph),
            _ => runs.push((face, vec![glyph])),
        }
    }
    Ok(runs)
}
