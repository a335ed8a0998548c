//! A sheet of sample words, a row for each font, to choose a title's font from.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape as _};

use crate::draw::Anchor;
use crate::draw::display_list::{Group, Item, Paint, Shape, Stroke, Text};
use crate::draw::svg::{Means, Svg};
use crate::lettering::fonts::{Font, FontListing};
use crate::lettering::label::shape_label;
use crate::model::length::{Units, narrow};

/// Width of the sheet, in inches.
const WIDTH: f64 = 8.5;
/// Room at its edges.
const MARGIN: f64 = 0.6;
/// Height of a row.
const ROW: f64 = 1.16;
/// Height of capitals in the samples, where they are not too wide for it.
const CAPITALS: f64 = 0.42;
/// Most that a sample may rise above or sink below that, so that rows stay apart.
const TALLEST: f64 = 0.8;
/// Words of a sample in a font of Latin letters.
const WORDS: &str = "Hold tight, kites & gulls 27";
/// The inks of names, and of what is said beside them.
const DARK: &str = "#2f2a24";
const PALE: &str = "#6d6253";

/// The sheet as an SVG document in inches; `label_font` sets the small print.
pub fn font_sheet(fonts: &[(FontListing, Arc<Font>)], label_font: &Font, units: Units) -> String {
    let rows: f64 = fonts.iter().map(|_| ROW).sum();
    let sheet = Rect::new(0.0, 0.0, WIDTH, 1.35 + rows + MARGIN);
    let count = match fonts.len() {
        1 => "1 font".to_owned(),
        count => format!("{count} fonts"),
    };
    let mut items = vec![
        Shape::rectangle(sheet).filled(Paint::Ink("#fbf8f1", 1.0)).into(),
        at_left("Fonts for a title", 0.86, 0.3),
        at_right(&count, 0.86, 0.14),
    ];
    for (number, (listing, font)) in fonts.iter().enumerate() {
        let top = 1.15 + ROW * u32::try_from(number).map_or(0.0, f64::from);
        items.push(row(listing, font, top, units));
    }
    let means = Means::lettered("sheet", label_font);
    Svg::new(sheet).titled("Fonts for a title").over(&items, means).document()
}

fn at_left<'a>(words: &str, y: f64, size: f64) -> Item<'a> {
    Text::new(words, (MARGIN, y), size, DARK).into()
}

fn at_right<'a>(words: &str, y: f64, size: f64) -> Item<'a> {
    Text::new(words, (WIDTH - MARGIN, y), size, PALE).anchored(Anchor::End).into()
}

/// One font: its name, what is to be known about it, and its sample on a baseline.
fn row<'a>(listing: &FontListing, font: &Font, top: f64, units: Units) -> Item<'a> {
    let (sample, wide) = sample(font);
    let baseline = top + 0.86;
    let rule = Stroke::new("#ddd3c3", 0.01);
    let line = Stroke { opacity: 0.35, ..Stroke::new("#b5541c", 0.006) };
    let sample = Shape::path(Affine::translate((MARGIN, baseline)) * sample);
    let items = vec![
        Shape::line((MARGIN, top), (WIDTH - MARGIN, top), rule).into(),
        at_left(&format!("{} {}", listing.family, listing.style), top + 0.2, 0.125),
        at_right(&about(listing, units), top + 0.2, 0.1),
        Shape::line((MARGIN, baseline), (MARGIN + wide, baseline), line).into(),
        sample.filled(Paint::Ink("#2b5673", 1.0)).into(),
    ];
    Group::titled(&listing.family, items).into()
}

fn about(listing: &FontListing, units: Units) -> String {
    let stroke = match listing.thinnest {
        Some(width) => format!("thinnest stroke {} at 1 in", narrow(width, units)),
        None => "strokes not measured".to_owned(),
    };
    let axes = listing.axes_told().map_or(String::new(), |axes| format!(" · {axes}"));
    let (glyphs, embedding) = (listing.glyph_count, listing.embedding);
    format!("{glyphs} glyphs · {stroke}{axes} · embedding: {embedding}")
}

/// The sample's outline, baseline at 0 and left edge at 0, and how wide it is.
fn sample(font: &Font) -> (BezPath, f64) {
    let (_, glyphs) = shape_label(&[font], &font.sample(WORDS));
    let mut whole = BezPath::new();
    let mut pen = 0.0;
    for (_, glyph) in glyphs {
        if let Some(outline) = font.outline(glyph.id) {
            whole.extend(Affine::translate((pen + glyph.x, -glyph.y)) * outline);
        }
        pen += glyph.advance;
    }
    let bounds = whole.bounding_box();
    let fits = [
        CAPITALS / font.cap_height,
        (WIDTH - 2.0 * MARGIN) / bounds.width(),
        TALLEST / bounds.height(),
    ];
    let scale = fits.into_iter().filter(|scale| scale.is_finite()).fold(f64::INFINITY, f64::min);
    let scale = if scale.is_finite() { scale } else { 1.0 };
    let placed = Affine::scale(scale) * Affine::translate((-bounds.x0, 0.0)) * whole;
    (placed, bounds.width() * scale)
}
