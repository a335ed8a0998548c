//! `print/strips.pdf`: the story's strips at exact size, ready to print and cut.

mod cuts;
mod ruler;

use std::sync::Arc;

use crate::journal::{BLEED, RULER_ROOM};
use crate::lettering::fonts::Font;
use crate::record::{Area, PrintedPage, Record, Strip};

use super::drawing::channels;
use super::printed_page::{BLACK, CROP, SMALL, TRIM};
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Document, Layer, PageSetup};

/// Draws the printed pages of a record.
pub fn strips_pdf(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let mut all = fonts.to_vec();
    all.push(Arc::clone(label_font));
    let labels = fonts.len();
    let title = format!("{}: journaling strips", record.name);
    let mut document = Document::new(&title, &all).corrected(record.printed_scale());
    for page in &record.printed {
        let sheet = Sheet::of(record, page, labels);
        let setup = PageSetup::new(page.size, &format!("Page {}: {}", page.number, page.paper))
            .labelled(&format!("strips {}", page.number))
            .trimmed(sheet.trims().at, sheet.trims().size, sheet.bleed);
        document.add(setup, |canvas| sheet.draw(canvas));
    }
    document.finish()
}

/// Height of a strip from which its number has room between the crop marks, in inches.
const NUMBER_ROOM: f64 = 0.2;

/// A printed page and what lies on it.
struct Sheet<'a> {
    record: &'a Record,
    page: &'a PrintedPage,
    strips: Vec<&'a Strip>,
    /// How far colour runs over the trims.
    bleed: f64,
    /// The font of numbers and notes.
    labels: usize,
    margin: f64,
}

/// Strips under each other.
struct Column<'a> {
    strips: Vec<&'a Strip>,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl<'a> Sheet<'a> {
    fn of(record: &'a Record, page: &'a PrintedPage, labels: usize) -> Self {
        let strips: Vec<&Strip> =
            record.strips.iter().filter(|strip| strip.page == page.number).collect();
        let colored = strips.iter().any(|strip| !strip.ground.is_empty());
        let bleed = if colored { BLEED } else { 0.0 };
        Self { record, page, strips, bleed, labels, margin: record.rules.printer_margin }
    }

    fn columns(&self) -> Vec<Column<'a>> {
        let mut lefts: Vec<f64> = self.strips.iter().map(|strip| strip.at[0]).collect();
        lefts.sort_by(f64::total_cmp);
        lefts.dedup();
        let column = |left: f64| {
            let strips: Vec<&Strip> =
                self.strips.iter().copied().filter(|strip| strip.at[0] == left).collect();
            let end = |axis: usize| {
                strips.iter().map(|strip| strip.at[axis] + strip.size[axis]).fold(0.0, f64::max)
            };
            let top = strips.iter().map(|strip| strip.at[1]).fold(f64::INFINITY, f64::min);
            let (right, bottom) = (end(0), end(1));
            Column { strips, left, right, top, bottom }
        };
        lefts.into_iter().map(column).collect()
    }

    /// The rectangle round all trims.
    fn trims(&self) -> Area {
        let columns = self.columns();
        let least =
            |of: fn(&Column<'_>) -> f64| columns.iter().map(of).fold(f64::INFINITY, f64::min);
        let most = |of: fn(&Column<'_>) -> f64| columns.iter().map(of).fold(0.0, f64::max);
        let at = [least(|column| column.left), least(|column| column.top)];
        let end = [most(|column| column.right), most(|column| column.bottom)];
        Area { at, size: [0, 1].map(|axis| end[axis] - at[axis]) }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        // Grounds come first: one reaches under its neighbours.
        for strip in self.strips.iter().filter(|strip| !strip.ground.is_empty()) {
            canvas.fill(channels(&strip.ground));
            let size = strip.size.map(|side| side + 2.0 * self.bleed);
            canvas.area(strip.at.map(|edge| edge - self.bleed), size);
        }
        for strip in &self.strips {
            canvas.fill(channels(&strip.ink));
            for run in &strip.runs {
                let origin = [strip.at[0], strip.at[1] + strip.baseline];
                canvas.glyphs(run.font, strip.type_size, origin, &run.glyphs);
            }
        }
        canvas.layer(Layer::Cut, |canvas| {
            canvas.pen(TRIM, 0.25);
            for strip in &self.strips {
                canvas.rectangle(strip.at, strip.size);
            }
        });
        canvas.layer(Layer::Marks, |canvas| {
            ruler::draw(canvas, self);
            self.crop_marks(canvas);
        });
        canvas.layer(Layer::Notes, |canvas| {
            ruler::instructions(canvas, self);
            self.numbers(canvas);
            cuts::draw(canvas, self);
            self.notes(canvas);
        });
    }

    /// Distance from a trim to where its crop marks begin.
    fn away(&self) -> f64 {
        self.bleed + CROP[1]
    }

    /// Each strip's place in the story, left of it.
    fn numbers(&self, canvas: &mut Canvas<'_>) {
        canvas.fill(BLACK);
        for strip in &self.strips {
            let number = strip.id.rsplit('.').next().unwrap_or_default();
            let middle = strip.at[1] + strip.size[1] / 2.0 + 0.035;
            // Beside the strip, between its crop marks, where these leave room.
            let beyond = if strip.size[1] < NUMBER_ROOM { CROP[0] + CROP[1] } else { 0.0 };
            let right = strip.at[0] - self.away() - beyond;
            canvas.text(self.labels, SMALL, [right, middle], Anchor::End, number);
        }
    }

    /// Crop marks at the corners of each column of strips and between its strips.
    fn crop_marks(&self, canvas: &mut Canvas<'_>) {
        let (away, length) = (self.away(), CROP[0]);
        canvas.pen(BLACK, 0.25);
        for Column { strips, left, right, top, bottom } in self.columns() {
            for x in [left, right] {
                canvas.line([x, top - away - length], [x, top - away]);
                canvas.line([x, bottom + away], [x, bottom + away + length]);
            }
            for y in strips.iter().map(|strip| strip.at[1]).chain([bottom]) {
                canvas.line([left - away - length, y], [left - away, y]);
                canvas.line([right + away, y], [right + away + length, y]);
            }
        }
    }

    /// What to do with the page, in the free room under the strips.
    fn notes(&self, canvas: &mut Canvas<'_>) {
        let ends = self.strips.iter().map(|strip| strip.at[1] + strip.size[1]);
        let bottom = ends.fold(self.margin + RULER_ROOM, f64::max) + self.bleed;
        let title =
            format!("{}, page {}, {}.", self.record.name, self.page.number, self.page.paper);
        let lines = [
            title.as_str(),
            "Cut in the order of the numbers in rings; guide.pdf tells the fence setting of each cut.",
            "The numbers left of the strips give the story's order.",
        ];
        let mut y = bottom + 0.34;
        canvas.fill(BLACK);
        for line in lines {
            if y < self.page.size[1] - self.margin {
                let left = self.margin + 0.45;
                canvas.text(self.labels, SMALL, [left, y], Anchor::Start, line);
            }
            y += 0.14;
        }
    }
}
