//! Paper on hand or to buy.

use crate::length::Size;

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
