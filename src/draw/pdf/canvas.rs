//! Drawing on a page: lines, areas and text, in inches from the page's top left, y down.

use std::sync::Arc;

use kurbo::{Affine, BezPath, PathEl, Point};
use pdf_writer::types::TextRenderingMode;
use pdf_writer::{Content, Name, TextStr};

use crate::lettering::fonts::Font;
use crate::lettering::label::{is_control, label_width, shape_label};
use crate::lettering::shaping::ShapedGlyph;
use crate::model::Glyph;
use crate::model::length::rounded;

use super::super::Anchor;
use super::fonts::{FontUse, resource};
use super::said::{self, Step};
use super::{Layer, POINTS, bytes, points};

/// A colour, red, green and blue from 0 to 1.
pub type Ink = [f32; 3];

/// A page under construction.
pub struct Canvas<'a> {
    size: [f64; 2],
    content: Content,
    fonts: &'a mut Vec<FontUse>,
    /// Places of the fonts that stand in where one lacks a letter.
    stand_ins: &'a [usize],
    images: Vec<usize>,
    layers: Vec<Layer>,
}

impl<'a> Canvas<'a> {
    /// A page whose content is stretched about its middle.
    pub(super) fn new(
        size: [f64; 2],
        stretch: [f64; 2],
        fonts: &'a mut Vec<FontUse>,
        stand_ins: &'a [usize],
    ) -> Self {
        let mut content = Content::new();
        if stretch != [1.0, 1.0] {
            let middle = [0, 1].map(|axis| size[axis] * (1.0 - stretch[axis]) / 2.0);
            #[expect(clippy::cast_possible_truncation, reason = "factors near 1")]
            let [across, down] = stretch.map(|factor| factor as f32);
            content.transform([across, 0.0, 0.0, down, points(middle[0]), points(middle[1])]);
        }
        Self { size, content, fonts, stand_ins, images: Vec::new(), layers: Vec::new() }
    }

    /// The page's content, the pictures on it and its layers.
    pub(super) fn finish(self) -> (Vec<u8>, Vec<usize>, Vec<Layer>) {
        (self.content.finish().as_slice().to_vec(), self.images, self.layers)
    }

    /// The page's size in inches.
    pub fn size(&self) -> [f64; 2] {
        self.size
    }

    fn at(&self, [x, y]: [f64; 2]) -> (f32, f32) {
        (points(x), points(self.size[1] - y))
    }

    /// Draws on a layer.
    pub fn layer(&mut self, layer: Layer, draw: impl FnOnce(&mut Self)) {
        if !self.layers.contains(&layer) {
            self.layers.push(layer);
        }
        self.content
            .begin_marked_content_with_properties(Name(b"OC"))
            .properties_named(Name(layer.resource()));
        draw(self);
        self.content.end_marked_content();
    }

    /// Sets colour and width (in points) of lines.
    pub fn pen(&mut self, [red, green, blue]: Ink, width: f32) {
        self.content.set_stroke_rgb(red, green, blue).set_line_width(width.max(0.0));
    }

    /// Sets the dashes of lines in points; none for solid lines.
    pub fn dashes(&mut self, dashes: &[f32]) {
        self.content.set_dash_pattern(dashes.iter().copied(), 0.0);
    }

    /// Sets the colour of areas and text.
    pub fn fill(&mut self, [red, green, blue]: Ink) {
        self.content.set_fill_rgb(red, green, blue);
    }

    /// Strokes a line.
    pub fn line(&mut self, from: [f64; 2], to: [f64; 2]) {
        let ((x1, y1), (x2, y2)) = (self.at(from), self.at(to));
        self.content.move_to(x1, y1).line_to(x2, y2).stroke();
    }

    /// Strokes a rectangle given by its top left and size.
    pub fn rectangle(&mut self, at: [f64; 2], size: [f64; 2]) {
        self.outline_of(at, size);
        self.content.stroke();
    }

    /// Fills a rectangle given by its top left and size.
    pub fn area(&mut self, at: [f64; 2], size: [f64; 2]) {
        self.outline_of(at, size);
        self.content.fill_nonzero();
    }

    /// Draws in the coordinates of something that is laid on the page.
    pub fn laid(&mut self, lay: Affine, draw: impl FnOnce(&mut Self)) {
        // From points, y up, to the page's inches, y down, and back.
        let page = Affine::new([POINTS, 0.0, 0.0, -POINTS, 0.0, self.size[1] * POINTS]);
        #[expect(clippy::cast_possible_truncation, reason = "f32 is exact to 1e-6 in on a page")]
        let matrix = (page * lay * page.inverse()).as_coeffs().map(|number| number as f32);
        self.content.save_state().transform(matrix);
        draw(self);
        self.content.restore_state();
    }

