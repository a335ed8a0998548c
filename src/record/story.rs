//! The story in the record: strips, and their text glyph by glyph.

use serde::{Deserialize, Serialize};

use super::Run;
use crate::model::{Color, Count, PieceId};

/// One strip of the story.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Strip {
    /// Name, such as `journaling.3`; the piece with this id says where it goes on the spread.
    pub id: PieceId,
    /// Which of its copies, from 1; where its page is printed several times, later ones follow.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub copy: Count,
    /// Its words.
    pub text: String,
    /// Paper it is printed on.
    pub paper: String,
    /// Trim size.
    pub size: [f64; 2],
    /// The printed page it is on, from 1.
    pub page: u32,
    /// Top left of its trim on the printed page.
    pub at: [f64; 2],
    /// Baseline below the strip's top.
    pub baseline: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Colour of the text.
    pub ink: Color,
    /// Colour printed under it, beyond the trim as well, if not the paper's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ground: Option<Color>,
    /// Text in visual order.
    pub runs: Vec<Run>,
}
