//! Draws the photos of the starter `kite-day`: `cargo run --release --example kite_pictures`.
//!
//! Each is an SVG drawing made here, rendered and given the soft grain of a photo, then written as a
//! JPEG into `templates/kite-day`. The same program draws the same bytes.

mod paint;
mod scenes;

use std::error::Error;
use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::rotate270;
use image::{ExtendedColorType, ImageEncoder, RgbImage};
use resvg::{tiny_skia, usvg};

/// Where the pictures go.
const FOLDER: &str = "templates/kite-day";
/// Quality of the files, of 100.
const QUALITY: u8 = 62;

fn main() -> Result<(), Box<dyn Error>> {
    for scene in scenes::all() {
        let mut picture = rendered(&scene.svg)?;
        paint::develop(&mut picture);
        // The camera was held upright: the dots lie on their side, and the file says so.
        let (picture, orientation) =
            if scene.held_upright { (rotate270(&picture), 6) } else { (picture, 1) };
        let mut bytes = Vec::new();
        let mut encoder = JpegEncoder::new_with_quality(&mut bytes, QUALITY);
        encoder.set_exif_metadata(exif(orientation))?;
        let (width, height) = picture.dimensions();
        encoder.write_image(picture.as_raw(), width, height, ExtendedColorType::Rgb8)?;
        let file = Path::new(FOLDER).join(format!("{}.jpg", scene.name));
        std::fs::write(&file, &bytes)?;
        println!("{}: {width} x {height}, {} bytes", file.display(), bytes.len());
    }
    Ok(())
}

/// A drawing as dots.
fn rendered(svg: &str) -> Result<RgbImage, Box<dyn Error>> {
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default())?;
    let size = tree.size().to_int_size();
    let mut dots = tiny_skia::Pixmap::new(size.width(), size.height()).ok_or("no dots")?;
    resvg::render(&tree, tiny_skia::Transform::default(), &mut dots.as_mut());
    let samples =
        dots.pixels().iter().flat_map(|dot| [dot.red(), dot.green(), dot.blue()]).collect();
    Ok(RgbImage::from_raw(size.width(), size.height(), samples).ok_or("not enough dots")?)
}

/// EXIF data that tells an orientation (TIFF 6.0: a directory of one entry, tag 274).
fn exif(orientation: u8) -> Vec<u8> {
    let mut data = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    data.extend([orientation, 0, 0, 0, 0, 0, 0]);
    data
}
