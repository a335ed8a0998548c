//! Headings and list items that flow over as many pages as they need.

use super::super::pdf::{Anchor, Canvas, Document, Ink};

/// The guide's paper, in inches.
pub(super) const PAGE: [f64; 2] = [8.5, 11.0];
/// Rim of the guide's pages, in inches.
pub(super) const RIM: f64 = 0.75;
/// Type sizes in points: what is read at arm's length.
pub(super) const TEXT: f64 = 11.0;
pub(super) const HEADING: f64 = 14.0;
pub(super) const TITLE: f64 = 20.0;
/// Distance between baselines of text, in inches.
pub(super) const LINE: f64 = 0.21;
/// Room below a heading that it keeps on its page, in inches: an item of two lines and its gap.
const KEPT_BELOW: f64 = 2.0 * LINE + 0.06;
/// Place of fonts in the guide's document.
pub(super) const PLAIN: usize = 0;
pub(super) const BOLD: usize = 1;
/// Black and a grey that prints well.
pub(super) const BLACK: Ink = [0.0, 0.0, 0.0];
pub(super) const GREY: Ink = [0.45, 0.45, 0.45];

/// A line of a list.
enum Entry {
    Heading(String),
    Item(String),
}

/// A list under construction.
pub(super) struct Flow {
    title: String,
    about: String,
    entries: Vec<Entry>,
}

impl Flow {
    pub fn new(title: &str, about: &str) -> Self {
        Self { title: title.to_owned(), about: about.to_owned(), entries: Vec::new() }
    }

    pub fn heading(&mut self, text: &str) {
        self.entries.push(Entry::Heading(text.to_owned()));
    }

    pub fn item(&mut self, text: &str) {
        self.entries.push(Entry::Item(text.to_owned()));
    }

    /// Writes the list on fresh pages.
    pub fn write(self, document: &mut Document) {
        self.write_below(document, None::<(f64, fn(&mut Canvas<'_>))>);
    }

    /// Writes the list on fresh pages; on the first one, `drawing` draws down to a height and the
    /// list goes on below.
    pub fn write_below(
        self,
        document: &mut Document,
        drawing: Option<(f64, impl FnOnce(&mut Canvas<'_>))>,
    ) {
        let mut entries = self.entries.into_iter().peekable();
        let mut drawing = drawing;
        let mut number = 0;
        while number == 0 || entries.peek().is_some() {
            number += 1;
            let name = if number == 1 {
                format!("{}: {}", self.title, self.about)
            } else {
                format!("{}: {} ({number})", self.title, self.about)
            };
            document.page(PAGE, &name, |canvas| {
                let mut y = header(canvas, &self.title, &self.about, number);
                if let Some((height, draw)) = drawing.take() {
                    draw(canvas);
                    y = height;
                }
                let mut first = true;
                while let Some(entry) = entries.peek() {
                    let lines = wrapped(canvas, entry);
                    let needed = height_of(entry, lines.len());
                    // A heading does not stand alone at the foot of a page.
                    let keep = if matches!(entry, Entry::Heading(_)) { KEPT_BELOW } else { 0.0 };
                    if y + needed + keep > PAGE[1] - RIM && !first {
                        break;
                    }
                    first = false;
                    y = draw_entry(canvas, entry, &lines, y);
                    entries.next();
                }
            });
        }
    }
}

/// Title and what the page is about; returns where the text begins.
fn header(canvas: &mut Canvas<'_>, title: &str, about: &str, number: usize) -> f64 {
    canvas.fill(BLACK);
    let shorter = fitted(canvas, BOLD, TITLE, title, 4.6);
    canvas.text(BOLD, TITLE, [RIM, RIM + 0.2], Anchor::Start, &shorter);
    canvas.fill(GREY);
    let about = if number == 1 { about.to_owned() } else { format!("{about}, continued") };
    canvas.text(PLAIN, TEXT, [PAGE[0] - RIM, RIM + 0.2], Anchor::End, &about);
    canvas.pen(BLACK, 0.75);
    canvas.line([RIM, RIM + 0.34], [PAGE[0] - RIM, RIM + 0.34]);
    RIM + 0.55
}

/// A text cut short with dots where it is wider than `room` inches.
pub(super) fn fitted(canvas: &Canvas<'_>, font: usize, size: f64, text: &str, room: f64) -> String {
    if canvas.width(font, size, text) <= room {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    (0..letters.len())
        .rev()
        .map(|count| letters[..count].iter().collect::<String>() + "…")
        .find(|shorter| canvas.width(font, size, shorter) <= room)
        .unwrap_or_default()
}

/// The lines of an entry.
fn wrapped(canvas: &Canvas<'_>, entry: &Entry) -> Vec<String> {
    let (font, size, text, room) = match entry {
        Entry::Heading(text) => (BOLD, HEADING, text, PAGE[0] - 2.0 * RIM),
        Entry::Item(text) => (PLAIN, TEXT, text, PAGE[0] - 2.0 * RIM - 0.2),
    };
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last().cloned().unwrap_or_default();
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if canvas.width(font, size, &longer) <= room || line.is_empty() {
            if let Some(last) = lines.last_mut() {
                *last = fitted(canvas, font, size, &longer, room);
            }
        } else {
            lines.push(fitted(canvas, font, size, word, room));
        }
    }
    lines
}

fn height_of(entry: &Entry, lines: usize) -> f64 {
    let lines = LINE * f64::from(u32::try_from(lines).unwrap_or(u32::MAX));
    match entry {
        Entry::Heading(_) => lines + 0.25,
        Entry::Item(_) => lines + 0.06,
    }
}

fn draw_entry(canvas: &mut Canvas<'_>, entry: &Entry, lines: &[String], mut y: f64) -> f64 {
    canvas.fill(BLACK);
    match entry {
        Entry::Heading(_) => {
            y += 0.18;
            for line in lines {
                y += LINE;
                canvas.text(BOLD, HEADING, [RIM, y], Anchor::Start, line);
            }
            y + 0.07
        }
        Entry::Item(_) => {
            canvas.area([RIM + 0.02, y + LINE - 0.085], [0.05, 0.05]);
            for line in lines {
                y += LINE;
                canvas.text(PLAIN, TEXT, [RIM + 0.2, y], Anchor::Start, line);
            }
            y + 0.06
        }
    }
}
