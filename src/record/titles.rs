//! What the record says of titles: the fonts used, and places too thin to cut well.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// A font that was used.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct FontUsed {
    /// Family and style.
    pub family: String,
    /// `built in`, or the file's name without its folder.
    pub source: String,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// What its `fsType` permits.
    pub embedding: String,
    /// Variable axes that were set, by tag.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub axes: BTreeMap<String, f64>,
    /// OpenType features that were switched, by tag.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub features: BTreeMap<String, u32>,
}

/// A place on a piece that is narrower than its paper can be cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ThinPlace {
    /// Its middle, in the outline's coordinates.
    pub at: [f64; 2],
    /// Width of the paper there.
    pub width: f64,
    /// Length of the narrow part.
    pub length: f64,
}
