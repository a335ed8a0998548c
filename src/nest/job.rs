//! What is to be cut, and by which rules.

use kurbo::{BezPath, Shape as _};

use crate::model::length::Size;
use crate::model::{Effort, Rules, Stock, Tool, Turns};

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
