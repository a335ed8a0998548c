//! Sums as the record keeps them.

use crate::layout::foam_in_all;
use crate::model::rounded;
use crate::plan::{self, OnPage, Plan};
use crate::record::{FoamLine, ShoppingLine, Totals};

use super::{inches, size};
use crate::plan::sheet::{count_of, in_all};

/// Sums over the plan.
pub(super) fn totals(plan: &Plan) -> Totals {
    let totals = &plan.totals;
    let shopping: Vec<ShoppingLine> = totals.shopping.iter().map(line).collect();
    let words = |one: &OnPage| plan.spread.strips[one.strip].text.split_whitespace().count();
    let strips = plan.pages.iter().flat_map(|page| &page.page.strips);
    // A story that is printed several times has its words but once.
    let strips = strips.filter(|one| one.copy == 0);
    let sheets = || plan.sheets.iter().map(|planned| &planned.sheet);
    let pieces = plan.spread.pieces.iter().map(|piece| piece.copies);
    let cuts = sheets().map(|sheet| sheet.cuts.len() * sheet.count.places());
    Totals {
        pieces: pieces.fold(0, u32::saturating_add),
        sheets: count_of(in_all(sheets())),
        new_sheets: totals.new_sheets,
        price: sum(shopping.iter().filter_map(|line| line.price)),
        buy: shopping.iter().map(|line| line.buy).sum(),
        buy_price: sum(shopping.iter().filter_map(|line| line.buy_price)),
        piece_area: rounded(totals.piece_area),
        sheet_area: rounded(totals.sheet_area),
        trimmer_cuts: count_of(cuts.sum()),
        machine_length: rounded(totals.machine_length),
        words: count_of(strips.map(words).sum()),
        shopping,
        foam: foam(plan),
    }
}

/// The foam under all raised pieces and photos.
fn foam(plan: &Plan) -> Vec<FoamLine> {
    let spread = &plan.spread;
    let pieces = spread.pieces.iter().map(|piece| (piece.raised.as_deref(), piece.copies));
    let photos = spread.photos.iter().map(|photo| (photo.raised.as_deref(), photo.copies));
    let raised = pieces.chain(photos).filter_map(|(raised, copies)| Some((raised?, copies)));
    let lines = foam_in_all(raised).into_iter();
    lines
        .map(|(square, height, count)| FoamLine {
            square: inches(square),
            height: inches(height),
            count,
        })
        .collect()
}

fn line(line: &plan::ShoppingLine) -> ShoppingLine {
    let of = |count: u32| sum(line.price.map(|price| price.amount() * f64::from(count)));
    ShoppingLine {
        paper: line.paper.clone(),
        size: size(line.size),
        uses: line.uses,
        on_hand: line.on_hand,
        price: of(line.uses),
        buy: line.buy,
        buy_price: of(line.buy),
    }
}

/// A sum of prices; nothing where there is nothing to pay, as far as is known.
fn sum(prices: impl IntoIterator<Item = f64>) -> Option<f64> {
    Some(rounded(prices.into_iter().sum())).filter(|sum| *sum > 0.0)
}
