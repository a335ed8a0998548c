//! Sums, and what paper is used, had and bought.

use serde::{Deserialize, Serialize};

use super::FoamLine;

/// Sums over the run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Totals {
    /// Pieces with their copies.
    pub pieces: u32,
    /// Sheets cut, offcuts among them.
    pub sheets: u32,
    /// New sheets used.
    pub new_sheets: u32,
    /// Price of the new sheets, and of the photo paper if it has one; nothing where no price is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Sheets that have to be bought before everything can be cut.
    #[serde(default)]
    pub buy: u32,
    /// Price of the sheets that have to be bought, of which a price is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy_price: Option<f64>,
    /// Area of the pieces in square inches.
    pub piece_area: f64,
    /// Area of the sheets in square inches.
    pub sheet_area: f64,
    /// Trimmer cuts.
    pub trimmer_cuts: u32,
    /// Length the blade travels in paper.
    pub machine_length: f64,
    /// Words of the story.
    pub words: u32,
    /// What to have at hand, per paper and size.
    pub shopping: Vec<ShoppingLine>,
    /// Foam squares for raised pieces, the largest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub foam: Vec<FoamLine>,
}

/// One line of the shopping list.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ShoppingLine {
    /// Paper.
    pub paper: String,
    /// Sheet size.
    pub size: [f64; 2],
    /// Sheets this run uses.
    pub uses: u32,
    /// Sheets on hand before the run.
    pub on_hand: u32,
    /// Price of what is used; nothing where no price is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Sheets of them that are not on hand and have to be bought.
    #[serde(default)]
    pub buy: u32,
    /// Price of what has to be bought; nothing where no price is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy_price: Option<f64>,
}

impl ShoppingLine {
    /// Whether sheets have to be bought at a price that nobody knows.
    pub fn buys_unpriced(&self) -> bool {
        self.buy > 0 && self.buy_price.is_none()
    }
}
