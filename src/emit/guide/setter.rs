//! Entries to rows: lines of a column with what is drawn on them.

use kurbo::{Affine, Rect};

use super::super::printed_page::{BLACK, BOLD, GREY, PLAIN, WHITE, line, words};
use super::entries::{Drawing, Entry, Step};
use super::flow::{HEADING, TEXT, TITLE, dot};
use super::lines::broken;
use crate::draw::Anchor;
use crate::draw::display_list::{Group, Item, Outline, Paint, Shape, Text};
use crate::draw::pdf::Document;

/// What is read while the hands are busy: fence settings, in points.
const SETTING: f64 = 18.0;
/// Type of notes, and of what is read before the work begins, in points.
const NOTES: f64 = 11.0;
const SMALL: f64 = 10.5;
/// Distance between baselines, as a share of the type size.
const LEADING: f64 = 1.18;
/// How far a step's lines stand in, and those of a list, in inches.
const STEP_INDENT: f64 = 0.42;
const ITEM_INDENT: f64 = 0.16;
/// Room between a list and the drawing beside it, in inches.
const GUTTER: f64 = 0.12;

/// A line of a column.
#[derive(Clone, Default)]
pub(super) struct Row<'a> {
    /// Its height in inches.
    pub height: f64,
    /// What is drawn, from the row's left end and top.
    pub items: Vec<Item<'a>>,
    /// Whether the next row stays in the same column.
    pub keep: bool,
    /// The name that a bookmark gives to this place.
    pub named: Option<String>,
}

/// Sets entries in a column of a width.
pub(super) struct Setter<'d> {
    /// The document, which knows the fonts.
    pub document: &'d Document,
    /// The column's width in inches.
    pub width: f64,
}

/// The look of a text.
#[derive(Clone, Copy)]
struct Look {
    bold: bool,
    size: f64,
    ink: &'static str,
    indent: f64,
}

