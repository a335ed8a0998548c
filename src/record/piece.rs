//! Pieces of paper on the spread.

use kurbo::BezPath;
use serde::{Deserialize, Serialize};

use crate::geometry::{Fold, Ring, from_rings, readable, rectangle};
use crate::model::{PageName, PieceId, Process, Tool, Turns};

use super::{Finished, Offcut, Opening, Print, Raised, ThinPlace, Torn, Tucked};

/// One piece of paper on the spread.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// Stable, readable, unique name, such as `left.sky` or `title.hold.H`.
    pub id: PieceId,
    /// What it is: `base`, `panel`, `strip`, `mat`, `circle`, `letter`, `backing`, `journaling`, ….
    pub kind: String,
    /// Name of its paper.
    pub paper: String,
    /// What cuts it.
    pub tool: Tool,
    /// Width and height of the unturned outline's bounding box, as it is cut.
    pub size: [f64; 2],
    /// Area of paper, holes left out, in square inches.
    pub area: f64,
    /// The page it lies on.
    pub page: PageName,
    /// Where the top left of its (turned) bounding box lies on that page; of `folded` or `torn`, if it is
    /// folded or torn.
    pub at: [f64; 2],
    /// Degrees clockwise on the page.
    pub turn: f64,
    /// How it lies on its page, if it is folded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub folded: Option<Finished>,
    /// How it lies on its page, if it is torn, and how much of the piece as it is cut is torn off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub torn: Option<Torn>,
    /// How it is tucked under another piece, if it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tucked: Option<Tucked>,
    /// The foam it stands on, if it is raised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raised: Option<Raised>,
    /// How it may be turned on a sheet.
    pub turns: Turns,
    /// Pieces with the same word come from one sheet, side by side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together: Option<String>,
    /// Whether the pattern is to run on over the gutter, from the left of those to the right.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub runs_on: bool,
    /// How many are cut.
    pub copies: u32,
    /// The name of the kits that it is for, if not for all; on the spread, the first kit's is drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kit: Option<String>,
    /// Rings flattened within 0.001 in; the first is the outside. The bounding box starts at 0, 0.
    pub outline: Vec<Ring>,
    /// The same outline as SVG path data with its true curves.
    pub path: String,
    /// Score, pen and perforated lines on the piece, in the outline's coordinates.
    pub lines: Vec<LineOnPiece>,
    /// What to tell the person about it, such as `tear the bottom edge by hand`.
    pub notes: Vec<String>,
    /// Place in the stacking order among pieces and photos; higher lies on top.
    pub order: u32,
    /// Gutting: the hidden middles that are cut out of it. Each is a window of `outline` and the last
    /// subpaths of `path`, and each is the paper of the sheet whose `from` is its id, or an offcut left.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gutted: Vec<Offcut>,
    /// Gutting in the machine's own pass: windows like those of `gutted`, with the pieces cut in them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opened: Vec<Opening>,
    /// Places narrower than its paper can well be cut, the narrowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thin: Vec<ThinPlace>,
    /// What is printed on it before it is cut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub print: Option<Print>,
}

impl Piece {
    /// How it lies on its page, if that isn't as it is cut: folded, or torn.
    pub fn finished(&self) -> Option<&Finished> {
        self.folded.as_ref().or(self.torn.as_ref().map(|torn| &torn.finished))
    }

    /// What is seen of it on its page, unturned: folded or torn if it is, else its outline.
    pub fn seen(&self) -> BezPath {
        let finished = self.finished().and_then(Finished::curves);
        finished.unwrap_or_else(|| self.curves())
    }

    /// Its outline in its own coordinates: its true curves, or its rings if those can't be read.
    pub fn curves(&self) -> BezPath {
        readable(&self.path)
            .or_else(|| from_rings(&self.outline))
            .unwrap_or_else(|| rectangle(self.size[0], self.size[1]))
    }
}

/// A line other than the outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LineOnPiece {
    /// What is done along it.
    pub process: Process,
    /// SVG path data in the outline's coordinates.
    pub path: String,
    /// Which way it is folded, for a score line of which that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fold: Option<Fold>,
}
