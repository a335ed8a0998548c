//! A photo as it is written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Distance, Focus, Marked, Text, Written};
use crate::model::Facing;
use crate::model::length::Sides;

/// A photo.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PhotoSpec {
    /// Size of the whole print, its white border included.
    pub size: Written<Sides>,
    /// Width of the white border within the size; none if not given.
    pub border: Option<Written<Distance>>,
    /// The way that people in it face: `left` or `right`. A photo that faces off the spread is a warning.
    #[serde(alias = "looks")]
    pub facing: Option<Written<Facing>>,
    /// The picture to print: a JPEG, PNG, TIFF or WebP file, by its path from the spec's folder. Without
    /// one, a print is on hand already.
    pub file: Option<Marked<Text>>,
    /// The point of the picture that matters most, `[across, down]` as shares of its width and height from
    /// the top left; the picture is cropped round it, and a print that may be trimmed is trimmed round it.
    /// `[0.5, 0.5]`, its middle, if not given.
    pub focus: Option<Marked<Focus>>,
    /// Whether a print on hand may be trimmed, where a bank crops its photos so that they end flush.
    pub trim: Option<Marked<bool>>,
    /// Prints a picture of fewer than 100 dots an inch all the same.
    #[serde(rename = "allow low resolution")]
    pub allow_low_resolution: Option<Marked<bool>>,
}
