//! The list to buy, where the paper on hand does not do.

use cutleaf::model::length::Size;
use cutleaf::record::{Record, ShoppingLine};

use super::{Done, counted};

/// Says what has to be bought; whether everything can be cut at once.
pub fn told(record: &Record) -> Done {
    let lines = lines(record);
    if lines.is_empty() {
        return Done::Whole;
    }
    eprint!("{}", cutleaf::description::printable(&list(record, &lines)));
    Done::ShortOfPaper
}

/// The lines of the shopping list that have to be bought.
pub fn lines(record: &Record) -> Vec<&ShoppingLine> {
    record.totals.shopping.iter().filter(|line| line.buy > 0).collect()
}

fn list(record: &Record, lines: &[&ShoppingLine]) -> String {
    let totals = &record.totals;
    let units = record.shown_units();
    let widest = lines.iter().map(|line| line.paper.chars().count()).max().unwrap_or(0).max(6);
    let mut told = String::from("Short of paper. To buy before everything can be cut:\n");
    for line in lines {
        let size = Size::inches(line.size[0], line.size[1]).show(units);
        let price = line.buy_price.map_or_else(String::new, |price| format!(", {price:.2}"));
        let sheets = counted(line.buy, "sheet");
        told += &format!("  {:<widest$}  {sheets} of {size}{price}\n", line.paper);
    }
    if lines.len() > 1 {
        let unpriced = lines.iter().any(|line| line.buys_unpriced());
        let price = match (totals.buy_price, unpriced) {
            (Some(price), false) => format!(", {price:.2}"),
            (Some(price), true) => format!(", {price:.2} and what the unpriced ones cost"),
            (None, _) => String::new(),
        };
        let sheets = counted(totals.buy, "sheet");
        told += &format!("  {:<widest$}  {sheets}{price}\n", "in all");
    }
    told += "They are marked `to buy` and come last, after what can be cut at once. With --strict,\n\
             nothing is planned that the paper on hand does not allow.\n";
    told
}
