//! A story to strips of exact height, each as wide as its text needs, or to a card.

use std::collections::BTreeMap;

use crate::outline::fonts::Font;
use crate::outline::shaping::{
    ShapedGlyph, Stretch, has_right_to_left, missing_at, shape_stretches,
};
use crate::record::Glyph;

use super::JournalError;
use super::breaking::{LineCount, best_breaks, best_lines, line_cost};
use super::rich::{Face, Paragraph, paragraphs};
use super::segments::{Segment, segments};

/// Points in an inch.
pub(super) const POINTS: f64 = 72.0;
/// Strips are cut to a multiple of this width in inches: the finest mark of a craft ruler.
const RULER_MARK: f64 = 1.0 / 32.0;
/// A line of an even story that is so many times the mean is never the best, and is not looked at.
const UNEVEN: f64 = 3.0;
/// Share of the room from which a line measured word by word is measured again as a whole.
const NEARLY_FULL: f64 = 0.97;

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
    check_height(story, faces.plain())?;
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
    let mut strips = Vec::new();
    match &story.lines {
        Lines::Widest(widest) => {
            for paragraph in &told {
                for line in setting.within(paragraph, room(*widest)?)? {
                    strips.push(strip(story, &setting, &line, None)?);
                }
            }
        }
        Lines::Words => {
            for paragraph in &told {
                for line in words(paragraph) {
                    strips.push(strip(story, &setting, &line, None)?);
                }
            }
        }
        Lines::Count(count, widest) => {
            let room = widest.map(room).transpose()?;
            for line in setting.counted(&told, *count, room)? {
                strips.push(strip(story, &setting, &line, None)?);
            }
        }
        Lines::Widths(widths) => {
            let rooms: Result<Vec<f64>, JournalError> =
                widths.iter().map(|one| room(*one)).collect();
            for (number, line) in setting.shaped_to(&told, &rooms?)?.iter().enumerate() {
                let width = widths.get(number).or(widths.last()).copied();
                strips.push(strip(story, &setting, line, width)?);
            }
        }
    }
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
fn check_height(story: &Story, font: &Font) -> Result<(), JournalError> {
    let reach = |em: f64| em * story.type_size / POINTS;
    let baseline = baseline(story, font);
    let above = reach(font.cap_height.max(font.x_height * 1.4));
    let below = reach(-font.descender.min(0.0)).min(reach(0.3));
    if above <= baseline && baseline + below <= story.strip_height + 1e-9 {
        return Ok(());
    }
    // The baseline moves with the type, so the largest size follows from both conditions.
    let middle = (font.cap_height + font.x_height) / 4.0;
    let up = font.cap_height.max(font.x_height * 1.4) - middle;
    let down = (-font.descender).clamp(0.0, 0.3) + middle;
    let largest = story.strip_height / 2.0 / up.max(down) * POINTS;
    let largest = (largest * 2.0).floor() / 2.0;
    Err(JournalError::new(
        format!("type of {} pt is too tall for the strip", story.type_size),
        format!("the largest size that fits is {largest} pt; or make the strip higher"),
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
    paragraph: &'a Paragraph,
    from: usize,
    to: usize,
    hyphen: bool,
}

impl<'a> Line<'a> {
    /// The line from one segment to another of a paragraph.
    fn of(paragraph: &'a Paragraph, segments: &[Segment], start: usize, end: usize) -> Self {
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

/// A line for each word.
fn words(paragraph: &Paragraph) -> Vec<Line<'_>> {
    let mut at = 0;
    let each = paragraph.text.split(' ').map(|word| {
        let from = at;
        at += word.len() + 1;
        Line { paragraph, from, to: from + word.len(), hyphen: false }
    });
    each.collect()
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

    /// The lines of a paragraph that are no wider than `room`.
    pub fn within<'p>(
        &self,
        paragraph: &'p Paragraph,
        room: f64,
    ) -> Result<Vec<Line<'p>>, JournalError> {
        let segments = segments(&paragraph.text, self.hyphens);
        let mut measured = Measured::default();
        let breaks = best_breaks(segments.len(), |start, end| {
            let line = Line::of(paragraph, &segments, start, end);
            measured.width(self, (0, start, end), &line) / room
        });
        measured.failed()?;
        if breaks.cost.is_infinite() {
            let lines =
                (0..segments.len()).map(|start| Line::of(paragraph, &segments, start, start + 1));
            return Err(self.too_wide(lines, room));
        }
        let lines = breaks.lines.into_iter();
        Ok(lines.map(|(start, end)| Line::of(paragraph, &segments, start, end)).collect())
    }

    fn too_wide<'p>(&self, lines: impl Iterator<Item = Line<'p>>, room: f64) -> JournalError {
        let wide = |line: &Line<'p>| self.width(line).is_ok_and(|width| width > room);
        let word = lines.into_iter().find(wide).map(|line| line.text()).unwrap_or_default();
        JournalError::new(
            format!("`{word}` is wider than the widest strip"),
            "widen the strips, make the type smaller, or allow hyphens",
        )
    }

    /// So many lines, as even as can be: the sum of their squares is least.
    fn counted<'p>(
        &self,
        told: &'p [Paragraph],
        count: usize,
        room: Option<f64>,
    ) -> Result<Vec<Line<'p>>, JournalError> {
        let parts = Parts::of(told, self.hyphens);
        if !(told.len()..=parts.len()).contains(&count) {
            let (least, most) = (told.len(), parts.len());
            return Err(JournalError::new(
                format!("the story can't be cut into {count} strips"),
                format!(
                    "it has {least} paragraphs and {most} words: ask for {least} to {most} strips"
                ),
            ));
        }
        // Words side by side are as wide as their sum, but for what kerning does to a space.
        let mut reached = vec![0.0];
        for part in 0..parts.len() {
            let (paragraph, at) = parts.list[part];
            let line = parts.line(part, part + 1).text();
            let spaced = Paragraph { text: format!("{line} "), faces: vec![(0, Face::Plain)] };
            let spaced = Line { paragraph: &spaced, from: 0, to: line.len() + 1, hyphen: false };
            let width = self.width(&parts.line(part, part + 1))?;
            let space = (self.width(&spaced)? - self.width(&plain(&spaced))?).max(0.0);
            let joined = parts.segments[paragraph].get(at + 1).is_some_and(|next| next.hyphen);
            reached.push(reached[part] + width + if joined { 0.0 } else { space });
        }
        let mean = (reached[parts.len()] / count as f64).max(f64::MIN_POSITIVE);
        let mut measured = Measured::default();
        let breaks = best_lines(parts.len(), LineCount::Exactly(count), |_, start, end| {
            if !parts.together(start, end) {
                return None;
            }
            let about = reached[end] - reached[start];
            if let Some(room) = room
                && about > NEARLY_FULL * room
                && measured.width(self, (0, start, end), &parts.line(start, end)) > room
            {
                return None;
            }
            (end == start + 1 || about <= UNEVEN * mean).then(|| (about / mean).powi(2))
        });
        measured.failed()?;
        if breaks.cost.is_infinite() {
            return Err(JournalError::new(
                format!("{count} strips are too few for the story at this width"),
                "widen the strips, make the type smaller, or ask for more of them",
            ));
        }
        Ok(breaks.lines.into_iter().map(|(start, end)| parts.line(start, end)).collect())
    }

    /// Lines that fill rooms of these widths in turn.
    fn shaped_to<'p>(
        &self,
        told: &'p [Paragraph],
        rooms: &[f64],
    ) -> Result<Vec<Line<'p>>, JournalError> {
        let parts = Parts::of(told, self.hyphens);
        let mut measured = Measured::default();
        let count = LineCount::Any(rooms.len());
        let breaks = best_lines(parts.len(), count, |line, start, end| {
            if !parts.together(start, end) {
                return None;
            }
            let width =
                measured.width(self, (0, start, end), &parts.line(start, end)) / rooms[line];
            let cost = line_cost(width, end - start, parts.ends(end));
            cost.is_finite().then_some(cost)
        });
        measured.failed()?;
        if breaks.cost.is_infinite() {
            let narrowest = rooms.iter().copied().fold(f64::INFINITY, f64::min);
            let words = (0..parts.len()).map(|part| parts.line(part, part + 1));
            return Err(self.too_wide(words, narrowest));
        }
        Ok(breaks.lines.into_iter().map(|(start, end)| parts.line(start, end)).collect())
    }
}

