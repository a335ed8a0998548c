//! Everything that a record hands out, as named files.

use std::sync::Arc;

use crate::outline::fonts::{Font, FontBook};
use crate::picture::PictureFile;
use crate::record::Record;
use crate::spec::Problem;

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

/// Draws every file of a run: its path in the run's folder, and its bytes.
///
/// `fonts` are those of [`Record::fonts`], in that order; `pictures` are the files that its photos name.
pub fn all(
    record: &Record,
    fonts: &[Arc<Font>],
    pictures: &[Arc<PictureFile>],
) -> Result<Vec<(String, Vec<u8>)>, Problem> {
    let broken = |message: String| Problem::input(message, "please report this with the spec");
    let label_font = FontBook::default()
        .find("text")
        .map_err(|error| Problem::input(error.message, error.help))?;
    let label_font = Arc::new(Font::clone(&label_font).with_stand_ins(fonts));
    let unreadable = |message: String| Problem::input(message, "check the photos' files");
    let copies = SmallCopies::of(record, pictures).map_err(unreadable)?;
    let mut files = Vec::new();
    let mut add = |name: String, bytes: Vec<u8>| files.push((name, bytes));
    for sheet in &record.sheets {
        if let Some(svg) = cut_svg(record, sheet) {
            add(format!("cut/{}.svg", sheet.id), svg.into_bytes());
        }
    }
    if !record.printed.is_empty() {
        add("print/strips.pdf".to_owned(), strips_pdf(record, fonts, &label_font).map_err(broken)?);
    }
    if !record.printed_before_cut().is_empty() {
        let printed = in_register_pdf(record, fonts, pictures, &label_font).map_err(unreadable)?;
        add("print/in-register.pdf".to_owned(), printed);
    }
    if !record.prints.is_empty() {
        let photos = photos_pdf(record, pictures, &label_font).map_err(unreadable)?;
        add("print/photos.pdf".to_owned(), photos);
    }
    if !record.stamps.is_empty() {
        add("print/stamps.pdf".to_owned(), stamps_pdf(record, &label_font).map_err(broken)?);
    }
    let ((spread, placement), (guide, proof)) = rayon::join(
        || {
            let spread = || {
                let svg = spread_svg(record, fonts, &label_font, &copies);
                let picture = png(&svg, SPREAD_RESOLUTION);
                (svg, picture)
            };
            rayon::join(spread, || placement_pdfs(record, &label_font))
        },
        || {
            rayon::join(
                || guide_pdf(record, &label_font),
                || proof_html(record, fonts, &label_font, &copies),
            )
        },
    );
    let [tiled, whole] = placement.map_err(broken)?;
    add("print/placement.pdf".to_owned(), tiled);
    add("print/placement-whole.pdf".to_owned(), whole);
    let (svg, picture) = spread;
    add("guide.pdf".to_owned(), guide.map_err(broken)?);
    add("proof.html".to_owned(), proof.into_bytes());
    add("spread.svg".to_owned(), svg.into_bytes());
    add("spread.png".to_owned(), picture.map_err(broken)?);
    let names = files.iter().map(|(name, _)| name.clone());
    let names = std::iter::once(RECORD.to_owned()).chain(names).collect();
    let record = Record { files: names, ..record.clone() };
    let json = serde_json::to_vec(&record).map_err(|error| broken(error.to_string()))?;
    files.insert(0, (RECORD.to_owned(), json));
    Ok(files)
}
