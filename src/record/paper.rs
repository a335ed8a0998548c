//! Papers and what is left of them.

use serde::{Deserialize, Serialize};

use super::{OffcutUsed, Picture};
use crate::model::{Color, Count, OffcutId, Pattern, PictureFill, Price, Turns};

/// A paper and what is left of it after this run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// Its name in the spec.
    pub name: String,
    /// Its colour.
    pub color: Color,
    /// The pattern on it; it begins in the top left corner of each sheet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pattern: Option<Pattern>,
    /// The picture on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture: Option<PaperPicture>,
    /// Whether a pattern forbids turning pieces.
    pub directional: bool,
    /// How its pieces may be turned on a sheet, as for [`super::Piece::turns`], if the spec says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<Turns>,
    /// Whether its sheets and offcuts are those of the stock, not of the spec.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub from_stock: bool,
    /// Whole sheets left after this run.
    pub left: Vec<StockLeft>,
    /// Offcuts that were on hand and were used, and what each saves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub offcuts_used: Vec<OffcutUsed>,
    /// Offcuts that were on hand and were not used.
    pub offcuts_left: Vec<OffcutLeft>,
    /// New sheets used by this run.
    pub new_sheets: u32,
    /// The fewest new sheets that any plan could do with, as far as the bounds can tell.
    pub bound: u32,
    /// Share of the used sheets' area that became pieces, 0 to 1.
    pub used: f64,
    /// What limited the number of sheets, and what would save one.
    pub notes: Vec<String>,
}

/// A picture that is printed on a paper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PaperPicture {
    /// The whole picture.
    pub picture: Picture,
    /// Its real size.
    pub size: [f64; 2],
    /// How it lies on a sheet.
    pub fill: PictureFill,
}

/// Whole sheets of one size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StockLeft {
    /// Sheet size.
    pub size: [f64; 2],
    /// Sheets left.
    pub count: u32,
    /// Price of one sheet in whatever coin the user thinks in, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Price>,
}

/// A leftover from earlier.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OffcutLeft {
    /// Its name.
    pub id: OffcutId,
    /// Its size.
    pub size: [f64; 2],
    /// How many there are of it.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub count: Count,
}
