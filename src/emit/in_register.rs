//! `print/in-register.pdf`: what is printed on a sheet before the machine cuts it, a page a sheet.
//!
//! The pages bear the registration marks of the cut files, in the same places. Ground, pictures and
//! hatching run on under the cut by the bleed. Cuts, scores and perforations are in the cut files alone:
//! nothing is drawn along a contour, so that a blade that is off by a hair leaves no line, whatever program
//! prints the page.

use std::sync::Arc;

use kurbo::Affine;

use crate::geometry::{laying, readable};
use crate::lettering::fonts::Font;
use crate::picture::PictureFile;
use crate::record::{Placed, Print, PrintedText, Record, Sheet};

use super::drawing::channels;
use super::marks;
use super::pictures::{Held, Pictures};
use super::printed_page::{BLACK, SMALL};
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Document, Layer, PageSetup};

/// Points in an inch.
const POINTS: f64 = 72.0;
/// Baseline of the note above the lower rim, in inches.
const NOTE: f64 = 0.06;

/// A printed piece where it lies on its sheet.
struct Laid<'a> {
    print: &'a Print,
    lay: Affine,
    picture: Option<Held>,
}

/// Draws a page for each sheet that is printed before it is cut. `fonts` are those of
/// [`Record::fonts`]; `pictures` the files that prints name.
pub fn in_register_pdf(
    record: &Record,
    fonts: &[Arc<Font>],
    pictures: &[Arc<PictureFile>],
    label_font: &Arc<Font>,
) -> Result<Vec<u8>, String> {
    let mut all = fonts.to_vec();
    all.push(Arc::clone(label_font));
    let title = format!("{}: printed, then cut", record.name);
    let mut document = Document::new(&title, &all).corrected(record.printed_scale());
    let mut images = Pictures::new(pictures);
    for sheet in record.printed_before_cut() {
        let mut laid = Vec::new();
        for placed in &sheet.placed {
            laid.extend(self::laid(record, placed, &mut document, &mut images)?);
        }
        let setup = PageSetup::new(sheet.size, &format!("Sheet {}", sheet.id))
            .labelled(&format!("sheet {}", sheet.id));
        document.add(setup, |canvas| draw(canvas, record, sheet, &laid, fonts.len()));
    }
    document.finish()
}

fn laid<'a>(
    record: &'a Record,
    placed: &Placed,
    document: &mut Document,
    images: &mut Pictures<'_>,
) -> Result<Option<Laid<'a>>, String> {
    let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
    let Some((piece, print)) = piece.and_then(|piece| Some((piece, piece.print.as_ref()?))) else {
        return Ok(None);
    };
    let lay = laying(&piece.curves(), placed.turn, placed.at);
    let picture = match &print.picture {
        Some(shown) => Some(images.hold(document, &shown.picture, shown.area.size)?),
        None => None,
    };
    Ok(Some(Laid { print, lay, picture }))
}

fn draw(canvas: &mut Canvas<'_>, record: &Record, sheet: &Sheet, laid: &[Laid<'_>], labels: usize) {
    for Laid { print, lay, picture } in laid {
        canvas.laid(*lay, |canvas| {
            under_the_cut(canvas, print, *picture);
            if let Some(text) = &print.text {
                words(canvas, text);
            }
        });
    }
    let onto_sheet = sheet.loaded().onto_sheet();
    canvas.layer(Layer::Marks, |canvas| {
        for mark in &sheet.marks {
            #[expect(clippy::cast_possible_truncation, reason = "the width of a line")]
            canvas.pen(BLACK, (mark.weight * POINTS) as f32);
            canvas.path(&(onto_sheet * marks::lines(mark)), false, true);
        }
    });
    canvas.layer(Layer::Notes, |canvas| {
        canvas.fill(BLACK);
        let told = format!(
            "{}, sheet {}: print at 100 %, no scaling; then cut cut/{}.svg by the marks.",
            record.name, sheet.id, sheet.id
        );
        let base = sheet.size[1] - record.rules.printer_margin - NOTE;
        canvas.text(labels, SMALL, [sheet.size[0] / 2.0, base], Anchor::Middle, &told);
    });
}

/// Ground, picture and lines, up to the bleed.
fn under_the_cut(canvas: &mut Canvas<'_>, print: &Print, picture: Option<Held>) {
    let Some(field) = readable(&print.field) else { return };
    if !print.ground.is_empty() {
        canvas.fill(channels(&print.ground));
        canvas.path(&field, true, false);
    }
    canvas.clipped_to(&field, |canvas| {
        if let (Some(held), Some(shown)) = (picture, &print.picture) {
            let at = shown.area.at;
            let lay = Affine::translate((at[0], at[1])) * held.onto_field;
            canvas.image(held.number, lay, at, shown.area.size);
        }
        for line in &print.lines {
            if let Some(path) = readable(&line.path) {
                #[expect(clippy::cast_possible_truncation, reason = "the width of a line")]
                canvas.pen(channels(&line.ink), (line.weight * POINTS) as f32);
                canvas.path(&path, false, true);
            }
        }
    });
}

fn words(canvas: &mut Canvas<'_>, text: &PrintedText) {
    canvas.fill(channels(&text.ink));
    for run in &text.runs {
        canvas.glyphs(run.font, text.type_size, [0.0, text.baseline], &run.glyphs);
    }
}
