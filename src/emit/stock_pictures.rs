//! Small copies of the pictures of papers, for the picture of what is on hand.

use std::collections::BTreeMap;
use std::path::Path;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::model::{Fault, Rect};
use crate::picture::PictureFile;
use crate::picture::dots::small_copy;
use crate::stock::Stock;

/// Dots of a copy along its longer side: a sheet takes about 200 on a screen, twice that on a fine one.
const MOST_DOTS: f64 = 480.0;
/// The sheet that a picture shows where the paper lists none, in inches (common practice, no source).
const USUAL: [f64; 2] = [12.0, 12.0];

/// The pictures of papers by the paper's name.
#[derive(Clone, Debug, Default)]
pub struct PaperPictures {
    /// The paper's name, the size in inches that its picture shows, and its copy as an address that holds
    /// its data.
    shown: BTreeMap<String, ([f64; 2], String)>,
    /// What can't be shown, and why.
    pub faults: Vec<String>,
}

impl PaperPictures {
    /// Reads the pictures that a stock names, seen from its folder. A picture shows one whole sheet, the
    /// largest that the paper lists, or its real size where that is told; what it has too much on two sides
    /// is left out.
    pub fn of(stock: &Stock, folder: &Path) -> Self {
        let mut pictures = Self::default();
        for paper in &stock.papers {
            let Some(name) = &paper.picture else { continue };
            let sizes = paper.sheets.iter().map(|sheets| sheets.size);
            let largest = sizes.max_by(|one, other| one.area().total_cmp(&other.area()));
            let size = paper.picture_size.or(largest).map_or(USUAL, |size| size.to_inches());
            match copy(&folder.join(name), name, size) {
                Ok(copy) => {
                    pictures.shown.insert(paper.name.clone(), (size, copy));
                }
                Err(Fault { message, help }) => {
                    let seen = "pictures are seen from the stock's folder";
                    pictures.faults.push(format!("{}: {message}; {seen}; {help}", paper.name));
                }
            }
        }
        pictures
    }

    /// The place of a paper's picture, and the size in inches that it shows.
    pub(super) fn place(&self, paper: &str) -> Option<(usize, [f64; 2])> {
        let place = self.shown.keys().position(|known| known == paper)?;
        Some((place, self.shown.get(paper)?.0))
    }

    /// Their addresses by place.
    pub(super) fn addresses(&self) -> Vec<Option<&str>> {
        self.shown.values().map(|(_, copy)| Some(copy.as_str())).collect()
    }
}

/// A copy of the middle of a picture in the proportions of a size.
fn copy(path: &Path, name: &str, [width, height]: [f64; 2]) -> Result<String, Fault> {
    let file = PictureFile::open(path, name)?;
    let [across, down] = file.seen().map(f64::from);
    let scale = (across / width).min(down / height);
    let size = [width * scale, height * scale];
    let crop = Rect { at: [(across - size[0]) / 2.0, (down - size[1]) / 2.0], size };
    let dots = [width, height].map(|side| dots(MOST_DOTS * side / width.max(height)));
    let jpeg = small_copy(&file, &crop, dots)?;
    Ok(format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg)))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn dots(dots: f64) -> u32 {
    dots.round().clamp(1.0, MOST_DOTS) as u32
}
