//! A line of the story in its type: its glyphs, how wide they run and what they cover.

use crate::model::Fault;
use std::cell::RefCell;
use std::collections::BTreeMap;

use kurbo::{Rect, Shape, Vec2};

use crate::lettering::fonts::Font;
use crate::lettering::shaping::{ShapedGlyph, Stretch, missing_at, shape_stretches};
use crate::model::Glyph;

use super::rich::{Face, Paragraph};
use super::segments::Segment;

/// Points in an inch.
pub(super) const POINTS: f64 = 72.0;

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

/// A line of a paragraph.
pub(super) struct ParagraphLine<'a> {
    pub paragraph: &'a Paragraph,
    pub from: usize,
    pub to: usize,
    pub hyphen: bool,
}

impl<'a> ParagraphLine<'a> {
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

impl Ink {
    /// From its left to its right end.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }
}

/// A line as it is set; lengths in inches.
pub(super) struct SetLine {
    /// Its words.
    pub text: String,
    /// How far the pen moves on over all of it.
    pub advance: f64,
    /// What its letters cover.
    pub ink: Ink,
    /// Its glyphs in em, each with its face.
    glyphs: Vec<(Face, ShapedGlyph)>,
    em: f64,
}

impl SetLine {
    /// Its width with what its letters reach beyond where the pen begins and ends.
    pub fn reach(&self) -> f64 {
        self.advance.max(self.ink.width())
    }

    /// The pen's place at each of these bytes of the line, which follow each other.
    pub fn pen_at(&self, bytes: impl Iterator<Item = usize>) -> Vec<f64> {
        let mut glyphs = self.glyphs.iter().peekable();
        let mut pen = 0.0;
        let mut reached = |byte: usize| {
            while let Some((_, glyph)) = glyphs.next_if(|(_, glyph)| glyph.cluster < byte) {
                pen += glyph.advance * self.em;
            }
            pen
        };
        bytes.map(&mut reached).collect()
    }

    /// Its glyphs as runs of one face, the pen at `pen` and so far above the strip's baseline.
    pub fn runs(&self, pen: f64, above: f64) -> Vec<(Face, Vec<Glyph>)> {
        let (faces, shaped): (Vec<Face>, Vec<ShapedGlyph>) = self.glyphs.iter().copied().unzip();
        let mut runs: Vec<(Face, Vec<Glyph>)> = Vec::new();
        let glyphs = Glyph::line(&shaped, &self.text, pen, self.em);
        for (face, mut glyph) in faces.into_iter().zip(glyphs) {
            glyph.y += above;
            match runs.last_mut() {
                Some((last, run)) if *last == face => run.push(glyph),
                _ => runs.push((face, vec![glyph])),
            }
        }
        runs
    }
}

/// How lines are set.
pub(super) struct Setting<'a> {
    /// The fonts.
    pub faces: &'a Faces<'a>,
    /// Type size in inches.
    pub em: f64,
    /// Whether words may be broken.
    pub hyphens: bool,
    /// What glyphs cover that were looked at before, in em; nothing for a blank.
    bounds: RefCell<BTreeMap<(usize, u16), Option<Rect>>>,
}

impl<'a> Setting<'a> {
    /// A setting in type of so many points.
    pub fn new(faces: &'a Faces<'a>, type_size: f64, hyphens: bool) -> Self {
        Self { faces, em: type_size / POINTS, hyphens, bounds: RefCell::default() }
    }

    /// Sets a line.
    pub fn set(&self, line: &ParagraphLine<'_>) -> Result<SetLine, Fault> {
        let (text, em) = (line.text(), self.em);
        let glyphs = self.glyphs(line, &text)?;
        let mut all: Option<Rect> = None;
        let mut pen = 0.0;
        for (face, glyph) in &glyphs {
            if let Some(bounds) = self.bounds(*face, glyph.id) {
                let moved = bounds + Vec2::new(pen + glyph.x, -glyph.y);
                all = Some(all.map_or(moved, |all| all.union(moved)));
            }
            pen += glyph.advance;
        }
        let all = all.unwrap_or(Rect::new(0.0, 0.0, pen, 0.0));
        let [left, right, up, down] = [all.x0, all.x1, -all.y0, all.y1].map(|part| part * em);
        let ink = Ink { left, right, up, down };
        Ok(SetLine { text, advance: pen * em, ink, glyphs, em })
    }

    /// How far a glyph of the line reaches beyond its own advance, in inches.
    pub fn beyond(&self, line: &SetLine) -> f64 {
        let beyond = line.glyphs.iter().filter_map(|(face, glyph)| {
            let bounds = self.bounds(*face, glyph.id)?;
            Some((-bounds.x0).max(bounds.x1 - glyph.advance))
        });
        beyond.fold(0.0, f64::max) * self.em
    }

    /// How wide a hyphen runs; a font without one is told when a line with a hyphen is set.
    pub fn hyphen(&self) -> f64 {
        let font = self.faces.plain();
        font.glyph('-').map_or(0.0, |id| font.advance(id)) * self.em
    }

    /// What a glyph covers, in em; nothing for a blank.
    fn bounds(&self, face: Face, id: u16) -> Option<Rect> {
        let look = || {
            let outline = self.faces.0[face as usize].outline(id).unwrap_or_default();
            (!outline.elements().is_empty()).then(|| outline.bounding_box())
        };
        *self.bounds.borrow_mut().entry((face as usize, id)).or_insert_with(look)
    }

    /// The glyphs of a line, each with its face.
    fn glyphs(
        &self,
        line: &ParagraphLine<'_>,
        text: &str,
    ) -> Result<Vec<(Face, ShapedGlyph)>, Fault> {
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
        let glyphs = shape_stretches(text, &set);
        for (number, (_, face)) in stretches.iter().enumerate() {
            let missing =
                glyphs.iter().filter(|(stretch, glyph)| *stretch == number && glyph.id == 0);
            if let Some(missing) =
                missing_at(font(*face), text, missing.map(|(_, glyph)| glyph.cluster))
            {
                return Err(Fault::new(missing.message, missing.help));
            }
        }
        Ok(glyphs.into_iter().map(|(stretch, glyph)| (stretches[stretch].1, glyph)).collect())
    }
}
