//! Pictures from files: what they are, which part of them is printed, and their dots.
//!
//! In comes the path of a JPEG, PNG, TIFF or WebP file; out comes a [`PictureFile`] that knows its
//! size, its turn and its hash. Headers are read first and anything too large to hold is refused
//! before a dot is decoded. The bytes themselves are read again when they are needed, one file at a
//! time, so that a spread of many photos needs the memory of one.

mod density;
pub mod dots;
mod excerpt;
pub mod frame;
pub mod jpeg;
pub(crate) mod on_paper;

use crate::model::Fault;
use std::fmt;
use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use image::{ImageDecoder, ImageReader};
use sha2::{Digest, Sha256};

pub use crate::model::PictureFormat as Format;
pub use excerpt::Excerpt;

/// Dots an inch below which a print looks soft in the hand. A sharp eye tells apart one minute of arc
/// (the definition of normal sight), which is 1/240 in seen from 14 in.
pub const SHARP: f64 = 240.0;
/// Dots an inch below which the dots themselves show: one minute of arc is 1/100 in seen from 34 in,
/// farther than an arm is long.
pub const COARSE: f64 = 100.0;
/// The share of a picture that a crop should keep (common practice, no source).
pub const KEPT: f64 = 0.5;

/// The largest file that is read, in bytes: an uncompressed picture of 48 million dots has 144 MB.
const LARGEST_FILE: u64 = 150_000_000;
/// The most dots of a picture: 120 million, 360 MB while it is decoded. Cameras and phones stay below
/// or can be told to.
const MOST_DOTS: u64 = 120_000_000;
/// The most bytes of a picture's dots while it is decoded: the largest picture at 8 bits, or 60 million
/// dots at 16.
const MOST_BYTES: u64 = 400_000_000;
/// Dots that one byte of a JPEG or PNG file can stand for at most. A JPEG block of 64 dots takes two
/// bits at least (ITU-T T.81, Huffman codes have one bit or more); deflate makes 1032 bytes from one.
const MOST_DOTS_A_BYTE: u64 = 1_100 * 8;
/// The longest colour profile that is kept, in bytes.
const LONGEST_PROFILE: usize = 4_000_000;

