//! What either side of a trimmer cut becomes.

use serde::{Deserialize, Serialize};

use crate::model::{Fall, Rect, choices};

/// What one side of a cut becomes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(from = "Written", into = "Written")]
pub struct Falls {
    /// What it is.
    pub what: Fall,
    /// The paper itself.
    pub area: Rect,
}

choices! {
    /// The word for what paper becomes.
    enum Becomes, "use of what a cut gives" {
        /// A finished piece.
        Piece = "piece",
        /// Paper worth keeping.
        Offcut = "offcut",
        /// A sheet of its own ([`super::Sheet::parts`]).
        Part = "part",
        /// It is cut again.
        More = "more",
        /// Too small to keep.
        Scrap = "scrap",
        /// It goes to the machine later.
        Machine = "machine",
        /// What the machine has left.
        Spent = "spent",
        /// It was printed on an earlier pass through the printer.
        PrintedBefore = "printed before",
    }
}

/// The same as the file has it.
#[derive(Serialize, Deserialize)]
struct Written {
    what: Becomes,
    /// Id of the piece, offcut or sheet, empty otherwise.
    id: String,
    area: Rect,
}

impl From<Written> for Falls {
    fn from(written: Written) -> Self {
        let what = match written.what {
            Becomes::Piece => Fall::Piece(written.id.into()),
            Becomes::Offcut => Fall::Offcut(written.id.into()),
            Becomes::Part => Fall::Part(written.id.into()),
            Becomes::More => Fall::More,
            Becomes::Scrap => Fall::Scrap,
            Becomes::Machine => Fall::Machine,
            Becomes::Spent => Fall::Spent,
            Becomes::PrintedBefore => Fall::PrintedBefore,
        };
        Self { what, area: written.area }
    }
}

impl From<Falls> for Written {
    fn from(falls: Falls) -> Self {
        let (what, id) = match falls.what {
            Fall::Piece(id) => (Becomes::Piece, id.into()),
            Fall::Offcut(id) => (Becomes::Offcut, id.into()),
            Fall::Part(id) => (Becomes::Part, id.into()),
            Fall::More => (Becomes::More, String::new()),
            Fall::Scrap => (Becomes::Scrap, String::new()),
            Fall::Machine => (Becomes::Machine, String::new()),
            Fall::Spent => (Becomes::Spent, String::new()),
            Fall::PrintedBefore => (Becomes::PrintedBefore, String::new()),
        };
        Self { what, id, area: falls.area }
    }
}
