//! What goes into the bag of each kit, with a box to tick for each.

use std::collections::BTreeMap;

use crate::lettering::label::isolated;
use crate::record::{Piece, Record};

use super::super::sheet_layout::number_of;
use super::entries::{Block, Entry};
use super::steps::ranges;
use super::tally;

/// The bag list of a record; nothing where there is one kit.
pub(super) fn block<'a>(record: &Record) -> Option<Block<'a>> {
    let kits = record.kits.get();
    if record.kits.is_one() || record.is_redo() {
        return None;
    }
    let mut block = Block::new("The bags", "The bags");
    block.add(Entry::Title {
        title: "The bags".to_owned(),
        about: format!("{kits} kits, a bag each"),
    });
    let named = record.pieces.iter().any(|piece| piece.kit.is_some());
    let shared: Vec<&Piece> = record.pieces.iter().filter(|piece| piece.kit.is_none()).collect();
    if !named {
        block.small(&format!("Every bag is alike. Into each of the {kits} go:"));
    } else if !shared.is_empty() || !record.photos.is_empty() {
        block.small("Into every bag go:");
    }
    for line in lines(record, &shared, kits) {
        block.item(&line);
    }
    photos(&mut block, record, kits);
    if !named {
        block.small("Tick each bag that is packed and counted:");
        tally::boxes(&mut block, kits);
        return Some(block);
    }
    block.small("And by name, a box for each bag that is packed and counted:");
    for (name, count) in names(record) {
        let own: Vec<&Piece> =
            record.pieces.iter().filter(|piece| piece.kit.as_deref() == Some(name)).collect();
        let times = if count == 1 { String::new() } else { format!(", {count}\u{a0}bags") };
        block.heading(&format!("{}{times}", isolated(name)));
        block.small(&lines(record, &own, count).join("; "));
        tally::boxes(&mut block, count);
    }
    Some(block)
}

/// The names in the order of their list, each with how many kits it has.
fn names(record: &Record) -> Vec<(&str, u32)> {
    let mut names: Vec<(&str, u32)> = Vec::new();
    for name in &record.names {
        match names.iter_mut().find(|(known, _)| known == name) {
            Some((_, count)) => *count += 1,
            None => names.push((name, 1)),
        }
    }
    names
}

/// Pieces by what they are, with how many go into one bag and their numbers in the proof.
fn lines(record: &Record, pieces: &[&Piece], kits: u32) -> Vec<String> {
    let mut kinds: Vec<&str> = Vec::new();
    let mut of_kind: BTreeMap<&str, (u32, Vec<u32>)> = BTreeMap::new();
    for piece in pieces {
        let kind = match piece.kind.as_str() {
            "journaling" => "strip of the story",
            kind => kind,
        };
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
        let (count, numbers) = of_kind.entry(kind).or_default();
        *count += piece.copies / kits.max(1);
        numbers.extend(number_of(record, &piece.id).and_then(|number| u32::try_from(number).ok()));
    }
    let told = kinds.into_iter().filter_map(|kind| {
        let (count, numbers) = of_kind.get(kind)?;
        Some(format!("{count}\u{a0}\u{d7}\u{a0}{kind}: no.\u{a0}{}", ranges(numbers)))
    });
    told.collect()
}

fn photos(block: &mut Block<'_>, record: &Record, kits: u32) {
    let each: u32 = record.photos.iter().map(|photo| photo.copies.get() / kits.max(1)).sum();
    if each == 0 {
        return;
    }
    let names: Vec<String> = record.photos.iter().map(|photo| isolated(&photo.name)).collect();
    block.item(&format!("{each}\u{a0}\u{d7}\u{a0}photo: {}", names.join(", ")));
}
