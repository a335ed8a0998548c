//! A picture's dots: decoded, cut to what is printed, made smaller for the screen.

use std::collections::BTreeMap;

use crate::model::{Color, Fault, Rect};
use std::io::Cursor;

use fast_image_resize::images::{Image, ImageRef};
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};
use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{
    DynamicImage, ExtendedColorType, GenericImageView, ImageEncoder, ImageReader, Limits, Pixel,
};

use super::frame::stored_part;
use super::{PictureFile, profile};

/// Memory that a decoder may ask for, in bytes: the dots of the largest picture, twice.
const MOST_MEMORY: u64 = 800_000_000;
/// Quality of a small copy, of 100: no trace of it shows at its size.
const QUALITY: u8 = 82;
/// Lower bits of a channel that make no other shade.
const SHADE_BITS: u32 = 5;

/// The dots of a print, row by row from its top, as seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dots {
    /// Width and height.
    pub size: [u32; 2],
    /// 1 for grey, 3 for red, green and blue.
    pub channels: u8,
    /// The samples.
    pub samples: Vec<u8>,
    /// Colour profile of the samples.
    pub profile: Option<Vec<u8>>,
}

impl Dots {
    /// The colours with their shares, the largest first; dots whose channels agree in their upper bits are
    /// one, of the mean of them.
    pub fn shades(&self) -> Vec<(Color, f64)> {
        let channels = usize::from(self.channels.max(1));
        let mut alike: BTreeMap<[u8; 3], ([u32; 3], u32)> = BTreeMap::new();
        for dot in self.samples.chunks_exact(channels) {
            let dot = [0, 1, 2].map(|channel| dot[channel.min(channels - 1)]);
            let (sum, count) = alike.entry(dot.map(|value| value >> SHADE_BITS)).or_default();
            sum.iter_mut().zip(dot).for_each(|(sum, value)| *sum += u32::from(value));
            *count += 1;
        }
        let all: u32 = alike.values().map(|(_, count)| count).sum();
        let shade = |(sum, count): ([u32; 3], u32)| {
            let mean =
                sum.map(|sum| u8::try_from((sum + count / 2) / count.max(1)).unwrap_or(u8::MAX));
            (Color::new(mean), f64::from(count) / f64::from(all.max(1)))
        };
        let mut shades: Vec<(Color, f64)> = alike.into_values().map(shade).collect();
        shades.sort_by(|(_, one), (_, other)| other.total_cmp(one));
        shades
    }

    /// The colour at a place: its shares of the width and the height, from 0 up to 1.
    pub fn color(&self, across: f64, down: f64) -> Option<Color> {
        let [column, row] = [(across, self.size[0]), (down, self.size[1])]
            .map(|(share, count)| dot_at(share, count).min(count.saturating_sub(1)));
        let dot = usize::try_from(row * self.size[0] + column).ok()?;
        let first = dot * usize::from(self.channels);
        let sample = |channel: usize| self.samples.get(first + channel).copied();
        match self.channels {
            1 => sample(0).map(|grey| Color::new([grey; 3])),
            _ => Some(Color::new([sample(0)?, sample(1)?, sample(2)?])),
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a count of dots"
)]
fn dot_at(share: f64, count: u32) -> u32 {
    (share.clamp(0.0, 1.0) * f64::from(count)) as u32
}

/// The whole dots that `crop` of a picture touches, and where `crop` lies in them.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `image`")]
pub fn printed(file: &PictureFile, crop: &Rect) -> Result<(Dots, Rect), Fault> {
    let part = stored_part(file.stored, file.orientation, crop);
    let (image, profile) = decoded(file, part)?;
    let image = turned(image, file.orientation);
    // Where the turned part begins in the picture as seen.
    let [left, top, across, down] = part;
    let [width, height] = file.stored;
    let (from_right, from_bottom) = (width - left - across, height - top - down);
    let begins = match file.orientation {
        2 => [from_right, top],
        3 => [from_right, from_bottom],
        4 => [left, from_bottom],
        5 => [top, left],
        6 => [from_bottom, left],
        7 => [from_bottom, from_right],
        8 => [top, from_right],
        _ => [left, top],
    };
    let at = [0, 1].map(|axis| crop.at[axis] - f64::from(begins[axis]));
    let size = [image.width(), image.height()];
    let (channels, samples) = match image {
        DynamicImage::ImageLuma8(grey) => (1, grey.into_raw()),
        other => (3, other.into_rgb8().into_raw()),
    };
    Ok((Dots { size, channels, samples, profile }, Rect { at, size: crop.size }))
}

/// The dots of `crop` of a picture as they are seen, at most `most` wide and high.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `image`")]
pub fn small_dots(file: &PictureFile, crop: &Rect, most: [u32; 2]) -> Result<Dots, Fault> {
    let (image, profile) = small(file, crop, most)?;
    let size = [image.width(), image.height()];
    let (channels, samples) = match image {
        DynamicImage::ImageLuma8(grey) => (1, grey.into_raw()),
        other => (3, other.into_rgb8().into_raw()),
    };
    Ok(Dots { size, channels, samples, profile })
}

/// `crop` of a picture as it is seen, at most `most` dots wide and high, with its colour profile.
fn small(
    file: &PictureFile,
    crop: &Rect,
    most: [u32; 2],
) -> Result<(DynamicImage, Option<Vec<u8>>), Fault> {
    let part = stored_part(file.stored, file.orientation, crop);
    let (image, profile) = decoded(file, part)?;
    let most = if file.orientation >= 5 { [most[1], most[0]] } else { most };
    let [width, height] = [image.width().min(most[0]).max(1), image.height().min(most[1]).max(1)];
    let image = resized(image, [width, height]).map_err(|error| broken(file, &error))?;
    Ok((turned(image, file.orientation), profile))
}

/// A JPEG of `crop` of a picture that is at most `most` dots wide and high, as seen.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `image`")]
pub fn small_copy(file: &PictureFile, crop: &Rect, most: [u32; 2]) -> Result<Vec<u8>, Fault> {
    let (image, profile) = small(file, crop, most)?;
    let mut jpeg = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut jpeg, QUALITY);
    if let Some(profile) = profile {
        // A copy without its profile is still a copy.
        let _ = encoder.set_icc_profile(profile);
    }
    let color = match &image {
        DynamicImage::ImageLuma8(_) => ExtendedColorType::L8,
        _ => ExtendedColorType::Rgb8,
    };
    encoder
        .write_image(image.as_bytes(), image.width(), image.height(), color)
        .map_err(|error| broken(file, &error.to_string()))?;
    Ok(jpeg)
}

