//! The photos' pictures: read, cropped, their resolution judged.

use std::path::Path;
use std::sync::Arc;

use crate::description::{Element, Focus, Marked, PhotoSpec, Place};
use crate::model::length::Length;
use crate::model::{Rect, Warning};
use crate::picture::frame::crop;
use crate::picture::{COARSE, Excerpt, KEPT, PictureFile, SHARP};

use super::Layout;
use super::reading::Reader;

/// A picture and the part of it that is printed.
#[derive(Clone, Debug)]
pub struct Framed {
    /// Name of the photo in the spec.
    pub photo: String,
    /// The file.
    pub file: Arc<PictureFile>,
    /// What is printed of it.
    pub crop: Rect,
    /// Dots an inch of the print.
    pub resolution: f64,
}

impl Framed {
    /// What is printed, and of which file.
    pub fn excerpt(&self) -> Excerpt {
        Excerpt::of(&self.file, self.crop, self.resolution)
    }
}

/// The pictures of all photos that name a file.
pub(super) fn pictures(reader: &mut Reader<'_>, folder: &Path) -> Vec<Framed> {
    let photos = &reader.spec.photos.0;
    photos.iter().filter_map(|(name, photo)| framed(reader, folder, name, photo)).collect()
}

/// Pictures that are printed nowhere, because their photos lie on no page.
pub(super) fn unplaced(reader: &mut Reader<'_>, layout: &Layout) {
    for (name, photo) in &reader.spec.photos.0 {
        let placed = layout.photos.iter().any(|placed| placed.name == *name);
        if placed || layout.picture(name).is_none() {
            continue;
        }
        reader.warn(Warning {
            kind: "not placed".to_owned(),
            message: format!("the photo `{name}` lies on no page, so it is not printed"),
            help: "place it with `photo:` or in a `bank:`, or take it out".to_owned(),
            piece: None,
            line: photo.place.line,
        });
    }
}

fn framed(
    reader: &mut Reader<'_>,
    folder: &Path,
    name: &str,
    photo: &Marked<PhotoSpec>,
) -> Option<Framed> {
    let written = &photo.value;
    // Of a photo that lies on no page too.
    let size = reader.size(&written.size);
    let border = reader.distance(written.border.as_ref(), Length::ZERO, "border");
    written.facing.as_ref().and_then(|facing| reader.value(facing));
    let Some(file) = &written.file else {
        // A print that may be trimmed keeps what lies round its focus.
        let is_trimmed = written.trim.as_ref().is_some_and(|trim| trim.value);
        let focus = written.focus.as_ref().filter(|_| !is_trimmed);
        let needless = [
            focus.map(|focus| ("focus", focus.place)),
            written
                .allow_low_resolution
                .as_ref()
                .map(|allow| ("allow low resolution", allow.place)),
        ];
        for (key, place) in needless.into_iter().flatten() {
            let message =
                format!("`{key}` says how a picture is printed, but `{name}` names no file");
            reader.problem(place, message, "add `file:`, or leave it out");
        }
        return None;
    };
    let focus = focus(reader, written.focus.as_ref());
    let path = reader.file_beside(folder, file)?;
    let picture = match PictureFile::open(&path, &file.value) {
        Ok(picture) => picture,
        Err(error) => {
            reader.problem(file.place, error.message, error.help);
            return None;
        }
    };
    let field = [size.width - border * 2, size.height - border * 2].map(Length::to_inches);
    if field[0] <= 0.0 || field[1] <= 0.0 {
        // The size or the border is told to be wrong where the photo is placed.
        if size.width > Length::ZERO && size.height > Length::ZERO {
            let place = written.border.as_ref().map_or(written.size.place, |border| border.place);
            reader.problem(place, "the border leaves no picture", "write a narrower border");
        }
        return None;
    }
    let crop = crop(picture.seen(), field, focus);
    let resolution = crop.size[0] / field[0];
    let framed = Framed { photo: name.to_owned(), file: Arc::new(picture), crop, resolution };
    if !is_to_be_fitted(reader, name) {
        judge(reader, &framed, photo, written.size.text.trim());
    }
    Some(framed)
}

