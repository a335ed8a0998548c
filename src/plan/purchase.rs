//! Sheets to buy, where the paper on hand does not do.
//!
//! What is on hand is cut first, as far as it goes: it costs nothing more, and a sheet to buy costs its
//! price. So the nester's own order, cheaper new sheets first, buys as little as it can.

use crate::kept::Kept;
use crate::layout::{Layout, PaperOnHand, USUAL_SHEET};
use crate::model::length::Size;
use crate::model::{Price, SheetSource, Stock};
use crate::nest::gutting::{Gutted, Middle};
use crate::nest::{Job, Search};

use super::sheet::Sheet;

/// What a square inch weighs where no sheet of a paper has a price: only differences count then.
const WEIGHT_OF_A_SQUARE_INCH: f64 = 0.01;

/// The sheets of a paper that can be bought, `count` of each: of the sizes that it lists, cheapest first
/// and unpriced ones last; the usual sheet and the printer's where it lists none.
pub(super) fn on_offer(layout: &Layout, paper: &PaperOnHand, count: u32) -> Vec<Stock> {
    let offer = |size: Size, price: Option<Price>| Stock {
        size,
        count,
        price,
        to_buy: true,
        ..Stock::default()
    };
    let mut offers: Vec<Stock> = Vec::new();
    for listed in paper.stock.iter().filter(|stock| stock.offcut.is_none()) {
        if offers.iter().all(|known| known.size != listed.size) {
            offers.push(offer(listed.size, listed.price));
        }
    }
    if offers.is_empty() {
        offers.push(offer(USUAL_SHEET, None));
        if layout.printer.paper != USUAL_SHEET {
            offers.push(offer(layout.printer.paper, None));
        }
    }
    let worth = |stock: &Stock| (stock.price.is_none(), stock.cost(), stock.size.area());
    offers.sort_by(|one, other| {
        let ((unpriced, price, area), (other_unpriced, other_price, other_area)) =
            (worth(one), worth(other));
        unpriced
            .cmp(&other_unpriced)
            .then(price.total_cmp(&other_price))
            .then(area.total_cmp(&other_area))
    });
    offers
}

/// Nests a job from what is on hand; where that does not do, with what is on offer as well. Returns the
/// job with the stock it was cut from: sheets to buy follow on what is on hand.
pub(super) fn nest(
    layout: &Layout,
    search: &Search,
    job: Job,
    middles: &[Middle],
    offers: impl FnOnce(u32) -> Vec<Stock>,
) -> (Job, Gutted) {
    if layout.strict || !middles.is_empty() || covered(&job) <= on_hand(&job) {
        let gutted = nested(&job, middles, search);
        if layout.strict || gutted.nested.left_out.is_empty() {
            return (job, gutted);
        }
    }
    let copies = job.items.iter().fold(0_u32, |sum, item| sum.saturating_add(item.copies));
    let mut job = job;
    job.stock.extend(offers(copies));
    let weighed = Job { stock: weighed(&job.stock), ..job.clone() };
    let mut gutted = nested(&weighed, middles, search);
    for (stock, told) in gutted.stock.iter_mut().zip(&job.stock) {
        stock.price = told.price;
    }
    bought_last(&job, middles, &mut gutted);
    (job, gutted)
}

/// Jobs nested last in this process: those of a few spreads, at two efforts each.
static NESTED: Kept<(Job, Vec<Middle>), Gutted> = Kept::new(48);

/// The nest of a job, searched for once in a process; one that was stopped is not kept.
fn nested(job: &Job, middles: &[Middle], search: &Search) -> Gutted {
    let found = NESTED.if_found((job.clone(), middles.to_vec()), |(job, middles)| {
        let gutted = search.nest_with_middles(job, middles);
        if search.is_stopped() { Err(Box::new(gutted)) } else { Ok(gutted) }
    });
    found.unwrap_or_else(|stopped| *stopped)
}

