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
    /// Whether it is paper that the plan itself leaves, a rest of a sheet that is cut down or the hidden
    /// middle of a piece, and no offcut from earlier.
    pub rest: bool,
}

impl Stock {
    /// Whether it is an offcut that was on hand before.
    pub const fn is_old(&self) -> bool {
        self.offcut.is_some() && !self.rest
    }

    /// What one sheet adds to a sum of prices: nothing where no price is known.
    pub fn cost(&self) -> f64 {
        self.price.map_or(0.0, Price::amount)
    }
}
