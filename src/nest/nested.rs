//! How a job is cut: sheets, places, cuts, and what is left.

use std::collections::BTreeMap;

use super::mat::OnMat;
use super::reason::{Limit, Note};
use crate::model::length::Length;
use crate::model::{Area, Stock};

/// How a job is cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Nested {
    /// The sheets that are used.
    pub sheets: Vec<SheetCut>,
    /// Copies for which there is no room.
    pub left_out: Vec<LeftOut>,
    /// No plan uses fewer new sheets than this.
    pub bound: u32,
    /// Why one new sheet less can't do, where that is proven of an answer of several.
    pub limit: Option<Limit>,
    /// What else is to be said of the answer.
    pub notes: Vec<Note>,
}

impl Nested {
    /// How many of its sheets are new, not offcuts, given the job's stock.
    pub fn new_sheets(&self, stock: &[Stock]) -> usize {
        new_sheets(stock, &self.sheets)
    }
}

/// How many sheets are new, not offcuts.
pub(in crate::nest) fn new_sheets(stock: &[Stock], sheets: &[SheetCut]) -> usize {
    let is_new = |sheet: &&SheetCut| stock.get(sheet.stock).is_some_and(|one| one.offcut.is_none());
    sheets.iter().filter(is_new).map(|sheet| sheet.count as usize).sum()
}

/// A sheet and what is cut from it, or several sheets of one stock that are cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetCut {
    /// Which stock it is, by place in the job.
    pub stock: usize,
    /// How many sheets are cut like this, at least one.
    pub count: u32,
    /// What lies on the first of them. Of an item with `m` places here the copy at a place is `copy + k * m`
    /// on the sheet that is the `k`-th from 0, see [`SheetCut::on`].
    pub placed: Vec<PlacedItem>,
    /// Trimmer cuts in order.
    pub cuts: Vec<Cut>,
    /// The part within which the machine cuts.
    pub machine: Option<Area>,
    /// The paper that is loaded for it, and when.
    pub on_mat: Option<OnMat>,
    /// Paper worth keeping, largest first.
    pub offcuts: Vec<Area>,
}

impl Default for SheetCut {
    fn default() -> Self {
        Self {
            stock: 0,
            count: 1,
            placed: Vec::new(),
            cuts: Vec::new(),
            machine: None,
            on_mat: None,
            offcuts: Vec::new(),
        }
    }
}

impl SheetCut {
    /// What lies on one of the sheets that are cut alike, the first being 0.
    pub fn on(&self, sheet: u32) -> Vec<PlacedItem> {
        let mut places: BTreeMap<usize, u32> = BTreeMap::new();
        for one in &self.placed {
            *places.entry(one.item).or_default() += 1;
        }
        let later =
            |one: &PlacedItem| PlacedItem { copy: one.copy + sheet * places[&one.item], ..*one };
        self.placed.iter().map(later).collect()
    }
}

/// An item's copy on a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlacedItem {
    /// The item, by place in the job.
    pub item: usize,
    /// Which copy, from 0.
    pub copy: u32,
    /// Top left of the turned bounding box, in inches on the sheet.
    pub at: [f64; 2],
    /// Degrees clockwise; 0 or 90 for trimmer pieces.
    pub turn: f64,
}

/// One trimmer cut, edge to edge of the paper in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The paper in hand.
    pub in_hand: Area,
    /// Where the blade goes.
    pub line: CutLine,
    /// Measure between fence and blade.
    pub fence: Length,
    /// What lies between fence and blade.
    pub keeps: Falls,
    /// What lies beyond the blade.
    pub drops: Falls,
}

/// Where a cut runs on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutLine {
    /// Top to bottom of the paper in hand, this far from the sheet's left.
    Down(Length),
    /// Left to right of the paper in hand, this far from the sheet's top.
    Across(Length),
}

/// What one side of a cut becomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Falls {
    /// What it is.
    pub what: Fall,
    /// The paper.
    pub area: Area,
}

/// What a piece of paper becomes after a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fall {
    /// A finished copy of an item, by its place in the job.
    Piece(usize, u32),
    /// Paper that is cut again.
    More,
    /// The part that goes to the machine.
    Machine,
    /// Paper worth keeping, by its place in the sheet's offcuts.
    Offcut(usize),
    /// Too small to keep.
    Scrap,
}

/// A copy for which there is no room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// The item, by place in the job.
    pub item: usize,
    /// How many of its copies.
    pub copies: u32,
    /// Whether it fits no sheet even alone.
    pub too_large: bool,
}
