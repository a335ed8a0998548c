//! The arrangement of one sheet, which may be cut any number of times.

use std::collections::{BTreeMap, BTreeSet};

use super::demand::Demand;
use crate::nest::joint::draft::Open;
use crate::nest::joint::irregular_part::give_back;
use crate::nest::rectangles::{Cell, What};

/// The arrangement of one sheet.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    /// The class of its sheet.
    pub class: usize,
    /// The sheet before it is written out; its stock is one of the class.
    pub open: Open,
    /// Copies by unit, in rising order.
    pub counts: Vec<(usize, u32)>,
    /// Area of the pieces in square inches.
    pub covered: f64,
}

impl Pattern {
    /// A sheet as a pattern; nothing if it is empty, or holds a unit in part.
    pub fn of(demand: &Demand<'_>, open: Open) -> Option<Self> {
        let class = (*demand.class_of.get(open.stock)?)?;
        let copies = copies(&open);
        let mut counts = Vec::new();
        let mut known = 0;
        for (place, unit) in demand.units.iter().enumerate() {
            let count = |&(item, each): &(usize, u32)| {
                let lying = u32::try_from(copies.get(&item).map_or(0, BTreeSet::len)).ok()?;
                (lying % each == 0).then_some(lying / each)
            };
            let first = count(unit.parts.first()?)?;
            if unit.parts.iter().any(|part| count(part) != Some(first)) {
                return None;
            }
            if first > 0 {
                counts.push((place, first));
                known += unit.parts.len();
            }
        }
        let covered =
            counts.iter().map(|&(unit, count)| demand.units[unit].area * f64::from(count)).sum();
        (known == copies.len() && known > 0).then_some(Self { class, open, counts, covered })
    }

    /// The same with no more copies of each unit than wait; nothing if none is left.
    pub fn within(&self, demand: &Demand<'_>, waiting: &[u32]) -> Option<Self> {
        if self.fits(waiting) {
            return Some(self.clone());
        }
        let lying = copies(&self.open);
        let mut dropped: BTreeSet<(usize, u32)> = BTreeSet::new();
        for &(unit, count) in &self.counts {
            let surplus = count.saturating_sub(waiting[unit]);
            for &(item, each) in &demand.units[unit].parts {
                let numbers = lying.get(&item).into_iter().flatten().rev();
                dropped.extend(numbers.take((surplus * each) as usize).map(|&copy| (item, copy)));
            }
        }
        let mut open = self.open.clone();
        let stays = |one: &(usize, u32)| !dropped.contains(one);
        if let Some(part) = &mut open.part {
            part.placed.retain(|one| stays(&(one.item, one.copy)));
        }
        if open.part.as_ref().is_some_and(|part| part.placed.is_empty()) {
            open.part = None;
            open.root.iter_mut().for_each(give_back);
        }
        open.root.iter_mut().for_each(|root| thin_out(root, &stays));
        Self::of(demand, open)
    }

    /// Whether as many copies wait as it holds.
    pub fn fits(&self, waiting: &[u32]) -> bool {
        self.counts.iter().all(|&(unit, count)| count <= waiting[unit])
    }

    /// How often all that it holds waits.
    pub fn times(&self, waiting: &[u32]) -> u32 {
        self.counts.iter().map(|&(unit, count)| waiting[unit] / count).min().unwrap_or(0)
    }

    /// What the copies that wait are worth, of those it holds.
    pub fn worth(&self, prices: &[f64], waiting: &[u32]) -> f64 {
        let copies = self.counts.iter();
        copies.map(|&(unit, count)| prices[unit] * f64::from(count.min(waiting[unit]))).sum()
    }
}

/// Which copies of each item lie on a sheet.
fn copies(open: &Open) -> BTreeMap<usize, BTreeSet<u32>> {
    fn of_cell(cell: &Cell, found: &mut BTreeMap<usize, BTreeSet<u32>>) {
        match &cell.what {
            What::Piece { item, copy, .. } => {
                found.entry(*item).or_default().insert(*copy);
            }
            What::Split { parts, .. } => parts.iter().for_each(|part| of_cell(part, found)),
            What::Leftover | What::Machine => {}
        }
    }
    let mut found = BTreeMap::new();
    open.root.iter().for_each(|root| of_cell(root, &mut found));
    for one in open.part.iter().flat_map(|part| &part.placed) {
        found.entry(one.item).or_default().insert(one.copy);
    }
    found
}

/// Makes leftovers of the pieces that don't stay, and one of those that lie side by side alone.
fn thin_out(cell: &mut Cell, stays: &impl Fn(&(usize, u32)) -> bool) {
    let empty = match &mut cell.what {
        What::Piece { item, copy, .. } => !stays(&(*item, *copy)),
        What::Split { parts, .. } => {
            parts.iter_mut().for_each(|part| thin_out(part, stays));
            parts.iter().all(|part| part.what == What::Leftover)
        }
        What::Leftover | What::Machine => false,
    };
    if empty {
        cell.what = What::Leftover;
    }
}
