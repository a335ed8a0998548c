//! Motifs stamped at even distances.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Marked, Text};

/// A motif repeated along a strip: printed as ticks at full size, to lay beside it while stamping.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StampSpec {
    /// The piece it runs along, by id, on its longer side; or `length`.
    pub along: Option<Marked<Text>>,
    /// How long the row is, if it runs along no piece.
    pub length: Option<Marked<Text>>,
    /// Width of the stamp's motif along the row.
    pub stamp: Marked<Text>,
    /// How many motifs; or `pitch`.
    pub count: Option<Marked<u32>>,
    /// Distance from one motif's middle to the next.
    pub pitch: Option<Marked<Text>>,
    /// Paper before the first motif and after the last; as between motifs if not given.
    pub ends: Option<Marked<Text>>,
}
