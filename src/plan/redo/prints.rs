//! Print of a redo: what the record tells is printed on its pieces, and how its pages are corrected.

use kurbo::BezPath;

use crate::description::Problem;
use crate::layout::printed::{Print, PrintedLine, PrintedPicture, PrintedText};
use crate::model::printer::{KnownScale, Scale};
use crate::picture::Excerpt;
use crate::record::{self, Picture, PrintScale};

/// What is printed on a piece; `path` reads path data.
pub(super) fn read(
    print: &record::Print,
    path: impl Fn(&str) -> Result<BezPath, Problem>,
) -> Result<Print, Problem> {
    let line = |line: &record::PrintedLine| {
        Ok(PrintedLine { path: path(&line.path)?, weight: line.weight, ink: line.ink })
    };
    let picture = |printed: &record::PrintedPicture| {
        let excerpt = excerpt(&printed.picture);
        PrintedPicture { excerpt, area: printed.area, offset: [0.0; 2] }
    };
    let text = |text: &record::PrintedText| PrintedText {
        text: text.text.clone(),
        baseline: text.baseline,
        type_size: text.type_size,
        ink: text.ink,
        runs: text.runs.clone(),
    };
    Ok(Print {
        bleed: print.bleed,
        field: path(&print.field)?,
        ground: print.ground,
        picture: print.picture.as_ref().map(picture),
        lines: print.lines.iter().map(line).collect::<Result<_, Problem>>()?,
        text: print.text.as_ref().map(text),
    })
}

/// A part of a picture that the record names.
pub(super) fn excerpt(picture: &Picture) -> Excerpt {
    Excerpt {
        file: picture.file.clone(),
        sha256: picture.sha256.clone(),
        format: picture.format,
        stored: picture.dots,
        orientation: picture.orientation,
        crop: picture.crop,
        resolution: picture.resolution,
    }
}

/// What the printer made of lengths.
pub(super) fn print_scale(scale: &PrintScale) -> KnownScale {
    KnownScale { scale: Scale { across: scale.across, down: scale.down }, told_by: scale.from }
}
