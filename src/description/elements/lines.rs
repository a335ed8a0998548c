//! Lines on any element: stitches and hatching.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::{Distance, Marked, StitchKind, Written};

/// A line of stitches round the outline.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StitchSpec {
    /// How far inside the edge, `1/8` if not given.
    pub inset: Option<Written<Distance>>,
    /// Length of a stitch, `1/8` if not given; holes are a length and a gap apart.
    pub length: Option<Written<Distance>>,
    /// Distance between stitches, `1/16` if not given.
    pub gap: Option<Written<Distance>>,
    /// `pen` (the default): drawn; `holes`: pierced for a needle; `dashes`: cut as slits.
    #[serde(rename = "as")]
    pub kind: Option<Written<StitchKind>>,
    /// Diameter of the holes, `1/32` if not given.
    pub diameter: Option<Written<Distance>>,
}

/// Pen lines that fill the outline.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HatchSpec {
    /// Degrees clockwise from level, -45 if not given.
    pub angle: Option<Marked<f64>>,
    /// From line to line, `1/16` if not given.
    pub gap: Option<Written<Distance>>,
    /// How far inside the edge lines end, `1/16` if not given.
    pub inset: Option<Written<Distance>>,
}
