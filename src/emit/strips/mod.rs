//! `print/strips.pdf`: the story's strips at exact size, ready to print and cut.

mod cuts;
mod ruler;

use std::sync::Arc;

use kurbo::Point;

use crate::journal::{BLEED, RULER_ROOM};
use crate::lettering::fonts::Font;
use crate::record::{PrintedPage, Record, Rect, Strip};

use super::printed_page::{BLACK, CROP, PLAIN, POINT, SMALL, TRIM, line, typeset, words};
use crate::draw::display_list::{Group, Item, Paint, Run, Shape};
use crate::draw::pdf::PageSetup;
use crate::draw::{Anchor, Layer};

/// Draws the printed pages of a record.
pub fn strips_pdf(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let title = format!("{}: journaling strips", record.name);
    let mut document = typeset(&title, fonts, label_font).corrected(record.printed_scale());
    for page in &record.printed {
        let sheet = Sheet::of(record, page);
        let setup = PageSetup::new(page.size, &format!("Page {}: {}", page.number, page.paper))
            .labelled(&format!("strips {}", page.number))
            .trimmed(sheet.trims().at, sheet.trims().size, sheet.bleed);
        document.add(setup, &sheet.items());
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
    margin: f64,
    /// Above this nothing is printed.
    top: f64,
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
    fn of(record: &'a Record, page: &'a PrintedPage) -> Self {
        let strips: Vec<&Strip> =
            record.strips.iter().filter(|strip| strip.page == page.number).collect();
        let colored = strips.iter().any(|strip| strip.ground.is_some());
        let bleed = if colored { BLEED } else { 0.0 };
        let margin = record.rules.printer_margin;
        let top = page.start.unwrap_or_default().max(margin);
        Self { record, page, strips, bleed, margin, top }
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
    fn trims(&self) -> Rect {
        let columns = self.columns();
        let least =
            |of: fn(&Column<'_>) -> f64| columns.iter().map(of).fold(f64::INFINITY, f64::min);
        let most = |of: fn(&Column<'_>) -> f64| columns.iter().map(of).fold(0.0, f64::max);
        let at = [least(|column| column.left), least(|column| column.top)];
        let end = [most(|column| column.right), most(|column| column.bottom)];
        Rect { at, size: [0, 1].map(|axis| end[axis] - at[axis]) }
    }

    fn items(&self) -> Vec<Item<'a>> {
        let trim = |strip: &Strip| kurbo::Rect::from(Rect { at: strip.at, size: strip.size });
        // Grounds come first: one reaches under its neighbours.
        let grounds = self.strips.iter().filter_map(|strip| {
            let color = strip.ground.as_ref()?.as_str();
            let ground = Shape::rectangle(trim(strip).inflate(self.bleed, self.bleed));
            Some(ground.filled(Paint::Ink(color, 1.0)).into())
        });
        let runs = self.strips.iter().flat_map(|strip| {
            let at = Point::new(strip.at[0], strip.at[1] + strip.baseline);
            let (size, ink) = (strip.type_size * POINT, strip.ink.as_str());
            strip.runs.iter().map(move |run| Run { run, at, size, ink }.into())
        });
        let trims = self
            .strips
            .iter()
            .map(|strip| Shape::rectangle(trim(strip)).stroked(line(TRIM, 0.25)).into());
        let marks = ruler::rulers(self).into_iter().chain([self.crop_marks()]).collect();
        let mut notes = vec![ruler::instructions(self)];
        notes.extend(ruler::feeding(self));
        notes.extend(self.numbers());
        notes.extend(cuts::numbers(self));
        notes.extend(self.notes());
        let mut items: Vec<Item<'a>> = grounds.chain(runs).collect();
        items.push(Group::on(Layer::Cut, trims.collect()).into());
        items.push(Group::on(Layer::Marks, marks).into());
        items.push(Group::on(Layer::Notes, notes).into());
        items
    }

    /// Distance from a trim to where its crop marks begin.
    fn away(&self) -> f64 {
        self.bleed + CROP[1]
    }

    /// Each strip's place in the story, left of it.
    fn numbers(&self) -> impl Iterator<Item = Item<'a>> {
        self.strips.iter().map(|strip| {
            let number = strip.id.rsplit('.').next().unwrap_or_default();
            let middle = strip.at[1] + strip.size[1] / 2.0 + 0.035;
            // Beside the strip, between its crop marks, where these leave room.
            let beyond = if strip.size[1] < NUMBER_ROOM { CROP[0] + CROP[1] } else { 0.0 };
            let right = strip.at[0] - self.away() - beyond;
            let number = words(PLAIN, SMALL, [right, middle], number);
            number.anchored(Anchor::End).into()
        })
    }

    /// Crop marks at the corners of each column of strips and between its strips.
    fn crop_marks(&self) -> Item<'a> {
        let (away, length) = (self.away(), CROP[0]);
        let mut marks = Vec::new();
        for Column { strips, left, right, top, bottom } in self.columns() {
            for x in [left, right] {
                let across = |y: f64| Point::new(x, y);
                marks.push([top - away - length, top - away].map(across));
                marks.push([bottom + away, bottom + away + length].map(across));
            }
            for y in strips.iter().map(|strip| strip.at[1]).chain([bottom]) {
                let down = |x: f64| Point::new(x, y);
                marks.push([left - away - length, left - away].map(down));
                marks.push([right + away, right + away + length].map(down));
            }
        }
        Shape::lines(marks, line(BLACK, 0.25)).into()
    }

    /// What to do with the page, in the free room under the strips.
    fn notes(&self) -> impl Iterator<Item = Item<'a>> {
        let ends = self.strips.iter().map(|strip| strip.at[1] + strip.size[1]);
        let bottom = ends.fold(self.top + RULER_ROOM, f64::max) + self.bleed;
        let title =
            format!("{}, page {}, {}.", self.record.name, self.page.number, self.page.paper);
        let lines = [
            title.as_str(),
            "Cut in the order of the numbers in rings; guide.pdf tells the fence setting of each cut.",
            "The numbers left of the strips give the story's order.",
        ];
        let first = bottom + 0.34;
        let at = [first, first + 0.14, first + 0.28].map(|y| [self.margin + 0.45, y]);
        let lines = lines.map(str::to_owned).into_iter().zip(at);
        let within = self.page.size[1] - self.margin;
        let lines = lines.filter(move |(_, [_, y])| *y < within);
        lines.map(|(line, at)| words(PLAIN, SMALL, at, &line).into())
    }
}
