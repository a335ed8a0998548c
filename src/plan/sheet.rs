//! A sheet of the plan: what lies on it, how it is cut, and what is left of it.
//!
//! Paper is measured in exact lengths. Where a piece lies is in inches on the grid that files tell
//! ([`rounded`]): marks, toolpaths, sums and the record compute with the same numbers.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath};

use crate::geometry::{self, FLATTENING, Ring, path_data, readable};
use crate::layout::{Layout, PlacedPiece};
pub use crate::model::Fall;
use crate::model::length::{Length, Size};
use crate::model::{
    Area, Count, OffcutId, PATH_DECIMALS, PieceId, Rect, SheetId, SheetSource, Tool, rounded,
};
use crate::nest::mat::OnMat;
use crate::nest::{self, CutLine, SheetCut};
use crate::record;

/// One sheet of paper and what is cut from it.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// Its name, such as `harbour-1`.
    pub id: SheetId,
    /// The name of its paper.
    pub paper: String,
    /// Its size; of paper that is no rectangle, that of the box round it.
    pub size: Size,
    /// Its outline and openings in inches, if it is no rectangle.
    pub outline: Vec<Ring>,
    /// How many sheets are cut in this very way.
    pub count: Count,
    /// Where it comes from.
    pub source: SheetSource,
    /// Whether it is not on hand and has to be bought first.
    pub to_buy: bool,
    /// Whether and how it goes through the printer.
    pub printing: Option<Printing>,
    /// What lies on it.
    pub placed: Vec<Placed>,
    /// Trimmer cuts in order.
    pub cuts: Vec<Cut>,
    /// The part within which the machine cuts, if any.
    pub machine: Option<Area>,
    /// The paper that is loaded for that, and when.
    pub on_mat: Option<OnMat>,
    /// Parts that are sheets of their own, each by that sheet's name.
    pub parts: Vec<Rest<SheetId>>,
    /// Paper worth keeping.
    pub offcuts: Vec<Rest>,
}

/// How a sheet goes through the printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Printing {
    /// It is this page of strips or photos, from 1.
    Page(u32),
    /// It is printed with this page, from 1, before the machine cuts it in register.
    InRegister(u32),
}

/// A piece on a sheet.
#[derive(Clone, Debug, Default)]
pub struct Placed {
    /// The piece's id.
    pub piece: PieceId,
    /// Which of its copies, from 1; on further sheets that are cut in this way, later ones follow.
    pub copy: u32,
    /// Top left of its turned bounding box on the sheet, in inches.
    pub at: [f64; 2],
    /// Degrees clockwise on the sheet.
    pub turn: f64,
    /// What cuts it.
    pub tool: Tool,
    /// The outline's rings in sheet coordinates, in inches.
    pub rings: Vec<Ring>,
}

/// One trimmer cut, edge to edge of the paper in hand.
#[derive(Clone, Debug)]
pub struct Cut {
    /// The paper in hand.
    pub in_hand: Area,
    /// Where it begins on the sheet, right of and below the top left.
    pub from: [Length; 2],
    /// Where it ends.
    pub to: [Length; 2],
    /// Measure between fence and blade.
    pub fence: Length,
    /// What falls between fence and blade.
    pub keeps: Falls,
    /// What falls on the other side of the blade.
    pub drops: Falls,
}

/// What one side of a cut becomes.
#[derive(Clone, Debug)]
pub struct Falls {
    /// What it is.
    pub what: Fall,
    /// The paper itself.
    pub area: Area,
}

/// A part of a sheet that has a name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rest<Id = OffcutId> {
    /// Its name.
    pub id: Id,
    /// Where it lies on the sheet.
    pub area: Area,
    /// Of how many sheets, of those that are cut in this way.
    pub count: Count,
}

impl Sheet {
    /// The paper that the machine is loaded with: the whole sheet if nothing else is told.
    pub fn loaded(&self) -> OnMat {
        let whole = Area { size: self.size, ..Area::default() };
        self.on_mat.unwrap_or(OnMat { paper: whole, ..OnMat::default() })
    }

    /// From sheet coordinates to the frame of the paper on the mat, in inches, as the record tells it.
    pub fn frame(&self) -> Affine {
        let OnMat { paper, turned, .. } = self.loaded();
        let Rect { at, size } = paper.to_inches().rounded();
        let turn = if turned { 90.0 } else { 0.0 };
        record::OnMat { at, size, turn, after: 0 }.onto_mat()
    }

    /// Its parts and offcuts, each with its name.
    pub fn rests(&self) -> impl Iterator<Item = (&str, Area)> {
        let parts = self.parts.iter().map(|part| (part.id.as_str(), part.area));
        parts.chain(self.offcuts.iter().map(|rest| (rest.id.as_str(), rest.area)))
    }

    /// The area of what lies on one such sheet, in square inches.
    pub fn covered(&self) -> f64 {
        self.placed.iter().map(Placed::area).sum()
    }

    /// The area of one such sheet in square inches.
    pub fn area(&self) -> f64 {
        if let Some((outside, openings)) = self.outline.split_first() {
            let openings = openings.iter().map(|ring| geometry::ring_area(ring).abs());
            return geometry::ring_area(outside).abs() - openings.sum::<f64>();
        }
        let [width, height] = inches(self.size);
        width * height
    }

    /// Whether it is the page of `print/in-register.pdf`.
    pub fn is_in_register(&self) -> bool {
        matches!(self.printing, Some(Printing::InRegister(_)))
    }

