//! `print/photos.pdf`: the photos at exact size on photo paper, ready to print and trim.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::{Affine, Point, Rect};

use crate::lettering::fonts::Font;
use crate::model::length::Units;
use crate::picture::PictureFile;
use crate::record::{Photo, Placed, Record, Sheet};

use super::drawing::laying_rectangle;
use super::pictures::{Held, Pictures};
use super::printed_page::{BLACK, CROP, PLAIN, SMALL, TRIM, line, ruler, words};
use crate::draw::Layer;
use crate::draw::display_list::{Group, Image, Item, Shape};
use crate::draw::pdf::Document;

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
        Document::new(&title, &[Arc::clone(label_font)], [0, 0]).corrected(record.printed_scale());
    let mut images = Pictures::new(pictures);
    let mut held: BTreeMap<&str, Held> = BTreeMap::new();
    for photo in &record.photos {
        if let Some(picture) = &photo.picture {
            held.insert(&photo.id, images.hold(&mut document, picture, photo.field().size)?);
        }
    }
    for sheet in &record.prints {
        let name = format!("Page {}", sheet.printed.unwrap_or_default());
        document.page(sheet.size, &name, &page(record, sheet, &held));
    }
    document.finish()
}

fn page<'a>(record: &Record, sheet: &Sheet, held: &BTreeMap<&str, Held>) -> Vec<Item<'a>> {
    let photos = sheet.placed.iter().filter_map(|placed| {
        let photo = record.photos.iter().find(|photo| photo.id == placed.piece)?;
        Some(print(photo, placed, held.get(placed.piece.as_str())?).into())
    });
    let prints: Vec<Rect> = sheet.placed.iter().filter_map(|placed| trim(record, placed)).collect();
    let trims = prints.iter().map(|print| Shape::rectangle(*print).stroked(line(TRIM, 0.25)));
    // No mark lies on another print.
    let marks = prints.iter().enumerate().flat_map(|(number, print)| {
        let others = prints.iter().enumerate().filter(move |(other, _)| *other != number);
        crop_marks(print).into_iter().filter(move |[from, to]| {
            let reach = Rect::from_points(*from, *to).inflate(CLEAR, CLEAR);
            others.clone().all(|(_, other)| !overlap(&reach, other))
        })
    });
    let marks = Shape::lines(marks, line(BLACK, 0.25)).into();
    let marks = std::iter::once(marks).chain(check_ruler(record, sheet)).collect();
    let above = [
        Group::on(Layer::Cut, trims.map(Item::from).collect()).into(),
        Group::on(Layer::Marks, marks).into(),
    ];
    photos.chain(above).collect()
}

/// Whether two rectangles have more than an edge in common.
fn overlap(one: &Rect, other: &Rect) -> bool {
    one.x1 > other.x0 && one.x0 < other.x1 && one.y1 > other.y0 && one.y0 < other.y1
}

/// Where a print lies on its sheet.
fn trim(record: &Record, placed: &Placed) -> Option<Rect> {
    let photo = record.photos.iter().find(|photo| photo.id == placed.piece)?;
    let lay = laying_rectangle(photo.size, placed.turn, placed.at);
    Some(lay.transform_rect_bbox(Rect::new(0.0, 0.0, photo.size[0], photo.size[1])))
}

fn print(photo: &Photo, placed: &Placed, held: &Held) -> Image {
    let field = photo.field();
    let lay = laying_rectangle(photo.size, placed.turn, placed.at)
        * Affine::translate((field.at[0], field.at[1]));
    let shown = lay.transform_rect_bbox(Rect::new(0.0, 0.0, field.size[0], field.size[1]));
    Image { number: held.number, lay: lay * held.onto_field, field: shown }
}

/// The eight marks at the corners of a trim.
fn crop_marks(trim: &Rect) -> Vec<[Point; 2]> {
    let [length, away] = CROP;
    let mut marks = Vec::new();
    for (x, outward) in [(trim.x0, -1.0), (trim.x1, 1.0)] {
        for (y, down) in [(trim.y0, -1.0), (trim.y1, 1.0)] {
            let [near, far] = [away, away + length];
            marks.push([near, far].map(|off| Point::new(x, y + down * off)));
            marks.push([near, far].map(|off| Point::new(x + outward * off, y)));
        }
    }
    marks
}

/// A check ruler with its line of instructions, in the largest leftover that has room for it.
fn check_ruler<'a>(record: &Record, sheet: &Sheet) -> Vec<Item<'a>> {
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
    let Some([left, top]) = found else { return Vec::new() };
    let (step, count, unit) = match record.shown_in {
        Units::Millimetres => (10.0 / 25.4, 8, "80 mm"),
        Units::Inches => (0.5, 6, "3 in"),
    };
    let [left, line_at] = [left + 0.2, top + 2.0 * CROP[0] + 0.3];
    let told = format!("Print at 100 %, no scaling: this line must measure {unit}.");
    vec![
        words(PLAIN, SMALL, [left, line_at - 0.08], &told).into(),
        ruler([left, line_at], true, (step, count), [0.1, 0.06], line(BLACK, 0.5)),
    ]
}
