//! Paper on hand or to buy.

use super::{OffcutId, Price};
use crate::model::length::Size;

/// Sheets of one size and origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// Size of a sheet.
    pub size: Size,
    /// How many there are.
    pub count: u32,
    /// Price of one, if it is known; offcuts have none.
    pub price: Option<Price>,
    /// The offcut's id, or nothing for new sheets.
    pub offcut: Option<OffcutId>,
    /// Whether they are not on hand: new sheets that have to be bought first.
    pub to_buy: bool,
}

impl Stock {
    /// What one sheet adds to a sum of prices: nothing where no price is known.
    pub fn cost(&self) -> f64 {
        self.price.map_or(0.0, Price::amount)
    }
}
