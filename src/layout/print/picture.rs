//! A picture printed over a piece, or over all letters of some words.

use std::sync::Arc;

use kurbo::Rect;

use crate::layout::Framed;
use crate::layout::pictures;
use crate::model;
use crate::picture::frame::crop;
use crate::picture::{Excerpt, PictureFile};

use super::Prints;
use crate::layout::printed::PrintedPicture;

/// A picture and where it lies in its block.
pub(super) struct Shown {
    excerpt: Excerpt,
    area: model::Rect,
}

impl Shown {
    /// The picture in the frame of a piece that lies so far from the block's corner.
    pub(super) fn on(&self, offset: [f64; 2]) -> PrintedPicture {
        PrintedPicture { excerpt: self.excerpt.clone(), area: self.area, offset }
    }
}

impl Prints<'_, '_> {
    /// The picture over `whole`, if the spec names one; nothing at all when a problem was noted.
    pub(super) fn picture(&mut self, whole: Rect) -> Option<Option<Shown>> {
        let spec = &self.spec.value;
        let Some(written) = &spec.picture else {
            for place in [
                spec.focus.as_ref().map(|focus| focus.place),
                spec.allow_low_resolution.as_ref().map(|allow| allow.place),
            ]
            .into_iter()
            .flatten()
            {
                let message = "this says how a picture is printed, but the print has none";
                self.reader.problem(place, message, "add `picture:`, or leave it out");
            }
            return Some(None);
        };
        let focus = pictures::focus(self.reader, spec.focus.as_ref());
        let path = self.reader.file_beside(self.folder, written)?;
        let file = match PictureFile::open(&path, &written.value) {
            Ok(file) => Arc::new(file),
            Err(error) => {
                self.reader.problem(written.place, error.message, error.help);
                return None;
            }
        };
        let size = [whole.width(), whole.height()];
        let crop = crop(file.seen(), size, focus);
        let resolution = crop.size[0] / size[0];
        let allowed = spec.allow_low_resolution.as_ref().is_some_and(|allow| allow.value);
        if !allowed {
            let told =
                format!("`{}` has {resolution:.0} dots an inch on `{}`", &*written.value, self.id);
            pictures::judge_resolution(self.reader, resolution, &told, &file.name, written.place);
        }
        let excerpt = Excerpt::of(&file, crop, resolution);
        self.layout.pictures.push(Framed {
            photo: format!("print on {}", self.id),
            file,
            crop,
            resolution,
        });
        Some(Some(Shown { excerpt, area: whole.into() }))
    }
}
