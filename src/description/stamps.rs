//! Motifs stamped at even distances.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Distance, Marked, Text, Written};
use crate::model::length::LengthSum;

/// A motif repeated along a strip: printed as ticks at full size, to lay beside it while stamping.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StampSpec {
    /// The piece it runs along, by id, on its longer side; or `length`.
    pub along: Option<Marked<Text>>,
    /// How long the row is, if it runs along no piece.
    pub length: Option<Written<LengthSum>>,
    /// Width of the stamp's motif along the row.
    pub stamp: Written<LengthSum>,
    /// How many motifs; or `pitch`.
    pub count: Option<Marked<u32>>,
    /// Distance from one motif's middle to the next.
    pub pitch: Option<Written<LengthSum>>,
    /// Paper before the first motif and after the last; as between motifs if not given.
    pub ends: Option<Written<Distance>>,
}
