//! How registration marks look and where they go.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{MarkForm, MarkedSheets, Written};
use crate::model::length::LengthSum;

/// The marks by which a machine or an eye finds a sheet's place again.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MarksSpec {
    /// `cross` (the default), `corner`, `ring`, or `none`.
    pub kind: Option<Written<MarkForm>>,
    /// `printed sheets` (the default: those whose print carries them, too) or `every sheet` of the machine,
    /// for a machine that draws its own.
    pub on: Option<Written<MarkedSheets>>,
    /// Distance of a mark's middle (a corner mark's corner) from the edges of the machine's part of the
    /// sheet; 1/4 if not given, less where a piece lies there.
    pub inset: Option<Written<LengthSum>>,
    /// Length of an arm, or radius of a ring; half the inset if not given.
    pub arm: Option<Written<LengthSum>>,
    /// Width of the line, 0.01 in if not given.
    pub weight: Option<Written<LengthSum>>,
}
