//! Sheets that are cut alike, told once: a pattern, and how many sheets are cut by it.

use std::collections::BTreeMap;

use crate::model::Stock;
use crate::nest::{Fall, Falls, SheetCut};

/// The sheets, those of the same new paper that are cut in the same way as one with their number. The first
/// of them keeps its place; copies are numbered anew, in the order of the sheets.
pub(super) fn told_once(sheets: &[SheetCut], stock: &[Stock]) -> Vec<SheetCut> {
    let mut told: Vec<(SheetCut, SheetCut)> = Vec::new();
    for sheet in sheets {
        let is_new = stock.get(sheet.stock).is_some_and(|one| one.offcut.is_none());
        let pattern = pattern(sheet);
        match told.iter_mut().find(|(known, _)| is_new && *known == pattern) {
            Some((_, first)) => first.count += sheet.count,
            None => told.push((pattern, sheet.clone())),
        }
    }
    let merged = told.len() < sheets.len();
    let mut told: Vec<SheetCut> = told.into_iter().map(|(_, sheet)| sheet).collect();
    if merged {
        number_anew(&mut told);
    }
    told
}

/// A sheet without the numbers of its copies and of its sheets.
fn pattern(sheet: &SheetCut) -> SheetCut {
    let mut pattern = SheetCut { count: 1, ..sheet.clone() };
    pattern.placed.iter_mut().for_each(|placed| placed.copy = 0);
    for cut in &mut pattern.cuts {
        for falls in [&mut cut.keeps, &mut cut.drops] {
            number(falls, |_| 0);
        }
    }
    pattern
}

/// Numbers the copies in the order of the sheets.
fn number_anew(sheets: &mut [SheetCut]) {
    let mut next: BTreeMap<usize, u32> = BTreeMap::new();
    for sheet in sheets {
        let mut new: BTreeMap<(usize, u32), u32> = BTreeMap::new();
        let mut here: BTreeMap<usize, u32> = BTreeMap::new();
        for placed in &mut sheet.placed {
            let before = here.entry(placed.item).or_default();
            let copy = next.get(&placed.item).copied().unwrap_or(0) + *before;
            *before += 1;
            new.insert((placed.item, placed.copy), copy);
            placed.copy = copy;
        }
        for cut in &mut sheet.cuts {
            for falls in [&mut cut.keeps, &mut cut.drops] {
                number(falls, |piece| new.get(&piece).copied().unwrap_or(piece.1));
            }
        }
        for (item, number) in here {
            *next.entry(item).or_default() += number * sheet.count;
        }
    }
}

/// Numbers the copy that falls, if one does.
fn number(falls: &mut Falls, copy: impl Fn((usize, u32)) -> u32) {
    if let Fall::Piece(item, old) = falls.what {
        falls.what = Fall::Piece(item, copy((item, old)));
    }
}
