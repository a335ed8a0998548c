//! `print/strips.pdf`: the story's strips at exact size, ready to print and cut.

use std::sync::Arc;

use crate::journal::RULER_ROOM;
use crate::outline::fonts::Font;
use crate::record::{PrintedPage, Record, Strip};

use super::drawing::channels;
use super::pdf::{Anchor, Canvas, Document, Ink, Layer};

/// Black for marks.
const BLACK: Ink = [0.0, 0.0, 0.0];
/// The colour of trim lines: light, so that a cut that is off by a hair shows no dark edge.
const TRIM: Ink = [0.6, 0.6, 0.6];
/// Length of a crop mark and its distance from the trim, in inches (common practice, no source).
const CROP: [f64; 2] = [0.12, 0.05];
/// How far a ground is printed beyond the trim, in inches, so that a cut that is off by a hair shows no
/// white (common practice, no source).
const BLEED: f64 = 0.125;
/// Points of the smallest print on the page: readable at arm's length.
const SMALL: f64 = 7.5;

/// Draws the printed pages of a record.
pub fn strips_pdf(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let mut all = fonts.to_vec();
    all.push(Arc::clone(label_font));
    let labels = fonts.len();
    let mut document = Document::new(&format!("{}: journaling strips", record.name), &all);
    for page in &record.printed {
        let name = format!("Page {}: {}", page.number, page.paper);
        document.page(page.size, &name, |canvas| draw_page(canvas, record, page, labels));
    }
    document.finish()
}

fn draw_page(canvas: &mut Canvas<'_>, record: &Record, page: &PrintedPage, labels: usize) {
    let strips: Vec<&Strip> =
        record.strips.iter().filter(|strip| strip.page == page.number).collect();
    let margin = record.rules.printer_margin;
    canvas.layer(Layer::Marks, |canvas| {
        ruler(canvas, record, page, labels, margin);
        crop_marks(canvas, &strips);
        for strip in &strips {
            let number = strip.id.rsplit('.').next().unwrap_or_default();
            let middle = strip.at[1] + strip.size[1] / 2.0 + 0.035;
            canvas.fill(BLACK);
            let left = strip.at[0] - CROP[0] - 2.0 * CROP[1];
            canvas.text(labels, SMALL, [left, middle], Anchor::End, number);
        }
    });
    // Grounds come first: one reaches under its neighbours.
    for strip in strips.iter().filter(|strip| !strip.ground.is_empty()) {
        canvas.fill(channels(&strip.ground));
        canvas.area(strip.at.map(|edge| edge - BLEED), strip.size.map(|side| side + 2.0 * BLEED));
    }
    for strip in &strips {
        canvas.fill(channels(&strip.ink));
        for run in &strip.runs {
            let origin = [strip.at[0], strip.at[1] + strip.baseline];
            canvas.glyphs(run.font, strip.type_size, origin, &run.glyphs);
        }
    }
    canvas.layer(Layer::Cut, |canvas| {
        canvas.pen(TRIM, 0.25);
        for strip in &strips {
            canvas.rectangle(strip.at, strip.size);
        }
    });
    notes(canvas, record, page, labels, margin);
}

/// A check ruler across and one down, each with its measure.
fn ruler(canvas: &mut Canvas<'_>, record: &Record, page: &PrintedPage, labels: usize, margin: f64) {
    let metric = record.shown_in == "mm";
    let (step, across, unit) =
        if metric { (10.0 / 25.4, 15_u32, "150 mm") } else { (0.5, 12, "6 in") };
    let down = if metric { 7_u32 } else { 6 };
    let [left, top] = [margin + 0.05, margin + 0.32];
    canvas.pen(BLACK, 0.5);
    canvas.line([left, top], [left + step * f64::from(across), top]);
    canvas.line([left, top], [left, top + step * f64::from(down)]);
    for (count, is_across) in [(across, true), (down, false)] {
        for tick in 0..=count {
            let at = step * f64::from(tick);
            let length = if tick % 2 == 0 { 0.1 } else { 0.06 };
            let [from, to] = if is_across {
                [[left + at, top], [left + at, top + length]]
            } else {
                [[left, top + at], [left + length, top + at]]
            };
            canvas.line(from, to);
        }
    }
    canvas.fill(BLACK);
    let text = format!("Print at 100 %, no scaling: the line below must measure {unit}.");
    canvas.text(labels, SMALL + 0.5, [left, top - 0.1], Anchor::Start, &text);
    let right = page.size[0] - margin - 0.05;
    let title = format!("{}, page {}, {}", record.name, page.number, page.paper);
    if canvas.width(labels, SMALL, &title) + 6.4 < right - left + step * 2.0 {
        canvas.text(labels, SMALL, [right, top - 0.1], Anchor::End, &title);
    }
}

/// Crop marks at the corners of each block of strips and between its strips.
fn crop_marks(canvas: &mut Canvas<'_>, strips: &[&Strip]) {
    let [length, away] = CROP;
    canvas.pen(BLACK, 0.25);
    let mut lefts: Vec<f64> = strips.iter().map(|strip| strip.at[0]).collect();
    lefts.sort_by(f64::total_cmp);
    lefts.dedup();
    for left in lefts {
        let column: Vec<_> = strips.iter().filter(|strip| strip.at[0] == left).collect();
        let edge = |strip: &&&Strip| strip.at[0] + strip.size[0];
        let right = column.iter().map(edge).fold(0.0, f64::max);
        let top = column.iter().map(|strip| strip.at[1]).fold(f64::INFINITY, f64::min);
        let bottom = column.iter().map(|strip| strip.at[1] + strip.size[1]).fold(0.0, f64::max);
        for x in [left, right] {
            canvas.line([x, top - away - length], [x, top - away]);
            canvas.line([x, bottom + away], [x, bottom + away + length]);
        }
        let rows = column.iter().map(|strip| strip.at[1]).chain([bottom]);
        for y in rows {
            canvas.line([left - away - length, y], [left - away, y]);
            canvas.line([right + away, y], [right + away + length, y]);
        }
    }
}

/// What to do with the page, in the free room under the strips.
fn notes(canvas: &mut Canvas<'_>, record: &Record, page: &PrintedPage, labels: usize, margin: f64) {
    let bottom = record
        .strips
        .iter()
        .filter(|strip| strip.page == page.number)
        .map(|strip| strip.at[1] + strip.size[1])
        .fold(margin + RULER_ROOM, f64::max);
    let lines = [
        "Cut the block free first, then across between the strips, then each strip to its width;",
        "guide.pdf lists the cuts with their fence settings. Small numbers give the story's order.",
    ];
    let mut y = bottom + 0.45;
    canvas.fill(BLACK);
    for line in lines {
        if y < page.size[1] - margin {
            canvas.text(labels, SMALL, [margin + 0.45, y], Anchor::Start, line);
        }
        y += 0.14;
    }
}
