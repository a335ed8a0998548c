//! What the user should know.

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
    /// The piece or photo concerned, or empty.
    pub piece: String,
    /// Line in the spec, from 1; 0 where there is none.
    pub line: u64,
}