    /// Draws only within a path (non-zero).
    pub fn clipped_to(&mut self, path: &BezPath, draw: impl FnOnce(&mut Self)) {
        self.content.save_state();
        self.trace(path);
        self.content.clip_nonzero().end_path();
        draw(self);
        self.content.restore_state();
    }

    /// Draws only within a rectangle (top left and size).
    pub fn clipped(&mut self, at: [f64; 2], size: [f64; 2], draw: impl FnOnce(&mut Self)) {
        self.content.save_state();
        self.outline_of(at, size);
        self.content.clip_nonzero().end_path();
        draw(self);
        self.content.restore_state();
    }

    /// Shows what a rectangle (top left and size) leaves of a picture of the document. `lay` lays the
    /// picture's unit square, y down, on the page.
    pub fn image(&mut self, image: usize, lay: Affine, at: [f64; 2], size: [f64; 2]) {
        // From the page's inches, y down, to points, y up; and the unit square likewise (ISO 32000-1,
        // 8.9.5.2: a picture's last row lies at the bottom of its unit square).
        let page = Affine::new([POINTS, 0.0, 0.0, -POINTS, 0.0, self.size[1] * POINTS]);
        let upright = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 1.0]);
        #[expect(clippy::cast_possible_truncation, reason = "f32 is exact to 1e-6 in on a page")]
        let matrix = (page * lay * upright).as_coeffs().map(|number| number as f32);
        self.content.save_state();
        self.outline_of(at, size);
        self.content.clip_nonzero().end_path().transform(matrix);
        self.content.x_object(Name(super::images::resource(image).as_bytes()));
        self.content.restore_state();
        if !self.images.contains(&image) {
            self.images.push(image);
        }
    }

    fn outline_of(&mut self, [x, y]: [f64; 2], [width, height]: [f64; 2]) {
        let (left, bottom) = self.at([x, y + height]);
        self.content.rect(left, bottom, points(width), points(height));
    }

    /// Fills (even-odd) and strokes a path, or only one of the two.
    pub fn path(&mut self, path: &BezPath, fill: bool, stroke: bool) {
        if path.elements().is_empty() {
            return;
        }
        self.trace(path);
        match (fill, stroke) {
            (true, true) => self.content.fill_even_odd_and_stroke(),
            (true, false) => self.content.fill_even_odd(),
            (false, true) => self.content.stroke(),
            (false, false) => self.content.end_path(),
        };
    }

    fn trace(&mut self, path: &BezPath) {
        let mut last = Point::ZERO;
        for element in path.elements() {
            let place = |point: Point| self.at([point.x, point.y]);
            match *element {
                PathEl::MoveTo(to) => {
                    let (x, y) = place(to);
                    self.content.move_to(x, y);
                    last = to;
                }
                PathEl::LineTo(to) => {
                    let (x, y) = place(to);
                    self.content.line_to(x, y);
                    last = to;
                }
                PathEl::QuadTo(middle, to) => {
                    let (one, two) = (last.lerp(middle, 2.0 / 3.0), to.lerp(middle, 2.0 / 3.0));
                    self.cubic(one, two, to);
                    last = to;
                }
                PathEl::CurveTo(one, two, to) => {
                    self.cubic(one, two, to);
                    last = to;
                }
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
        }
    }

    fn cubic(&mut self, one: Point, two: Point, to: Point) {
        let [one, two, to] = [one, two, to].map(|point| self.at([point.x, point.y]));
        self.content.cubic_to(one.0, one.1, two.0, two.1, to.0, to.1);
    }

    /// Width of a text in inches.
    pub fn width(&self, font: usize, size: f64, text: &str) -> f64 {
        width(self.fonts, self.stand_ins, font, size, text)
    }

    /// Writes a text with its baseline at a place; `size` is in points. A letter that neither the font nor
    /// one that stands in for it has is written as its code point.
    pub fn text(&mut self, font: usize, size: f64, at: [f64; 2], anchor: Anchor, text: &str) {
        let chain = chain(self.fonts, self.stand_ins, font);
        if chain.is_empty() {
            return;
        }
        let fonts: Vec<&Font> = chain.iter().map(|place| &*self.fonts[*place].font).collect();
        let (text, shaped) = shape_label(&fonts, text);
        let em = size / POINTS;
        let (places, shaped): (Vec<usize>, Vec<ShapedGlyph>) = shaped.into_iter().unzip();
        let width: f64 = shaped.iter().map(|glyph| glyph.advance).sum::<f64>() * em;
        let pen = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let mut glyphs = Glyph::line(&shaped, &text, pen, em);
        for glyph in &mut glyphs {
            glyph.x = rounded(glyph.x);
            glyph.y = rounded(glyph.y);
            glyph.advance = rounded(glyph.advance);
            glyph.text.retain(|letter| !is_control(letter));
        }
        let mut start = 0;
        for run in places.chunk_by(|one, other| one == other) {
            let end = start + run.len();
            self.glyphs(chain[run[0]], size, at, &glyphs[start..end]);
            start = end;
        }
    }

    /// Writes placed glyphs (inches right of and above `at`) so that nothing drifts: every gap
    /// between the font's own widths and the placed ones is written out.
    pub fn glyphs(&mut self, font: usize, size: f64, at: [f64; 2], glyphs: &[Glyph]) {
        let Some(used) = self.fonts.get_mut(font) else { return };
        if glyphs.is_empty() {
            return;
        }
        let shown = said::glyphs(used, glyphs, size / POINTS);
        let drawn = used.is_drawn().then(|| Arc::clone(&used.font));
        let name = resource(font);
        if let Some(font) = &drawn {
            self.outlines(font, size / POINTS, at, glyphs);
        }
        self.content.begin_text();
        if drawn.is_some() {
            self.content.set_text_rendering_mode(TextRenderingMode::Invisible);
        }
        #[expect(clippy::cast_possible_truncation, reason = "a type size")]
        self.content.set_font(Name(name.as_bytes()), size as f32);
        for step in shown {
            match step {
                Step::Move([right, up]) => {
                    let (left, base) = self.at([at[0] + right, at[1] - up]);
                    self.content.set_text_matrix([1.0, 0.0, 0.0, 1.0, left, base]);
                }
                Step::Show(letters) => self.letters(&letters),
                Step::Say(text) => {
                    self.content
                        .begin_marked_content_with_properties(Name(b"Span"))
                        .properties()
                        .actual_text(TextStr(&text));
                }
                Step::Said => {
                    self.content.end_marked_content();
                }
            }
        }
        if drawn.is_some() {
            self.content.set_text_rendering_mode(TextRenderingMode::Fill);
        }
        self.content.end_text();
    }

    /// Fills the outlines of placed glyphs; an em is `em` inches.
    fn outlines(&mut self, font: &Font, em: f64, at: [f64; 2], glyphs: &[Glyph]) {
        for glyph in glyphs {
            let Some(mut outline) = font.outline(glyph.id) else { continue };
            let place = (at[0] + glyph.x, at[1] - glyph.y);
            outline.apply_affine(Affine::translate(place) * Affine::scale(em));
            if !outline.elements().is_empty() {
                self.trace(&outline);
                self.content.fill_nonzero();
            }
        }
    }

    /// Shows glyphs one after the other, each after its gap.
    fn letters(&mut self, letters: &[(f64, [u8; 2])]) {
        let mut shown = self.content.show_positioned();
        let mut list = shown.items();
        let mut together: Vec<u8> = Vec::new();
        for (gap, number) in letters {
            if gap.abs() > 0.01 {
                if !together.is_empty() {
                    list.show(bytes(&together));
                    together.clear();
                }
                #[expect(clippy::cast_possible_truncation, reason = "a gap between letters")]
                list.adjust(-gap as f32);
            }
            together.extend(number);
        }
        list.show(bytes(&together));
    }
}

/// Width of a text in inches in one of a document's fonts.
pub(super) fn width(
    fonts: &[FontUse],
    stand_ins: &[usize],
    font: usize,
    size: f64,
    text: &str,
) -> f64 {
    let chain = chain(fonts, stand_ins, font);
    let fonts: Vec<&Font> = chain.iter().map(|place| &*fonts[*place].font).collect();
    if fonts.is_empty() { 0.0 } else { label_width(&fonts, text) * size / POINTS }
}

/// Places of a font and those that stand in for it.
fn chain(fonts: &[FontUse], stand_ins: &[usize], font: usize) -> Vec<usize> {
    let others = stand_ins.iter().copied().filter(|other| *other != font);
    std::iter::once(font).chain(others).filter(|place| *place < fonts.len()).collect()
}
