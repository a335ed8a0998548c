//! A sheet of sample words, a row for each font, to choose a title's font from.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Shape};
use svg::Document;
use svg::node::element::{Group, Line, Path, Rectangle, Title};

use super::drawing::{data, fixed, plain};
use crate::draw::Anchor;
use crate::draw::lettering::Lettering;
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
/// Ids of glyphs begin with this.
const PREFIX: &str = "sheet";

/// The sheet as an SVG document in inches; `label_font` sets the small print.
pub fn font_sheet(fonts: &[(FontListing, Arc<Font>)], label_font: &Font, units: Units) -> String {
    let rows: f64 = fonts.iter().map(|_| ROW).sum();
    let height = 1.35 + rows + MARGIN;
    let mut lettering = Lettering::new(PREFIX, label_font);
    let mut body = Group::new();
    let heading = lettering.words("Fonts for a title", [MARGIN, 0.86], 0.3, Anchor::Start);
    let count = match fonts.len() {
        1 => "1 font".to_owned(),
        count => format!("{count} fonts"),
    };
    let beside = lettering.words(&count, [WIDTH - MARGIN, 0.86], 0.14, Anchor::End);
    body = body.add(heading.set("fill", "#2f2a24")).add(beside.set("fill", "#6d6253"));
    for (number, (listing, font)) in fonts.iter().enumerate() {
        let top = 1.15 + ROW * u32::try_from(number).map_or(0.0, f64::from);
        body = body.add(row(listing, font, top, units, &mut lettering));
    }
    let [width, height] = [WIDTH, height].map(fixed);
    let table = Rectangle::new().set("width", width.as_str()).set("height", height.as_str());
    let document = Document::new()
        .set("width", format!("{width}in"))
        .set("height", format!("{height}in"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new("Fonts for a title"))
        .add(lettering.define(svg::node::element::Definitions::new()))
        .add(table.set("fill", "#fbf8f1"))
        .add(body);
    document.to_string() + "\n"
}

/// One font: its name, what is to be known about it, and its sample on a baseline.
fn row(
    listing: &FontListing,
    font: &Font,
    top: f64,
    units: Units,
    lettering: &mut Lettering<'_>,
) -> Group {
    let rule = Line::new()
        .set("x1", fixed(MARGIN))
        .set("x2", fixed(WIDTH - MARGIN))
        .set("y1", fixed(top))
        .set("y2", fixed(top))
        .set("stroke", "#ddd3c3")
        .set("stroke-width", "0.01");
    let name = format!("{} {}", listing.family, listing.style);
    let name = lettering.words(&name, [MARGIN, top + 0.2], 0.125, Anchor::Start);
    let about =
        lettering.words(&about(listing, units), [WIDTH - MARGIN, top + 0.2], 0.1, Anchor::End);
    let (sample, wide) = sample(font);
    let baseline = top + 0.86;
    let line = Line::new()
        .set("x1", fixed(MARGIN))
        .set("x2", fixed(MARGIN + wide))
        .set("y1", fixed(baseline))
        .set("y2", fixed(baseline))
        .set("stroke", "#b5541c")
        .set("stroke-opacity", "0.35")
        .set("stroke-width", "0.006");
    let moved = Affine::translate((MARGIN, baseline)) * sample;
    Group::new()
        .add(Title::new(plain(&listing.family)))
        .add(rule)
        .add(name.set("fill", "#2f2a24"))
        .add(about.set("fill", "#6d6253"))
        .add(line)
        .add(Path::new().set("d", data(&moved)).set("fill", "#2b5673"))
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
