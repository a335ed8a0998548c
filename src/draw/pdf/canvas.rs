//! What a page's content is written with: paths, text and pictures, in inches from the page's top left, y
//! down.

use std::sync::Arc;

use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use pdf_writer::types::{LineCapStyle, TextRenderingMode};
use pdf_writer::{Content, Name, TextStr};

use crate::lettering::fonts::Font;
use crate::lettering::label::{is_control, label_width, shape_label};
use crate::lettering::shaping::ShapedGlyph;
use crate::model::Glyph;
use crate::model::length::rounded;

use super::fonts::{FontUse, resource};
use super::said::{self, Step};
use super::{POINTS, bytes, points};
use crate::draw::display_list::Image;
use crate::draw::{Anchor, Layer};

/// A colour, red, green and blue from 0 to 1.
pub(super) type Ink = [f32; 3];

/// A page under construction.
pub(super) struct Canvas<'a> {
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

    fn at(&self, point: Point) -> (f32, f32) {
        (points(point.x), points(self.size[1] - point.y))
    }

    /// How inches, y down, lie on the page, whose points run up.
    fn page(&self) -> Affine {
        Affine::new([POINTS, 0.0, 0.0, -POINTS, 0.0, self.size[1] * POINTS])
    }

    /// Begins a layer.
    pub fn begin(&mut self, layer: Layer) {
        if !self.layers.contains(&layer) {
            self.layers.push(layer);
        }
        self.content
            .begin_marked_content_with_properties(Name(b"OC"))
            .properties_named(Name(layer.resource()));
    }

    /// Ends a layer.
    pub fn end(&mut self) {
        self.content.end_marked_content();
    }

    /// Sets colour and width of lines.
    pub fn pen(&mut self, [red, green, blue]: Ink, width: f64) {
        self.content.set_stroke_rgb(red, green, blue).set_line_width(points(width.max(0.0)));
    }

    /// Sets the dashes of lines, none for solid lines, and whether their ends are round.
    pub fn dashes(&mut self, dashes: &[f64], round: bool) {
        self.content.set_dash_pattern(dashes.iter().copied().map(points), 0.0);
        self.content.set_line_cap(if round {
            LineCapStyle::RoundCap
        } else {
            LineCapStyle::ButtCap
        });
    }

    /// Sets the colour of areas and text.
    pub fn fill(&mut self, [red, green, blue]: Ink) {
        self.content.set_fill_rgb(red, green, blue);
    }

    /// Goes over to the coordinates of something that is laid on the page, until [`Self::restore`].
    pub fn save(&mut self, lay: Affine) {
        self.content.save_state();
        if lay != Affine::IDENTITY {
            self.content.transform(coefficients(self.page() * lay * self.page().inverse()));
        }
    }

    /// Goes back to the coordinates, inks and clip before [`Self::save`].
    pub fn restore(&mut self) {
        self.content.restore_state();
    }

    /// Draws only within the traced outline (even-odd), until [`Self::restore`].
    pub fn clip(&mut self) {
        self.content.clip_even_odd().end_path();
    }

    /// Shows what a rectangle leaves of a picture of the document.
    pub fn image(&mut self, image: &Image) {
        // The unit square is turned over (ISO 32000-1, 8.9.5.2: a picture's last row lies at its bottom).
        let upright = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 1.0]);
        self.content.save_state();
        self.rectangle(image.field);
        let matrix = coefficients(self.page() * image.lay * upright);
        self.content.clip_nonzero().end_path().transform(matrix);
        self.content.x_object(Name(super::images::resource(image.number).as_bytes()));
        self.content.restore_state();
        if !self.images.contains(&image.number) {
            self.images.push(image.number);
        }
    }

    /// Fills (even-odd) and strokes the traced outline, or only one of the two.
    pub fn paint(&mut self, fill: bool, stroke: bool) {
        match (fill, stroke) {
            (true, true) => self.content.fill_even_odd_and_stroke(),
            (true, false) => self.content.fill_even_odd(),
            (false, true) => self.content.stroke(),
            (false, false) => self.content.end_path(),
        };
    }

    /// Traces a rectangle.
    pub fn rectangle(&mut self, rectangle: Rect) {
        let (left, bottom) = self.at(Point::new(rectangle.x0, rectangle.y1));
        self.content.rect(left, bottom, points(rectangle.width()), points(rectangle.height()));
    }

    /// Traces a path.
    pub fn trace(&mut self, path: &BezPath) {
        let mut last = Point::ZERO;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(to) => {
                    let (x, y) = self.at(to);
                    self.content.move_to(x, y);
                    last = to;
                }
                PathEl::LineTo(to) => {
                    let (x, y) = self.at(to);
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
        let [one, two, to] = [one, two, to].map(|point| self.at(point));
        self.content.cubic_to(one.0, one.1, two.0, two.1, to.0, to.1);
    }

    /// Writes a text with its baseline at a place; an em is `em` inches. A letter that neither the font nor
    /// one that stands in for it has is written as its code point.
    pub fn text(&mut self, font: usize, em: f64, at: Point, anchor: Anchor, text: &str) {
        let chain = chain(self.fonts, self.stand_ins, font);
        if chain.is_empty() {
            return;
        }
        let fonts: Vec<&Font> = chain.iter().map(|place| &*self.fonts[*place].font).collect();
        let (text, shaped) = shape_label(&fonts, text);
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
            self.glyphs(chain[run[0]], em, at, &glyphs[start..end]);
            start = end;
        }
    }

    /// Writes placed glyphs (inches right of and above `at`) so that nothing drifts: every gap
    /// between the font's own widths and the placed ones is written out.
    pub fn glyphs(&mut self, font: usize, em: f64, at: Point, glyphs: &[Glyph]) {
        let Some(used) = self.fonts.get_mut(font) else { return };
        if glyphs.is_empty() {
            return;
        }
        let shown = said::glyphs(used, glyphs, em);
        let drawn = used.is_drawn().then(|| Arc::clone(&used.font));
        let name = resource(font);
        if let Some(font) = &drawn {
            self.outlines(font, em, at, glyphs);
        }
        self.content.begin_text();
        if drawn.is_some() {
            self.content.set_text_rendering_mode(TextRenderingMode::Invisible);
        }
        self.content.set_font(Name(name.as_bytes()), points(em));
        for step in shown {
            match step {
                Step::Move([right, up]) => {
                    let (left, base) = self.at(at + (right, -up));
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
    fn outlines(&mut self, font: &Font, em: f64, at: Point, glyphs: &[Glyph]) {
        for glyph in glyphs {
            let Some(mut outline) = font.outline(glyph.id) else { continue };
            let place = (at.x + glyph.x, at.y - glyph.y);
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

#[expect(clippy::cast_possible_truncation, reason = "f32 is exact to 1e-6 in on a page")]
fn coefficients(affine: Affine) -> [f32; 6] {
    affine.as_coeffs().map(|number| number as f32)
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
