//! Everything that a record hands out, as named files.

use std::sync::Arc;

use crate::description::Problem;
use crate::lettering::fonts::{Font, FontBook};
use crate::picture::PictureFile;
use crate::record::Record;

use super::SmallCopies;
use super::cut_svg::cut_svg;
use super::guide::guide_pdf;
use super::in_register::in_register_pdf;
use super::photos::photos_pdf;
use super::placement::placement_pdfs;
use super::proof::proof_html;
use super::raster::png;
use super::spread::spread_svg;
use super::stamps::stamps_pdf;
use super::strips::strips_pdf;

/// Pixels an inch of `spread.png`: fine enough to read a strip, small enough to send.
const SPREAD_RESOLUTION: f64 = 100.0;

/// The record's file. In it the record knows the names of all files of its folder.
const RECORD: &str = "record.json";

/// Draws every file of a run: its path in the run's folder, and its bytes. Of a redo there are the files and
/// pages alone that its pieces need; the spread's picture stands with the build.
///
/// `fonts` are those of [`Record::fonts`], in that order; `pictures` are the files that its photos name.
pub fn all(
    record: &Record,
    fonts: &[Arc<Font>],
    pictures: &[Arc<PictureFile>],
) -> Result<Vec<(String, Vec<u8>)>, Problem> {
    let broken = |message: String| Problem::input(message, "please report this with the spec");
    let label_font = FontBook::default().find("text").map_err(Problem::from)?;
    let label_font = Arc::new(Font::clone(&label_font).with_stand_ins(fonts));
    let unreadable = |message: String| Problem::input(message, "check the photos' files");
    // What takes longest comes first: the picture of dots. Pictures are decoded in two places, one after the
    // other: no more than a few are in memory.
    let (shown, (printed, (placement, guide))) = rayon::join(
        || {
            let copies = SmallCopies::of(record, pictures).map_err(unreadable)?;
            let spread = spread_svg(record, fonts, &label_font, &copies);
            let svg = spread.document();
            let (picture, others) = rayon::join(
                || (!record.is_redo()).then(|| png(&svg, SPREAD_RESOLUTION)).transpose(),
                || {
                    rayon::join(
                        || proof_html(record, &spread, &label_font, &copies),
                        || printed_photos(record, fonts, pictures, &label_font),
                    )
                },
            );
            Ok::<_, Problem>((svg, picture, others))
        },
        || {
            rayon::join(
                || printed_words(record, fonts, &label_font),
                || (placement_pdfs(record, &label_font), guide_pdf(record, &label_font)),
            )
        },
    );
    let (spread, picture, (proof, photos)) = shown?;
    let mut files = Vec::new();
    let mut add = |name: &str, bytes: Vec<u8>| files.push((name.to_owned(), bytes));
    for sheet in &record.sheets {
        if let Some(svg) = cut_svg(record, sheet) {
            add(&format!("cut/{}.svg", sheet.id), svg.into_bytes());
        }
    }
    let [strips, stamps] = printed.map_err(broken)?;
    let [in_register, photos] = photos.map_err(unreadable)?;
    let [tiled, whole] = placement.map_err(broken)?;
    for (name, bytes) in [
        ("print/strips.pdf", strips),
        ("print/in-register.pdf", in_register),
        ("print/photos.pdf", photos),
        ("print/stamps.pdf", stamps),
        ("print/placement.pdf", Some(tiled)),
        ("print/placement-whole.pdf", Some(whole)),
        ("guide.pdf", Some(guide.map_err(broken)?)),
        ("proof.html", Some(proof.into_bytes())),
        ("spread.svg", (!record.is_redo()).then(|| spread.into_bytes())),
        ("spread.png", picture.map_err(broken)?),
    ] {
        if let Some(bytes) = bytes {
            add(name, bytes);
        }
    }
    let names = files.iter().map(|(name, _)| name.clone());
    let names = std::iter::once(RECORD.to_owned()).chain(names).collect();
    let record = Record { files: names, ..record.clone() };
    let json = serde_json::to_vec(&record).map_err(|error| broken(error.to_string()))?;
    files.insert(0, (RECORD.to_owned(), json));
    Ok(files)
}

/// Strips and stamps, where there are any.
fn printed_words(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Arc<Font>,
) -> Result<[Option<Vec<u8>>; 2], String> {
    let strips = (!record.printed.is_empty()).then(|| strips_pdf(record, fonts, label_font));
    let stamps = (!record.stamps.is_empty()).then(|| stamps_pdf(record, label_font));
    Ok([strips.transpose()?, stamps.transpose()?])
}

/// Pages in register and photos, where there are any.
fn printed_photos(
    record: &Record,
    fonts: &[Arc<Font>],
    pictures: &[Arc<PictureFile>],
    label_font: &Arc<Font>,
) -> Result<[Option<Vec<u8>>; 2], String> {
    let in_register = (!record.printed_before_cut().is_empty())
        .then(|| in_register_pdf(record, fonts, pictures, label_font));
    let photos = (!record.prints.is_empty()).then(|| photos_pdf(record, pictures, label_font));
    Ok([in_register.transpose()?, photos.transpose()?])
}
