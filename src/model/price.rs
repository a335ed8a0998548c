//! What paper costs.

/// The price of one sheet in whatever coin the user counts in: a number above 0, and finite. Where no price
/// is known there is none, not a price of 0.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
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
