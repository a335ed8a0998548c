//! Pictures in a document: JPEG files as they are, everything else as its dots.

use std::io::Write;
use std::sync::Arc;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use pdf_writer::types::Predictor;
use pdf_writer::{Filter, Finish, Pdf, Ref};

use crate::model::Rect;
use crate::picture::dots::{Dots, printed};
use crate::picture::{Format, PictureFile, jpeg, profile};

/// The longest side of a JPEG file that readers of documents decode, in dots: the limit of the library that
/// most of them use (libjpeg, `JPEG_MAX_DIMENSION`), a little under what the format itself can say.
const LONGEST_JPEG: u32 = 65_500;

/// A picture that pages can show.
pub struct Image {
    file: Arc<PictureFile>,
    source: Source,
}

enum Source {
    /// The file's bytes, which are read when the document is written.
    Jpeg(jpeg::Head),
    /// Compressed rows of dots.
    Rows { size: [u32; 2], channels: u8, rows: Vec<u8>, profile: Option<Vec<u8>> },
}

/// How a picture's dots are to be laid: as stored with the file's turn, or as seen with a crop of
/// their own.
pub enum Laid {
    /// The whole file as it is stored.
    Stored,
    /// Dots as they are seen: how many, and what is to be shown of them.
    Seen([u32; 2], Rect),
}

impl Image {
    /// A picture of which `crop` is shown. A JPEG file is passed on as it is, whatever its crop and
    /// turn; of other files the dots that `crop` touches are kept, turned.
    pub fn new(file: &Arc<PictureFile>, crop: &Rect) -> Result<(Self, Laid), String> {
        if file.format == Format::Jpeg && file.stored.iter().all(|side| *side <= LONGEST_JPEG) {
            let bytes = file.bytes().map_err(|error| error.to_string())?;
            if let Some(head) = jpeg::head(&bytes).filter(jpeg::Head::fits_pdf) {
                let image = Self { file: Arc::clone(file), source: Source::Jpeg(head) };
                return Ok((image, Laid::Stored));
            }
        }
        let (dots, crop) = printed(file, crop).map_err(|error| error.to_string())?;
        let rows = rows(&dots).map_err(|error| format!("`{}`: {error}", file.name))?;
        let Dots { size, channels, profile, .. } = dots;
        let source = Source::Rows { size, channels, rows, profile };
        Ok((Self { file: Arc::clone(file), source }, Laid::Seen(size, crop)))
    }

    pub(super) fn sha256(&self) -> &str {
        &self.file.sha256
    }

    /// Writes the picture and its colour profile.
    pub(super) fn write(self, pdf: &mut Pdf, ids: [Ref; 2]) -> Result<(), String> {
        match self.source {
            Source::Jpeg(head) => {
                let bytes = self.file.bytes().map_err(|error| error.to_string())?;
                let profile = profile(&bytes, Format::Jpeg, head.channels);
                let bytes = &bytes[..head.end.unwrap_or(bytes.len()).min(bytes.len())];
                write_profile(pdf, ids[1], head.channels, profile.as_deref());
                let mut image = pdf.image_xobject(ids[0], bytes);
                image.filter(Filter::DctDecode);
                if head.channels == 3 && head.named_rgb && head.adobe.is_none() {
                    // Red, green and blue themselves; without this a reader takes them for luma and
                    // chroma (ISO 32000-1, 7.4.8).
                    image.decode_parms().pair(pdf_writer::Name(b"ColorTransform"), 0);
                }
                if head.channels == 4 && head.adobe.is_some() {
                    // Adobe's inks are stored the other way round (Adobe Technical Note 5116).
                    image.decode([1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0]);
                }
                finish(image, self.file.stored, head.channels, profile.is_some(), ids[1])
            }
            Source::Rows { size, channels, rows, profile } => {
                write_profile(pdf, ids[1], channels, profile.as_deref());
                let mut image = pdf.image_xobject(ids[0], &rows);
                image.filter(Filter::FlateDecode);
                image
                    .decode_parms()
                    .predictor(Predictor::PngPaeth)
                    .colors(i32::from(channels))
                    .columns(whole(size[0])?);
                finish(image, size, channels, profile.is_some(), ids[1])
            }
        }
    }
}

/// The picture's name in a page's resources.
pub(super) fn resource(image: usize) -> String {
    format!("Picture{image}")
}

fn write_profile(pdf: &mut Pdf, id: Ref, channels: u8, profile: Option<&[u8]>) {
    if let Some(profile) = profile {
        pdf.icc_profile(id, profile).n(i32::from(channels));
    }
}

fn finish(
    mut image: pdf_writer::writers::ImageXObject<'_>,
    size: [u32; 2],
    channels: u8,
    has_profile: bool,
    profile: Ref,
) -> Result<(), String> {
    image.width(whole(size[0])?).height(whole(size[1])?).bits_per_component(8);
    let space = image.color_space();
    match (has_profile, channels) {
        (true, _) => space.icc_based(profile),
        (false, 1) => space.device_gray(),
        (false, 3) => space.device_rgb(),
        (false, _) => space.device_cmyk(),
    }
    image.finish();
    Ok(())
}

fn whole(dots: u32) -> Result<i32, String> {
    i32::try_from(dots).map_err(|error| error.to_string())
}

/// The rows of a picture, each told as what differs from its neighbours (ISO/IEC 15948, 9.4, filter
/// type 4), compressed.
fn rows(dots: &Dots) -> std::io::Result<Vec<u8>> {
    let step = usize::from(dots.channels);
    let width = usize::try_from(dots.size[0]).unwrap_or(usize::MAX).saturating_mul(step).max(1);
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    let mut above = vec![0; width];
    let mut line = vec![0; width + 1];
    for row in dots.samples.chunks_exact(width) {
        line[0] = 4;
        for place in 0..width {
            let (left, corner) =
                if place < step { (0, 0) } else { (row[place - step], above[place - step]) };
            line[place + 1] = row[place].wrapping_sub(likely(left, above[place], corner));
        }
        encoder.write_all(&line)?;
        above.copy_from_slice(row);
    }
    encoder.finish()
}

/// Which of three neighbours is nearest to their plane (A. Paeth; ISO/IEC 15948, 9.4).
fn likely(left: u8, above: u8, corner: u8) -> u8 {
    let plane = i16::from(left) + i16::from(above) - i16::from(corner);
    let far = |sample: u8| (plane - i16::from(sample)).abs();
    if far(left) <= far(above) && far(left) <= far(corner) {
        left
    } else if far(above) <= far(corner) {
        above
    } else {
        corner
    }
}
