//! Print of a redo: what the record tells is printed on its pieces, and how its pages are corrected.

use kurbo::BezPath;

use crate::description::Problem;
use crate::layout::printed::{Print, PrintedLine, PrintedPicture, PrintedText};
use crate::model::printer::{KnownScale, Scale, ToldBy};
use crate::picture::frame::Crop;
use crate::picture::{Excerpt, Format};
use crate::record::{self, Picture, PrintScale};

/// What is printed on a piece; `path` reads path data.
pub(super) fn read(
    print: &record::Print,
    path: impl Fn(&str) -> Result<BezPath, Problem>,
) -> Result<Print, Problem> {
    let line = |line: &record::PrintedLine| {
        Ok(PrintedLine { path: path(&line.path)?, weight: line.weight, ink: line.ink.clone() })
    };
    let picture = |printed: &record::PrintedPicture| {
        let (excerpt, area) = (excerpt(&printed.picture)?, printed.area);
        Ok(PrintedPicture { excerpt, at: area.at, offset: [0.0; 2], size: area.size })
    };
    let text = |text: &record::PrintedText| PrintedText {
        text: text.text.clone(),
        baseline: text.baseline,
        type_size: text.type_size,
        ink: text.ink.clone(),
        runs: text.runs.clone(),
    };
    Ok(Print {
        bleed: print.bleed,
        field: path(&print.field)?,
        ground: print.ground.clone(),
        picture: print.picture.as_ref().map(picture).transpose()?,
        lines: print.lines.iter().map(line).collect::<Result<_, Problem>>()?,
        text: print.text.as_ref().map(text),
    })
}

/// A part of a picture that the record names.
pub(super) fn excerpt(picture: &Picture) -> Result<Excerpt, Problem> {
    let what = format!("the format of `{}`", picture.file);
    Ok(Excerpt {
        file: picture.file.clone(),
        sha256: picture.sha256.clone(),
        format: super::one_of(&what, &picture.format, Format::ALL, Format::name)?,
        stored: picture.dots,
        orientation: picture.orientation,
        crop: Crop { at: picture.crop.at, size: picture.crop.size },
        resolution: picture.resolution,
    })
}

/// What the printer made of lengths.
pub(super) fn print_scale(scale: &PrintScale) -> KnownScale {
    let told_by = if scale.from == "spec" { ToldBy::Spec } else { ToldBy::Ruler };
    KnownScale { scale: Scale { across: scale.across, down: scale.down }, told_by }
}
