//! What a good eye would look at again.

use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};

use super::choices;

choices! {
    /// What a piece of advice is about.
    pub enum AdviceKind, "kind of advice" {
        /// Photos whose people look off the spread.
        Facing = "facing",
        /// Colours that show on one page only.
        LoneColor = "lone color",
        /// Clusters of small shapes that stand in a line.
        Clusters = "clusters",
        /// Letters of a title that are hardly told from what lies beneath them.
        Contrast = "contrast",
        /// Type under 9 pt.
        SmallText = "small text",
        /// A title or the story over a photo's middle.
        OverPhoto = "over a photo",
        /// Pieces that lie on paper of their own colour.
        SameColor = "same color",
        /// Edges that miss each other by less than 1/8 in.
        NearMiss = "near miss",
        /// Gaps unlike their neighbours.
        Gap = "gap",
        /// More left free on one side than on the other.
        Balance = "balance",
        /// Pieces that end a hair from the edge of their page.
        PageEdge = "page edge",
        /// Paper of which one small change saves a sheet.
        SavesASheet = "saves a sheet",
    }
}

/// Advice on how a spread looks. It stops nothing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Advice {
    /// What it is about.
    pub kind: AdviceKind,
    /// What is seen, in a sentence.
    pub message: String,
    /// Why it is worth a look.
    pub reason: String,
    /// A change that was laid out anew and helps without harm, as it is written in the spec.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub write: Option<String>,
    /// The piece or photo concerned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<String>,
    /// Line in the spec, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<NonZeroU64>,
}
