//! Print, words and pictures as the record keeps them.

use crate::geometry::path_data;
use crate::layout::{self, printed};
use crate::model::printer::KnownScale;
use crate::model::{Glyph, Run};
use crate::picture::Excerpt;
use crate::record::{
    PATH_DECIMALS, Picture, Print, PrintScale, PrintedLine, PrintedPicture, PrintedText, Rect,
    StampRow, rounded,
};

/// What is printed on a piece.
pub(super) fn print(print: &layout::Print) -> Print {
    Print {
        bleed: print.bleed,
        field: path_data(&print.field, PATH_DECIMALS),
        ground: print.ground,
        picture: print.picture.as_ref().map(self::printed_picture),
        lines: print.lines.iter().map(line).collect(),
        text: print.text.as_ref().map(text),
    }
}

/// A picture on a piece.
pub(super) fn printed_picture(picture_on: &printed::PrintedPicture) -> PrintedPicture {
    // Rounded before the piece's place is taken off: all its pieces then show one picture.
    let area = picture_on.area.rounded();
    let at = [0, 1].map(|axis| rounded(area.at[axis] - picture_on.offset[axis]));
    let area = Rect { at, ..area };
    PrintedPicture { picture: picture(&picture_on.excerpt), area }
}

fn line(line: &printed::PrintedLine) -> PrintedLine {
    PrintedLine {
        path: path_data(&line.path, PATH_DECIMALS),
        weight: rounded(line.weight),
        ink: line.ink,
    }
}

fn text(text: &printed::PrintedText) -> PrintedText {
    PrintedText {
        text: text.text.clone(),
        baseline: rounded(text.baseline),
        type_size: text.type_size,
        ink: text.ink,
        runs: runs(&text.runs),
    }
}

/// Words glyph by glyph.
pub(super) fn runs(runs: &[Run]) -> Vec<Run> {
    let glyph = |glyph: &Glyph| Glyph {
        x: rounded(glyph.x),
        y: rounded(glyph.y),
        advance: rounded(glyph.advance),
        ..glyph.clone()
    };
    runs.iter()
        .map(|run| Run { font: run.font, glyphs: run.glyphs.iter().map(glyph).collect() })
        .collect()
}

/// A part of a picture.
pub(super) fn picture(excerpt: &Excerpt) -> Picture {
    Picture {
        file: excerpt.file.clone(),
        sha256: excerpt.sha256.clone(),
        format: excerpt.format,
        dots: excerpt.stored,
        orientation: excerpt.orientation,
        crop: excerpt.crop.rounded(),
        resolution: rounded(excerpt.resolution),
    }
}

/// What the printer makes of lengths.
pub(super) fn print_scale(known: &KnownScale) -> PrintScale {
    PrintScale { across: known.scale.across, down: known.scale.down, from: known.told_by }
}

/// A row of stamps.
pub(super) fn stamp_row(row: &layout::StampRow) -> StampRow {
    StampRow {
        along: row.along.clone(),
        length: rounded(row.length.to_inches()),
        stamp: rounded(row.stamp.to_inches()),
        starts: row.starts.iter().copied().map(rounded).collect(),
    }
}