/// Whether a photo lies in a bank that may change its size.
fn is_to_be_fitted(reader: &Reader<'_>, name: &str) -> bool {
    let spec = reader.spec;
    let pages = [&spec.left, &spec.right, &spec.single].into_iter().flatten();
    let mut elements = pages.flat_map(|page| &page.pieces).map(|element| &element.value);
    elements.any(|element| {
        matches!(element, Element::Bank(bank) if bank.align.is_some()) && element.shows(name) > 0
    })
}

/// Crops the pictures of banks whose photos end flush to the sizes that these got, and judges them.
pub(super) fn fitted(reader: &mut Reader<'_>, pictures: &mut [Framed]) {
    for framed in pictures {
        let Some(photo) = reader.spec.photos.get(&framed.photo) else { continue };
        if !is_to_be_fitted(reader, &framed.photo) {
            continue;
        }
        let written = reader.size(&photo.value.size);
        let size = reader.fitted_photos.get(&framed.photo).copied().unwrap_or(written);
        let border = reader.distance(photo.value.border.as_ref(), Length::ZERO, "border");
        let field = [size.width - border * 2, size.height - border * 2].map(Length::to_inches);
        if field[0] <= 0.0 || field[1] <= 0.0 {
            let message = format!(
                "the border of `{}` leaves no picture in {}",
                framed.photo,
                size.show(reader.units)
            );
            reader.problem(photo.place, message, "write a narrower border");
            continue;
        }
        framed.crop = crop(framed.file.seen(), field, focus(reader, photo.value.focus.as_ref()));
        framed.resolution = framed.crop.size[0] / field[0];
        let told = size.show(reader.units);
        judge(reader, framed, photo, &told);
    }
}

/// The focus point, each share from 0 to 1.
pub(super) fn focus(reader: &mut Reader<'_>, focus: Option<&Marked<Focus>>) -> [f64; 2] {
    let middle = [0.5, 0.5];
    let Some(Marked { value: Focus(focus), place }) = focus else { return middle };
    match focus {
        Ok(point) => *point,
        Err(error) => {
            reader.problem(*place, &error.message, &error.help);
            middle
        }
    }
}

/// Says what is wrong with a picture at its size.
fn judge(reader: &mut Reader<'_>, framed: &Framed, photo: &Marked<PhotoSpec>, size: &str) {
    let Framed { photo: name, file, crop, resolution } = framed;
    let written = &photo.value;
    let place = written.file.as_ref().map_or(photo.place, |file| file.place);
    let allowed = written.allow_low_resolution.as_ref().is_some_and(|allow| allow.value);
    if !allowed {
        let told = format!("`{name}` has {resolution:.0} dots an inch at {size}");
        judge_resolution(reader, *resolution, &told, &file.name, place);
    }
    let [width, height] = file.seen().map(f64::from);
    let kept = crop.size[0] * crop.size[1] / (width * height);
    if kept < KEPT {
        let message =
            format!("only {:.0} % of the picture `{name}` fits a print of {size}", kept * 100.0);
        let help = "turn the print's size, or choose what is kept with `focus: [across, down]`";
        reader.warn(warning("cropped hard", message, help.to_owned(), place));
    }
}

/// Says whether a picture's dots show, or whether it looks soft; `told` begins the message.
pub(super) fn judge_resolution(
    reader: &mut Reader<'_>,
    resolution: f64,
    told: &str,
    file: &str,
    place: Place,
) {
    if resolution < COARSE {
        let message = format!("{told}: its dots will show");
        let help = format!(
            "print it smaller, use a larger copy of `{file}`, or write `allow low resolution: true`"
        );
        reader.problem(place, message, help);
    } else if resolution < SHARP {
        let help = "print it smaller, or use a larger copy of the picture".to_owned();
        let message = format!("{told}: it will look soft");
        reader.warn(warning("low resolution", message, help, place));
    }
}

fn warning(kind: &str, message: String, help: String, place: Place) -> Warning {
    Warning { kind: kind.to_owned(), message, help, piece: None, line: place.line }
}