/// A picture of other size: each dot is the mean of the dots that it covers, weighted by a triangle.
#[expect(clippy::wildcard_enum_match_arm, reason = "enums of `image` and `fast_image_resize`")]
fn resized(image: DynamicImage, [width, height]: [u32; 2]) -> Result<DynamicImage, String> {
    if [image.width(), image.height()] == [width, height] {
        return Ok(image);
    }
    let kind = match &image {
        DynamicImage::ImageLuma8(_) => PixelType::U8,
        _ => PixelType::U8x3,
    };
    let from = ImageRef::new(image.width(), image.height(), image.as_bytes(), kind)
        .map_err(|error| error.to_string())?;
    let mut into = Image::new(width, height, kind);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Bilinear));
    Resizer::new().resize(&from, &mut into, &options).map_err(|error| error.to_string())?;
    let samples = into.into_vec();
    let made = match kind {
        PixelType::U8 => {
            image::GrayImage::from_raw(width, height, samples).map(DynamicImage::ImageLuma8)
        }
        _ => image::RgbImage::from_raw(width, height, samples).map(DynamicImage::ImageRgb8),
    };
    made.ok_or_else(|| "its smaller copy has other dots than it should".to_owned())
}

/// A part of the stored dots in 8 bits, grey or in colours, on white; and the profile of these.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `image`")]
fn decoded(
    file: &PictureFile,
    [left, top, width, height]: [u32; 4],
) -> Result<(DynamicImage, Option<Vec<u8>>), Fault> {
    let bytes = file.bytes()?;
    let mut reader = ImageReader::with_format(Cursor::new(&bytes), file.format.image_format());
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let whole = reader.decode().map_err(|error| broken(file, &error.to_string()))?;
    if [whole.width(), whole.height()] != file.stored {
        return Err(broken(file, "it has other dots than its header says"));
    }
    let part = |image: DynamicImage| {
        if [left, top] == [0, 0] && [width, height] == [image.width(), image.height()] {
            image
        } else {
            image.crop_imm(left, top, width, height)
        }
    };
    let image = match whole {
        image @ (DynamicImage::ImageLuma8(_) | DynamicImage::ImageRgb8(_)) => part(image),
        image @ DynamicImage::ImageLuma16(_) => DynamicImage::ImageLuma8(part(image).into_luma8()),
        image if image.color().has_alpha() => DynamicImage::ImageRgb8(on_white(&part(image))),
        image => DynamicImage::ImageRgb8(part(image).into_rgb8()),
    };
    let channels = if image.color().has_color() { 3 } else { 1 };
    let profile = profile(&bytes, file.format, channels);
    Ok((image, profile))
}

/// What shows through is white paper.
fn on_white(image: &DynamicImage) -> image::RgbImage {
    let mut opaque = image::RgbImage::new(image.width(), image.height());
    for (x, y, dot) in image.pixels() {
        let mut paper = image::Rgba([255, 255, 255, 255]);
        paper.blend(&dot);
        opaque.put_pixel(x, y, paper.to_rgb());
    }
    opaque
}

fn turned(mut image: DynamicImage, orientation: u8) -> DynamicImage {
    image.apply_orientation(
        Orientation::from_exif(orientation).unwrap_or(Orientation::NoTransforms),
    );
    image
}

fn broken(file: &PictureFile, error: &str) -> Fault {
    Fault::new(
        format!("`{}` is broken: {error}", file.name),
        "open it in another program and save it again, or copy it anew",
    )
}
