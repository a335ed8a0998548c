//! What was left to the program, and what it decided.

use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};

use super::choices;

choices! {
    /// What was left open.
    pub enum FittedKind, "kind of fit", usual Size {
        /// A size.
        Size = "size",
        /// A place between two things.
        Place = "place",
        /// Pieces in a row or a column.
        Line = "line",
        /// The photos of a bank.
        Bank = "bank",
    }
}

/// What was decided where a spec left it open. Numbers are inches.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// What was left open.
    pub kind: FittedKind,
    /// The pieces and photos, by their ids.
    pub pieces: Vec<String>,
    /// How large each is.
    pub sizes: Vec<[f64; 2]>,
    /// Where the top left of each lies on its page.
    pub at: Vec<[f64; 2]>,
    /// What lies between them, in a row, a column or a bank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap: Option<f64>,
    /// What was decided, in a sentence.
    pub message: String,
    /// What to write in the spec to keep it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub write: Option<String>,
    /// Line in the spec, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<NonZeroU64>,
}
