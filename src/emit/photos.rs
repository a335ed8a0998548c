//! `print/photos.pdf`: the photos at exact size on photo paper, ready to print and trim.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::{Affine, Rect};

use crate::lettering::fonts::Font;
use crate::model::length::Units;
use crate::picture::PictureFile;
use crate::record::{Photo, Placed, Record, Sheet};

use super::drawing::laying_rectangle;
use super::pictures::{Held, Pictures};
use super::printed_page::{BLACK, CROP, SMALL, TRIM, ticks};
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Document, Layer};

/// How near to a print a crop mark of another may come, in inches.
const CLEAR: f64 = 0.02;
/// Room of the check ruler and its line, in inches: width and height.
const RULER: [f64; 2] = [3.4, 0.5];

/// Draws the sheets of photo paper of a record. `pictures` are the files that it names.
pub fn photos_pdf(
    record: &Record,
    pictures: &[Arc<PictureFile>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let title = format!("{}: photos", record.name);
    let mut document =
        Document::new(&title, &[Arc::clone(label_font)]).corrected(record.printed_scale());
    let mut images = Pictures::new(pictures);
    let mut held: BTreeMap<&str, Held> = BTreeMap::new();
    for photo in &record.photos {
        if let Some(picture) = &photo.picture {
            held.insert(&photo.id, images.hold(&mut document, picture, photo.field().size)?);
        }
    }
    for sheet in &record.prints {
        document.page(
            sheet.size,
            &format!("Page {}", sheet.printed.unwrap_or_default()),
            |canvas| {
                draw_page(canvas, record, sheet, &held);
            },
        );
    }
    document.finish()
}

fn draw_page(canvas: &mut Canvas<'_>, record: &Record, sheet: &Sheet, held: &BTreeMap<&str, Held>) {
    for placed in &sheet.placed {
        let photo = record.photos.iter().find(|photo| photo.id == placed.piece);
        if let (Some(photo), Some(held)) = (photo, held.get(placed.piece.as_str())) {
            draw_print(canvas, photo, placed, held);
        }
    }
    let prints: Vec<Rect> = sheet.placed.iter().filter_map(|placed| trim(record, placed)).collect();
    canvas.layer(Layer::Cut, |canvas| {
        canvas.pen(TRIM, 0.25);
        for print in &prints {
            canvas.rectangle([print.x0, print.y0], [print.width(), print.height()]);
        }
    });
    canvas.layer(Layer::Marks, |canvas| {
        canvas.pen(BLACK, 0.25);
        for (number, print) in prints.iter().enumerate() {
            for [from, to] in crop_marks(print) {
                let reach = Rect::new(from[0], from[1], to[0], to[1]).abs().inflate(CLEAR, CLEAR);
                let free = |(other, rect): (usize, &Rect)| {
                    other == number
                        || reach.x1 <= rect.x0
                        || reach.x0 >= rect.x1
                        || reach.y1 <= rect.y0
                        || reach.y0 >= rect.y1
                };
                if prints.iter().enumerate().all(free) {
                    canvas.line(from, to);
                }
            }
        }
        ruler(canvas, record, sheet);
    });
}

/// Where a print lies on its sheet.
fn trim(record: &Record, placed: &Placed) -> Option<Rect> {
    let photo = record.photos.iter().find(|photo| photo.id == placed.piece)?;
    let lay = laying_rectangle(photo.size, placed.turn, placed.at);
    Some(lay.transform_rect_bbox(Rect::new(0.0, 0.0, photo.size[0], photo.size[1])))
}

fn draw_print(canvas: &mut Canvas<'_>, photo: &Photo, placed: &Placed, held: &Held) {
    let field = photo.field();
    let lay = laying_rectangle(photo.size, placed.turn, placed.at)
        * Affine::translate((field.at[0], field.at[1]));
    let shown = lay.transform_rect_bbox(Rect::new(0.0, 0.0, field.size[0], field.size[1]));
    let size = [shown.width(), shown.height()];
    canvas.image(held.number, lay * held.onto_field, [shown.x0, shown.y0], size);
}

/// The eight marks at the corners of a trim.
fn crop_marks(trim: &Rect) -> Vec<[[f64; 2]; 2]> {
    let [length, away] = CROP;
    let mut marks = Vec::new();
    for (x, outward) in [(trim.x0, -1.0), (trim.x1, 1.0)] {
        for (y, down) in [(trim.y0, -1.0), (trim.y1, 1.0)] {
            let [near, far] = [away, away + length];
            marks.push([[x, y + down * near], [x, y + down * far]]);
            marks.push([[x + outward * near, y], [x + outward * far, y]]);
        }
    }
    marks
}

/// A check ruler with its line of instructions, in the largest leftover that has room for it.
fn ruler(canvas: &mut Canvas<'_>, record: &Record, sheet: &Sheet) {
    let margin = record.photo_paper.map_or(0.0, |paper| paper.margin);
    let room = |at: [f64; 2], size: [f64; 2]| {
        let inside = |axis: usize| {
            let from = at[axis].max(margin);
            let to = (at[axis] + size[axis]).min(sheet.size[axis] - margin);
            (from, to - from)
        };
        let ((left, width), (top, height)) = (inside(0), inside(1));
        (width >= RULER[0] && height >= RULER[1] + 2.0 * CROP[0]).then_some([left, top])
    };
    let found = sheet.offcuts.iter().find_map(|offcut| room(offcut.at, offcut.size));
    let Some([left, top]) = found else { return };
    let (step, count, unit) = if record.shown_in == Units::Millimetres {
        (10.0 / 25.4, 8_u32, "80 mm")
    } else {
        (0.5, 6, "3 in")
    };
    let [left, line] = [left + 0.2, top + 2.0 * CROP[0] + 0.3];
    canvas.fill(BLACK);
    let text = format!("Print at 100 %, no scaling: this line must measure {unit}.");
    canvas.text(0, SMALL, [left, line - 0.08], Anchor::Start, &text);
    canvas.pen(BLACK, 0.5);
    canvas.line([left, line], [left + step * f64::from(count), line]);
    ticks(canvas, [left, line], true, (step, count), [0.1, 0.06]);
}
