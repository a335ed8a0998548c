//! A plan by patterns: how often each is cut, and the same written out with every copy named.

use std::collections::BTreeMap;

use super::demand::Demand;
use super::pool::Pool;
use crate::nest::guillotine::Proof;
use crate::nest::joint::draft::Open;
use crate::nest::joint::task::{Candidate, Task};
use crate::nest::worth::Worth;
use crate::nest::{Fall, Falls, Nested, SheetCut};

/// How often each pattern is cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Plan {
    /// Sheets by pattern.
    pub sheets: BTreeMap<usize, u32>,
    /// Copies of each unit without a place.
    pub left_out: Vec<u32>,
}

impl Plan {
    /// Sheets in use, by class.
    pub fn used(&self, demand: &Demand<'_>, pool: &Pool) -> Vec<u32> {
        let mut used = vec![0; demand.classes.len()];
        for (&pattern, &count) in &self.sheets {
            used[pool.get(pattern).class] += count;
        }
        used
    }

    /// Takes so many more sheets of a pattern.
    pub fn take(&mut self, pool: &Pool, pattern: usize, count: u32, waiting: &mut [u32]) {
        if count == 0 {
            return;
        }
        *self.sheets.entry(pattern).or_default() += count;
        for &(unit, each) in &pool.get(pattern).counts {
            waiting[unit] -= each * count;
        }
    }

    /// Gives a sheet of a pattern back.
    pub fn give_back(&mut self, pool: &Pool, pattern: usize, waiting: &mut [u32]) {
        let Some(count) = self.sheets.get_mut(&pattern) else { return };
        *count -= 1;
        if *count == 0 {
            self.sheets.remove(&pattern);
        }
        for &(unit, each) in &pool.get(pattern).counts {
            waiting[unit] += each;
        }
    }

    /// What plans are compared by on the way: pieces left out, then cost, then the kinds of sheets that are
    /// cut.
    pub fn price(&self, demand: &Demand<'_>, pool: &Pool) -> (u32, i128, usize) {
        let cost = demand.cost(&self.used(demand, pool));
        (demand.pieces(&self.left_out), cost, self.sheets.len())
    }

    /// The plan written out: the sheets of each stock together, those that are cut most often first.
    pub fn written(&self, task: &Task<'_>, demand: &Demand<'_>, pool: &Pool) -> Candidate {
        let mut left: Vec<u32> = task.job.stock.iter().map(|stock| stock.count).collect();
        let mut order: Vec<(usize, u32)> =
            self.sheets.iter().map(|(&pattern, &count)| (pattern, count)).collect();
        order.sort_by(|&(one, count), &(other, often)| {
            let filled = |place: usize| pool.get(place).covered;
            often.cmp(&count).then(filled(other).total_cmp(&filled(one))).then(one.cmp(&other))
        });
        let mut cut: Vec<(usize, usize, u32)> = Vec::new();
        for (pattern, mut count) in order {
            for &stock in &demand.classes[pool.get(pattern).class].members {
                let some = left[stock].min(count);
                left[stock] -= some;
                count -= some;
                cut.extend((some > 0).then_some((stock, pattern, some)));
            }
        }
        cut.sort_by_key(|&(stock, ..)| stock);
        let mut next = vec![0; task.job.items.len()];
        let mut sheets = Vec::with_capacity(cut.len());
        for (stock, pattern, count) in cut {
            let open = Open { stock, ..pool.get(pattern).open.clone() };
            let Some(sheet) = task.machine.finished(&open) else { continue };
            sheets.push(named(SheetCut { count, ..sheet }, &mut next));
        }
        let items = task.job.items.iter().zip(&next);
        let left_out: Vec<u32> = items.map(|(item, next)| item.copies - next).collect();
        let nested = Nested { sheets, left_out: task.counted(&left_out), ..Nested::default() };
        let worth = Worth::of(task.job, &nested);
        let proof = Proof::default();
        Candidate { worth, nested, left_out, open: Vec::new(), proof }
    }
}

/// A sheet with its copies named on from those before: what lies together keeps one number.
fn named(mut sheet: SheetCut, next: &mut [u32]) -> SheetCut {
    let mut copies: BTreeMap<usize, Vec<u32>> = BTreeMap::new();
    for one in &sheet.placed {
        copies.entry(one.item).or_default().push(one.copy);
    }
    let mut names: BTreeMap<(usize, u32), u32> = BTreeMap::new();
    for (item, mut copies) in copies {
        copies.sort_unstable();
        for &copy in &copies {
            names.insert((item, copy), next[item]);
            next[item] += 1;
        }
        let others = u32::try_from(copies.len()).unwrap_or(u32::MAX);
        next[item] += others * (sheet.count - 1);
    }
    let name = |item: usize, copy: u32| names.get(&(item, copy)).copied().unwrap_or(copy);
    for one in &mut sheet.placed {
        one.copy = name(one.item, one.copy);
    }
    let rename = |falls: &mut Falls| {
        if let Fall::Piece(item, copy) = falls.what {
            falls.what = Fall::Piece(item, name(item, copy));
        }
    };
    for cut in &mut sheet.cuts {
        rename(&mut cut.keeps);
        rename(&mut cut.drops);
    }
    sheet
}
