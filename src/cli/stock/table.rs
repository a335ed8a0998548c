//! What is on hand, as tables and as data.

use cutleaf::description::in_short;
use cutleaf::model::length::{Size, Units};
use cutleaf::model::{Choice, Price};
use cutleaf::stock::{Conflict, Found, Shape, Shelf, Source, Use};
use serde_json::{Value, json};

use super::super::{counted, say};

/// A table whose columns are as wide as what they hold; `right` are the columns of numbers.
pub fn print(rows: &[Vec<String>], right: &[usize]) {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let letters = |text: &String| text.chars().count();
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(letters).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..columns).map(width).collect();
    for row in rows {
        let cell = |(column, text): (usize, &String)| {
            let width = widths[column];
            if right.contains(&column) {
                format!("{text:>width$}")
            } else {
                format!("{text:<width$}")
            }
        };
        let line: Vec<String> = row.iter().enumerate().map(cell).collect();
        say(line.join("  ").trim_end());
    }
}

/// Says what is on hand.
pub fn show(shelf: &Shelf) {
    let (stock, on_hand) = (shelf.stock(), shelf.on_hand());
    if stock.papers.is_empty() {
        say("No paper is listed yet: write some under `papers:` in stock.yaml.");
        return;
    }
    let number = |count: u32| if count == 0 { String::new() } else { count.to_string() };
    let header = ["paper", "size", "sheets", "reserved", "price", "sum"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    let mut sheets_in_all = 0_u64;
    for paper in &stock.papers {
        let name = in_short(&paper.name);
        if paper.sheets.is_empty() {
            rows.push(vec![name.clone(), "no sheets".to_owned()]);
        }
        for (at, sheets) in paper.sheets.iter().enumerate() {
            sheets_in_all += u64::from(sheets.count);
            let money = |times: f64| {
                sheets
                    .price
                    .map_or_else(String::new, |price| format!("{:.2}", price.amount() * times))
            };
            rows.push(vec![
                if at == 0 { name.clone() } else { String::new() },
                sheets.size.show(stock.units),
                sheets.count.to_string(),
                number(on_hand.reserved_sheets(&paper.name, sheets.size)),
                money(1.0),
                money(f64::from(sheets.count)),
            ]);
        }
    }
    let (worth, unpriced) = stock.worth();
    let mut all = vec!["in all".to_owned(), String::new(), sheets_in_all.to_string()];
    if worth > 0.0 {
        all.extend([String::new(), String::new(), format!("{worth:.2}")]);
    }
    rows.push(all);
    print(&rows, &[2, 3, 4, 5]);
    if worth > 0.0 && unpriced > 0 {
        let (sheets, have) =
            (counted(unpriced, "sheet"), if unpriced == 1 { "has" } else { "have" });
        say(format_args!("{sheets} of them {have} no price."));
    }
    if stock.offcuts.is_empty() {
        return;
    }
    say("");
    let header = ["offcut", "paper", "size", "from", "reserved for"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    for offcut in stock.oldest_first().into_iter().rev() {
        rows.push(vec![
            in_short(&offcut.label),
            in_short(&offcut.paper),
            shape(&offcut.shape, stock.units),
            in_short(&offcut.from),
            on_hand.reserved_offcut(&offcut.label).join(", "),
        ]);
    }
    print(&rows, &[]);
}

/// What is on hand as data.
pub fn data(shelf: &Shelf) -> Value {
    let (stock, on_hand) = (shelf.stock(), shelf.on_hand());
    let amount = |price: Option<Price>| price.map(Price::amount);
    let papers: Vec<Value> = stock
        .papers
        .iter()
        .map(|paper| {
            let sheets: Vec<Value> = paper
                .sheets
                .iter()
                .map(|sheets| {
                    json!({
                        "size": sheets.size.to_inches(), "count": sheets.count,
                        "reserved": on_hand.reserved_sheets(&paper.name, sheets.size),
                        "price": amount(sheets.price),
                    })
                })
                .collect();
            json!({
                "name": paper.name, "color": paper.color.map(|color| color.to_string()),
                "picture": paper.picture, "pattern": paper.pattern, "kind": paper.kind.word(),
                "grain": paper.grain.word(), "turn": paper.turns().word(),
                "caliper": paper.caliper.map(cutleaf::model::length::Length::to_inches),
                "sheets": sheets,
            })
        })
        .collect();
    let offcuts: Vec<Value> = stock
        .offcuts
        .iter()
        .map(|offcut| {
            json!({
                "label": offcut.label, "paper": offcut.paper, "rings": offcut.shape,
                "size": offcut.shape.bounds().to_inches(), "area": offcut.shape.area(),
                "from": offcut.from, "added": offcut.added,
                "reserved_for": on_hand.reserved_offcut(&offcut.label),
            })
        })
        .collect();
    let conflicts = conflicts(shelf);
    let (worth, unpriced) = stock.worth();
    json!({
        "papers": papers, "offcuts": offcuts, "conflicts": conflicts, "worth": worth,
        "sheets_without_a_price": unpriced,
    })
}

/// A shape in words: its size, and its corners where it is no rectangle.
pub fn shape(shape: &Shape, units: Units) -> String {
    let size = shape.bounds().show(units);
    if shape.as_rectangle().is_some() {
        return size;
    }
    let holes = match shape.holes().len() {
        0 => String::new(),
        count => format!(", {}", counted(count, "opening")),
    };
    format!("{size}, {} corners{holes}", shape.corners().len())
}

/// What is reserved beyond what is on hand, each in a sentence.
pub fn conflicts(shelf: &Shelf) -> Vec<String> {
    shelf.conflicts().iter().map(|one| conflict(one, shelf.stock().units)).collect()
}

/// Paper that is reserved beyond what is on hand, in a sentence.
fn conflict(conflict: &Conflict, units: Units) -> String {
    let Conflict { what, on_hand, specs } = conflict;
    let named = |(spec, count): &(String, u32)| match what {
        Use::Sheets { .. } => format!("`{spec}` ({count})"),
        Use::Offcut { .. } => format!("`{spec}`"),
    };
    let specs: Vec<String> = specs.iter().map(named).collect();
    let what = match what {
        Use::Sheets { paper, size, .. } => format!("{paper} {}", size.show(units)),
        Use::Offcut { label } => format!("the offcut {label}"),
    };
    let there = match on_hand {
        0 => "none is on hand".to_owned(),
        1 => "1 is on hand".to_owned(),
        more => format!("{more} are on hand"),
    };
    format!("Reserved beyond what is there: {what} by {}, and {there}.", specs.join(" and "))
}

/// Says what holds a piece.
pub fn show_found(found: &[Found], piece: Size, units: Units) {
    if found.is_empty() {
        say(format_args!("Nothing on hand holds {}.", piece.show(units)));
        return;
    }
    let header = ["take", "paper", "size", "the piece lies", "left over"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    for one in found {
        let take = match &one.source {
            Source::Offcut(label) => format!("offcut {}", in_short(label)),
            Source::Sheet(_) if one.count == 1 => "the only sheet".to_owned(),
            Source::Sheet(_) => format!("one of {} sheets", one.count),
        };
        let [x, y] = one.at;
        let corner = [x, y].iter().all(|side| side.to_nanometres() == 0);
        let place = if corner {
            "in its corner".to_owned()
        } else {
            format!("{} across, {} down", x.show(units), y.show(units))
        };
        let turned = if one.turned && piece != piece.turned() { ", turned" } else { "" };
        rows.push(vec![
            take,
            in_short(&one.paper),
            one.size.show(units),
            format!("{place}{turned}"),
            format!("{:.1} in²", one.left),
        ]);
    }
    print(&rows, &[4]);
}

/// What holds a piece, as data.
pub fn found_data(found: &[Found]) -> Value {
    let row = |one: &Found| {
        let offcut = match &one.source {
            Source::Offcut(label) => Some(label),
            Source::Sheet(_) => None,
        };
        json!({
            "offcut": offcut, "paper": one.paper, "size": one.size.to_inches(),
            "at": one.at.map(cutleaf::model::length::Length::to_inches), "turned": one.turned,
            "left": one.left, "count": one.count, "price": one.price.map(Price::amount),
        })
    };
    found.iter().map(row).collect()
}
