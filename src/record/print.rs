//! What is printed on a piece before it is cut, in the piece's own frame.

use serde::{Deserialize, Serialize};

use super::{Picture, Rect, Run, Sheet};
use crate::model::Color;

/// Print on a piece; lengths in inches.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Print {
    /// How far ground, picture and hatching run on beyond the cut.
    pub bleed: f64,
    /// The outline grown by that, as SVG path data: nothing is printed beyond it.
    pub field: String,
    /// Colour of the whole field, if not the paper's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground: Option<Color>,
    /// A picture over the whole field.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture: Option<PrintedPicture>,
    /// Hatching and rules.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<PrintedLine>,
    /// Words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<PrintedText>,
}

/// A picture and where it lies.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PrintedPicture {
    /// The file and what is printed of it.
    pub picture: Picture,
    /// Where that lies; other pieces may show their own parts of it.
    pub area: Rect,
}

/// A printed line.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PrintedLine {
    /// SVG path data.
    pub path: String,
    /// Its width.
    pub weight: f64,
    /// Its colour.
    pub ink: Color,
}

/// Printed words.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
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

impl super::Record {
    /// The sheets that are printed before the machine cuts them, in the order of their pages.
    pub fn printed_before_cut(&self) -> Vec<&Sheet> {
        let mut sheets: Vec<&Sheet> =
            self.sheets.iter().filter(|sheet| sheet.in_register.is_some()).collect();
        sheets.sort_by_key(|sheet| sheet.in_register);
        sheets
    }
}
