//! Pictures drawn for tests, written as files.

use std::path::{Path, PathBuf};

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, Rgb, RgbImage};

/// A picture in which no two corners look alike: a ramp across, one down, and a bright patch at the top
/// left.
pub fn drawn(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let share = |at: u32, of: u32| u8::try_from(at * 200 / of.max(1)).unwrap_or(200);
        if x * 5 < width && y * 5 < height {
            Rgb([250, 240, 30])
        } else {
            Rgb([share(x, width), share(y, height), 90])
        }
    })
}

/// The data of an EXIF segment that tells an orientation and nothing else (TIFF 6.0, one entry).
pub fn exif(orientation: u8) -> Vec<u8> {
    let mut data = b"MM\0\x2a\0\0\0\x08\0\x01".to_vec();
    data.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    data.extend([0; 4]);
    data
}

/// Writes a JPEG with an EXIF orientation; returns its bytes.
pub fn jpeg(folder: &Path, name: &str, size: [u32; 2], orientation: u8) -> Vec<u8> {
    let image = drawn(size[0], size[1]);
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, 92);
    encoder.set_exif_metadata(exif(orientation)).expect("supported");
    encoder
        .write_image(image.as_raw(), size[0], size[1], ExtendedColorType::Rgb8)
        .expect("encoded");
    write(folder, name, &bytes);
    bytes
}

/// Writes bytes to a file in a folder.
pub fn write(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, bytes).expect("written");
    path
}
