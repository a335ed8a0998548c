//! What paper costs.

use serde::{Deserialize, Serialize};

/// The price of one sheet in whatever coin the user counts in: a number above 0, and finite. Where no price
/// is known there is none, not a price of 0.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Price(f64);

impl Price {
    /// The highest price; dearer sheets count as this dear, so that sums stay exact.
    pub const HIGHEST: f64 = 1e9;

    /// A price, unless the number is none.
    ///
    /// ```
    /// use cutleaf::model::Price;
    /// assert_eq!(Price::new(0.9).map(Price::amount), Some(0.9));
    /// assert_eq!(Price::new(0.0), None);
    /// assert_eq!(Price::new(f64::NAN), None);
    /// ```
    pub fn new(amount: f64) -> Option<Self> {
        (amount.is_finite() && amount > 0.0).then(|| Self(amount.min(Self::HIGHEST)))
    }

    /// The number.
    pub const fn amount(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Price {
    type Error = String;

    fn try_from(amount: f64) -> Result<Self, String> {
        Self::new(amount).ok_or_else(|| format!("{amount} is not a price: it is a number above 0"))
    }
}

impl From<Price> for f64 {
    fn from(price: Price) -> Self {
        price.0
    }
}
