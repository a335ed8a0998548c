//! `print/stamps.pdf`: strips of ticks at full size, to lay beside a row while stamping.
//!
//! For each motif a bracket as wide as the stamp, its middle and its number. A row that is longer than the
//! paper goes on in the next strip; a letter marks where the two meet.

use std::sync::Arc;

use kurbo::{Point, Rect};

use crate::lettering::fonts::Font;
use crate::record::{Record, StampRow};

use super::drawing::letters;
use super::guide::shown;
use super::printed_page::{BLACK, BOLD, PLAIN, TRIM, lettered, line, words};
use crate::draw::display_list::{Group, Item, Shape};
use crate::draw::{Anchor, Layer};

/// Points of numbers and of what a strip is called.
const SMALL: f64 = 8.5;
/// Height of a strip, and of a strip with its name, in inches.
const STRIP: f64 = 0.6;
const STEP: f64 = 1.1;
/// Where the first strip begins, for the line above.
const HEAD: f64 = 0.7;
/// Heights of ticks in inches: a motif's edges, its middle.
const EDGE: f64 = 0.26;
const MIDDLE: f64 = 0.14;

/// A part of a row that goes on one strip: from where to where.
struct StampPart<'a> {
    row: &'a StampRow,
    /// Which part of the row, from 0.
    number: u32,
    from: f64,
    to: f64,
}

/// Draws the rows of a record, the paper lying.
pub fn stamps_pdf(record: &Record, label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    // The paper lies: what is down the printer's way is across here.
    let [across, down] = record.printed_scale();
    let title = format!("{}: stamp guide", record.name);
    let mut document = lettered(&title, label_font)?.corrected([down, across]);
    let paper = record.printer_paper();
    let paper = [paper[0].max(paper[1]), paper[0].min(paper[1])];
    let margin = record.rules.printer_margin;
    let room = [paper[0] - 2.0 * margin, paper[1] - 2.0 * margin - HEAD];
    let parts: Vec<StampPart<'_>> =
        record.stamps.iter().flat_map(|row| parts(row, room[0].max(1.0))).collect();
    let on_a_page = (1..100_usize).take_while(|&count| count as f64 * STEP <= room[1]).last();
    for (number, page) in parts.chunks(on_a_page.unwrap_or(1)).enumerate() {
        let told = "Print at 100 %, no scaling. Cut a strip out, lay it along the row, and set the stamp \
                    between the ticks. Parts of a row meet at the same letter.";
        let mut items = vec![words(PLAIN, SMALL + 1.0, [margin, margin + 0.25], told).into()];
        for (place, part) in page.iter().enumerate() {
            items.extend(strip(record, part, [margin, margin + HEAD + STEP * place as f64]));
        }
        document.page(paper, &format!("Stamp guide {}", number + 1), &items);
    }
    document.finish()
}

/// A row cut into parts no longer than the paper, between motifs where that is possible.
fn parts(row: &StampRow, longest: f64) -> Vec<StampPart<'_>> {
    let mut parts = Vec::new();
    let mut from = 0.0;
    while from < row.length - 1e-9 && parts.len() < 1000 {
        let most = (from + longest).min(row.length);
        let split = row.starts.iter().find(|start| **start < most && **start + row.stamp > most);
        let to = match split {
            Some(start) if most < row.length && *start > from + 1e-9 => *start,
            _ => most,
        };
        let number = u32::try_from(parts.len()).unwrap_or(u32::MAX);
        parts.push(StampPart { row, number, from, to });
        from = to;
    }
    parts
}

/// One strip with its ticks.
fn strip<'a>(record: &Record, part: &StampPart<'_>, [left, top]: [f64; 2]) -> [Item<'a>; 3] {
    let StampPart { row, number, from, to } = part;
    let units = record.shown_units();
    let (count, stamp) = (row.starts.len(), shown(row.stamp, units));
    let about = format!("{}: {count} motifs of {stamp} on {}", row.along, shown(row.length, units));
    let trim = Shape::rectangle(Rect::new(left, top, left + to - from, top + STRIP));
    let (mut ticks, mut marks) = (Vec::new(), Vec::new());
    let mut tick = |at: f64, length: f64| {
        let x = left + at - from;
        let on_strip = (*from..=*to).contains(&at);
        ticks.extend(on_strip.then_some([Point::new(x, top), Point::new(x, top + length)]));
        on_strip.then_some(x)
    };
    for (number, start) in (1_u32..).zip(&row.starts) {
        tick(*start, EDGE);
        tick(start + row.stamp, EDGE);
        if let Some(x) = tick(start + row.stamp / 2.0, MIDDLE) {
            let number = words(PLAIN, SMALL, [x, top + 0.42], &number.to_string());
            marks.push(number.anchored(Anchor::Middle).into());
        }
    }
    marks.push(Shape::lines(ticks, line(BLACK, 0.7)).into());
    // Where the row goes on.
    let seams =
        [(*from, *number > 0, number.wrapping_sub(1)), (*to, *to < row.length - 1e-9, *number)];
    for (at, _, seam) in seams.into_iter().filter(|(_, goes_on, _)| *goes_on) {
        let x = left + at - from;
        marks.push(Shape::line((x, top), (x, top + STRIP), line(BLACK, 1.4)).into());
        let (anchor, shift) = if at > *from { (Anchor::End, -0.06) } else { (Anchor::Start, 0.06) };
        let letters = words(BOLD, SMALL, [x + shift, top + STRIP - 0.05], &letters(seam));
        marks.push(letters.anchored(anchor).into());
    }
    [
        words(BOLD, SMALL, [left, top - 0.08], &about).into(),
        Group::on(Layer::Cut, vec![trim.stroked(line(TRIM, 0.4)).into()]).into(),
        Group::on(Layer::Marks, marks).into(),
    ]
}
