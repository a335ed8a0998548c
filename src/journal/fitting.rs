//! Which lines a story is cut into: no wider than a room, so many of them, or following a shape.

use std::collections::BTreeMap;

use super::JournalError;
use super::breaking::{LineCount, best_breaks, best_lines, line_cost};
use super::rich::{Face, Paragraph};
use super::segments::{Segment, segments};
use super::strips::{Line, Setting};

/// Lines of an even story are looked at up to so many times their mean at first.
const UNEVEN: f64 = 3.0;
/// Share of the room from which a line measured word by word is measured again as a whole.
const NEARLY_FULL: f64 = 0.97;

impl Setting<'_> {
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
    pub fn counted<'p>(
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
        let mut longest = UNEVEN;
        let breaks = loop {
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
                (end == start + 1 || about <= longest * mean).then(|| (about / mean).powi(2))
            });
            // With one longer line, and all others alike, the squares would sum to this at least.
            let lines = count as f64;
            let others = (lines - longest).max(0.0).powi(2) / (lines - 1.0).max(1.0);
            if longest >= lines || breaks.cost <= longest * longest + others {
                break breaks;
            }
            longest *= 2.0;
        };
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
    pub fn shaped_to<'p>(
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
