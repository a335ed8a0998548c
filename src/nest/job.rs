//! What is to be cut, and by which rules.

use kurbo::{BezPath, Shape as _};

use crate::length::{Length, Size};
use crate::model::{Effort, Tool, Turns};

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

impl Rules {
    /// Whether what is left of a sheet is worth keeping.
    pub fn keeps(&self, size: Size) -> bool {
        keepable([size.width, size.height].map(Length::to_nanometres), self.worth_keeping)
    }
}

/// Whether a leftover is worth keeping, as it lies or turned.
pub(in crate::nest) fn keepable(size: [i64; 2], worth: Size) -> bool {
    let sides = |one: i64, other: i64| [one.min(other), one.max(other)];
    let least = sides(worth.width.to_nanometres(), worth.height.to_nanometres());
    let [short, long] = sides(size[0], size[1]);
    short > 0 && short >= least[0] && long >= least[1]
}
