//! Words shaped line by line: each cluster's outline at an em of one, before size and place.

use std::collections::BTreeSet;
use std::sync::Arc;

use kurbo::{Affine, BezPath};

use super::{Height, Span, WordError, WordStyle};
use crate::lettering::fonts::Font;
use crate::lettering::shaping::{Stretch, letters_at, missing_glyphs, shape_stretches};

/// Most points of one line of words: two hundred letters of a plain face have 10 000.
const MOST_POINTS: usize = 40_000;

/// Words shaped; lengths in em of the first span's font.
pub(super) struct Set {
    /// Its lines.
    pub lines: Vec<TextLine>,
    /// Letters that their own font lacks, and the fallback that has them.
    pub fallbacks: Vec<(char, usize)>,
    /// Height of flat capitals.
    pub cap_height: f64,
    /// Height of flat small letters.
    pub x_height: f64,
}

/// One line.
pub(super) struct TextLine {
    /// Its text, blanks at its ends left out.
    pub text: String,
    /// Its letters in reading order.
    pub clusters: Vec<Cluster>,
}

/// What is cut as one letter: one character, or several that the font draws as one.
pub(super) struct Cluster {
    /// Its first byte in the line.
    pub start: usize,
    /// Its text.
    pub text: String,
    /// Its outline where it stands in the line, baseline at 0, no spacing added.
    pub outline: BezPath,
    /// Where the pen stands before it.
    pub from: f64,
    /// Where the pen stands after it.
    pub to: f64,
    /// How many spacings lie between the line's start and it.
    pub gaps: f64,
    /// Which inked letter of the words it is, from 0.
    pub number: usize,
    /// Its paper.
    pub paper: usize,
}

impl Set {
    /// The words, lines parted by line breaks.
    pub fn text(&self) -> String {
        let lines: Vec<&str> = self.lines.iter().map(|line| line.text.as_str()).collect();
        lines.join("\n")
    }
}

/// Shapes the words.
pub(super) fn set(
    spans: &[Span],
    fallbacks: &[Arc<Font>],
    style: &WordStyle,
) -> Result<Set, WordError> {
    let lines = lines(spans);
    let first = spans.first().filter(|_| lines.iter().any(|line| !line.is_empty()));
    let Some(first) = first else {
        return Err(WordError::new("the title has no words", "write its words"));
    };
    let mut set = Set {
        lines: Vec::new(),
        fallbacks: Vec::new(),
        cap_height: first.font.cap_height,
        x_height: first.font.x_height,
    };
    let mut number = 0;
    for line in lines {
        let line = set_line(spans, fallbacks, &line, style, &mut set.fallbacks, &mut number)?;
        set.lines.push(line);
    }
    set.fallbacks.sort_unstable();
    set.fallbacks.dedup();
    Ok(set)
}

/// The letters of each line, each with its span; blanks at the ends of lines and empty first and last
/// lines left out.
fn lines(spans: &[Span]) -> Vec<Vec<(char, usize)>> {
    let mut lines: Vec<Vec<(char, usize)>> = vec![Vec::new()];
    for (index, span) in spans.iter().enumerate() {
        for letter in span.text.chars() {
            match (letter, lines.last_mut()) {
                ('\n', _) => lines.push(Vec::new()),
                (letter, Some(line)) => {
                    line.push((if letter.is_whitespace() { ' ' } else { letter }, index));
                }
                (_, None) => {}
            }
        }
    }
    for line in &mut lines {
        let begins = line.iter().take_while(|(letter, _)| *letter == ' ').count();
        line.drain(..begins);
        while line.last().is_some_and(|(letter, _)| *letter == ' ') {
            line.pop();
        }
    }
    let empty = lines.iter().take_while(|line| line.is_empty()).count();
    lines.drain(..empty);
    while lines.last().is_some_and(Vec::is_empty) {
        lines.pop();
    }
    lines
}

/// Which font sets a letter: its span's own, or a fallback.
#[derive(Clone, Copy, PartialEq)]
struct Source {
    span: usize,
    /// 0 for the span's own font, else one more than the fallback's place.
    level: usize,
}

