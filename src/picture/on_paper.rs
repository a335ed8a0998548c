//! Pictures that are printed on paper: how large one is on a sheet, and how it fills it.

use super::PictureFile;
use crate::model::PictureFill;
use crate::model::length::Size;

/// A side of a picture's real size is as long as this at least, in inches: shorter ones would repeat too
/// often to be seen.
pub const LEAST: f64 = 0.25;

/// The real size of a picture in inches, and how it usually lies on a sheet: the size that is `given`, or
/// that a scanner noted, which repeats, else as large as covers `sheet`, the largest sheet of the paper.
pub fn on_sheet(
    file: &PictureFile,
    given: Option<[f64; 2]>,
    sheet: Size,
) -> ([f64; 2], PictureFill) {
    let dots = file.seen().map(f64::from);
    let noted = file.dots_an_inch().map(|density| [dots[0] / density[0], dots[1] / density[1]]);
    let least = |size: [f64; 2]| size.map(|side| side.max(LEAST));
    match given.or(noted) {
        Some(real) => (least(real), PictureFill::Repeat),
        None => (least(covering(dots, sheet)), PictureFill::Whole),
    }
}

/// The size of a picture that covers a sheet.
fn covering(dots: [f64; 2], sheet: Size) -> [f64; 2] {
    let [width, height] = sheet.to_inches();
    let scale = (width / dots[0]).max(height / dots[1]);
    dots.map(|dots| dots * scale)
}
