//! What pages that are printed and then cut have in common: inks, crop marks, rulers, fonts, words.

use std::sync::Arc;

use kurbo::Point;

use crate::draw::display_list::{Item, Shape, Stroke, Text};
use crate::draw::pdf::Document;
use crate::lettering::fonts::{Font, FontBook};

/// Black for marks.
pub(super) const BLACK: &str = "#000000";
/// No ink.
pub(super) const WHITE: &str = "#ffffff";
/// A grey that prints well.
pub(super) const GREY: &str = "#4d4d4d";
/// The colour of trim lines: light, so that a cut that is off by a hair shows no dark edge.
pub(super) const TRIM: &str = "#999999";
/// Length of a crop mark and its distance from the trim, in inches (common practice, no source).
pub(super) const CROP: [f64; 2] = [0.12, 0.05];
/// A point, in which widths of lines and type sizes of pages are told, in inches.
pub(super) const POINT: f64 = 1.0 / 72.0;
/// Points of the smallest print on a page: readable at arm's length.
pub(super) const SMALL: f64 = 7.5;
/// Whether words are bold.
pub(super) const PLAIN: bool = false;
pub(super) const BOLD: bool = true;

/// A document whose fonts are that of labels and the built-in bold.
pub(super) fn lettered(title: &str, label_font: &Arc<Font>) -> Result<Document, String> {
    let bold = FontBook::default().find("text bold").map_err(|error| error.message)?;
    Ok(Document::new(title, &[Arc::clone(label_font), bold], [0, 1]))
}

/// A document whose fonts are those of the story, and that of labels for all other words.
pub(super) fn typeset(title: &str, fonts: &[Arc<Font>], label_font: &Arc<Font>) -> Document {
    let all = [fonts, &[Arc::clone(label_font)]].concat();
    Document::new(title, &all, [fonts.len(); 2])
}

/// A solid line, its width in points.
pub(super) const fn line(ink: &str, points: f64) -> Stroke<'_> {
    Stroke::new(ink, points * POINT)
}

/// Black words that begin at a place on their baseline; the type size is in points.
pub(super) fn words<'a>(bold: bool, size: f64, at: [f64; 2], words: &str) -> Text<'a> {
    Text { bold, ..Text::new(words, (at[0], at[1]), size * POINT, BLACK) }
}

/// A ruler that runs across or down: `count` steps from `start`, with a line along them. Every other tick
/// has the second length; a negative length runs up or left.
pub(super) fn ruler<'a>(
    start: [f64; 2],
    across: bool,
    (step, count): (f64, u32),
    lengths: [f64; 2],
    stroke: Stroke<'a>,
) -> Item<'a> {
    let place = |along: f64, off: f64| match across {
        true => Point::new(start[0] + along, start[1] + off),
        false => Point::new(start[0] + off, start[1] + along),
    };
    let ticks = (0..=count).map(|tick| {
        let along = step * f64::from(tick);
        let length = if tick % 2 == 0 { lengths[0] } else { lengths[1] };
        [place(along, 0.0), place(along, length)]
    });
    let whole = [place(0.0, 0.0), place(step * f64::from(count), 0.0)];
    Shape::lines(std::iter::once(whole).chain(ticks), stroke).into()
}
