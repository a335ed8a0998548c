//! The sheets of a job in whole nanometres, and what they cost.

use super::Patch;
use crate::nest::{Job, Stock};

/// Nothing that is cut by hand is longer: 2000 in, in nanometres. Keeps sums far from overflow.
pub(in crate::nest) const LONGEST: i64 = 2000 * 25_400_000;
/// Most copies that are placed in one job: a year's work for a class, and still quick to nest.
pub(in crate::nest) const MOST_COPIES: u32 = 20_000;
/// A cost unit is a ten-thousandth of the coin; below it the area counts, in hundredths of a square
/// inch.
pub(in crate::nest) const COST_OF_A_COIN: f64 = 1e4;
/// Room for areas below one cost unit.
const AREA_ROOM: i128 = 1_000_000_000_000;

/// Sheets of one kind.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest) struct Sheets {
    /// Usable width and height in nanometres.
    pub size: [i64; 2],
    /// How many there are.
    pub count: u32,
    /// Cost of one, nothing for an offcut.
    pub cost: i128,
    /// Whether it is an offcut from earlier.
    pub old: bool,
}

/// Sizes of a sheet that can be worked with, or nothing.
pub(in crate::nest) fn sheet_size(stock: &Stock) -> Option<[i64; 2]> {
    let size = [stock.size.width.to_nanometres(), stock.size.height.to_nanometres()];
    size.iter().all(|length| (1..=LONGEST).contains(length)).then_some(size)
}

/// The part of a sheet that pieces may lie on: an offcut's edges are cut already, a new sheet's rim is
/// cut away.
pub(in crate::nest) fn inside_rim(stock: &Stock, margin: i64) -> Option<Patch> {
    let size = sheet_size(stock)?;
    let margin = if stock.offcut.is_some() { 0 } else { margin };
    let patch = Patch { at: [margin; 2], size: size.map(|length| length - 2 * margin) };
    (patch.size[0] > 0 && patch.size[1] > 0).then_some(patch)
}

/// Paper lost by a cut, in nanometres.
pub(in crate::nest) fn kerf(job: &Job) -> i64 {
    job.rules.kerf.to_nanometres().clamp(0, LONGEST)
}

/// The rim that is trimmed off a new sheet, in nanometres.
pub(in crate::nest) fn trim_margin(job: &Job) -> i64 {
    job.rules.trim_margin.to_nanometres().clamp(0, LONGEST)
}

/// The cost of each stock's sheet: new ones by price and then area, offcuts nothing.
pub(in crate::nest) fn costs(job: &Job) -> Vec<i128> {
    let cost = |stock: &Stock| {
        if stock.offcut.is_some() {
            return 0;
        }
        let area = sheet_size(stock).map_or(1.0, |size| Patch { at: [0; 2], size }.square_inches());
        whole_number(stock.cost() * COST_OF_A_COIN) * AREA_ROOM + whole_number(area * 100.0).max(1)
    };
    job.stock.iter().map(cost).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "prices and areas are cut off far below")]
pub(in crate::nest) fn whole_number(number: f64) -> i128 {
    number.round() as i128
}
