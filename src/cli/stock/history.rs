//! The ledger as a person reads it.

use cutleaf::model::length::Units;
use cutleaf::stock::{Entry, EntryKind, Lot, Move, Shelf, Spot, Use};

use super::super::{counted, say, say_json};

/// Lists the entries, the newest first.
pub fn list(shelf: &Shelf, json: bool) {
    if json {
        let entries: Vec<&Entry> = shelf.entries().iter().rev().collect();
        say_json(&entries);
        return;
    }
    if shelf.entries().is_empty() {
        say("The ledger holds no entry yet: what is on hand is what stock.yaml says.");
    }
    let number = |entry: &Entry| entry.number.to_string().len();
    let widest = shelf.entries().iter().map(number).max().unwrap_or(0);
    for entry in shelf.entries().iter().rev() {
        say(format_args!("{:>widest$}  {}", entry.number, told(entry, shelf.stock().units)));
    }
}

/// An entry in a line.
pub fn told(entry: &Entry, units: Units) -> String {
    let kind = entry.kind.name();
    let spec = entry.spec.as_ref().map_or_else(String::new, |spec| format!(" {spec}"));
    let what = match entry.kind {
        EntryKind::Reserve if entry.uses.is_empty() => "nothing any more".to_owned(),
        EntryKind::Reserve => {
            let uses: Vec<String> = entry.uses.iter().map(|one| used(one, units)).collect();
            uses.join(", ")
        }
        EntryKind::Cut | EntryKind::Redo => cut(entry, units),
        EntryKind::Count => changes(entry, units).join(", "),
        EntryKind::Opening | EntryKind::Add | EntryKind::Take | EntryKind::Spoil => {
            entry.moves.iter().map(|one| lot(&one.lot, units)).collect::<Vec<_>>().join(", ")
        }
    };
    let hand = if entry.by_hand { " by hand" } else { "" };
    format!("{kind}{hand}{spec}: {what}")
}

/// What a count found, thing by thing.
pub fn changes(entry: &Entry, units: Units) -> Vec<String> {
    let change = |Move { to, lot, .. }: &Move| {
        let came = *to == Spot::OnHand;
        match (lot, came) {
            (Lot::Offcut(_), true) => format!("{} is there", self::lot(lot, units)),
            (Lot::Offcut(_), false) => format!("{} is gone", self::lot(lot, units)),
            (_, true) => format!("{} more", self::lot(lot, units)),
            (_, false) => format!("{} fewer", self::lot(lot, units)),
        }
    };
    entry.moves.iter().map(change).collect()
}

fn cut(entry: &Entry, units: Units) -> String {
    let moved = |from, to| {
        let moves = entry.moves.iter().filter(move |one| one.from == from && one.to == to);
        moves.map(|one| lot(&one.lot, units)).collect::<Vec<_>>()
    };
    let mut from: Vec<(String, u32)> = Vec::new();
    for one in moved(Spot::OnHand, Spot::Table) {
        match from.iter_mut().find(|(other, _)| *other == one) {
            Some((_, count)) => *count += 1,
            None => from.push((one, 1)),
        }
    }
    let from: Vec<String> = from
        .into_iter()
        .map(|(one, count)| match (one.strip_prefix("1 sheet of "), count) {
            (Some(rest), 2..) => format!("{count} sheets of {rest}"),
            _ => one,
        })
        .collect();
    let area = |to| entry.area(|one| one.to == to);
    let mut told = format!(
        "{} became {:.1} in² of pieces, {:.1} in² of waste",
        from.join(", "),
        area(Spot::Pieces),
        area(Spot::Waste)
    );
    let kept = moved(Spot::Table, Spot::OnHand);
    if !kept.is_empty() {
        told += &format!("; kept: {}", kept.join(", "));
    }
    told
}

/// Some paper in words.
pub fn lot(lot: &Lot, units: Units) -> String {
    match lot {
        Lot::Sheets { paper, size, count } => {
            format!("{} of {paper} {}", counted(count, "sheet"), size.show(units))
        }
        Lot::Offcut(offcut) => {
            let size = super::table::shape(&offcut.shape, units);
            format!("offcut {} ({} {size})", offcut.label, offcut.paper)
        }
        Lot::Area { paper, area } => format!("{area:.1} in² of {paper}"),
    }
}

/// Reserved paper in words.
pub fn used(one: &Use, units: Units) -> String {
    match one {
        Use::Sheets { paper, size, count } => {
            format!("{} of {paper} {}", counted(count, "sheet"), size.show(units))
        }
        Use::Offcut { label } => format!("offcut {label}"),
    }
}
