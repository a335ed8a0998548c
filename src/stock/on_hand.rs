//! What is on hand: the sum of the ledger's entries.

use std::collections::BTreeMap;

use crate::model::length::Size;

use super::ledger::{Entry, EntryKind, Lot, Move, SAME_AREA, Spot, Use};
use super::paper::{Offcut, SheetKind, Stock, key, of_key};

/// What is on hand, and what builds mean to cut of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OnHand {
    pub(super) sheets: BTreeMap<SheetKind, u32>,
    pub(super) offcuts: BTreeMap<String, Offcut>,
    pub(super) reserved: BTreeMap<String, Vec<Use>>,
}

/// Paper that builds have reserved beyond what is on hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// What they reserved.
    pub what: Use,
    /// How much of it is on hand.
    pub on_hand: u32,
    /// The spreads, each with how much it reserved; one alone where paper went that it had reserved.
    pub specs: Vec<(String, u32)>,
}

impl Stock {
    /// Takes something away from it.
    pub fn take(&mut self, one: &Use) {
        match one {
            Use::Sheets { paper, size, count } => {
                let papers = self.papers.iter_mut().filter(|other| other.name == *paper);
                let sheets = papers.flat_map(|paper| &mut paper.sheets);
                for sheets in sheets.filter(|sheets| sheets.size == *size) {
                    sheets.count = sheets.count.saturating_sub(*count);
                }
            }
            Use::Offcut { label } => self.offcuts.retain(|offcut| offcut.label != *label),
        }
    }
}

impl OnHand {
    /// How many sheets of a paper and size there are.
    pub fn sheets(&self, paper: &str, size: Size) -> u32 {
        self.sheets.get(&(paper.to_owned(), key(size))).copied().unwrap_or(0)
    }

    /// How many of them builds have reserved.
    pub fn reserved_sheets(&self, paper: &str, size: Size) -> u32 {
        let uses = self.reserved.values().flatten();
        uses.map(|one| one.sheets_of(paper, size)).fold(0, u32::saturating_add)
    }

    /// The spreads that reserved an offcut.
    pub fn reserved_offcut(&self, label: &str) -> Vec<&str> {
        let wants = |uses: &Vec<Use>| uses.contains(&Use::Offcut { label: label.to_owned() });
        let specs = self.reserved.iter().filter(|(_, uses)| wants(uses));
        specs.map(|(spec, _)| spec.as_str()).collect()
    }

    /// What a spread has reserved.
    pub fn reserved_by(&self, spec: &str) -> &[Use] {
        self.reserved.get(spec).map(Vec::as_slice).unwrap_or_default()
    }

    /// The spreads that have reserved something.
    pub fn specs(&self) -> impl Iterator<Item = &str> {
        self.reserved.keys().map(String::as_str)
    }

    /// Everything that is reserved beyond what is on hand.
    pub fn conflicts(&self) -> Vec<Conflict> {
        let mut wanted: BTreeMap<SheetKind, Vec<(String, u32)>> = BTreeMap::new();
        let mut labels: BTreeMap<String, Vec<(String, u32)>> = BTreeMap::new();
        for (spec, uses) in &self.reserved {
            for one in uses {
                match one {
                    Use::Sheets { paper, size, count } => {
                        let same = wanted.entry((paper.clone(), key(*size))).or_default();
                        same.push((spec.clone(), *count));
                    }
                    Use::Offcut { label } => {
                        labels.entry(label.clone()).or_default().push((spec.clone(), 1));
                    }
                }
            }
        }
        let is_over = |specs: &[(String, u32)], on_hand: u32| {
            specs.iter().map(|(_, count)| u64::from(*count)).sum::<u64>() > u64::from(on_hand)
        };
        let mut conflicts = Vec::new();
        for ((paper, size), specs) in wanted {
            let size = of_key(size);
            let on_hand = self.sheets(&paper, size);
            if is_over(&specs, on_hand) {
                let count = specs.iter().map(|(_, count)| *count).fold(0, u32::saturating_add);
                conflicts.push(Conflict {
                    what: Use::Sheets { paper, size, count },
                    on_hand,
                    specs,
                });
            }
        }
        for (label, specs) in labels {
            let on_hand = u32::from(self.offcuts.contains_key(&label));
            if is_over(&specs, on_hand) {
                conflicts.push(Conflict { what: Use::Offcut { label }, on_hand, specs });
            }
        }
        conflicts
    }

    /// What the entries come to, the opening first; or the number of the first that can't be, and why.
    pub(super) fn after(entries: &[Entry]) -> Result<Self, (u32, String)> {
        let mut on_hand = Self::default();
        for entry in entries {
            on_hand.enter(entry).map_err(|why| (entry.number, why))?;
        }
        Ok(on_hand)
    }

