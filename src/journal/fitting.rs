//! Which lines a story is cut into: no wider than a room, so many of them, or following a shape.

use crate::model::Fault;
use std::collections::BTreeMap;

use super::breaking::{LineCount, best_lines, line_cost};
use super::rich::Paragraph;
use super::segments::{Segment, segments};
use super::setting::{ParagraphLine, Setting};

/// Lines of an even story are looked at up to so many times their mean at first.
const UNEVEN: f64 = 3.0;

impl Setting<'_> {
    /// So many lines, as even as can be: the sum of their squares is least.
    pub fn counted<'p>(
        &self,
        told: &'p [Paragraph],
        count: usize,
        room: Option<f64>,
    ) -> Result<Vec<ParagraphLine<'p>>, Fault> {
        let mut widths = Widths::of(self, told)?;
        let parts = widths.parts.len();
        if !(told.len()..=parts).contains(&count) {
            let least = told.len();
            return Err(Fault::new(
                format!("the story can't be cut into {count} strips"),
                format!(
                    "it has {least} paragraphs and {parts} words: ask for {least} to {parts} strips"
                ),
            ));
        }
        let mean = (widths.sum() / count as f64).max(f64::MIN_POSITIVE);
        let mut longest = UNEVEN;
        let breaks = loop {
            let breaks = best_lines(parts, LineCount::Exactly(count), |_, start, end| {
                let width = widths.in_room(start, end, room.unwrap_or(f64::INFINITY))?;
                (end == start + 1 || width <= longest * mean).then(|| (width / mean).powi(2))
            });
            // With one longer line, and all others alike, the squares would sum to this at least.
            let lines = count as f64;
            let others = (lines - longest).max(0.0).powi(2) / (lines - 1.0).max(1.0);
            if longest >= lines || breaks.cost <= longest * longest + others {
                break breaks;
            }
            longest *= 2.0;
        };
        widths.failed()?;
        if breaks.cost.is_infinite() {
            return Err(Fault::new(
                format!("{count} strips are too few for the story at this width"),
                "widen the strips, make the type smaller, or ask for more of them",
            ));
        }
        Ok(widths.parts.lines(&breaks.lines))
    }

    /// The best lines that fill rooms of these widths in turn, the last one repeated.
    pub fn shaped_to<'p>(
        &self,
        told: &'p [Paragraph],
        rooms: &[f64],
    ) -> Result<Vec<ParagraphLine<'p>>, Fault> {
        let mut widths = Widths::of(self, told)?;
        let parts = widths.parts.len();
        let breaks = best_lines(parts, LineCount::Any(rooms.len()), |line, start, end| {
            let width = widths.in_room(start, end, rooms[line])? / rooms[line];
            Some(line_cost(width.min(1.0), end - start, widths.parts.ends(end)))
        });
        widths.failed()?;
        if breaks.cost.is_infinite() {
            let narrowest = rooms.iter().copied().fold(f64::INFINITY, f64::min);
            return Err(widths.too_wide(narrowest));
        }
        Ok(widths.parts.lines(&breaks.lines))
    }
}

/// How wide the lines of a story are: by the pen's places in its paragraphs, each set in one line. Only
/// what nearly fills its room is set by itself, for kerning at its ends and letters that reach beyond.
struct Widths<'s, 'p> {
    setting: &'s Setting<'s>,
    parts: Parts<'p>,
    /// Where the pen begins and ends each part, a hyphen at its end included.
    pens: Vec<[f64; 2]>,
    /// How far a line can be from the width told by its pens.
    doubt: f64,
    /// Lines set by themselves.
    measured: BTreeMap<(usize, usize), f64>,
    error: Option<Fault>,
}

impl<'s, 'p> Widths<'s, 'p> {
    fn of(setting: &'s Setting<'s>, told: &'p [Paragraph]) -> Result<Self, Fault> {
        let parts = Parts::of(told, setting.hyphens);
        let mut pens = Vec::new();
        let mut beyond = 0.0_f64;
        for (paragraph, segments) in told.iter().zip(&parts.segments) {
            let line = ParagraphLine::of(paragraph, segments, 0, segments.len());
            let set = setting.set(&line)?;
            beyond = beyond.max(setting.beyond(&set));
            let lines =
                (0..segments.len()).map(|at| ParagraphLine::of(paragraph, segments, at, at + 1));
            let lines: Vec<ParagraphLine<'_>> = lines.collect();
            let ends = set.pen_at(lines.iter().flat_map(|line| [line.from, line.to]));
            let hyphen = setting.hyphen();
            pens.extend(
                lines
                    .iter()
                    .zip(ends.chunks_exact(2))
                    .map(|(line, pen)| [pen[0], pen[1] + if line.hyphen { hyphen } else { 0.0 }]),
            );
        }
        let doubt = setting.em + 2.0 * beyond;
        Ok(Self { setting, parts, pens, doubt, measured: BTreeMap::new(), error: None })
    }

    /// What all parts take together.
    fn sum(&self) -> f64 {
        let ends = (0..self.parts.len()).filter(|part| self.parts.ends(part + 1));
        ends.map(|part| self.pens[part][1]).sum()
    }

    /// The width of a line, if it is of one paragraph and goes into the room.
    fn in_room(&mut self, start: usize, end: usize, room: f64) -> Option<f64> {
        if !self.parts.together(start, end) {
            return None;
        }
        let told = self.pens[end - 1][1] - self.pens[start][0];
        if (told - room).abs() > self.doubt {
            return (told < room).then_some(told);
        }
        let whole = self.whole(start, end);
        (whole <= room + 1e-9).then_some(whole)
    }

    /// The width of a line with what its letters reach beyond it.
    fn whole(&mut self, start: usize, end: usize) -> f64 {
        if let Some(width) = self.measured.get(&(start, end)) {
            return *width;
        }
        let line = self.parts.line(start, end);
        let width = self.setting.set(&line).map_or_else(
            |error| {
                self.error.get_or_insert(error);
                0.0
            },
            |set| set.reach(),
        );
        self.measured.insert((start, end), width);
        width
    }

    fn failed(&mut self) -> Result<(), Fault> {
        self.error.take().map_or(Ok(()), Err)
    }

    /// Names the first word that does not go into the room.
    fn too_wide(&mut self, room: f64) -> Fault {
        let wide = (0..self.parts.len()).find(|part| self.whole(*part, part + 1) > room);
        let word = wide.map(|part| self.parts.line(part, part + 1).text()).unwrap_or_default();
        Fault::new(
            format!("`{word}` is wider than the widest strip"),
            "widen the strips, make the type smaller, or allow hyphens",
        )
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

    fn line(&self, start: usize, end: usize) -> ParagraphLine<'a> {
        let (paragraph, first) = self.list[start];
        let last = first + end - start;
        ParagraphLine::of(&self.told[paragraph], &self.segments[paragraph], first, last)
    }

    fn lines(&self, ranges: &[(usize, usize)]) -> Vec<ParagraphLine<'a>> {
        ranges.iter().map(|&(start, end)| self.line(start, end)).collect()
    }
}