fn set_line(
    spans: &[Span],
    fallbacks: &[Arc<Font>],
    line: &[(char, usize)],
    style: &WordStyle,
    used: &mut Vec<(char, usize)>,
    number: &mut usize,
) -> Result<TextLine, WordError> {
    let text: String = line.iter().map(|(letter, _)| *letter).collect();
    let mut sources: Vec<Source> =
        line.iter().map(|&(_, span)| Source { span, level: 0 }).collect();
    let font_of = |source: Source| match source.level.checked_sub(1) {
        None => &spans[source.span].font,
        Some(level) => &fallbacks[level],
    };
    let starts: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    let (glyphs, stretches) = loop {
        let stretches = stretches(&text, &sources);
        let fonts: Vec<Stretch<'_>> = stretches
            .iter()
            .map(|(source, bytes)| Stretch { bytes: bytes.clone(), font: font_of(*source) })
            .collect();
        let glyphs = shape_stretches(&text, &fonts);
        let missing: Vec<usize> = glyphs
            .iter()
            .filter(|(_, glyph)| glyph.id == 0)
            .filter_map(|(_, glyph)| starts.iter().position(|start| *start == glyph.cluster))
            .collect();
        if missing.is_empty() {
            break (glyphs, stretches);
        }
        if let Some(&lost) = missing.iter().find(|&&at| sources[at].level >= fallbacks.len()) {
            let family = &spans[sources[lost].span].font.family;
            let all = missing.iter().map(|&at| starts[at]);
            let told = missing_glyphs(family, letters_at(&text, all));
            let (message, help) = (told.message, told.help);
            return Err(WordError { message, help, missing: told.letters });
        }
        for at in missing {
            sources[at].level += 1;
            // Accents go with the letter they stand on.
            for next in at + 1..line.len() {
                if harfrust::unicode::combining_class(u32::from(line[next].0)) == 0 {
                    break;
                }
                sources[next].level = sources[next].level.max(sources[at].level);
            }
        }
    };
    for (at, source) in sources.iter().enumerate() {
        if let Some(level) = source.level.checked_sub(1) {
            used.push((line[at].0, level));
        }
    }
    let primary = &spans[0].font;
    let factor = |font: &Font| match style.height {
        Height::SmallLetters(_) => ratio(primary.x_height, font.x_height),
        Height::Cap(_) | Height::Total(_) | Height::Width(_) => {
            ratio(primary.cap_height, font.cap_height)
        }
    };
    let mut clusters: Vec<Cluster> = Vec::new();
    let (mut points, mut sound) = (0, BTreeSet::new());
    let (mut pen, mut gaps, mut last) = (0.0, 0.0, None);
    for (stretch, glyph) in glyphs {
        let source = stretches[stretch].0;
        let font = font_of(source);
        let scale = factor(font);
        if last.is_some_and(|last| last != glyph.cluster) {
            gaps += 1.0;
        }
        last = Some(glyph.cluster);
        let place = Affine::translate((pen + glyph.x * scale, -glyph.y * scale));
        let drawn = font.outline(glyph.id).unwrap_or_default();
        points += drawn.elements().len();
        if let Some(why) = involved(&drawn, points, &mut sound) {
            let letter = text.get(glyph.cluster..).and_then(|rest| rest.chars().next());
            let letter = letter.map_or_else(String::new, |letter| format!(" `{letter}`"));
            return Err(WordError::new(
                format!("the font {} draws{letter} with {why}", font.family),
                "no blade can follow it: use a plainer font, or fewer words",
            ));
        }
        let outline = place * Affine::scale(scale) * drawn;
        let before = pen;
        pen += glyph.advance * scale;
        match clusters.iter_mut().find(|cluster| cluster.start == glyph.cluster) {
            Some(cluster) => {
                cluster.outline.extend(outline.elements().iter().copied());
                (cluster.from, cluster.to) = (cluster.from.min(before), cluster.to.max(pen));
            }
            None => clusters.push(Cluster {
                start: glyph.cluster,
                text: String::new(),
                outline,
                from: before,
                to: pen,
                gaps,
                number: 0,
                paper: spans[source.span].paper,
            }),
        }
    }
    clusters.sort_by_key(|cluster| cluster.start);
    let ends: Vec<usize> =
        clusters.iter().skip(1).map(|cluster| cluster.start).chain([text.len()]).collect();
    for (cluster, end) in clusters.iter_mut().zip(ends) {
        cluster.text = text.get(cluster.start..end).unwrap_or_default().trim().to_owned();
    }
    // Blanks, joiners and the like have no outline; a letter without one would be lost unseen.
    let seen = |cluster: &&Cluster| {
        let mut letters = cluster.text.chars();
        letters.any(|letter| letter.is_alphanumeric() || letter.is_ascii_punctuation())
    };
    let empty = |cluster: &&Cluster| cluster.outline.elements().is_empty();
    if let Some(lost) = clusters.iter().filter(empty).find(seen) {
        return Err(WordError::new(
            format!("the font {} has no outline for `{}`", primary.family, lost.text),
            "it may draw it with bitmaps or colour layers: use an outline font",
        ));
    }
    clusters.retain(|cluster| !cluster.outline.elements().is_empty());
    for cluster in &mut clusters {
        cluster.number = *number;
        *number += 1;
        if let Some(paper) = style.papers.get(cluster.number % style.papers.len().max(1)) {
            cluster.paper = *paper;
        }
    }
    Ok(TextLine { text, clusters })
}

/// Why a glyph can't be cut, or not with those before it. Glyphs that were found sound are kept by their
/// points and first place, so that a letter of many copies is looked at once.
fn involved(
    drawn: &BezPath,
    points: usize,
    sound: &mut BTreeSet<(usize, [u64; 2])>,
) -> Option<String> {
    if points > MOST_POINTS {
        return Some(format!("what makes more than {MOST_POINTS} points in one line"));
    }
    let first = drawn.elements().first().and_then(kurbo::PathEl::end_point).unwrap_or_default();
    let key = (drawn.elements().len(), [first.x.to_bits(), first.y.to_bits()]);
    if sound.contains(&key) {
        return None;
    }
    let why = Font::too_involved(drawn);
    if why.is_none() {
        sound.insert(key);
    }
    why
}

/// How many times larger a second font is set so that both measure the same.
fn ratio(wanted: f64, own: f64) -> f64 {
    let ratio = wanted / own;
    if ratio.is_finite() && ratio > 0.0 { ratio } else { 1.0 }
}

/// The line's stretches of one span and font.
fn stretches(text: &str, sources: &[Source]) -> Vec<(Source, std::ops::Range<usize>)> {
    let mut stretches: Vec<(Source, std::ops::Range<usize>)> = Vec::new();
    for ((at, letter), source) in text.char_indices().zip(sources) {
        let end = at + letter.len_utf8();
        match stretches.last_mut() {
            Some((last, bytes)) if last == source => bytes.end = end,
            _ => stretches.push((*source, at..end)),
        }
    }
    stretches
}
