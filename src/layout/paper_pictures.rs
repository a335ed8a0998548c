//! The pictures of papers: read, their size worked out.

use std::path::Path;
use std::sync::Arc;

use crate::description::{Marked, PaperSpec};
use crate::model::{Color, PictureFill, Rect};
use crate::picture::dots::small_dots;
use crate::picture::on_paper::{LEAST, on_sheet};
use crate::picture::{Excerpt, PictureFile};

use super::pictures::Framed;
use super::reading::Reader;
use super::{Layout, USUAL_SHEET};

/// Dots along a picture's sides that are looked at for its colours.
const DOTS: [u32; 2] = [32; 2];

/// A picture that is printed on a paper.
#[derive(Clone, Debug)]
pub struct PaperPicture {
    /// The whole picture, and which file it is.
    pub excerpt: Excerpt,
    /// Its real size in inches.
    pub size: [f64; 2],
    /// How it lies on a sheet.
    pub fill: PictureFill,
    /// Its colours with their shares, the largest first.
    pub shades: Vec<(Color, f64)>,
}

/// Adds the pictures that papers name, seen from the spec's folder, and their files.
pub(super) fn add(reader: &mut Reader<'_>, layout: &mut Layout, folder: &Path) {
    let spec = reader.spec;
    for (place, (name, paper)) in spec.papers.0.iter().enumerate() {
        let size = paper.value.picture_size.as_ref().map(|size| (reader.size(size), size.place));
        let fill = paper.value.picture_fill.as_ref().and_then(|fill| reader.value(fill));
        let Some((file, shown)) = open(reader, paper, folder) else { continue };
        let Some(on_hand) = layout.papers.get_mut(place) else { continue };
        let dots = file.seen().map(f64::from);
        let sheets = on_hand.stock.iter().filter(|stock| stock.offcut.is_none());
        let largest =
            sheets.map(|stock| stock.size).max_by(|one, other| one.area().total_cmp(&other.area()));
        let given = size.map(|(size, _)| size.to_inches());
        let (real, usual) = on_sheet(&file, given, largest.unwrap_or(USUAL_SHEET));
        if given.is_some_and(|given| given.iter().any(|side| *side < LEAST))
            && let Some((_, place)) = size.filter(|(size, _)| size.area() > 0.0)
        {
            let message = format!("a picture of paper is {LEAST} in wide and high at least");
            reader.problem(place, message, "write the size that the picture has on the sheet");
        }
        let whole = Rect { at: [0.0; 2], size: dots };
        let shades = small_dots(&file, &whole, DOTS).map(|dots| dots.shades()).unwrap_or_default();
        if paper.value.color.is_none() {
            on_hand.color = shades.first().map_or(Color::WHITE, |(color, _)| *color);
        }
        on_hand.picture = Some(PaperPicture {
            excerpt: Excerpt::of(&file, whole, dots[0] / real[0]),
            size: real,
            fill: fill.unwrap_or(usual),
            shades,
        });
        let photo = format!("paper {name}");
        layout.pictures.push(Framed { photo, file, crop: whole, resolution: shown });
    }
}

fn open(
    reader: &mut Reader<'_>,
    paper: &Marked<PaperSpec>,
    folder: &Path,
) -> Option<(Arc<PictureFile>, f64)> {
    let written = &paper.value;
    let Some(file) = &written.picture else {
        let size = written.picture_size.as_ref().map(|size| ("picture size", size.place));
        let fill = written.picture_fill.as_ref().map(|fill| ("picture fill", fill.place));
        for (key, place) in [size, fill].into_iter().flatten() {
            let message = format!("`{key}` says how a picture lies, but the paper has none");
            reader.problem(place, message, "add `picture:`, or leave it out");
        }
        return None;
    };
    if let Some(pattern) = &written.pattern {
        let message = "the paper has a pattern and a picture";
        reader.problem(pattern.place, message, "keep one of the two");
    }
    let path = match &written.picture_in {
        Some(of_stock) => of_stock.join(&*file.value.0),
        None => reader.file_beside(folder, file)?,
    };
    match PictureFile::open(&path, &file.value) {
        Ok(file) => Some((Arc::new(file), 0.0)),
        // What the stock's file names and is gone leaves the colour, where there is one.
        Err(_) if written.picture_in.is_some() && written.color.is_some() => None,
        Err(error) => {
            reader.problem(file.place, error.message, error.help);
            None
        }
    }
}