/// The area of a job's pieces in square inches.
fn covered(job: &Job) -> f64 {
    job.items.iter().map(|item| item.area() * f64::from(item.copies)).sum()
}

/// The area of the paper on hand in square inches.
fn on_hand(job: &Job) -> f64 {
    job.stock.iter().map(|stock| stock.size.area() * f64::from(stock.count)).sum()
}

/// What sheets weigh as a purchase: what is on hand costs nothing more, and a sheet at a price that nobody
/// knows is taken to be as dear as the dearest of the paper, by the square inch.
pub(super) struct Weights {
    /// The dearest square inch.
    dearest: f64,
}

impl Weights {
    /// The weights of a paper, of which some sheets are on offer.
    pub fn of(stock: &[Stock]) -> Self {
        let rate = |one: &Stock| one.cost() / one.size.area().max(f64::MIN_POSITIVE);
        let priced = stock.iter().filter(|one| one.to_buy && one.price.is_some());
        let dearest = priced.map(rate).reduce(f64::max).unwrap_or(WEIGHT_OF_A_SQUARE_INCH);
        Self { dearest }
    }

    /// The weight of one sheet.
    pub fn weigh(&self, one: &Stock) -> f64 {
        match (one.to_buy, one.price) {
            (false, _) => 0.0,
            (true, Some(price)) => price.amount(),
            (true, None) => one.size.area() * self.dearest,
        }
    }
}

/// The same sheets at their weights.
fn weighed(stock: &[Stock]) -> Vec<Stock> {
    let weights = Weights::of(stock);
    stock.iter().map(|one| Stock { price: Price::new(weights.weigh(one)), ..one.clone() }).collect()
}

/// Sheets to buy, and what comes out of their pieces' middles, after those that can be cut at once.
fn bought_last(job: &Job, middles: &[Middle], gutted: &mut Gutted) {
    let sheets = std::mem::take(&mut gutted.nested.sheets);
    let mut waits: Vec<bool> = Vec::with_capacity(sheets.len());
    // A middle comes after the sheet that holds its piece, so what that waits for is known by then.
    for sheet in &sheets {
        let middle = sheet.stock.checked_sub(job.stock.len());
        let waiting = match middle.and_then(|middle| middles.get(*gutted.cut.get(middle)?)) {
            Some(middle) => sheets.iter().zip(&waits).any(|(other, &waits)| {
                waits && other.placed.iter().any(|one| one.item == middle.item)
            }),
            None => job.stock.get(sheet.stock).is_some_and(|stock| stock.to_buy),
        };
        waits.push(waiting);
    }
    let mut ranked: Vec<_> = waits.into_iter().zip(sheets).collect();
    ranked.sort_by_key(|(waits, _)| *waits);
    gutted.nested.sheets = ranked.into_iter().map(|(_, sheet)| sheet).collect();
}

/// The order of her hands: first the sheets that are cut from paper on hand, then those that have to be
/// bought and what comes out of them; as places among the sheets.
pub(super) fn order(layout: &Layout, sheets: &[Sheet]) -> Vec<usize> {
    let mut waits: Vec<bool> = Vec::with_capacity(sheets.len());
    for sheet in sheets {
        let comes_from = |other: &Sheet| match &sheet.source {
            SheetSource::Middle(middle) => other.placed.iter().any(|one| {
                let piece = layout.pieces.iter().find(|piece| piece.id == one.piece);
                let windows = piece.into_iter().flat_map(|piece| &piece.windows);
                windows.into_iter().any(|window| window.id == *middle)
            }),
            SheetSource::Part { whole, .. } => other.id == *whole,
            SheetSource::New | SheetSource::Offcut(_) | SheetSource::FedOnce(_) => false,
        };
        let mut before = sheets.iter().zip(&waits);
        let waiting = before.any(|(other, &waits)| waits && comes_from(other));
        waits.push(sheet.to_buy || waiting);
    }
    let mut order: Vec<usize> = (0..sheets.len()).collect();
    order.sort_by_key(|&place| waits[place]);
    order
}
