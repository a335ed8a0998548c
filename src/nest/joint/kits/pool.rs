//! The patterns known so far.

use std::collections::BTreeMap;

use super::demand::Demand;
use super::pattern::Pattern;
use crate::nest::joint::draft::Open;

/// The patterns known so far, each with other copies or on another sheet.
#[derive(Default)]
pub(super) struct Pool {
    all: Vec<Pattern>,
    known: BTreeMap<(usize, Vec<(usize, u32)>), usize>,
}

impl Pool {
    /// Adds a pattern and returns its place.
    pub fn add(&mut self, pattern: Pattern) -> usize {
        let next = self.all.len();
        let place = *self.known.entry((pattern.class, pattern.counts.clone())).or_insert(next);
        if place == next {
            self.all.push(pattern);
        }
        place
    }

    /// Adds the sheets of a plan and returns the place of each; of sheets that are no pattern nothing.
    pub fn learn(&mut self, demand: &Demand<'_>, sheets: &[Open]) -> Vec<Option<usize>> {
        let pattern = |open: &Open| Pattern::of(demand, open.clone());
        sheets.iter().map(|open| pattern(open).map(|pattern| self.add(pattern))).collect()
    }

    /// Puts another arrangement of the same copies in the place of one.
    pub fn replace(&mut self, place: usize, open: Open) {
        self.all[place].open = open;
    }

    /// The patterns.
    pub fn all(&self) -> &[Pattern] {
        &self.all
    }

    /// The pattern at a place.
    pub fn get(&self, place: usize) -> &Pattern {
        &self.all[place]
    }
}
