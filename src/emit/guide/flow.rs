//! List items that flow over as many pages as they need, and what lists and guides look like.

use kurbo::Rect;

use super::super::printed_page::{BLACK, BOLD, GREY, PLAIN, line, words};
use super::lines::broken;
use crate::draw::Anchor;
use crate::draw::display_list::{Item, Paint, Shape, Text};
use crate::draw::pdf::Document;

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
            let mut page = header(&self.title, &self.about, number);
            let mut y = RIM + 0.55;
            let mut first = true;
            while let Some(item) = items.peek() {
                let width = |text: &str| document.width(PLAIN, TEXT, text);
                let lines = broken(&width, item, PAGE[0] - 2.0 * RIM - 0.2);
                let height = LINE * f64::from(u32::try_from(lines.len()).unwrap_or(u32::MAX));
                if y + height + BELOW > PAGE[1] - RIM && !first {
                    break;
                }
                first = false;
                page.push(dot([RIM + 0.02, y + LINE - 0.09]));
                for line in lines {
                    y += LINE;
                    page.push(words(PLAIN, TEXT, [RIM + 0.2, y], &line).into());
                }
                y += BELOW;
                items.next();
            }
            // Bookmarks are single lines: plain spaces keep them readable to every program.
            document.page(PAGE, &name.replace('\u{a0}', " "), &page);
        }
    }
}

/// Title and what the page is about, side by side.
fn header<'a>(title: &str, about: &str, number: usize) -> Vec<Item<'a>> {
    let about = if number == 1 { about.to_owned() } else { format!("{about}, continued") };
    let about = words(PLAIN, TEXT, [PAGE[0] - RIM, RIM + 0.2], &about);
    let rule = [RIM, PAGE[0] - RIM].map(|x| (x, RIM + 0.34));
    vec![
        words(BOLD, TITLE, [RIM, RIM + 0.2], title).into(),
        Text { anchor: Anchor::End, ink: GREY, ..about }.into(),
        Shape::line(rule[0], rule[1], line(BLACK, 0.75)).into(),
    ]
}

/// The dot of a list, its top left at a place.
pub(super) fn dot<'a>([x, y]: [f64; 2]) -> Item<'a> {
    let dot = Shape::rectangle(Rect::new(x, y, x + 0.055, y + 0.055));
    dot.filled(Paint::Ink(BLACK, 1.0)).into()
}
