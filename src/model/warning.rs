//! What the user should know.

use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};

/// Something the user should know.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Warning {
    /// Short name, such as `off the page`.
    pub kind: String,
    /// What is the matter, in a sentence.
    pub message: String,
    /// What to do about it.
    pub help: String,
    /// The piece or photo concerned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    /// Line in the spec, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<NonZeroU64>,
}
