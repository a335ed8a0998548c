//! Headings and list items that flow over as many pages as they need.

use super::super::pdf::{Anchor, Canvas, Document, Ink};
use super::super::printed_page::{BLACK, BOLD, PLAIN};

/// The guide's paper, in inches.
pub(in crate::emit) const PAGE: [f64; 2] = [8.5, 11.0];
/// Rim of the guide's pages, in inches.
pub(in crate::emit) const RIM: f64 = 0.6;
/// Type sizes in points. A small letter of 12.5 pt is 0.09 in high; seen from 28 in, an arm's length,
/// that is 11 minutes of arc, twice what a sharp eye needs (5 minutes, the definition of normal sight).
pub(in crate::emit) const TEXT: f64 = 12.5;
pub(in crate::emit) const HEADING: f64 = 15.0;
pub(in crate::emit) const TITLE: f64 = 22.0;
/// What is read while the hands are busy: fence settings.
pub(in crate::emit) const SETTING: f64 = 18.0;
/// Distance between baselines of text, in inches.
pub(in crate::emit) const LINE: f64 = 0.225;
/// Room of a cut's number and fence setting, in inches, and how far its lines stand in.
const SETTING_LINE: f64 = 0.31;
const CUT_INDENT: f64 = 0.45;
/// Room below a heading that it keeps on its page, in inches: an item of two lines and its gap.
const KEPT_BELOW: f64 = 2.0 * LINE + 0.06;
/// A grey that prints well.
pub(in crate::emit) const GREY: Ink = [0.3, 0.3, 0.3];

/// A line of a list.
enum Entry {
    Heading(String),
    Item(String),
    Cut(CutTold),
}

/// A trimmer cut in words.
pub(in crate::emit) struct CutTold {
    /// Its number on the sheet.
    pub number: u32,
    /// The fence setting.
    pub fence: String,
    /// Which way it runs, and whether the fence stays where it is.
    pub way: String,
    /// What lies at the fence and what falls off, a line each.
    pub parts: [String; 2],
}

/// A list under construction.
pub(in crate::emit) struct Flow {
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

    pub fn cut(&mut self, cut: CutTold) {
        self.entries.push(Entry::Cut(cut));
    }

    /// About how high the list is, in inches.
    pub fn height(&self) -> f64 {
        let one = |entry: &Entry| match entry {
            Entry::Heading(_) => height_of(entry, 1),
            // Most items have one line, or a second one that is short.
            Entry::Item(text) => height_of(entry, if text.chars().count() > 88 { 2 } else { 1 }),
            Entry::Cut(_) => height_of(entry, 2),
        };
        self.entries.iter().map(one).sum()
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
            // Bookmarks are single lines: plain spaces keep them readable to every program.
            document.page(PAGE, &name.replace('\u{a0}', " "), |canvas| {
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

/// Title and what the page is about, side by side; returns where the text begins.
fn header(canvas: &mut Canvas<'_>, title: &str, about: &str, number: usize) -> f64 {
    let room = PAGE[0] - 2.0 * RIM;
    let about = if number == 1 { about.to_owned() } else { format!("{about}, continued") };
    let about = fitted(canvas, PLAIN, TEXT, &about, room * 0.62);
    let left = room - canvas.width(PLAIN, TEXT, &about) - 0.25;
    let title = fitted(canvas, BOLD, TITLE, title, left);
    canvas.fill(BLACK);
    canvas.text(BOLD, TITLE, [RIM, RIM + 0.2], Anchor::Start, &title);
    canvas.fill(GREY);
    canvas.text(PLAIN, TEXT, [PAGE[0] - RIM, RIM + 0.2], Anchor::End, &about);
    canvas.pen(BLACK, 0.75);
    canvas.line([RIM, RIM + 0.34], [PAGE[0] - RIM, RIM + 0.34]);
    RIM + 0.55
}

/// A text cut short with dots where it is wider than `room` inches.
pub(in crate::emit) fn fitted(
    canvas: &Canvas<'_>,
    font: usize,
    size: f64,
    text: &str,
    room: f64,
) -> String {
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

/// The lines of an entry. A measure that is held together by spaces that don't break stays whole.
fn wrapped(canvas: &Canvas<'_>, entry: &Entry) -> Vec<String> {
    let room = PAGE[0] - 2.0 * RIM;
    match entry {
        Entry::Heading(text) => lines_of(canvas, BOLD, HEADING, text, room),
        Entry::Item(text) => lines_of(canvas, PLAIN, TEXT, text, room - 0.2),
        Entry::Cut(cut) => {
            let lines = cut.parts.iter();
            lines.flat_map(|part| lines_of(canvas, PLAIN, TEXT, part, room - CUT_INDENT)).collect()
        }
    }
}

fn lines_of(canvas: &Canvas<'_>, font: usize, size: f64, text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
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
        Entry::Cut(_) => SETTING_LINE + lines + 0.1,
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
            canvas.area([RIM + 0.02, y + LINE - 0.09], [0.055, 0.055]);
            for line in lines {
                y += LINE;
                canvas.text(PLAIN, TEXT, [RIM + 0.2, y], Anchor::Start, line);
            }
            y + 0.06
        }
        Entry::Cut(cut) => {
            y += SETTING_LINE;
            disc(canvas, cut.number, [RIM + 0.17, y - 0.085], 0.145, 11.0);
            let left = RIM + CUT_INDENT;
            canvas.text(BOLD, SETTING, [left, y], Anchor::Start, &cut.fence);
            let after = left + canvas.width(BOLD, SETTING, &cut.fence) + 0.12;
            canvas.text(PLAIN, TEXT, [after, y], Anchor::Start, &cut.way);
            for line in lines {
                y += LINE;
                canvas.text(PLAIN, TEXT, [left, y], Anchor::Start, line);
            }
            y + 0.1
        }
    }
}

/// A cut's number in a white disc; `size` is in points.
pub(in crate::emit) fn disc(
    canvas: &mut Canvas<'_>,
    number: u32,
    at: [f64; 2],
    radius: f64,
    size: f64,
) {
    canvas.fill([1.0, 1.0, 1.0]);
    canvas.pen(BLACK, 0.9);
    let disc = kurbo::Shape::to_path(&kurbo::Circle::new((at[0], at[1]), radius), 1e-3);
    canvas.path(&disc, true, true);
    canvas.fill(BLACK);
    let down = size * 0.36 / 72.0;
    canvas.text(BOLD, size, [at[0], at[1] + down], Anchor::Middle, &number.to_string());
}
