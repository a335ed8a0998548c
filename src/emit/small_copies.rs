//! Small copies of the photos' pictures for what is looked at on screen.

use std::collections::BTreeMap;
use std::sync::Arc;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::picture::PictureFile;
use crate::picture::dots::small_copy;
use crate::picture::frame::Crop;
use crate::record::{Photo, Record};

/// Dots an inch of a copy: as fine as a screen shows when the spread is seen at its real size.
const RESOLUTION: f64 = 150.0;
/// The most dots that all copies of a spread may have; with more photos they get coarser, so that the
/// proof stays a file to send.
const MOST_DOTS: f64 = 16e6;

/// Small copies by photo id, as addresses that hold their data.
#[derive(Clone, Debug, Default)]
pub struct SmallCopies {
    copies: BTreeMap<String, String>,
}

impl SmallCopies {
    /// Makes a copy for each photo of a record whose file is among `pictures`, one after the other, so
    /// that only one picture is in memory.
    pub fn of(record: &Record, pictures: &[Arc<PictureFile>]) -> Result<Self, String> {
        let resolution = resolution(record);
        let mut copies: BTreeMap<String, String> = BTreeMap::new();
        for photo in &record.photos {
            let Some(picture) = &photo.picture else { continue };
            let Some(file) = pictures.iter().find(|file| file.sha256 == picture.sha256) else {
                continue;
            };
            let crop = Crop { at: picture.crop.at, size: picture.crop.size };
            let most = dots(photo, resolution);
            let jpeg = small_copy(file, &crop, most).map_err(|error| error.to_string())?;
            let address = format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg));
            copies.insert(photo.id.clone(), address);
        }
        Ok(Self { copies })
    }

    /// The copy of a photo.
    pub fn get(&self, photo: &str) -> Option<&str> {
        self.copies.get(photo).map(String::as_str)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.copies.is_empty()
    }
}

/// Dots an inch at which all copies together stay below the limit.
fn resolution(record: &Record) -> f64 {
    let printed = record.photos.iter().filter(|photo| photo.picture.is_some());
    let area: f64 =
        printed.map(|photo| photo.field().size).map(|[width, height]| width * height).sum();
    RESOLUTION.min((MOST_DOTS / area.max(1e-9)).sqrt())
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn dots(photo: &Photo, resolution: f64) -> [u32; 2] {
    photo.field().size.map(|side| (side * resolution).round().clamp(1.0, 20_000.0) as u32)
}
