//! A story to strips of exact height, each as wide as its text needs.

use std::collections::BTreeMap;

use unicode_linebreak::{BreakOpportunity, linebreaks};

use crate::outline::fonts::Font;
use crate::outline::shaping::{ShapedGlyph, has_right_to_left, shape};
use crate::record::Glyph;

use super::JournalError;
use super::breaking::best_breaks;

/// Points in an inch.
const POINTS: f64 = 72.0;
/// Strips are cut to a multiple of this width in inches: the finest mark of a craft ruler.
const RULER_MARK: f64 = 1.0 / 32.0;
/// Longest word that is broken with hyphens, in letters.
const LONGEST_WORD: usize = 60;

/// A story and the sizes of its strips; lengths in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Story {
    /// The story; a line break starts a new strip.
    pub text: String,
    /// Height of every strip.
    pub strip_height: f64,
    /// No strip is wider.
    pub widest: f64,
    /// Paper left and right of the text, at least.
    pub pad: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Whether words may be broken with hyphens.
    pub hyphens: bool,
    /// Most strips there is room for.
    pub most: Option<usize>,
}

/// One strip with its text.
#[derive(Clone, Debug, PartialEq)]
pub struct StoryStrip {
    /// Its words.
    pub text: String,
    /// Width and height.
    pub size: [f64; 2],
    /// Baseline below the top.
    pub baseline: f64,
    /// Glyphs, in inches from the left edge and the baseline.
    pub glyphs: Vec<Glyph>,
}

/// Breaks a story into strips.
pub fn break_story(story: &Story, font: &Font) -> Result<Vec<StoryStrip>, JournalError> {
    if story.text.trim().is_empty() {
        return Err(JournalError::new("the story is empty", "write it, or leave journaling out"));
    }
    if has_right_to_left(&story.text) {
        return Err(JournalError::new(
            "the story holds text that is read from right to left",
            "strips are set from left to right only, so far",
        ));
    }
    check_height(story, font)?;
    let room = story.widest - 2.0 * story.pad;
    if room <= 0.0 {
        return Err(JournalError::new(
            "the padding leaves no room for text",
            "write a wider strip or less padding",
        ));
    }
    let mut strips = Vec::new();
    for paragraph in story.text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let words: Vec<&str> = paragraph.split_whitespace().collect();
        for line in lines(story, font, &words.join(" "), room)? {
            strips.push(strip(story, font, &line)?);
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

/// A place where a paragraph may be broken.
struct Segment {
    /// Byte where the segment begins.
    start: usize,
    /// Whether a hyphen is set when the line is broken before this segment.
    hyphen: bool,
}

/// The lines of a paragraph, each with its hyphen if it needs one.
fn lines(story: &Story, font: &Font, text: &str, room: f64) -> Result<Vec<String>, JournalError> {
    let segments = segments(text, story.hyphens);
    let line = |start: usize, end: usize| {
        let from = segments[start].start;
        let (to, hyphen) = match segments.get(end) {
            Some(next) => (next.start, next.hyphen),
            None => (text.len(), false),
        };
        let words = text.get(from..to).unwrap_or_default().trim_end();
        if hyphen { format!("{words}-") } else { words.to_owned() }
    };
    let mut failed = None;
    let mut measured: BTreeMap<String, f64> = BTreeMap::new();
    let breaks = best_breaks(segments.len(), |start, end| {
        let line = line(start, end);
        if let Some(width) = measured.get(&line) {
            return *width;
        }
        let width = match glyphs(font, &line) {
            Ok(glyphs) => width_of(&glyphs, story) / room,
            Err(error) => {
                failed.get_or_insert(error);
                0.0
            }
        };
        measured.insert(line, width);
        width
    });
    if let Some(error) = failed {
        return Err(error);
    }
    if breaks.cost.is_infinite() {
        let too_wide = (0..segments.len())
            .map(|start| line(start, start + 1))
            .find(|word| measured.get(word).is_none_or(|width| *width > 1.0))
            .unwrap_or_default();
        return Err(JournalError::new(
            format!("`{too_wide}` is wider than the widest strip"),
            "widen the strips, make the type smaller, or allow hyphens",
        ));
    }
    Ok(breaks.lines.into_iter().map(|(start, end)| line(start, end)).collect())
}

/// Where a paragraph may be broken (UAX 14, and hyphens by Liang's patterns, 1983, if asked for).
fn segments(text: &str, hyphens: bool) -> Vec<Segment> {
    let mut segments = vec![Segment { start: 0, hyphen: false }];
    for (at, opportunity) in linebreaks(text) {
        if at < text.len() && opportunity == BreakOpportunity::Allowed {
            segments.push(Segment { start: at, hyphen: false });
        }
    }
    if hyphens {
        let mut inside = Vec::new();
        for (index, segment) in segments.iter().enumerate() {
            let end = segments.get(index + 1).map_or(text.len(), |next| next.start);
            let word = text.get(segment.start..end).unwrap_or_default().trim_end();
            if word.len() > LONGEST_WORD || !word.chars().all(char::is_alphabetic) {
                continue;
            }
            let mut at = segment.start;
            for syllable in hypher::hyphenate(word, hypher::Lang::English) {
                if at > segment.start {
                    inside.push(Segment { start: at, hyphen: true });
                }
                at += syllable.len();
            }
        }
        segments.extend(inside);
        segments.sort_by_key(|segment| segment.start);
    }
    segments
}

fn glyphs(font: &Font, line: &str) -> Result<Vec<ShapedGlyph>, JournalError> {
    shape(font, line).map_err(|missing| JournalError::new(missing.message, missing.help))
}

fn width_of(glyphs: &[ShapedGlyph], story: &Story) -> f64 {
    glyphs.iter().map(|glyph| glyph.advance).sum::<f64>() * story.type_size / POINTS
}

/// A strip round a line: its width the next ruler mark that holds text and padding, the text in the
/// middle, so that both sides have the same padding.
fn strip(story: &Story, font: &Font, line: &str) -> Result<StoryStrip, JournalError> {
    let shaped = glyphs(font, line)?;
    let em = story.type_size / POINTS;
    let text_width = width_of(&shaped, story);
    let needed = ((text_width + 2.0 * story.pad) / RULER_MARK - 1e-9).ceil() * RULER_MARK;
    let width = needed.min(story.widest);
    let placed = Glyph::line(&shaped, line, (width - text_width) / 2.0, em);
    Ok(StoryStrip {
        text: line.to_owned(),
        size: [width, story.strip_height],
        baseline: baseline(story, font),
        glyphs: placed,
    })
}
