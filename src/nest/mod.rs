//! Pieces onto sheets: trimmer patterns, free-form nesting, offcuts.
//!
//! In comes a [`Job`] for one paper: what is on hand and what has to be cut. Out comes a [`Nested`]:
//! which sheets are used, where each piece lies, the trimmer's cuts in order, and what is left over.
//! This room knows sizes and outlines; it never hears of titles, photos or pages.

mod bound;
mod bound_cost;
mod exact;
mod exact_pattern;
mod exact_sheet;
mod free_paper;
pub mod gutting;
pub mod interrupt;
mod joint;
pub mod limits;
pub mod machine;
mod machine_part;
pub mod mat;
mod plan;
mod printed;
mod rim;
mod sequence;
mod together;
mod trimmer;
mod trimmer_blocks;
mod trimmer_columns;
mod trimmer_course;
mod trimmer_grids;
mod trimmer_mix;
mod trimmer_pattern;
mod trimmer_prices;
mod trimmer_problem;
mod trimmer_rank;
mod trimmer_search;
mod trimmer_tree;
pub mod worth;

use kurbo::{BezPath, Shape as _};

use crate::length::{Length, Size};

pub use crate::model::{Effort, Tool, Turns};
pub use bound::Limit;
pub use printed::printed;
pub use together::{Begun, least_price, least_sheets, nest, nest_in_steps};

/// What is to be cut from one paper.
#[derive(Clone, Debug, Default)]
pub struct Job {
    /// Sheets on hand: new ones and offcuts.
    pub stock: Vec<Stock>,
    /// The pieces.
    pub items: Vec<Item>,
    /// Distances to keep.
    pub rules: Rules,
    /// How long to search.
    pub effort: Effort,
}

/// Sheets of one size and origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// Size of a sheet.
    pub size: Size,
    /// How many there are.
    pub count: u32,
    /// Price of one, 0 or more; offcuts cost nothing.
    pub price: f64,
    /// The offcut's id, or nothing for new sheets.
    pub offcut: Option<String>,
    /// Whether they are not on hand: new sheets that have to be bought first.
    pub to_buy: bool,
}

/// A piece to be cut, in some number of copies.
#[derive(Clone, Debug)]
pub struct Item {
    /// Name for messages.
    pub id: String,
    /// Its form.
    pub form: Form,
    /// How many are cut.
    pub copies: u32,
    /// What cuts it.
    pub tool: Tool,
    /// How it may be turned on the sheet.
    pub turns: Turns,
    /// Items with the same word come from one sheet, side by side in the order given.
    pub together: Option<String>,
}

impl Item {
    /// Area of one copy in square inches.
    pub fn area(&self) -> f64 {
        match &self.form {
            Form::Rectangle(size) => size.area(),
            Form::Outline(path) => path.area().abs(),
        }
    }
}

/// The form of a piece.
#[derive(Clone, Debug)]
pub enum Form {
    /// A rectangle.
    Rectangle(Size),
    /// A closed outline in inches whose bounding box starts at the origin.
    Outline(BezPath),
}

/// Distances to keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Paper lost by a trimmer cut.
    pub kerf: Length,
    /// Rim of a sheet that the trimmer cuts away first.
    pub trim_margin: Length,
    /// Distance between machine pieces.
    pub spacing: Length,
    /// Rim of a sheet that the machine can't reach.
    pub machine_margin: Length,
    /// Most times the direction of trimmer cuts may change, if limited.
    pub stages: Option<u32>,
    /// The machine's mat: no paper that is larger can be loaded. Nothing for no limit.
    pub mat: Option<Size>,
    /// The smallest paper worth keeping.
    pub worth_keeping: Size,
    /// Whether a leftover may keep a part of the rim.
    pub rim_is_paper: bool,
}

impl Rules {
    /// The smallest paper worth keeping where nothing is said: a tag can still be cut from 1 x 2 in (common
    /// practice, no source).
    pub const WORTH_KEEPING: Size = Size::new(Length::part(1, 1), Length::part(2, 1));
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            kerf: Length::ZERO,
            trim_margin: Length::ZERO,
            spacing: Length::ZERO,
            machine_margin: Length::ZERO,
            stages: None,
            mat: None,
            worth_keeping: Self::WORTH_KEEPING,
            rim_is_paper: false,
        }
    }
}

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
    pub notes: Vec<String>,
}

impl Nested {
    /// How many of its sheets are new, not offcuts, given the job's stock.
    pub fn new_sheets(&self, stock: &[Stock]) -> usize {
        new_sheets(stock, &self.sheets)
    }
}

impl Rules {
    /// Whether what is left of a sheet is worth keeping.
    pub fn keeps(&self, size: Size) -> bool {
        plan::keepable([size.width, size.height].map(Length::to_nanometres), self.worth_keeping)
    }
}

/// How many sheets are new, not offcuts.
fn new_sheets(stock: &[Stock], sheets: &[SheetCut]) -> usize {
    let is_new = |sheet: &&SheetCut| stock.get(sheet.stock).is_some_and(|one| one.offcut.is_none());
    sheets.iter().filter(is_new).count()
}

/// One sheet and what is cut from it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetCut {
    /// Which stock it is, by place in the job.
    pub stock: usize,
    /// What lies on it.
    pub placed: Vec<PlacedItem>,
    /// Trimmer cuts in order.
    pub cuts: Vec<Cut>,
    /// The part within which the machine cuts.
    pub machine: Option<Area>,
    /// The paper that is loaded for it, and when.
    pub on_mat: Option<mat::OnMat>,
    /// Paper worth keeping, largest first.
    pub offcuts: Vec<Area>,
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

/// A rectangle on a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Area {
    /// Left edge.
    pub left: Length,
    /// Top edge.
    pub top: Length,
    /// Width and height.
    pub size: Size,
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