    /// Takes up an entry; or tells why it can't be, and may then be half taken up.
    pub(super) fn enter(&mut self, entry: &Entry) -> Result<(), String> {
        if entry.off_balance().abs() > SAME_AREA {
            return Err(format!("{:.6} square inches are left on the table", entry.off_balance()));
        }
        // What leaves goes first: a sheet that is cut makes room for the label of what is left.
        for Move { lot, .. } in entry.moves.iter().filter(|one| one.from == Spot::OnHand) {
            self.leave(lot)?;
        }
        for Move { lot, .. } in entry.moves.iter().filter(|one| one.to == Spot::OnHand) {
            self.come(lot)?;
        }
        let Some(spec) = &entry.spec else { return Ok(()) };
        match entry.kind {
            EntryKind::Reserve if entry.uses.is_empty() => {
                self.reserved.remove(spec);
            }
            EntryKind::Reserve => {
                self.reserved.insert(spec.clone(), entry.uses.clone());
            }
            EntryKind::Cut | EntryKind::Redo => self.settle(spec, entry),
            EntryKind::Opening
            | EntryKind::Add
            | EntryKind::Take
            | EntryKind::Spoil
            | EntryKind::Count => {}
        }
        Ok(())
    }

    /// What was cut is no longer reserved.
    fn settle(&mut self, spec: &str, entry: &Entry) {
        let Some(uses) = self.reserved.get_mut(spec) else { return };
        for Move { lot, .. } in entry.moves.iter().filter(|one| one.from == Spot::OnHand) {
            for one in uses.iter_mut() {
                match (one, lot) {
                    (
                        Use::Sheets { paper, size, count },
                        Lot::Sheets { paper: other, size: of, count: cut },
                    ) if paper == other && size == of => *count = count.saturating_sub(*cut),
                    _ => {}
                }
            }
            if let Lot::Offcut(offcut) = lot {
                uses.retain(|one| *one != Use::Offcut { label: offcut.label.clone() });
            }
        }
        uses.retain(|one| !matches!(one, Use::Sheets { count: 0, .. }));
        if uses.is_empty() {
            self.reserved.remove(spec);
        }
    }

    fn leave(&mut self, lot: &Lot) -> Result<(), String> {
        match lot {
            Lot::Sheets { paper, size, count } => {
                let there = self.sheets.get_mut(&(paper.clone(), key(*size)));
                let on_hand = there.as_ref().map_or(0, |there| **there);
                match (on_hand.checked_sub(*count), there) {
                    (Some(left), Some(there)) => *there = left,
                    (Some(_), None) => {}
                    (None, _) => return Err(format!("{count} of `{paper}` leave, of {on_hand}")),
                }
            }
            Lot::Offcut(offcut) => {
                if self
                    .offcuts
                    .remove(&offcut.label)
                    .is_none_or(|there| there.paper != offcut.paper || there.shape != offcut.shape)
                {
                    return Err(format!("there is no such offcut `{}`", offcut.label));
                }
            }
            Lot::Area { .. } => return Err("paper without a shape can't leave the box".to_owned()),
        }
        Ok(())
    }

    fn come(&mut self, lot: &Lot) -> Result<(), String> {
        match lot {
            Lot::Sheets { paper, size, count } => {
                let there = self.sheets.entry((paper.clone(), key(*size))).or_default();
                *there = there.checked_add(*count).ok_or("there are too many sheets")?;
            }
            Lot::Offcut(offcut) => {
                let label = offcut.label.clone();
                if self.offcuts.insert(label, offcut.clone()).is_some() {
                    return Err(format!("two offcuts are labelled `{}`", offcut.label));
                }
            }
            Lot::Area { .. } => return Err("paper without a shape can't come".to_owned()),
        }
        Ok(())
    }

    /// Whether the user's file shows just this; what is reserved doesn't show in it.
    pub(super) fn is_shown(&self, stock: &Stock) -> bool {
        self.differences(stock).is_empty()
    }

    /// The moves that make of this what the user's file shows.
    pub(super) fn differences(&self, stock: &Stock) -> Vec<Move> {
        let shown = stock.counts();
        let mut moves = Vec::new();
        let gone = |lot| Move { from: Spot::OnHand, to: Spot::Counted, lot };
        let found = |lot| Move { from: Spot::Counted, to: Spot::OnHand, lot };
        let all: std::collections::BTreeSet<_> = self.sheets.keys().chain(shown.keys()).collect();
        for one in all {
            let count = |counts: &BTreeMap<_, u32>| counts.get(one).copied().unwrap_or(0);
            let (before, after) = (count(&self.sheets), count(&shown));
            let lot = |count| Lot::Sheets { paper: one.0.clone(), size: of_key(one.1), count };
            match before.cmp(&after) {
                std::cmp::Ordering::Less => moves.push(found(lot(after - before))),
                std::cmp::Ordering::Greater => moves.push(gone(lot(before - after))),
                std::cmp::Ordering::Equal => {}
            }
        }
        let same =
            |one: &Offcut, other: &Offcut| one.paper == other.paper && one.shape == other.shape;
        for offcut in self.offcuts.values() {
            if !stock.offcut(&offcut.label).is_some_and(|other| same(offcut, other)) {
                moves.push(gone(Lot::Offcut(offcut.clone())));
            }
        }
        for offcut in &stock.offcuts {
            if !self.offcuts.get(&offcut.label).is_some_and(|other| same(offcut, other)) {
                moves.push(found(Lot::Offcut(offcut.clone())));
            }
        }
        moves
    }
}
