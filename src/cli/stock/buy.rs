//! `stock buy`: one shopping list for several spreads, which are all to be cut from the same paper, one after
//! the other.

use std::path::{Path, PathBuf};

use cutleaf::model::length::{Size, Units};
use cutleaf::plan::{self, Chain, Spending};
use cutleaf::record::{Record, ShoppingLine};
use cutleaf::stock::{Stock, Use};
use serde_json::{Value, json};

use super::super::{Done, Failure, chain, files, progress, say, say_json};
use super::args::BuyArguments;
use super::{HeldStock, table};

/// Sheets of a paper and size that some spreads need together.
struct Need {
    paper: String,
    size: Size,
    uses: u32,
    on_hand: u32,
    /// Price of one, if it is known.
    price: Option<f64>,
}

impl Need {
    fn buy(&self) -> u32 {
        self.uses.saturating_sub(self.on_hand)
    }

    fn cost(&self) -> Option<f64> {
        self.price.map(|price| price * f64::from(self.buy()))
    }
}

/// Plans each spread from what those before it leave, and lists what lacks for all of them.
pub fn run(arguments: &BuyArguments) -> Result<Done, Failure> {
    let mut needs: Vec<Need> = Vec::new();
    let beside = arguments.specs.first().cloned().unwrap_or_else(|| PathBuf::from("."));
    let held = HeldStock::open(arguments.place.file.as_deref(), &beside)?;
    let mut left = held.as_ref().map(|held| {
        held.say_noticed();
        free_for(held, &arguments.specs)
    });
    let on_hand = left.clone();
    let mut told = Vec::new();
    for spec in &arguments.specs {
        let Some((held, left)) = held.as_ref().zip(left.as_mut()) else {
            plan(spec, None)?.totals.shopping.iter().for_each(|line| add(&mut needs, line));
            continue;
        };
        let name = held.name_of(spec);
        let uses = match still_to_cut(held, &name, spec, &arguments.out) {
            Some(uses) => {
                told.push(format!("{name} is entered as cut, all or in part: the rest counts."));
                uses.iter().for_each(|one| add_use(&mut needs, one));
                uses
            }
            None => {
                let record = plan(spec, Some(left))?;
                record.totals.shopping.iter().for_each(|line| add(&mut needs, line));
                Spending::new(&Chain::of(record), &held.shelf, &name).uses()
            }
        };
        let offcuts = uses.iter().filter_map(|one| match one {
            Use::Offcut { label } => Some(label.as_str()),
            Use::Sheets { .. } => None,
        });
        let offcuts: Vec<&str> = offcuts.collect();
        if !offcuts.is_empty() {
            told.push(format!("{name} takes the offcuts {}.", offcuts.join(", ")));
        }
        uses.iter().for_each(|one| left.take(one));
    }
    if let Some(on_hand) = &on_hand {
        needs.iter_mut().for_each(|need| by_stock(need, on_hand));
        if arguments.specs.len() > 1 {
            let order = "Planned in this order, each from what those before it leave.";
            told.insert(0, order.to_owned());
        }
    }
    let units = on_hand.as_ref().map_or(Units::Inches, |stock| stock.units);
    if arguments.json {
        say_json(&needs.iter().map(data).collect::<Vec<_>>());
    } else {
        show(&needs, units);
        told.iter().for_each(say);
    }
    let is_short = needs.iter().any(|need| need.buy() > 0);
    Ok(if is_short { Done::ShortOfPaper } else { Done::Whole })
}

/// How a spread is cut from some stock.
fn plan(spec: &Path, stock: Option<&Stock>) -> Result<Record, Failure> {
    let spread = files::read_spread(spec, stock)?;
    progress::with("nesting", || plan::record(&spread.layout))
        .map_err(|problems| Failure::of_spec(problems, &spread.file, &spread.text))
}

