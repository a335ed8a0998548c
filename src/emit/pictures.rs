//! Pictures in a printed document: each part of a file once, however often it is shown.

use std::sync::Arc;

use kurbo::Affine;

use crate::model::Rect;
use crate::picture::PictureFile;
use crate::picture::frame::onto_field;
use crate::record::Picture;

use crate::draw::pdf::{Document, Image, Laid};

/// A picture as the document holds it: its number, and how its unit square is laid on its field.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held {
    pub number: usize,
    pub onto_field: Affine,
}

/// The pictures of a document.
pub(super) struct Pictures<'a> {
    files: &'a [Arc<PictureFile>],
    /// File, crop, number in the document and how it is laid.
    held: Vec<(String, Rect, usize, Laid)>,
}

impl<'a> Pictures<'a> {
    /// None yet; their files are among `files`.
    pub fn new(files: &'a [Arc<PictureFile>]) -> Self {
        Self { files, held: Vec::new() }
    }

    /// Puts a picture into the document, unless it is there already. Its field has a size in inches.
    pub fn hold(
        &mut self,
        document: &mut Document,
        picture: &Picture,
        field: [f64; 2],
    ) -> Result<Held, String> {
        let crop = picture.crop;
        let same = self.held.iter().position(|(sha256, kept, _, laid)| {
            *sha256 == picture.sha256 && (matches!(laid, Laid::Stored) || *kept == crop)
        });
        let place = match same {
            Some(place) => place,
            None => {
                let (image, laid) = Image::new(self.file(picture)?, &crop)?;
                self.held.push((picture.sha256.clone(), crop, document.image(image), laid));
                self.held.len() - 1
            }
        };
        let (_, _, number, laid) = &self.held[place];
        let onto_field = match laid {
            Laid::Stored => onto_field(picture.dots, picture.orientation, &crop, field),
            Laid::Seen(dots, crop) => onto_field(*dots, 1, crop, field),
        };
        Ok(Held { number: *number, onto_field })
    }

    /// The file that a picture of the record is.
    fn file(&self, picture: &Picture) -> Result<&'a Arc<PictureFile>, String> {
        self.files
            .iter()
            .find(|file| file.sha256 == picture.sha256)
            .ok_or_else(|| format!("the picture `{}` is not at hand", picture.file))
    }
}