impl Format {
    /// Told from the first bytes, whatever the file's name says.
    fn of(bytes: &[u8]) -> Option<Self> {
        match bytes {
            [0xff, 0xd8, 0xff, ..] => Some(Self::Jpeg),
            [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Some(Self::Png),
            [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => Some(Self::Tiff),
            [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some(Self::WebP),
            _ => None,
        }
    }

    const fn image_format(self) -> image::ImageFormat {
        match self {
            Self::Jpeg => image::ImageFormat::Jpeg,
            Self::Png => image::ImageFormat::Png,
            Self::Tiff => image::ImageFormat::Tiff,
            Self::WebP => image::ImageFormat::WebP,
        }
    }
}

/// A picture file whose header is sound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureFile {
    /// The file as the spec names it.
    pub name: String,
    /// Where it stands.
    path: PathBuf,
    /// What kind of file it is.
    pub format: Format,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// Width and height in dots as they are stored, before any turn.
    pub stored: [u32; 2],
    /// The EXIF orientation, 1 to 8; 1 means that the dots are stored as they are seen.
    pub orientation: u8,
    /// Dots an inch across and down as they are stored, in whole thousandths, where a scanner noted them.
    noted: Option<[u32; 2]>,
}

impl PictureFile {
    /// Dots an inch across and down as they are seen, where a scanner noted them.
    pub fn dots_an_inch(&self) -> Option<[f64; 2]> {
        let [across, down] = self.noted?.map(|dots| f64::from(dots) / 1000.0);
        Some(if self.orientation >= 5 { [down, across] } else { [across, down] })
    }

    /// Reads the header of the file at `path`, which the spec calls `name`.
    pub fn open(path: &Path, name: &str) -> Result<Self, Fault> {
        let bytes = read(path, name)?;
        let format = Format::of(&bytes).ok_or_else(|| not_a_picture(&bytes, name))?;
        let broken = |error: &dyn fmt::Display| {
            Fault::new(
                format!("`{name}` is broken: {error}"),
                "open it in another program and save it again, or copy it anew",
            )
        };
        let mut decoder = ImageReader::with_format(Cursor::new(&bytes), format.image_format())
            .into_decoder()
            .map_err(|error| broken(&error))?;
        let (width, height) = decoder.dimensions();
        let dots = u64::from(width) * u64::from(height);
        if dots == 0 {
            return Err(broken(&"it has no dots"));
        }
        if dots > MOST_DOTS || decoder.total_bytes() > MOST_BYTES {
            return Err(Fault::new(
                format!("`{name}` claims {width} x {height} dots, more than can be held"),
                "make a smaller copy of it: 300 dots an inch of the print are plenty",
            ));
        }
        let small = u64::try_from(bytes.len()).is_ok_and(|size| size * MOST_DOTS_A_BYTE < dots);
        if small && matches!(format, Format::Jpeg | Format::Png) {
            return Err(broken(&format!(
                "{} bytes can't hold the {width} x {height} dots it claims",
                bytes.len()
            )));
        }
        let orientation = decoder.orientation().map_or(1, |turn| turn.to_exif());
        if format == Format::Jpeg {
            let head = jpeg::head(&bytes).ok_or_else(|| broken(&"its parts don't fit together"))?;
            if head.end.is_none() {
                return Err(broken(&"it ends in the middle of the picture"));
            }
        }
        Ok(Self {
            name: name.to_owned(),
            path: path.to_owned(),
            format,
            sha256: sha256(&bytes),
            stored: [width, height],
            orientation,
            noted: density::density(&bytes, format).map(|dots| dots.map(thousandths)),
        })
    }

    /// Width and height in dots as they are seen, the EXIF turn obeyed.
    pub fn seen(&self) -> [u32; 2] {
        frame::seen(self.stored, self.orientation)
    }

    /// The file's bytes, which must still be those that [`PictureFile::open`] read.
    pub fn bytes(&self) -> Result<Vec<u8>, Fault> {
        let bytes = read(&self.path, &self.name)?;
        if sha256(&bytes) == self.sha256 {
            return Ok(bytes);
        }
        let message = format!("`{}` has changed while it was in use", self.name);
        Err(Fault::new(message, "build the spread anew"))
    }
}

/// The bytes of a file, unless they are too many.
fn read(path: &Path, name: &str) -> Result<Vec<u8>, Fault> {
    let unread = |error: std::io::Error| {
        let message = format!("the picture `{name}` can't be read: {error}");
        Fault::new(message, "write its path from the spec's folder")
    };
    let about = fs::metadata(path).map_err(unread)?;
    if !about.is_file() {
        let message = format!("`{name}` is not a file");
        return Err(Fault::new(message, "name the picture's file"));
    }
    if about.len() > LARGEST_FILE {
        let message = format!("`{name}` is larger than {} MB", LARGEST_FILE / 1_000_000);
        return Err(Fault::new(message, "save a smaller copy, as a JPEG for instance"));
    }
    fs::read(path).map_err(unread)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "10 000 at most")]
fn thousandths(dots: f64) -> u32 {
    (dots * 1000.0).round() as u32
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What to say about a file that is none of the four formats.
fn not_a_picture(bytes: &[u8], name: &str) -> Fault {
    let message = format!("`{name}` is not a JPEG, PNG, TIFF or WebP picture");
    let help = match bytes.get(4..8) {
        // ISO/IEC 14496-12: the box that opens a HEIC, HEIF or AVIF file.
        Some(b"ftyp") => "save it as JPEG: the phone or a photo program can",
        _ if bytes.is_empty() => "the file is empty: copy it anew",
        _ => "name a picture's file, or save it in one of these formats",
    };
    Fault::new(message, help)
}

/// The colour profile of a picture, if its dots are of that many channels (ICC.1, header bytes 16 to
/// 19).
pub(crate) fn profile(bytes: &[u8], format: Format, channels: u8) -> Option<Vec<u8>> {
    let reader = ImageReader::with_format(Cursor::new(bytes), format.image_format());
    let profile = reader.into_decoder().ok()?.icc_profile().ok()??;
    let space: &[u8] = match channels {
        1 => b"GRAY",
        3 => b"RGB ",
        _ => b"CMYK",
    };
    let fits = profile.get(16..20) == Some(space) && profile.len() <= LONGEST_PROFILE;
    fits.then_some(profile)
}
