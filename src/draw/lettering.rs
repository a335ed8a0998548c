//! Words in pictures as outlines, so that every viewer shows the same.
//!
//! A glyph is defined once and used wherever it stands. Coordinates of glyphs are thousandths of an
//! em, which is finer than a font's own grid at these sizes.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath};
use svg::node::element::{Group, Path, Use};

use super::Anchor;
use super::attributes::{fixed, numeral, plain};
use crate::geometry::path_data;
use crate::lettering::fonts::Font;
use crate::lettering::label::shape_label;
use crate::model::Run;

/// Units of glyph coordinates to the em.
const UNITS: f64 = 1000.0;
/// Number of the first font that stands in for the label font: more than a picture has.
const STAND_INS: usize = 1000;

/// How letters stand in a picture.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Letters {
    /// Each glyph is defined once and used wherever it stands: the smallest file.
    #[default]
    Shared,
    /// The glyphs of a line are one outline: a browser that draws the picture again and again has few parts
    /// to go through.
    Joined,
}

/// The glyphs of one picture.
pub(super) struct Lettering<'a> {
    prefix: &'a str,
    label_font: &'a Font,
    /// Glyphs by font (0 the label font, from 1 those of the runs, from [`STAND_INS`] those that stand in for
    /// the label font) and id; nothing for blanks.
    glyphs: BTreeMap<(usize, u16), Option<String>>,
    letters: Letters,
}

impl<'a> Lettering<'a> {
    /// No glyphs yet; ids in the picture begin with `prefix`.
    pub fn new(prefix: &'a str, label_font: &'a Font, letters: Letters) -> Self {
        Self { prefix, label_font, glyphs: BTreeMap::new(), letters }
    }

    /// `text` on a baseline through `at` at a type size of `size` inches to the em.
    pub fn words(&mut self, text: &str, at: [f64; 2], size: f64, anchor: Anchor) -> Group {
        let fonts = self.label_font.with_its_stand_ins();
        let glyphs = shape_label(&fonts, &plain(text)).1;
        let width = glyphs.iter().map(|(_, glyph)| glyph.advance).sum::<f64>() * size;
        let shift = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let mut group = scaled([at[0] - shift, at[1]], size);
        let mut pen = 0.0;
        for (place, glyph) in glyphs {
            let number = if place == 0 { 0 } else { STAND_INS + place };
            if let Some(used) = self.used(number, fonts[place], glyph.id, [pen + glyph.x, -glyph.y])
            {
                group = group.add(used);
            }
            pen += glyph.advance;
        }
        group
    }

    /// The glyphs of a strip's run in strip coordinates, or nothing if their font is not at hand.
    pub fn run(
        &mut self,
        run: &Run,
        fonts: &[std::sync::Arc<Font>],
        at: [f64; 2],
        size: f64,
    ) -> Group {
        let mut group = scaled(at, size);
        let Some(font) = fonts.get(run.font).filter(|_| size > 0.0) else { return group };
        if self.letters == Letters::Joined {
            let outlines = run.glyphs.iter().filter_map(|glyph| {
                let place = Affine::translate((glyph.x / size * UNITS, -glyph.y / size * UNITS));
                Some(place * Affine::scale(UNITS) * font.outline(glyph.id)?)
            });
            let joined: BezPath = outlines.flatten().collect();
            return group.add(Path::new().set("d", path_data(&joined, 0)));
        }
        for glyph in &run.glyphs {
            let place = [glyph.x / size, -glyph.y / size];
            if let Some(used) = self.used(run.font + 1, font, glyph.id, place) {
                group = group.add(used);
            }
        }
        group
    }

    /// Every glyph that was used, to be defined.
    pub fn glyphs(&self) -> impl Iterator<Item = Path> {
        self.glyphs.iter().filter_map(|((font, id), data)| {
            Some(Path::new().set("id", self.name(*font, *id)).set("d", data.as_deref()?))
        })
    }

    fn name(&self, font: usize, id: u16) -> String {
        format!("{}-g{font}-{id}", self.prefix)
    }

    /// A glyph at a place in ems.
    fn used(&mut self, font: usize, source: &Font, id: u16, place: [f64; 2]) -> Option<Use> {
        let outline = || {
            let outline = Affine::scale(UNITS) * source.outline(id)?;
            (!outline.elements().is_empty()).then(|| path_data(&outline, 0))
        };
        self.glyphs.entry((font, id)).or_insert_with(outline).as_ref()?;
        let mut used = Use::new().set("href", format!("#{}", self.name(font, id)));
        for (axis, value) in [("x", place[0]), ("y", place[1])] {
            let value = numeral(value * UNITS, 0);
            if value != "0" {
                used = used.set(axis, value);
            }
        }
        Some(used)
    }
}

/// A group in which one em is [`UNITS`].
fn scaled(at: [f64; 2], size: f64) -> Group {
    let [x, y] = at.map(fixed);
    Group::new().set("transform", format!("translate({x} {y}) scale({})", numeral(size / UNITS, 7)))
}
