//! List items that flow over as many pages as they need, and what lists and guides look like.

use super::super::printed_page::{BLACK, BOLD, PLAIN};
use super::lines::broken;
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Document, Ink};

/// The guide's paper, in inches.
pub(in crate::emit) const PAGE: [f64; 2] = [8.5, 11.0];
/// Rim of the guide's pages, in inches.
pub(in crate::emit) const RIM: f64 = 0.6;
/// Type sizes in points. A small letter of 12.5 pt is 0.09 in high; seen from 28 in, an arm's length,
/// that is 11 minutes of arc, twice what a sharp eye needs (5 minutes, the definition of normal sight).
pub(in crate::emit) const TEXT: f64 = 12.5;
pub(in crate::emit) const HEADING: f64 = 15.0;
pub(in crate::emit) const TITLE: f64 = 22.0;
/// Distance between baselines of text, in inches.
pub(in crate::emit) const LINE: f64 = 0.225;
/// Room below an item, in inches.
const BELOW: f64 = 0.06;
/// A grey that prints well.
pub(in crate::emit) const GREY: Ink = [0.3, 0.3, 0.3];

/// A list under construction.
pub(in crate::emit) struct Flow {
    title: String,
    about: String,
    items: Vec<String>,
}

impl Flow {
    pub fn new(title: &str, about: &str) -> Self {
        Self { title: title.to_owned(), about: about.to_owned(), items: Vec::new() }
    }

    pub fn item(&mut self, text: &str) {
        self.items.push(text.to_owned());
    }

    /// Writes the list on fresh pages.
    pub fn write(self, document: &mut Document) {
        let mut items = self.items.iter().peekable();
        let mut number = 0;
        while number == 0 || items.peek().is_some() {
            number += 1;
            let name = if number == 1 {
                format!("{}: {}", self.title, self.about)
            } else {
                format!("{}: {} ({number})", self.title, self.about)
            };
            // Bookmarks are single lines: plain spaces keep them readable to every program.
            document.page(PAGE, &name.replace('\u{a0}', " "), |canvas| {
                let mut y = header(canvas, &self.title, &self.about, number);
                let mut first = true;
                while let Some(item) = items.peek() {
                    let lines = lines_of(canvas, item);
                    let height = LINE * f64::from(u32::try_from(lines.len()).unwrap_or(u32::MAX));
                    if y + height + BELOW > PAGE[1] - RIM && !first {
                        break;
                    }
                    first = false;
                    y = draw_item(canvas, &lines, y);
                    items.next();
                }
            });
        }
    }
}

/// Title and what the page is about, side by side; returns where the text begins.
fn header(canvas: &mut Canvas<'_>, title: &str, about: &str, number: usize) -> f64 {
    let about = if number == 1 { about.to_owned() } else { format!("{about}, continued") };
    canvas.fill(BLACK);
    canvas.text(BOLD, TITLE, [RIM, RIM + 0.2], Anchor::Start, title);
    canvas.fill(GREY);
    canvas.text(PLAIN, TEXT, [PAGE[0] - RIM, RIM + 0.2], Anchor::End, &about);
    canvas.pen(BLACK, 0.75);
    canvas.line([RIM, RIM + 0.34], [PAGE[0] - RIM, RIM + 0.34]);
    RIM + 0.55
}

fn lines_of(canvas: &Canvas<'_>, text: &str) -> Vec<String> {
    broken(&|text| canvas.width(PLAIN, TEXT, text), text, PAGE[0] - 2.0 * RIM - 0.2)
}

fn draw_item(canvas: &mut Canvas<'_>, lines: &[String], mut y: f64) -> f64 {
    canvas.fill(BLACK);
    canvas.area([RIM + 0.02, y + LINE - 0.09], [0.055, 0.055]);
    for line in lines {
        y += LINE;
        canvas.text(PLAIN, TEXT, [RIM + 0.2, y], Anchor::Start, line);
    }
    y + BELOW
}