/// The line without its trailing space.
fn plain<'a>(spaced: &Line<'a>) -> Line<'a> {
    Line { paragraph: spaced.paragraph, from: spaced.from, to: spaced.to - 1, hyphen: false }
}

/// Widths of lines that were measured before, and what went wrong.
#[derive(Default)]
struct Measured {
    known: BTreeMap<(usize, usize, usize), f64>,
    error: Option<JournalError>,
}

impl Measured {
    fn width(&mut self, set: &Setting<'_>, key: (usize, usize, usize), line: &Line<'_>) -> f64 {
        if let Some(width) = self.known.get(&key) {
            return *width;
        }
        let width = set.width(line).unwrap_or_else(|error| {
            self.error.get_or_insert(error);
            0.0
        });
        self.known.insert(key, width);
        width
    }

    fn failed(&mut self) -> Result<(), JournalError> {
        self.error.take().map_or(Ok(()), Err)
    }
}

/// The segments of all paragraphs in a row.
struct Parts<'a> {
    told: &'a [Paragraph],
    segments: Vec<Vec<Segment>>,
    /// The paragraph of each part and its place in it.
    list: Vec<(usize, usize)>,
}

impl<'a> Parts<'a> {
    fn of(told: &'a [Paragraph], hyphens: bool) -> Self {
        let segments: Vec<Vec<Segment>> =
            told.iter().map(|paragraph| segments(&paragraph.text, hyphens)).collect();
        let numbered = segments.iter().enumerate();
        let list =
            numbered.flat_map(|(paragraph, list)| (0..list.len()).map(move |at| (paragraph, at)));
        Self { told, list: list.collect(), segments }
    }

    fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether parts from `start` to before `end` are of one paragraph.
    fn together(&self, start: usize, end: usize) -> bool {
        self.list[start].0 == self.list[end - 1].0
    }

    /// Whether a paragraph ends before this part.
    fn ends(&self, part: usize) -> bool {
        self.list.get(part).is_none_or(|(_, at)| *at == 0)
    }

    fn line(&self, start: usize, end: usize) -> Line<'a> {
        let (paragraph, first) = self.list[start];
        let last = first + end - start;
        Line::of(&self.told[paragraph], &self.segments[paragraph], first, last)
    }
}

/// A strip round a line, the text in its middle, so that both sides have the same padding: as wide as
/// told, or the next ruler mark that holds text and padding.
fn strip(
    story: &Story,
    setting: &Setting<'_>,
    line: &Line<'_>,
    width: Option<f64>,
) -> Result<StoryStrip, JournalError> {
    let text_width = setting.width(line)?;
    let needed = ((text_width + 2.0 * story.pad) / RULER_MARK - 1e-9).ceil() * RULER_MARK;
    let widest = match &story.lines {
        Lines::Widest(widest) | Lines::Count(_, Some(widest)) => *widest,
        Lines::Count(_, None) | Lines::Widths(_) | Lines::Words => f64::INFINITY,
    };
    let width = width.unwrap_or(needed.min(widest));
    Ok(StoryStrip {
        text: line.text(),
        size: [width, story.strip_height],
        baseline: baseline(story, setting.faces.plain()),
        runs: runs(setting, line, (width - text_width) / 2.0, 0.0)?,
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
