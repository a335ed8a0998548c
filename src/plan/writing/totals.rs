//! Sums as the record keeps them.

use crate::model::Price;
use crate::model::rounded;
use crate::plan::{self, Plan};
use crate::record::{ShoppingLine, Totals};

use super::size;
use crate::plan::sheet::count_of;

/// Sums over the plan.
pub(super) fn totals(plan: &Plan) -> Totals {
    let totals = &plan.totals;
    let shopping: Vec<ShoppingLine> = totals.shopping.iter().map(line).collect();
    let words =
        |&(strip, _): &(usize, [f64; 2])| plan.spread.strips[strip].text.split_whitespace().count();
    let strips = plan.pages.iter().flat_map(|page| &page.page.strips);
    Totals {
        pieces: count_of(plan.spread.pieces.len()),
        sheets: count_of(plan.sheets.len()),
        new_sheets: totals.new_sheets,
        price: rounded(shopping.iter().map(|line| line.price).sum()),
        buy: shopping.iter().map(|line| line.buy).sum(),
        buy_price: rounded(shopping.iter().map(|line| line.buy_price).sum()),
        piece_area: rounded(totals.piece_area),
        sheet_area: rounded(totals.sheet_area),
        trimmer_cuts: count_of(plan.sheets.iter().map(|sheet| sheet.sheet.cuts.len()).sum()),
        machine_length: rounded(totals.machine_length),
        words: count_of(strips.map(words).sum()),
        shopping,
    }
}

fn line(line: &plan::ShoppingLine) -> ShoppingLine {
    let price = line.price.map_or(0.0, Price::amount);
    ShoppingLine {
        paper: line.paper.clone(),
        size: size(line.size),
        uses: line.uses,
        on_hand: line.on_hand,
        price: rounded(price * f64::from(line.uses)),
        buy: line.buy,
        buy_price: rounded(price * f64::from(line.buy)),
    }
}