impl Setter<'_> {
    /// An entry's rows.
    pub fn set<'a>(&self, entry: Entry<'a>) -> Vec<Row<'a>> {
        match entry {
            Entry::Cover { title, about } => self.cover(&title, &about),
            Entry::Title { title, about } => self.title(&title, &about),
            Entry::Again(text) => {
                let look = Look { bold: BOLD, size: NOTES, ink: BLACK, indent: 0.0 };
                kept(self.text(look, &text, 0.06))
            }
            Entry::Heading(text) => {
                let look = Look { bold: BOLD, size: HEADING, ink: BLACK, indent: 0.0 };
                let mut rows = vec![blank(0.08)];
                rows.extend(self.text(look, &text, 0.04));
                kept(rows)
            }
            Entry::Item(text) => self.item(NOTES, &text),
            Entry::Small(text) => self.item(SMALL, &text),
            Entry::Step(step) => self.step(&step),
            Entry::Drawing(drawing) => self.drawing(drawing),
            Entry::Beside(drawing, items) => self.beside(drawing, &items),
        }
    }

    fn lines(&self, look: Look, text: &str) -> Vec<String> {
        let width = |text: &str| self.document.width(look.bold, look.size, text);
        broken(&width, text, self.width - look.indent)
    }

    /// A text's rows: its first two lines stay together, and so do its last two.
    fn text<'a>(&self, look: Look, text: &str, below: f64) -> Vec<Row<'a>> {
        let lines = self.lines(look, text);
        let count = lines.len();
        let step = look.size * LEADING / 72.0;
        let rows = lines.into_iter().enumerate().map(|(place, text)| {
            let at = [look.indent, step * 0.8];
            let Look { bold, size, ink, .. } = look;
            let height = if place + 1 == count { step + below } else { step };
            Row {
                height,
                items: vec![Text { ink, ..words(bold, size, at, &text) }.into()],
                keep: place + 1 < count && (place == 0 || place + 2 == count),
                named: None,
            }
        });
        rows.collect()
    }

    fn cover<'a>(&self, title: &str, about: &str) -> Vec<Row<'a>> {
        let large = Look { bold: BOLD, size: TITLE, ink: BLACK, indent: 0.0 };
        let mut rows = self.text(large, title, 0.02);
        let plain = Look { bold: PLAIN, size: TEXT, ink: GREY, indent: 0.0 };
        rows.extend(self.text(plain, about, 0.1));
        kept(rows)
    }

    fn title<'a>(&self, title: &str, about: &str) -> Vec<Row<'a>> {
        let rule = Shape::line((0.0, 0.0), (self.width, 0.0), line(BLACK, 1.4)).into();
        let mut rows = vec![Row { height: 0.07, items: vec![rule], ..Row::default() }];
        let bold = Look { bold: BOLD, size: HEADING, ink: BLACK, indent: 0.0 };
        let plain = Look { bold: PLAIN, size: NOTES, ink: GREY, indent: 0.0 };
        let room = self.width - self.document.width(BOLD, HEADING, title) - 0.12;
        let beside = self.document.width(PLAIN, NOTES, about);
        if beside <= room {
            // Both fit on one line, the second at its end.
            let mut line = self.text(bold, title, 0.06);
            let at = [self.width - beside, HEADING * LEADING / 72.0 * 0.8];
            if let Some(row) = line.first_mut() {
                row.items.push(Text { ink: GREY, ..words(PLAIN, NOTES, at, about) }.into());
            }
            rows.extend(line);
        } else {
            rows.extend(self.text(bold, title, 0.0));
            rows.extend(self.text(plain, about, 0.06));
        }
        kept(rows)
    }

    fn item<'a>(&self, size: f64, text: &str) -> Vec<Row<'a>> {
        let look = Look { bold: PLAIN, size, ink: BLACK, indent: ITEM_INDENT };
        let mut rows = self.text(look, text, 0.05);
        if let Some(row) = rows.first_mut() {
            row.items.push(dot([0.0, size * LEADING / 72.0 * 0.8 - size * 0.0045]));
        }
        rows
    }

    fn step<'a>(&self, step: &Step) -> Vec<Row<'a>> {
        let [first, last] = step.cuts;
        let text = if first == last { first.to_string() } else { format!("{first}–{last}") };
        let width = (self.document.width(BOLD, 11.0, &text) + 0.14).max(0.28);
        let left = (width + 0.1).max(STEP_INDENT);
        let height = SETTING * 1.25 / 72.0;
        let base = height * 0.82;
        let told = |bold: bool, text: &str, size: f64| self.document.width(bold, size, text);
        let after = left + told(BOLD, &step.fence, SETTING) + 0.12;
        let mut items = number([0.0, base - 0.085], width, &text);
        items.push(words(BOLD, SETTING, [left, base], &step.fence).into());
        let mut head = Row { height, items, keep: true, named: None };
        let look = Look { bold: PLAIN, size: TEXT, ink: BLACK, indent: STEP_INDENT };
        let mut rows = vec![blank(0.03)];
        if after + told(PLAIN, &step.way, TEXT) <= self.width {
            head.items.push(words(PLAIN, TEXT, [after, base], &step.way).into());
            rows.push(head);
        } else {
            rows.push(head);
            rows.extend(kept(self.text(look, &step.way, 0.0)));
        }
        for part in &step.parts {
            rows.extend(self.text(look, part, 0.0));
        }
        // A short step stays whole.
        if rows.len() <= 9 {
            rows = kept(rows);
        }
        if let Some(last) = rows.last_mut() {
            last.height += 0.08;
            last.keep = false;
        }
        rows
    }

    /// A drawing at the right, with the lines of a list beside it and, at full width, below.
    fn beside<'a>(&self, drawing: Drawing<'a>, items: &[String]) -> Vec<Row<'a>> {
        let [width, height] = drawing.size;
        let narrow = Setter { document: self.document, width: self.width - width - GUTTER };
        let (mut rows, mut used): (Vec<Row<'a>>, f64) = (Vec::new(), 0.0);
        for item in items {
            let beside = used < height;
            let set = if beside { narrow.item(NOTES, item) } else { self.item(NOTES, item) };
            used += set.iter().map(|row| row.height).sum::<f64>();
            rows.extend(if beside { kept(set) } else { set });
        }
        if used < height {
            rows.push(Row { height: height - used, ..Row::default() });
        }
        let shift = Affine::translate((self.width - width, 0.0));
        if let Some(first) = rows.first_mut() {
            first.items.push(Group::laid(shift, drawing.items).into());
        }
        rows
    }

    fn drawing<'a>(&self, drawing: Drawing<'a>) -> Vec<Row<'a>> {
        let [width, height] = drawing.size;
        let shift = Affine::translate(((self.width - width) / 2.0, 0.0));
        let items = vec![Group::laid(shift, drawing.items).into()];
        vec![Row { height: height + 0.08, items, keep: true, named: None }]
    }
}

/// A step's number, or those of its first and last cut, in a ring round them, the middle of whose left side
/// is at a place.
fn number<'a>([x, y]: [f64; 2], width: f64, text: &str) -> Vec<Item<'a>> {
    const HALF: f64 = 0.14;
    const SIZE: f64 = 11.0;
    let ring = Outline::Rectangle(Rect::new(x, y - HALF, x + width, y + HALF), HALF);
    let ring = Shape::new(ring).filled(Paint::Ink(WHITE, 1.0)).stroked(line(BLACK, 0.9));
    let number = words(BOLD, SIZE, [x + width / 2.0, y + SIZE * 0.36 / 72.0], text);
    vec![ring.into(), number.anchored(Anchor::Middle).into()]
}

fn blank<'a>(height: f64) -> Row<'a> {
    Row { height, keep: true, ..Row::default() }
}

/// Rows that stay with each other and with what comes next.
fn kept(rows: Vec<Row<'_>>) -> Vec<Row<'_>> {
    rows.into_iter().map(|row| Row { keep: true, ..row }).collect()
}