    /// Whether it is cut from a part of that name.
    pub fn is_part(&self, name: &str) -> bool {
        matches!(&self.source, SheetSource::Part { part, .. } if part == name)
    }
}

impl Placed {
    /// Its area in square inches: islands in holes are rare enough to be told apart by their direction.
    fn area(&self) -> f64 {
        self.rings.iter().map(geometry::ring_area).sum::<f64>().abs()
    }
}

/// What is laid on sheets, by place in the nester's job.
pub(super) struct Laid<'a> {
    pub id: &'a PieceId,
    pub tool: Tool,
    pub outline: &'a BezPath,
}

impl<'a> Laid<'a> {
    /// A piece of the layout.
    pub fn of(piece: &'a PlacedPiece) -> Self {
        Self { id: &piece.id, tool: piece.tool, outline: &piece.drawing.outline }
    }

    /// It where it lies on a sheet.
    pub fn at(&self, copy: u32, at: [f64; 2], turn: f64) -> Placed {
        let at = at.map(rounded);
        let laying = geometry::laying(self.outline, turn, at);
        let lay = |at: [f64; 2]| {
            let point = laying * geometry::point(at);
            [rounded(point.x), rounded(point.y)]
        };
        let rings = geometry::rings(self.outline, FLATTENING).into_iter();
        Placed {
            piece: self.id.clone(),
            copy,
            at,
            turn,
            tool: self.tool,
            rings: rings.map(|ring| ring.into_iter().map(lay).collect()).collect(),
        }
    }
}

/// A sheet with what lies on it, its cuts and its offcuts: the one way in which pieces come onto a sheet,
/// be they cut, printed or photos.
pub(super) fn filled(layout: &Layout, items: &[Laid<'_>], cut: &SheetCut, sheet: Sheet) -> Sheet {
    let placed = cut
        .placed
        .iter()
        .map(|placed| items[placed.item].at(placed.copy + 1, placed.at, placed.turn));
    let offcuts: Vec<Rest> = (1..)
        .zip(&cut.offcuts)
        .map(|(number, &area)| Rest {
            id: layout.free_offcut_id(format!("{}-offcut-{number}", sheet.id)),
            area,
            count: sheet.count,
        })
        .collect();
    let after = cut.on_mat.map_or(0, |paper| paper.after);
    let falls = |fall: nest::Falls, place: usize| {
        let what = match fall.what {
            nest::Fall::Piece(item, _) => Fall::Piece(items[item].id.clone()),
            nest::Fall::More => Fall::More,
            nest::Fall::Machine if place >= after => Fall::Spent,
            nest::Fall::Machine => Fall::Machine,
            nest::Fall::Offcut(number) => Fall::Offcut(
                offcuts.get(number).map_or_else(OffcutId::default, |one| one.id.clone()),
            ),
            nest::Fall::Scrap => Fall::Scrap,
        };
        Falls { what, area: fall.area }
    };
    let cuts = cut.cuts.iter().enumerate().map(|(place, cut)| {
        let [from, to] = ends(cut);
        Cut {
            in_hand: cut.in_hand,
            from,
            to,
            fence: cut.fence,
            keeps: falls(cut.keeps, place),
            drops: falls(cut.drops, place),
        }
    });
    Sheet {
        placed: placed.collect(),
        cuts: cuts.collect(),
        machine: cut.machine,
        on_mat: cut.on_mat,
        offcuts,
        ..sheet
    }
}

/// Some sheets of those that are cut in one way: `count` of them, after the first `skip`.
pub(super) fn some_of(sheet: &Sheet, skip: u32, count: u32) -> Sheet {
    let mut some = Sheet { count: Count::of(count), ..sheet.clone() };
    for rest in &mut some.offcuts {
        rest.count = some.count;
    }
    later_copies(&mut some.placed, skip);
    some
}

/// The copies that lie on a sheet that follows after `skip` others which are cut in the same way.
pub(super) fn later_copies(placed: &mut [Placed], skip: u32) {
    let mut each: BTreeMap<PieceId, u32> = BTreeMap::new();
    for one in placed.iter() {
        *each.entry(one.piece.clone()).or_default() += 1;
    }
    for one in placed {
        let each = each.get(&one.piece).copied().unwrap_or(0);
        one.copy = one.copy.saturating_add(skip.saturating_mul(each));
    }
}

/// How many sheets are cut as the nester's answer says.
pub(super) fn times(cut: &SheetCut) -> Count {
    Count::of(cut.count)
}

/// All sheets, each as often as it is cut.
pub(super) fn in_all<'a>(sheets: impl IntoIterator<Item = &'a Sheet>) -> usize {
    sheets.into_iter().map(|sheet| sheet.count.places()).sum()
}

fn ends(cut: &nest::Cut) -> [[Length; 2]; 2] {
    let Area { left, top, size } = cut.in_hand;
    match cut.line {
        CutLine::Down(x) => [[x, top], [x, top + size.height]],
        CutLine::Across(y) => [[left, y], [left + size.width, y]],
    }
}

/// Width and height in inches, on the grid that files tell.
pub(super) fn inches(size: Size) -> [f64; 2] {
    size.to_inches().map(rounded)
}

/// A curve as files tell it, so that a redo from the record finds the same one.
pub(super) fn told(path: &BezPath) -> BezPath {
    readable(&path_data(path, PATH_DECIMALS)).unwrap_or_else(|| path.clone())
}

/// A count of sheets, pieces or photos; no plan has more than can be counted.
pub(super) fn count_of(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
