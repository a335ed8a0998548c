//! A part of a picture's file, told so that the very file is known again.

use super::{Format, PictureFile};
use crate::model::Rect;

/// What is printed of a picture, and which file that is.
#[derive(Clone, Debug, PartialEq)]
pub struct Excerpt {
    /// The file, by its path from the spec's folder.
    pub file: String,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// Its format.
    pub format: Format,
    /// Width and height in dots, as stored.
    pub stored: [u32; 2],
    /// The EXIF orientation, 1 to 8; 1 for none.
    pub orientation: u8,
    /// What is printed of it.
    pub crop: Rect,
    /// Dots an inch of the print.
    pub resolution: f64,
}

impl Excerpt {
    /// A part of a file, printed with so many dots an inch.
    pub fn of(file: &PictureFile, crop: Rect, resolution: f64) -> Self {
        Self {
            file: file.name.clone(),
            sha256: file.sha256.clone(),
            format: file.format,
            stored: file.stored,
            orientation: file.orientation,
            crop,
            resolution,
        }
    }
}
