//! Printed words: a block in the middle of the piece, well inside its edge.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};

use crate::description::{Marked, Text};
use crate::geometry::offset;
use crate::journal::{self, Align, Card, Face, Faces, StoryStrip};
use crate::model::length::Length;
use crate::model::{Color, Run};

use super::super::print_on_paper;
use super::super::story::{self, LEADING, Type, TypeSpec};
use super::{Carrier, Prints};
use crate::layout::printed::PrintedText;

/// Paper left and right of the words, if the spec says nothing.
const PAD: Length = Length::part(1, 8);
/// Words keep as far from the cut, in inches: a blade and a printer that are both off must not meet in
/// them (common practice, no source).
const CLEAR: f64 = 1.0 / 16.0;
/// By how much the room of words is narrowed until they fit a piece that is no rectangle, in inches.
const STEP: f64 = 1.0 / 16.0;

impl Prints<'_, '_> {
    /// The colour of words and lines on a ground (if there is one) on some papers.
    pub(super) fn ink(&mut self, ground: Option<Color>, papers: &[usize]) -> Color {
        let usual = print_on_paper::usual_ink(self.layout, papers, ground);
        self.reader.color(self.spec.value.ink.as_ref(), usual)
    }

    /// The words on a piece; nothing at all when a problem was noted.
    pub(super) fn text(&mut self, carrier: &Carrier, ink: Color) -> Option<Option<PrintedText>> {
        let spec = &self.spec.value;
        let pad = self.reader.distance(spec.pad.as_ref(), PAD, "padding").to_inches();
        let align = self.reader.choice(spec.align.as_ref(), Align::Center);
        let leading = story::leading(self.reader, spec.leading.as_ref(), LEADING)?;
        let Some(text) = &spec.text else { return Some(None) };
        let of = TypeSpec {
            text,
            font: spec.font.as_ref(),
            emphasis: spec.emphasis.as_ref(),
            strong: spec.strong.as_ref(),
            size: spec.size.as_ref(),
        };
        let faces = story::faces(self.reader, self.layout, self.fonts, &of)?;
        let Some(face) = &carrier.face else {
            let message = "words would stand on their head on the flaps that are seen";
            self.reader.problem(
                text.place,
                message,
                "lay a printed piece on it, or leave them out",
            );
            return None;
        };
        let bounds = face.bounding_box();
        let face = Affine::translate(-bounds.origin().to_vec2()) * face;
        let card = Card {
            text: text.value.0.clone(),
            size: [bounds.width(), bounds.height()],
            pad,
            align,
            leading,
            type_size: faces.size,
            hyphens: false,
        };
        let mut set = self.set(&face, &faces, card, spec.pad.is_none(), text)?;
        set.baseline += bounds.y0;
        for (_, glyphs) in &mut set.runs {
            glyphs.iter_mut().for_each(|glyph| glyph.x += bounds.x0);
        }
        let font = |face: Face| faces.places[face as usize];
        let runs = set.runs.into_iter();
        Some(Some(PrintedText {
            text: set.text,
            baseline: set.baseline,
            type_size: faces.size,
            ink: ink.to_owned(),
            runs: runs.map(|(face, glyphs)| Run { font: font(face), glyphs }).collect(),
        }))
    }

    /// The words set inside the piece; if the spec leaves the padding free, with as much as it takes.
    fn set(
        &mut self,
        face: &BezPath,
        faces: &Type,
        mut card: Card,
        free: bool,
        text: &Marked<Text>,
    ) -> Option<StoryStrip> {
        let fonts = Faces([0, 1, 2, 3].map(|face: usize| &*faces.fonts[face]));
        let safe = offset::inward(face, CLEAR);
        let mut narrowed = false;
        loop {
            match journal::set_card(&card, &fonts) {
                Ok(set) if holds(&safe, &set, &fonts, card.type_size / 72.0) => return Some(set),
                Ok(_) if free => {}
                // Words that can't be set in less room are too near to the edge in more.
                Err(error) if !narrowed => {
                    self.reader.problem(text.place, error.message, error.help);
                    return None;
                }
                Ok(_) | Err(_) => break,
            }
            narrowed = true;
            card.pad += STEP;
        }
        let message = format!("the words come too near to the edge of `{}`", self.id);
        let help = "make the type smaller, break the lines, or make the piece larger";
        self.reader.problem(text.place, message, help);
        None
    }
}

/// Whether every letter's box lies within an outline; an em is `em` inches.
fn holds(safe: &BezPath, set: &StoryStrip, fonts: &Faces<'_>, em: f64) -> bool {
    set.runs.iter().all(|(face, glyphs)| {
        let font = fonts.0[*face as usize];
        glyphs.iter().all(|glyph| {
            let outline = font.outline(glyph.id).unwrap_or_default();
            if outline.elements().is_empty() {
                return true;
            }
            let Rect { x0, y0, x1, y1 } = outline.bounding_box();
            let at = Vec2::new(glyph.x, set.baseline - glyph.y);
            let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
            corners.iter().all(|&(x, y)| safe.winding(Point::new(x * em, y * em) + at) != 0)
        })
    })
}
