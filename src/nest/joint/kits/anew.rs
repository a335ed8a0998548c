//! Sheets nested anew: pairs of patterns for more of them, some sheets of a plan to save one, and every sheet
//! alone at the end.

use super::choice::choose;
use super::pattern::Pattern;
use super::plan::Plan;
use super::rounds::{HAIR, Rounds};
use crate::nest::joint::draft::Open;
use crate::nest::worth::Worth;
use crate::nest::{Job, Nested};

/// Sheets that are nested anew together.
const ANEW: u64 = 3;
/// Attempts to nest some sheets anew that run side by side.
const SIDE_BY_SIDE: usize = 2;

impl Rounds<'_, '_> {
    /// Nests pairs of the patterns that the relaxation uses anew: they may be better mixed.
    pub fn pair(&mut self, fits: &[u32]) {
        let demand = self.demand;
        let left = demand.left(&vec![0; demand.classes.len()]);
        let Some(choice) = choose(demand, &self.pool, fits, &left) else { return };
        let used: Vec<usize> =
            (0..choice.shares.len()).filter(|&place| choice.shares[place] > HAIR).collect();
        if used.is_empty() {
            return;
        }
        let mut jobs = Vec::new();
        for _ in 0..self.budget.pairs {
            let mut copies = vec![0; demand.units.len()];
            for _ in 0..2 {
                let pattern = self.pool.get(used[self.chance.place(used.len())]);
                let times = 1 + u32::try_from(self.chance.below(2)).unwrap_or(0);
                for &(unit, count) in &pattern.counts {
                    copies[unit] += count * times;
                }
            }
            let pieces = demand.pieces(&copies);
            let within = copies.iter().zip(fits).all(|(copies, fits)| copies <= fits);
            if within && pieces <= self.budget.rest {
                let count = |class: usize| if demand.classes[class].new { pieces } else { 0 };
                jobs.push(self.job(&copies, count));
            }
        }
        for sheets in self.nest(&jobs) {
            self.pool.learn(demand, &sheets);
        }
    }

    /// Nests some sheets of a plan anew, to save one among them.
    pub fn save(&mut self, plan: &mut Plan) {
        let mut tried = 0;
        while tried < self.budget.anew && !self.task.search.is_stopped() && !self.is_least(plan) {
            let mut ways = Vec::new();
            for _ in 0..SIDE_BY_SIDE {
                ways.extend(self.some_given_back(plan));
            }
            tried += SIDE_BY_SIDE;
            let jobs: Vec<Job> =
                ways.iter().map(|(plan, waiting)| self.rest(plan, waiting)).collect();
            let found = self.nest(&jobs);
            for ((mut other, mut waiting), sheets) in ways.into_iter().zip(found) {
                self.add(&mut other, &mut waiting, &sheets);
                other.left_out = waiting;
                let price = |plan: &Plan| {
                    let (left_out, cost, _) = plan.price(self.demand, &self.pool);
                    (left_out, cost)
                };
                if price(&other) < price(plan) {
                    *plan = other;
                }
            }
        }
    }

    /// A plan without its emptiest sheet and some others, and what waits then; nothing where the pieces
    /// cover too much to do with a sheet less.
    fn some_given_back(&mut self, plan: &Plan) -> Option<(Plan, Vec<u32>)> {
        let demand = self.demand;
        let places: Vec<usize> = plan.sheets.keys().copied().collect();
        let is_new = |&place: &usize| demand.classes[self.pool.get(place).class].new;
        let spare = |place: usize| {
            let pattern = self.pool.get(place);
            demand.classes[pattern.class].area - pattern.covered
        };
        let emptiest = places
            .iter()
            .copied()
            .filter(is_new)
            .max_by(|&one, &other| spare(one).total_cmp(&spare(other)))?;
        let mut some = plan.clone();
        let mut waiting = plan.left_out.clone();
        let mut free = spare(emptiest);
        some.give_back(&self.pool, emptiest, &mut waiting);
        let others = 1 + self.chance.below(ANEW);
        for _ in 0..others {
            let place = places[self.chance.place(places.len())];
            if some.sheets.contains_key(&place) {
                free += spare(place);
                some.give_back(&self.pool, place, &mut waiting);
            }
        }
        let smallest = demand.classes.iter().filter(|class| class.new).map(|class| class.area);
        let smallest = smallest.fold(f64::INFINITY, f64::min);
        let pieces = demand.pieces(&waiting);
        (free >= smallest && pieces <= self.budget.rest).then_some((some, waiting))
    }

    /// Nests the pieces of every sheet alone, for a larger rest, fewer cuts and fewer settings.
    pub fn tidy(&mut self, plan: &Plan) {
        let places: Vec<usize> = plan.sheets.keys().copied().collect();
        let jobs: Vec<Job> = places
            .iter()
            .map(|&place| {
                let pattern = self.pool.get(place);
                let mut copies = vec![0; self.demand.units.len()];
                for &(unit, count) in &pattern.counts {
                    copies[unit] = count;
                }
                self.job(&copies, |class| u32::from(class == pattern.class))
            })
            .collect();
        for ((place, sheets), job) in places.into_iter().zip(self.nest(&jobs)).zip(&jobs) {
            let pattern = self.pool.get(place);
            let same = |open: &Open| {
                let other = Pattern::of(self.demand, open.clone());
                other.is_some_and(|other| other.counts == pattern.counts)
            };
            if let [open] = sheets.as_slice()
                && same(open)
                && self.worth(job, open) < self.worth(job, &pattern.open)
            {
                self.pool.replace(place, open.clone());
            }
        }
    }

    /// The worth of one sheet.
    fn worth(&self, job: &Job, open: &Open) -> Worth {
        let sheets = self.task.machine.finished(open).into_iter().collect();
        Worth::of(job, &Nested { sheets, ..Nested::default() })
    }
}
