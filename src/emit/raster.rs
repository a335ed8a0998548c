//! Pictures of dots from pictures of lines.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder};
use resvg::{tiny_skia, usvg};

/// The most dots a picture may have: 64 million, or 256 MB while it is drawn.
const MOST_DOTS: f64 = 64e6;
/// How hard a PNG is compressed, of 9.
const LEVEL: u8 = 1;
/// What one inch is in the SVG reader's own unit (CSS: 96 px are 1 in).
const UNITS_PER_INCH: f64 = 96.0;

/// The SVG document `svg`, whose width and height are in inches, as a PNG of `pixels_per_inch`.
///
/// Nothing outside the document is read; pictures in it are JPEG data. The message of a failure is a
/// sentence.
pub fn png(svg: &str, pixels_per_inch: f64) -> Result<Vec<u8>, String> {
    let tree = usvg::Tree::from_str(svg, &closed_options())
        .map_err(|error| format!("the picture can't be read: {error}"))?;
    let scale = pixels_per_inch / UNITS_PER_INCH;
    let (width, height) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
    let (across, down) = ((width * scale).round(), (height * scale).round());
    let fits = across >= 1.0 && down >= 1.0 && across * down <= MOST_DOTS;
    if !fits {
        return Err(format!(
            "a picture of {across} x {down} dots can't be drawn: choose another resolution"
        ));
    }
    let mut dots = tiny_skia::Pixmap::new(whole(across), whole(down))
        .ok_or("there is not enough memory for the picture")?;
    let fill = |dots: f64, units: f64| narrow(dots / units);
    let transform = tiny_skia::Transform::from_scale(fill(across, width), fill(down, height));
    resvg::render(&tree, transform, &mut dots.as_mut());
    encoded(dots).map_err(|error| format!("the picture can't be written: {error}"))
}

/// The dots as a PNG, without their opacity where all are opaque.
fn encoded(dots: tiny_skia::Pixmap) -> image::ImageResult<Vec<u8>> {
    let (width, height) = (dots.width(), dots.height());
    let opaque = dots.data().iter().skip(3).step_by(4).all(|opacity| *opacity == u8::MAX);
    let (samples, color) = if opaque {
        // Colours that no opacity was multiplied into.
        let mut samples = Vec::with_capacity(dots.data().len() / 4 * 3);
        let colors = dots.data().chunks_exact(4).map(|dot| [dot[0], dot[1], dot[2]]);
        colors.for_each(|color| samples.extend_from_slice(&color));
        (samples, ExtendedColorType::Rgb8)
    } else {
        (dots.take_demultiplied(), ExtendedColorType::Rgba8)
    };
    let mut png = Vec::new();
    PngEncoder::new_with_quality(&mut png, CompressionType::Level(LEVEL), FilterType::Adaptive)
        .write_image(&samples, width, height, color)?;
    Ok(png)
}

/// Options by which no file or address is ever opened.
fn closed_options() -> usvg::Options<'static> {
    usvg::Options {
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|kind, data, _| {
                (kind == "image/jpeg").then_some(usvg::ImageKind::JPEG(data))
            }),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    }
}

#[expect(clippy::cast_possible_truncation, reason = "bounded by MOST_DOTS")]
#[expect(clippy::cast_sign_loss, reason = "at least 1")]
fn whole(dots: f64) -> u32 {
    dots as u32
}

#[expect(clippy::cast_possible_truncation, reason = "the renderer works in f32")]
fn narrow(value: f64) -> f32 {
    value as f32
}
