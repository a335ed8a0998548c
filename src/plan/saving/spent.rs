//! What two answers of one paper differ by, in new sheets and their price.

use crate::model::length::{Size, Units};
use crate::model::{Price, Stock};
use crate::nest::gutting::Gutted;
use crate::plan::paper_plan::PaperPlan;

/// Prices that differ by less are the same.
pub(super) const HAIR: f64 = 1e-6;

/// How one answer compares with another.
pub(super) enum Difference {
    /// The same new sheets.
    Same,
    /// Dearer ones, or more paper.
    Worse,
    /// Cheaper ones, or less paper.
    Better(Better),
}

/// The sheets that a better answer does without, and those that it takes instead.
pub(super) struct Better {
    spared: Vec<(Kind, u32)>,
    taken: Vec<(Kind, u32)>,
    /// What that saves, if all their prices are known.
    price: Option<f64>,
}

/// New sheets of one size that are spared, or taken in the place of others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spared {
    /// Sheet size.
    pub size: Size,
    /// How many.
    pub count: u32,
    /// Price of one, if it is known.
    pub price: Option<Price>,
}

/// New sheets of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Kind {
    size: Size,
    price: Option<Price>,
    to_buy: bool,
}

/// How a later answer compares with the first: by price where it is known, by paper where no price is,
/// and only for what has to be bought where anything has.
pub(super) fn difference(before: &Gutted, after: &Gutted) -> Difference {
    if !after.nested.left_out.is_empty() {
        return Difference::Worse;
    }
    difference_of(used(before), used(after))
}

/// The same of two plans of a paper that leave nothing out, sheets for the printer included.
pub(super) fn difference_of_plans(before: &PaperPlan, after: &PaperPlan) -> Difference {
    let all = |plan: &PaperPlan| {
        let mut all = used(&plan.gutted);
        plan.supply.begun.iter().for_each(|stock| add(&mut all, stock, stock.count));
        all
    };
    difference_of(all(before), all(after))
}

fn difference_of(before: Vec<(Kind, i64)>, after: Vec<(Kind, i64)>) -> Difference {
    let mut changes: Vec<(Kind, i64)> = Vec::new();
    for (kind, count) in before.into_iter().chain(after.into_iter().map(|(kind, n)| (kind, -n))) {
        match changes.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, known)) => *known += count,
            None => changes.push((kind, count)),
        }
    }
    changes.retain(|(_, count)| *count != 0);
    if changes.iter().any(|(kind, _)| kind.to_buy) {
        changes.retain(|(kind, _)| kind.to_buy);
    }
    compared(&changes)
}

fn compared(changes: &[(Kind, i64)]) -> Difference {
    if changes.is_empty() {
        return Difference::Same;
    }
    let sum = |worth: fn(&Kind) -> f64| -> f64 {
        changes.iter().map(|(kind, count)| worth(kind) * *count as f64).sum()
    };
    let priced = changes.iter().filter(|(kind, _)| kind.price.is_some()).count();
    let price =
        (priced == changes.len()).then(|| sum(|kind| kind.price.map_or(0.0, Price::amount)));
    let saved = match price {
        Some(price) => price,
        None if priced == 0 => sum(|kind| kind.size.area()),
        // Of some the price is not known: only sheets that are spared outright are a saving for certain.
        None if changes.iter().all(|(_, count)| *count > 0) => 1.0,
        None => return Difference::Worse,
    };
    if saved <= HAIR {
        return if saved < -HAIR { Difference::Worse } else { Difference::Same };
    }
    let of_sign = |sign: i64| {
        let some = changes.iter().filter(move |(_, count)| count.signum() == sign);
        some.map(|(kind, count)| (*kind, u32::try_from(count.abs()).unwrap_or(u32::MAX))).collect()
    };
    Difference::Better(Better { spared: of_sign(1), taken: of_sign(-1), price })
}

/// The new sheets of an answer.
fn used(gutted: &Gutted) -> Vec<(Kind, i64)> {
    let mut used: Vec<(Kind, i64)> = Vec::new();
    for sheet in &gutted.nested.sheets {
        let Some(stock) = gutted.stock.get(sheet.stock) else { continue };
        if stock.offcut.is_none() {
            add(&mut used, stock, sheet.count);
        }
    }
    used
}

fn add(used: &mut Vec<(Kind, i64)>, stock: &Stock, count: u32) {
    let kind = Kind { size: stock.size, price: stock.price, to_buy: stock.to_buy };
    match used.iter_mut().find(|(known, _)| *known == kind) {
        Some((_, known)) => *known += i64::from(count),
        None => used.push((kind, i64::from(count))),
    }
}

impl Better {
    /// The sheets that are spared, those taken instead, and what that saves if all their prices are known.
    pub fn into_parts(self) -> (Vec<Spared>, Vec<Spared>, Option<f64>) {
        let sheets = |kinds: Vec<(Kind, u32)>| {
            let sheets = kinds.into_iter();
            sheets
                .map(|(kind, count)| Spared { size: kind.size, count, price: kind.price })
                .collect()
        };
        (sheets(self.spared), sheets(self.taken), self.price)
    }

    /// The saving in words: `saves one 8 1/2 x 11 in sheet of harbour, 0.60`.
    pub fn told(&self, paper: &str, units: Units) -> String {
        let sheets = |kinds: &[(Kind, u32)], of: &str| {
            let told: Vec<String> = kinds
                .iter()
                .map(|(kind, count)| {
                    let size = kind.size.show(units);
                    match count {
                        1 => format!("one {size} sheet{of}"),
                        count => format!("{count} {size} sheets{of}"),
                    }
                })
                .collect();
            super::listed(&told)
        };
        let of = format!(" of {paper}");
        let spared = sheets(&self.spared, &of);
        let buying = if self.spared.iter().all(|(kind, _)| kind.to_buy) { "buying " } else { "" };
        match (&self.taken[..], self.price) {
            ([], Some(price)) => format!("saves {buying}{spared}, {price:.2}"),
            ([], None) => format!("saves {buying}{spared}"),
            (taken, Some(price)) => {
                format!("takes {} instead of {spared}, which saves {price:.2}", sheets(taken, ""))
            }
            (taken, None) => format!("takes {} instead of {spared}", sheets(taken, "")),
        }
    }
}
