//! Shares, sums and the shopping list.

use crate::geometry::ring_area;
use crate::layout::{Layout, PaperOnHand};
use crate::model::Process;
use crate::record::{Record, ShoppingLine, Totals, rounded};

use super::prints;

/// Fills in shares and totals once every sheet is in the record.
pub(super) fn sum_up(layout: &Layout, record: &mut Record) {
    let mut areas = Vec::new();
    // The paper of a gutted middle, or of a part, is counted with the sheet that it was cut from.
    let counted: Vec<bool> = record
        .sheets
        .iter()
        .map(|sheet| record.gutted_for(sheet).is_some() || record.part_of(sheet).is_some())
        .collect();
    for (sheet, counted) in record.sheets.iter_mut().zip(counted) {
        let area: f64 = sheet.placed.iter().map(|placed| placed_area(&placed.rings)).sum();
        let whole = sheet.size[0] * sheet.size[1];
        sheet.used = rounded(area / whole);
        areas.push((area, if counted { 0.0 } else { whole }));
    }
    for place in 0..record.sheets.len() {
        let parts = &record.sheets[place].parts;
        if parts.is_empty() {
            continue;
        }
        let on_parts = record
            .sheets
            .iter()
            .zip(&areas)
            .filter(|(sheet, _)| parts.iter().any(|part| part.id == sheet.id));
        let area = areas[place].0 + on_parts.map(|(_, (area, _))| area).sum::<f64>();
        let sheet = &mut record.sheets[place];
        sheet.used = rounded(area / (sheet.size[0] * sheet.size[1]));
    }
    for paper in &mut record.papers {
        let of_paper =
            record.sheets.iter().zip(&areas).filter(|(sheet, _)| sheet.paper == paper.name);
        let (area, whole) =
            of_paper.fold((0.0, 0.0), |sum, (_, area)| (sum.0 + area.0, sum.1 + area.1));
        paper.used = if whole > 0.0 { rounded(area / whole) } else { 0.0 };
    }
    let mut shopping = shopping(layout, record);
    let new_sheets = shopping.iter().map(|line| line.uses).sum();
    shopping.extend(photo_paper(layout, record));
    let machine_length =
        record.sheets.iter().map(|sheet| sheet.length_of(Process::Cut)).sum::<f64>();
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    record.totals = Totals {
        pieces: record.pieces.iter().map(|piece| piece.copies).sum(),
        sheets: count(record.sheets.len()),
        new_sheets,
        price: rounded(shopping.iter().map(|line| line.price).sum()),
        buy: shopping.iter().map(|line| line.buy).sum(),
        buy_price: rounded(shopping.iter().map(|line| line.buy_price).sum()),
        piece_area: rounded(areas.iter().map(|area| area.0).sum()),
        sheet_area: rounded(areas.iter().map(|area| area.1).sum()),
        trimmer_cuts: count(record.sheets.iter().map(|sheet| sheet.cuts.len()).sum()),
        machine_length: rounded(machine_length),
        words: count(record.strips.iter().map(|strip| strip.text.split_whitespace().count()).sum()),
        shopping,
    };
}

/// The area of an outline whose first ring is the outside; islands in holes are rare enough to be
/// told apart by their direction.
fn placed_area(rings: &[crate::geometry::Ring]) -> f64 {
    rings.iter().map(ring_area).sum::<f64>().abs()
}

/// What is used of each paper and size, beside what is on hand and what has to be bought.
fn shopping(layout: &Layout, record: &Record) -> Vec<ShoppingLine> {
    let mut lines: Vec<ShoppingLine> = Vec::new();
    for paper in &layout.papers {
        let first = lines.len();
        let mut prices = Vec::new();
        for stock in paper.stock.iter().filter(|stock| stock.offcut.is_none()) {
            let size = stock.size.to_inches().map(rounded);
            match lines[first..].iter_mut().find(|line| line.size == size) {
                Some(line) => line.on_hand += stock.count,
                None => {
                    prices.push(stock.price);
                    lines.push(line(paper, size, stock.count));
                }
            }
        }
        let new = record.sheets.iter().filter(|one| one.paper == paper.name && one.from == "new");
        for sheet in new {
            let lies = |size: [f64; 2]| lines[first..].iter().position(|line| line.size == size);
            let [width, height] = sheet.size;
            // The printer takes a sheet that is listed the other way round as its own.
            let place = lies([width, height]).or_else(|| lies([height, width]));
            let place = place.unwrap_or_else(|| {
                prices.push(0.0);
                lines.push(line(paper, sheet.size, 0));
                lines.len() - 1 - first
            });
            let line = &mut lines[first + place];
            line.uses += 1;
            line.buy += u32::from(sheet.to_buy);
        }
        for (line, price) in lines[first..].iter_mut().zip(prices) {
            line.price = rounded(price * f64::from(line.uses));
            line.buy_price = rounded(price * f64::from(line.buy));
        }
    }
    lines
}

/// The photo paper that is used, where it is known how much there is.
fn photo_paper(layout: &Layout, record: &Record) -> Option<ShoppingLine> {
    let stock = layout.photo_stock.as_ref()?;
    let count = |of: usize| u32::try_from(of).unwrap_or(u32::MAX);
    let uses = count(record.prints.len());
    let buy = count(record.prints.iter().filter(|sheet| sheet.to_buy).count());
    (uses > 0).then(|| ShoppingLine {
        paper: prints::paper_name(layout),
        size: stock.size.to_inches().map(rounded),
        uses,
        on_hand: stock.count,
        price: rounded(stock.price * f64::from(uses)),
        buy,
        buy_price: rounded(stock.price * f64::from(buy)),
    })
}

fn line(paper: &PaperOnHand, size: [f64; 2], on_hand: u32) -> ShoppingLine {
    ShoppingLine { paper: paper.name.clone(), size, on_hand, ..ShoppingLine::default() }
}
