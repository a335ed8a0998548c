//! Sheets: what lies on them, how they are cut, what is left.

use serde::{Deserialize, Serialize};

use crate::geometry::Ring;

use super::nothing::{or_new, or_zero};
use super::{Falls, Mark, OnMat, Stroke, Work};
use crate::model::{Count, OffcutId, PieceId, Rect, SheetId, Tool};

/// One sheet of paper and what is cut from it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Name, such as `harbour-1`.
    pub id: SheetId,
    /// Name of its paper.
    pub paper: String,
    /// Its size; of paper that is no rectangle, that of the box round it.
    pub size: [f64; 2],
    /// Its outline, and openings in it, if it is no rectangle: an offcut that is cut into rectangles first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outline: Vec<Ring>,
    /// How many sheets are cut in this very way; their names go on from `id`: `oat-1` with a count of 12
    /// stands for `oat-1` to `oat-12`.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub count: Count,
    /// The id of the offcut it is, or of the gutted middle ([`super::Piece::gutted`]), or of the sheet that
    /// it is a part of ([`Sheet::parts`]); nothing, in the file `new`, if it is a new one.
    #[serde(with = "or_new")]
    pub from: Option<String>,
    /// Whether it is not on hand and has to be bought first.
    #[serde(default, skip_serializing_if = "is_false")]
    pub to_buy: bool,
    /// The printed page it is, from 1; in the file 0 if it is none.
    #[serde(with = "or_zero")]
    pub printed: Option<u32>,
    /// The page of `print/in-register.pdf` that is printed on it before the machine cuts it, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "or_zero")]
    pub in_register: Option<u32>,
    /// The pieces on it.
    pub placed: Vec<Placed>,
    /// Trimmer cuts in order.
    pub cuts: Vec<Cut>,
    /// The part within which the machine cuts, if any.
    pub machine: Option<Rect>,
    /// The paper that is loaded for that, and when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_mat: Option<OnMat>,
    /// Registration marks in the frame of the paper on the mat.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// What the machine draws and cuts, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strokes: Vec<Stroke>,
    /// How much work that is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<Work>,
    /// Parts that are sheets of their own, each by that sheet's id: a sheet that the printer takes, cut from
    /// a larger one, and rests of it that other pieces come from. A part may be that sheet turned by a
    /// quarter.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Offcut<SheetId>>,
    /// Paper worth keeping.
    pub offcuts: Vec<Offcut>,
    /// Share of the area that became pieces, 0 to 1.
    pub used: f64,
}

impl Sheet {
    /// Whether it is the sheet of that name, or one of those that are cut as it is.
    pub fn stands_for(&self, id: &str) -> bool {
        self.id.all(self.count).any(|one| one.as_str() == id)
    }

    /// The names of the sheets that it stands for: `oat-1`, or `oat-1 to oat-12`.
    pub fn names(&self) -> String {
        self.id.span(self.count)
    }
}

/// A piece on a sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// The piece's id.
    pub piece: PieceId,
    /// Which of its copies, from 1. On the further sheets of a count, later copies follow: on the k-th after
    /// this one, this copy and k times as many as lie on a sheet.
    pub copy: u32,
    /// Top left of its turned bounding box on the sheet.
    pub at: [f64; 2],
    /// Degrees clockwise on the sheet.
    pub turn: f64,
    /// What cuts it.
    pub tool: Tool,
    /// The outline's rings in sheet coordinates.
    pub rings: Vec<Ring>,
}

/// One trimmer cut, edge to edge of the paper in hand.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Cut {
    /// Number on its sheet, from 1.
    pub number: u32,
    /// The paper in hand.
    pub in_hand: Rect,
    /// Start of the cut in sheet coordinates.
    pub from: [f64; 2],
    /// End of the cut in sheet coordinates.
    pub to: [f64; 2],
    /// Measure between fence and blade.
    pub fence: f64,
    /// What falls between fence and blade.
    pub keeps: Falls,
    /// What falls on the other side of the blade.
    pub drops: Falls,
}

/// Paper worth keeping.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Offcut<Id = OffcutId> {
    /// Name for the box of leftovers, or of the sheet that a part is.
    pub id: Id,
    /// Top left on the sheet.
    pub at: [f64; 2],
    /// Width and height.
    pub size: [f64; 2],
    /// How many there are of it, of as many sheets that are cut in this way.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub count: Count,
}

impl<Id> Offcut<Id> {
    /// Where it lies on the sheet.
    pub fn area(&self) -> Rect {
        Rect { at: self.at, size: self.size }
    }
}

/// A page that goes through the printer.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PrintedPage {
    /// Number, from 1.
    pub number: u32,
    /// Paper.
    pub paper: String,
    /// Size of the printer's paper.
    pub size: [f64; 2],
    /// The sheet it is.
    pub sheet: SheetId,
    /// How often it is printed.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub count: Count,
    /// Of a sheet that went through the printer once before: where what is free begins, from its top edge.
    /// No stock has such a sheet, and it costs nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<f64>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the form that serde asks for")]
fn is_false(flag: &bool) -> bool {
    !*flag
}
