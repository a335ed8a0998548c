//! `print/in-register.pdf`: what is printed on a sheet before the machine cuts it, a page a sheet.
//!
//! The pages bear the registration marks of the cut files, in the same places. Ground, pictures and
//! hatching run on under the cut by the bleed. Cuts, scores and perforations are in the cut files alone:
//! nothing is drawn along a contour, so that a blade that is off by a hair leaves no line, whatever program
//! prints the page.

use std::sync::Arc;

use kurbo::{Affine, Point, Rect};

use crate::geometry::{laying, readable};
use crate::lettering::fonts::Font;
use crate::picture::PictureFile;
use crate::record::{Placed, Print, Record, Sheet};

use super::marks;
use super::pictures::Pictures;
use super::printed_page::{BLACK, PLAIN, POINT, SMALL, typeset, words};
use crate::draw::display_list::{Group, Image, Item, Outline, Paint, Run, Shape, Stroke};
use crate::draw::pdf::{Document, PageSetup};
use crate::draw::{Anchor, Layer};

/// Baseline of the note above the lower rim, in inches.
const NOTE: f64 = 0.06;

/// Draws a page for each sheet that is printed before it is cut. `fonts` are those of
/// [`Record::fonts`]; `pictures` the files that prints name.
pub fn in_register_pdf(
    record: &Record,
    fonts: &[Arc<Font>],
    pictures: &[Arc<PictureFile>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let title = format!("{}: printed, then cut", record.name);
    let mut document = typeset(&title, fonts, label_font).corrected(record.printed_scale());
    let mut images = Pictures::new(pictures);
    for sheet in record.printed_before_cut() {
        let mut items = Vec::new();
        for placed in &sheet.placed {
            items.extend(laid(record, placed, &mut document, &mut images)?);
        }
        items.extend(beside(record, sheet));
        let setup = PageSetup::new(sheet.size, &format!("Sheet {}", sheet.id))
            .labelled(&format!("sheet {}", sheet.id));
        document.add(setup, &items);
    }
    document.finish()
}

/// What is printed on a piece, where it lies on its sheet.
fn laid<'a>(
    record: &'a Record,
    placed: &Placed,
    document: &mut Document,
    images: &mut Pictures<'_>,
) -> Result<Option<Item<'a>>, String> {
    let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
    let Some((piece, print)) = piece.and_then(|piece| Some((piece, piece.print.as_ref()?))) else {
        return Ok(None);
    };
    let picture = match &print.picture {
        None => None,
        Some(shown) => {
            let field = Rect::from(shown.area);
            let held = images.hold(document, &shown.picture, shown.area.size)?;
            let lay = Affine::translate(field.origin().to_vec2()) * held.onto_field;
            Some(Image { number: held.number, lay, field })
        }
    };
    let lay = laying(&piece.curves(), placed.turn, placed.at);
    Ok(Some(Group::laid(lay, printed(print, picture)).into()))
}

/// What is printed on a piece, in its own coordinates: ground, picture and lines up to the edge of the
/// print's field, and words.
pub(super) fn printed(print: &Print, picture: Option<Image>) -> Vec<Item<'_>> {
    let mut items = Vec::new();
    if let Some(field) = readable(&print.field) {
        items.extend(print.ground.iter().map(|color| {
            Shape::path(field.clone()).filled(Paint::Ink(color.as_str(), 1.0)).into()
        }));
        let mut within: Vec<Item<'_>> = picture.into_iter().map(Item::from).collect();
        within.extend(print.lines.iter().filter_map(|line| {
            let stroke = Stroke::new(line.ink.as_str(), line.weight);
            Some(Shape::path(readable(&line.path)?).stroked(stroke).into())
        }));
        if !within.is_empty() {
            let clip = Some(Outline::Path(field));
            items.push(Group { clip, ..Group::new(within) }.into());
        }
    }
    items.extend(print.text.iter().flat_map(|text| {
        let (at, size) = (Point::new(0.0, text.baseline), text.type_size * POINT);
        text.runs.iter().map(move |run| Run { run, at, size, ink: text.ink.as_str() }.into())
    }));
    items
}

/// The marks of the cut file, and a note at the page's foot.
fn beside<'a>(record: &Record, sheet: &Sheet) -> [Item<'a>; 2] {
    let onto_sheet = sheet.loaded().onto_sheet();
    let marks = sheet.marks.iter().map(|mark| {
        let lines = Shape::path(onto_sheet * marks::lines(mark));
        lines.stroked(Stroke::new(BLACK, mark.weight)).into()
    });
    let told = format!(
        "{}, sheet {}: print at 100 %, no scaling; then cut cut/{}.svg by the marks.",
        record.name, sheet.id, sheet.id
    );
    let base = sheet.size[1] - record.rules.printer_margin - NOTE;
    let told = words(PLAIN, SMALL, [sheet.size[0] / 2.0, base], &told).anchored(Anchor::Middle);
    [
        Group::on(Layer::Marks, marks.collect()).into(),
        Group::on(Layer::Notes, vec![told.into()]).into(),
    ]
}
