//! How sheets were cut: distances, and how long was searched.

use serde::{Deserialize, Serialize};

use crate::model::{Count, Effort, When};

/// Distances the nester kept, and how it searched.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Paper lost by a trimmer cut.
    pub kerf: f64,
    /// Rim of a sheet that the trimmer cuts away first.
    pub trim_margin: f64,
    /// Distance between machine pieces.
    pub spacing: f64,
    /// Rim of a sheet that the machine can't cut.
    pub machine_margin: f64,
    /// Rim of a printed page that the printer can't reach.
    pub printer_margin: f64,
    /// Most changes of direction of trimmer cuts, if limited.
    pub stages: Option<u32>,
    /// Sheets that the trimmer cuts at once.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub stack: Count,
    /// Width and height of the machine's mat, if it limits what can be loaded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mat: Option<[f64; 2]>,
    /// Paper that a gutted piece keeps under the edge of what is glued on it.
    #[serde(default)]
    pub glue: f64,
    /// Paper that a gutted piece keeps along its own edge.
    #[serde(default)]
    pub rim: f64,
    /// When hidden middles are cut out; the usual in records that don't tell.
    #[serde(default)]
    pub gutting: When,
    /// How long was searched; the usual in records that don't tell.
    #[serde(default)]
    pub effort: Effort,
    /// Width and height of the smallest paper worth keeping; nothing in records that don't tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worth_keeping: Option<[f64; 2]>,
}
