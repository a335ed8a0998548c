//! What is to be cut, and by which rules.

use kurbo::{BezPath, Shape as _};

use super::rectangles::least_room;
use crate::model::length::{Length, Size};
use crate::model::{Effort, Repeat, Rules, Stock, Tool, Turns};

/// What is to be cut from one paper.
#[derive(Clone, Debug, Default, PartialEq)]
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
#[derive(Clone, Debug, PartialEq)]
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
    pub together: Option<Together>,
}

/// What items come from one sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Together {
    /// The word that they share.
    pub word: String,
    /// After how much their paper repeats across and down its sheet, if its pattern is to run on from the
    /// first of two to the second, on its right. They lie as if nothing were asked where no sheet holds them
    /// so.
    pub runs_on: Option<[Repeat; 2]>,
}

impl From<String> for Together {
    fn from(word: String) -> Self {
        Self { word, runs_on: None }
    }
}

impl Job {
    /// The shortest paper from which the pieces that share a word are cut so that the pattern runs on over
    /// them; nothing where no sheet would do.
    pub fn room_to_run_on(&self, word: &str) -> Option<Size> {
        let [width, height] = least_room(self, word)?;
        Some(Size::new(Length::nanometres(width), Length::nanometres(height)))
    }
}

impl Item {
    /// The word that it shares with those that come from the same sheet.
    pub fn word(&self) -> Option<&str> {
        self.together.as_ref().map(|together| together.word.as_str())
    }

    /// Area of one copy in square inches.
    pub fn area(&self) -> f64 {
        match &self.form {
            Form::Rectangle(size) => size.area(),
            Form::Outline(path) => path.area().abs(),
        }
    }
}

/// The form of a piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A rectangle.
    Rectangle(Size),
    /// A closed outline in inches whose bounding box starts at the origin.
    Outline(BezPath),
}
