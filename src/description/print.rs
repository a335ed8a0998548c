//! What is printed on a piece before the machine cuts it.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Distance, Focus, Marked, Text, Written};
use crate::model::length::LengthSum;
use crate::model::{Align, Color};

/// Print on a piece that the machine cuts out afterwards, by the registration marks.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PrintSpec {
    /// Colour all over, run on under the cut; the paper's own if not given.
    pub ground: Option<Written<Color>>,
    /// A picture all over, run on under the cut: a JPEG, PNG, TIFF or WebP file, by its path from the
    /// spec's folder.
    pub picture: Option<Marked<Text>>,
    /// The point of the picture that matters most, `[across, down]`; `[0.5, 0.5]` if not given.
    pub focus: Option<Marked<Focus>>,
    /// Prints a picture of fewer than 100 dots an inch all the same.
    #[serde(rename = "allow low resolution")]
    pub allow_low_resolution: Option<Marked<bool>>,
    /// Parallel lines all over, run on under the cut; level ones are lines to write on.
    pub hatch: Option<Marked<PrintHatchSpec>>,
    /// A line all round inside the edge.
    pub rule: Option<Marked<RuleSpec>>,
    /// Words; a line break begins a new paragraph. `*so*` is emphasis, `**so**` is strong.
    pub text: Option<Marked<Text>>,
    /// Font family or file of the words; `text` (built in) if not given.
    pub font: Option<Marked<Text>>,
    /// Font of emphasis; the italic, oblique or slanted style of `font` if not given.
    pub emphasis: Option<Marked<Text>>,
    /// Font of strong words; the bold of `font` if not given.
    pub strong: Option<Marked<Text>>,
    /// Type size, `11 pt` if not given.
    pub size: Option<Written<LengthSum>>,
    /// Colour of words and lines; dark on light, no ink on dark if not given.
    pub ink: Option<Written<Color>>,
    /// How lines are aligned: `center` (the default), `left`, `right`.
    pub align: Option<Written<Align>>,
    /// Distance of baselines in type sizes, 1.4 if not given.
    #[schemars(range(min = 0.8, max = 5.0))]
    pub leading: Option<Marked<f64>>,
    /// Paper left and right of the words, at least; `1/8` if not given.
    pub pad: Option<Written<Distance>>,
}

/// Printed parallel lines.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PrintHatchSpec {
    /// Degrees clockwise from level, 0 if not given.
    pub angle: Option<Marked<f64>>,
    /// From line to line, `1/4` if not given.
    pub gap: Option<Written<Distance>>,
    /// Width of a line, `1/64` if not given.
    pub weight: Option<Written<Distance>>,
    /// Colour of the lines; that of the words if not given.
    pub ink: Option<Written<Color>>,
}

/// A printed line all round.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleSpec {
    /// From the edge to the middle of the line, `1/8` if not given.
    pub inset: Option<Written<Distance>>,
    /// Width of the line, `1/32` if not given.
    pub weight: Option<Written<Distance>>,
    /// Colour of the line; that of the words if not given.
    pub ink: Option<Written<Color>>,
}