/// What is on hand, less what spreads have reserved that are not on the list.
fn free_for(held: &HeldStock, specs: &[PathBuf]) -> Stock {
    let listed: Vec<String> = specs.iter().map(|spec| held.name_of(spec)).collect();
    let mut stock = held.shelf.stock().clone();
    let on_hand = held.shelf.on_hand();
    let others = on_hand.specs().filter(|other| listed.iter().all(|name| name != other));
    others.flat_map(|other| on_hand.reserved_by(other)).for_each(|one| stock.take(one));
    stock
}

/// What a spread that is entered as cut has still to cut; nothing if none of its sheets are entered.
fn still_to_cut(held: &HeldStock, name: &str, spec: &Path, out: &Path) -> Option<Vec<Use>> {
    let chain = chain::standing(spec, out)?;
    let spending = Spending::new(&chain, &held.shelf, name);
    (!spending.entered(false).is_empty()).then(|| spending.uses())
}

/// Adds sheets that a spread has reserved.
fn add_use(needs: &mut Vec<Need>, one: &Use) {
    let Use::Sheets { paper, size, count } = one else { return };
    let size = size.to_inches();
    add(
        needs,
        &ShoppingLine { paper: paper.clone(), size, uses: *count, ..ShoppingLine::default() },
    );
}

/// Adds a line of a spread's list. All spreads are cut from the same pile: what they say is on hand is not
/// added up.
fn add(needs: &mut Vec<Need>, line: &ShoppingLine) {
    let size = Size::of_inches(line.size);
    let each = |price: f64, count: u32| price / f64::from(count.max(1));
    let price = line.price.map(|price| each(price, line.uses));
    match needs.iter_mut().find(|need| need.paper == line.paper && need.size == size) {
        Some(need) => {
            need.uses = need.uses.saturating_add(line.uses);
            need.on_hand = need.on_hand.max(line.on_hand);
            need.price = need.price.or(price);
        }
        None => needs.push(Need {
            paper: line.paper.clone(),
            size,
            uses: line.uses,
            on_hand: line.on_hand,
            price,
        }),
    }
}

/// What the stock says of it, where it lists that paper and size.
fn by_stock(need: &mut Need, stock: &Stock) {
    let sheets = stock.paper(&need.paper).and_then(|paper| paper.sheets_of(need.size));
    if let Some(sheets) = sheets {
        need.on_hand = sheets.count;
        need.price = sheets.price.map(cutleaf::model::Price::amount).or(need.price);
    }
}

fn show(needs: &[Need], units: Units) {
    let header = ["paper", "size", "needed", "on hand", "to buy", "price"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    for need in needs.iter().filter(|need| need.uses > 0) {
        let buy = need.buy();
        let price = need.cost().filter(|_| buy > 0);
        rows.push(vec![
            need.paper.clone(),
            need.size.show(units),
            need.uses.to_string(),
            need.on_hand.to_string(),
            if buy == 0 { String::new() } else { buy.to_string() },
            price.map_or_else(String::new, |price| format!("{price:.2}")),
        ]);
    }
    let bought: u32 = needs.iter().map(Need::buy).sum();
    let price: f64 = needs.iter().filter_map(Need::cost).sum();
    if bought > 0 {
        let price = if price > 0.0 { format!("{price:.2}") } else { String::new() };
        let all = ["in all", "", "", "", &bought.to_string(), &price].map(str::to_owned);
        rows.push(all.to_vec());
    }
    table::print(&rows, &[2, 3, 4, 5]);
    let is_unpriced = |need: &Need| need.buy() > 0 && need.price.is_none();
    if price > 0.0 && needs.iter().any(is_unpriced) {
        say("Some of them have no price.");
    }
    if bought == 0 {
        say("There is paper for all of them.");
    }
}

fn data(need: &Need) -> Value {
    json!({
        "paper": need.paper, "size": need.size.to_inches(), "uses": need.uses,
        "on_hand": need.on_hand, "buy": need.buy(), "price": need.cost(),
    })
}
