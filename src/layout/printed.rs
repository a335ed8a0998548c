//! What is printed on a piece, measured: in the piece's own frame, in inches, curves as curves.

use kurbo::BezPath;

use crate::model::{Color, Rect, Run};
use crate::picture::Excerpt;

/// Print on a piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Print {
    /// How far ground, picture and hatching run on beyond the cut.
    pub bleed: f64,
    /// The outline grown by that: nothing is printed beyond it.
    pub field: BezPath,
    /// Colour of the whole field, if not the paper's own.
    pub ground: Option<Color>,
    /// A picture over the whole field.
    pub picture: Option<PrintedPicture>,
    /// Hatching and rules.
    pub lines: Vec<PrintedLine>,
    /// Words.
    pub text: Option<PrintedText>,
}

/// A picture and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedPicture {
    /// The file and what is printed of it.
    pub excerpt: Excerpt,
    /// Where that lies among all the pieces that show parts of it.
    pub area: Rect,
    /// Top left of the piece among them.
    pub offset: [f64; 2],
}

/// A printed line.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedLine {
    /// Where it runs.
    pub path: BezPath,
    /// Its width.
    pub weight: f64,
    /// Its colour.
    pub ink: Color,
}

/// Printed words.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedText {
    /// The words.
    pub text: String,
    /// Baseline of the first line below the piece's top.
    pub baseline: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Colour of the type.
    pub ink: Color,
    /// The words in visual order, from the piece's left edge and the first baseline.
    pub runs: Vec<Run>,
}
