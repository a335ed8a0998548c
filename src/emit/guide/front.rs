//! The first page: what to have at hand and to buy, totals, warnings, cautions.

use crate::lettering::label::isolated;
use crate::model::SheetSource;
use crate::model::length::Units;
use crate::record::{Record, in_all};

use super::super::cautions::CAUTIONS;
use super::entries::{Block, Entry};
use super::{message, shown, shown_size};

/// The blocks of the first page.
pub(super) fn blocks<'a>(record: &Record) -> Vec<Block<'a>> {
    let name = isolated(&record.name);
    let mut first = Block::new(&format!("{}: Cut guide", record.name), &name);
    let about = "Cut guide. Pieces bear the numbers that they have in the proof.";
    first.add(Entry::Cover { title: name, about: about.to_owned() });
    paper_to_have(&mut first, record);
    totals(&mut first, record);
    let mut cautions = Block::new("Take care", "Take care");
    cautions.heading("Take care");
    for caution in CAUTIONS {
        cautions.small(caution);
    }
    cautions.kept_together = CAUTIONS.len();
    let mut blocks = vec![first, cautions];
    if !record.warnings.is_empty() {
        let mut warnings = Block::new("Look at these first", "Look at these first");
        warnings.heading("Look at these first");
        for warning in &record.warnings {
            warnings.small(&message(&format!("{}: {}", warning.message, warning.help)));
        }
        blocks.push(warnings);
    }
    blocks
}

/// The shopping list: what is used of each paper, and what of it has to be bought.
fn paper_to_have(block: &mut Block<'_>, record: &Record) {
    let units = record.shown_units();
    let sheets = |count: u32| counted(u64::from(count), "sheet", "sheets");
    let shopping = &record.totals.shopping;
    if shopping.iter().any(|line| line.buy > 0) {
        to_buy(block, record);
    }
    block.heading("Paper to have at hand");
    for line in shopping.iter().filter(|line| line.uses > 0) {
        let size = shown_size(line.size, units);
        let price = line.price.map_or_else(String::new, |price| format!(", worth {price:.2}"));
        let have = match (line.on_hand, line.buy) {
            (on_hand, 0) => format!("of {on_hand} on hand"),
            (0, _) => "to buy".to_owned(),
            (on_hand, buy) => format!("of {on_hand} on hand and {buy} to buy"),
        };
        let (paper, count) = (isolated(&line.paper), sheets(line.uses));
        block.small(&format!("{paper}: {count} of {size}, {have}{price}"));
    }
    for sheet in &record.sheets {
        let from = match record.source(sheet) {
            SheetSource::New | SheetSource::Part { .. } => continue,
            SheetSource::FedOnce(start) => {
                format!("the sheet that was printed once, blank below {}", start.show(units))
            }
            SheetSource::Middle(middle) => format!("the {} (gutting)", isolated(&middle)),
            SheetSource::Offcut(offcut) => format!("offcut {}", isolated(&offcut)),
        };
        let size = shown_size(sheet.size, units);
        let used = record.papers.iter().find(|paper| paper.name == sheet.paper);
        let used = used.into_iter().flat_map(|paper| &paper.offcuts_used);
        let used = used.filter(|one| record.source(sheet) == SheetSource::Offcut(one.id.clone()));
        let saved: String = used.map(|one| format!("; {}", one.told(units))).collect();
        block.small(&message(&format!("{}: {from}, {size}{saved}", isolated(&sheet.paper))));
    }
    for line in &record.totals.foam {
        let (square, height) = (shown(line.square, units), shown(line.height, units));
        let count = counted(line.count, "foam square", "foam squares");
        block.small(&format!("{count} of {square}, {height} high, for what is raised"));
    }
    let prints = record.uncounted_photo_sheets();
    if let Some(first) = prints.first() {
        let count = u32::try_from(in_all(prints)).unwrap_or(u32::MAX);
        let (size, count) = (shown_size(first.size, units), sheets(count));
        block
            .small(&format!("{}: {count} of {size}, for print/photos.pdf", isolated(&first.paper)));
    }
}

/// What has to be bought, with prices.
fn to_buy(block: &mut Block<'_>, record: &Record) {
    let (units, totals) = (record.shown_units(), &record.totals);
    block.heading("To buy before everything can be cut");
    let lines: Vec<_> = totals.shopping.iter().filter(|line| line.buy > 0).collect();
    for line in &lines {
        let (paper, size) = (isolated(&line.paper), shown_size(line.size, units));
        let count = counted(u64::from(line.buy), "sheet", "sheets");
        let price = line.buy_price.map_or_else(String::new, |price| format!(", {price:.2}"));
        block.small(&format!("{paper}: {count} of {size}{price}"));
    }
    if let Some(price) = totals.buy_price.filter(|_| lines.len() > 1) {
        let more = if lines.iter().any(|line| line.buys_unpriced()) {
            " and what the unpriced ones cost"
        } else {
            ""
        };
        block.small(&format!("together {price:.2}{more}"));
    }
    block.small("Sheets to buy are marked so; what can be cut at once comes first.");
}

fn totals(block: &mut Block<'_>, record: &Record) {
    let totals = &record.totals;
    block.heading("In all");
    let photos = u64::try_from(record.photos_in_all()).unwrap_or(u64::MAX);
    let mut told = Vec::new();
    if !record.kits.is_one() {
        told.push(format!("{}\u{a0}kits", record.kits));
    }
    told.push(counted(u64::from(totals.pieces), "piece", "pieces"));
    if photos > 0 {
        told.push(counted(photos, "photo", "photos"));
    }
    let sheets = counted(u64::from(totals.sheets), "sheet", "sheets");
    told.push(format!("{sheets}, {} of them new", totals.new_sheets));
    if totals.trimmer_cuts > 0 {
        told.push(counted(u64::from(totals.trimmer_cuts), "trimmer cut", "trimmer cuts"));
    }
    if !record.prints.is_empty() {
        let cuts: usize =
            record.prints.iter().map(|sheet| sheet.cuts.len() * sheet.count.places()).sum();
        let cuts = u64::try_from(cuts).unwrap_or(u64::MAX);
        told.push(format!("{} for the photos", counted(cuts, "cut more", "cuts more")));
    }
    if totals.machine_length > 0.0 {
        told.push(match record.shown_units() {
            Units::Inches => format!("{:.0} in of machine cutting", totals.machine_length),
            Units::Millimetres => {
                format!("{:.1} m of machine cutting", totals.machine_length * 0.0254)
            }
        });
    }
    block.small(&told.join("; "));
    if let Some(price) = totals.price {
        block.small(&format!("{price:.2} worth of new paper"));
    }
    if totals.sheet_area > 0.0 {
        let share = 100.0 * totals.piece_area / totals.sheet_area;
        block.small(&format!(
            "{share:.0} % of the paper becomes pieces; offcuts are named to be kept"
        ));
    }
    for paper in &record.papers {
        for note in &paper.notes {
            block.small(&message(&format!("{}: {note}", isolated(&paper.name))));
        }
    }
}

/// A count with its word, in the singular or the plural.
fn counted(count: u64, one: &str, many: &str) -> String {
    format!("{count}\u{a0}{}", if count == 1 { one } else { many })
}
