//! Which of two finished plans is better: the one order that every search in this room goes by.
//!
//! Fewer pieces left out; cheaper new sheets, by price and then by area; more pieces, by area, from offcuts;
//! less left over in the offcuts that are used, older ones; a larger largest rest; fewer cuts; fewer fence
//! settings. How old an offcut is, the job's stock tells: the oldest come first. What the plan itself leaves,
//! rests of sheets that are cut down and hidden middles, has no age, and what is left of it isn't counted.

use std::cmp::Reverse;

use super::rectangles::{costs, whole_number};
use super::{Cut, Job, Nested, SheetCut};

/// Areas and prices are compared in millionths, so that rounding never decides.
const FINE: f64 = 1e6;

/// What finished plans are compared by, in this order; the lesser plan is the better one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Worth {
    /// Copies without a place.
    pub left_out: u64,
    /// Cost of the new sheets: their price, and below that their area.
    pub cost: i128,
    /// Area of the pieces that come from offcuts, in millionths of a square inch.
    pub from_offcuts: Reverse<i128>,
    /// Area of the offcuts from earlier that are used, less that of the pieces on them, in millionths of a
    /// square inch.
    pub offcuts_left: i128,
    /// Which they are, by place in the job's stock: of plans that leave as much, that with the older ones.
    pub ages: Vec<usize>,
    /// Area of the largest rest worth keeping, in millionths of a square inch.
    pub largest: Reverse<i128>,
    /// Trimmer cuts.
    pub cuts: usize,
    /// Fence settings, see [`settings`].
    pub settings: usize,
}

impl Worth {
    /// The worth of a plan for a job.
    pub fn of(job: &Job, nested: &Nested) -> Self {
        let costs = costs(job);
        let cost = |sheet: &SheetCut| Some(costs.get(sheet.stock)? * i128::from(sheet.count));
        let is_offcut =
            |stock: usize| job.stock.get(stock).is_some_and(|stock| stock.offcut.is_some());
        let areas: Vec<i128> = job.items.iter().map(|item| fine(item.area())).collect();
        let offcuts = nested.sheets.iter().filter(|sheet| is_offcut(sheet.stock));
        let taken = |sheet: &SheetCut| {
            let placed = sheet.placed.iter().filter_map(|one| areas.get(one.item));
            placed.sum::<i128>() * i128::from(sheet.count)
        };
        let from_offcuts = offcuts.map(&taken).sum();
        let of_all = |number: fn(&SheetCut) -> usize| {
            nested.sheets.iter().map(|sheet| number(sheet) * sheet.count as usize).sum()
        };
        let mut ages = Vec::new();
        let mut offcuts_left = 0;
        for sheet in &nested.sheets {
            let Some(stock) = job.stock.get(sheet.stock).filter(|stock| stock.is_old()) else {
                continue;
            };
            ages.extend(std::iter::repeat_n(sheet.stock, sheet.count as usize));
            offcuts_left += fine(stock.size.area()) * i128::from(sheet.count) - taken(sheet);
        }
        ages.sort_unstable();
        let rests = nested.sheets.iter().flat_map(|sheet| &sheet.offcuts);
        Self {
            left_out: nested.left_out.iter().map(|left| u64::from(left.copies)).sum(),
            cost: nested.sheets.iter().filter_map(cost).sum(),
            from_offcuts: Reverse(from_offcuts),
            offcuts_left,
            ages,
            largest: Reverse(rests.map(|rest| fine(rest.size.area())).max().unwrap_or(0)),
            cuts: of_all(|sheet| sheet.cuts.len()),
            settings: of_all(|sheet| settings(&sheet.cuts)),
        }
    }

    /// What a plan costs before anything else counts: copies left out, then the new sheets.
    pub const fn price(&self) -> (u64, i128) {
        (self.left_out, self.cost)
    }
}

/// How often the fence is set on the way through a sheet's cuts: equal measures one after the other take
/// one setting.
pub fn settings(cuts: &[Cut]) -> usize {
    let changes = cuts.windows(2).filter(|pair| pair[0].fence != pair[1].fence).count();
    changes + usize::from(!cuts.is_empty())
}

/// An area or a price in millionths; nothing if it is no number.
pub fn fine(amount: f64) -> i128 {
    if amount.is_finite() { whole_number(amount * FINE) } else { 0 }
}
