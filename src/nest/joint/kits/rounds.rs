//! The course of a search by patterns: patterns to begin with, how often each is cut, what is left, and the
//! same again with the patterns that this has brought.

use rayon::prelude::*;

use super::budget::Budget;
use super::choice::{Choice, choose};
use super::demand::{Demand, share};
use super::pattern::Pattern;
use super::plan::Plan;
use super::pool::Pool;
use crate::nest::joint::direct::directly;
use crate::nest::joint::draft::Open;
use crate::nest::joint::task::{Candidate, Task};
use crate::nest::{Effort, Job};
use crate::search::Chance;

/// Parts of sheets smaller than this are rounding.
pub(super) const HAIR: f64 = 1e-6;
/// Where the numbers of the attempts begin.
const SEED: u64 = 30;

/// A search by patterns.
pub(super) struct Rounds<'a, 'b> {
    pub task: &'b Task<'a>,
    pub demand: &'b Demand<'a>,
    pub budget: Budget,
    pub pool: Pool,
    pub chance: Chance,
    /// No plan costs less.
    least: i128,
}

impl<'a, 'b> Rounds<'a, 'b> {
    pub fn new(task: &'b Task<'a>, demand: &'b Demand<'a>, effort: Effort) -> Self {
        let budget = Budget::of(effort);
        let new = demand.classes.iter().filter(|class| class.new);
        let cheapest = new.filter_map(|class| Some(demand.costs[*class.members.first()?])).min();
        let by_number = cheapest.unwrap_or(0) * i128::from(task.least.sheets);
        let least = task.cost_bound.max(by_number);
        Self { task, demand, budget, pool: Pool::default(), chance: Chance::new(SEED), least }
    }

    /// The best plan found, written out.
    pub fn best(mut self) -> Candidate {
        let fits = self.begin();
        let mut best = Some(self.chosen(&fits));
        for round in 0..self.budget.rounds {
            let done = best.as_ref().is_none_or(|plan| self.is_least(plan));
            if done || self.task.search.is_stopped() {
                break;
            }
            let before = self.pool.all().len();
            match round {
                0 => self.more(&fits),
                _ => self.pair(&fits),
            }
            if self.pool.all().len() == before {
                break;
            }
            let found = self.chosen(&fits);
            self.keep(&mut best, found);
        }
        let mut plan = best.unwrap_or_default();
        self.save(&mut plan);
        self.tidy(&plan);
        plan.written(self.task, self.demand, &self.pool)
    }

    fn keep(&self, best: &mut Option<Plan>, found: Plan) {
        let price = |plan: &Plan| plan.price(self.demand, &self.pool);
        if best.as_ref().is_none_or(|best| price(&found) < price(best)) {
            *best = Some(found);
        }
    }

    /// Whether no plan costs less.
    pub fn is_least(&self, plan: &Plan) -> bool {
        let (left_out, cost, _) = plan.price(self.demand, &self.pool);
        left_out == 0 && cost <= self.least
    }

    pub fn nest(&self, jobs: &[Job]) -> Vec<Vec<Open>> {
        let opened =
            |job: &Job| directly(job, self.task.search).map_or_else(Vec::new, |found| found.open);
        jobs.par_iter().map(opened).collect()
    }

    /// A job of some copies on so many sheets of each class.
    pub fn job(&self, copies: &[u32], count: impl Fn(usize) -> u32) -> Job {
        let stock = self.demand.dearest(|class, _| count(class));
        self.demand.job_of(copies, &stock, self.budget.direct)
    }

    /// A plan by the patterns known, what is left nested anew.
    fn chosen(&mut self, fits: &[u32]) -> Plan {
        let demand = self.demand;
        let mut waiting = fits.to_vec();
        let mut plan = Plan::default();
        let whole = demand.left(&vec![0; demand.classes.len()]);
        let Some(choice) = choose(demand, &self.pool, &waiting, &whole) else {
            return self.completed(vec![(plan, waiting)]);
        };
        let is_offcut = |pattern: &Pattern| !demand.classes[pattern.class].new;
        self.round_down(&mut plan, &mut waiting, &choice, is_offcut);
        self.onto_offcuts(&mut plan, &mut waiting, &choice);
        let left = demand.left(&plan.used(demand, &self.pool));
        let Some(choice) = choose(demand, &self.pool, &waiting, &left) else {
            return self.completed(vec![(plan, waiting)]);
        };
        self.round_down(&mut plan, &mut waiting, &choice, |_| true);
        let mut ways = Vec::new();
        for thinned in 0.. {
            let many = demand.pieces(&waiting) > self.budget.rest;
            if !many {
                ways.push((plan.clone(), waiting.clone()));
            }
            if !many && thinned >= self.budget.thinned {
                break;
            }
            if !self.take_best(&mut plan, &mut waiting, &choice, |class| demand.classes[class].new)
            {
                break;
            }
        }
        if ways.is_empty() {
            ways.push((plan, waiting));
        }
        self.completed(ways)
    }

    /// Takes patterns as often as the relaxation does, rounded down.
    fn round_down(
        &self,
        plan: &mut Plan,
        waiting: &mut [u32],
        choice: &Choice,
        wanted: impl Fn(&Pattern) -> bool,
    ) {
        let mut used = plan.used(self.demand, &self.pool);
        let mut order: Vec<usize> = (0..choice.shares.len()).collect();
        order.sort_by(|&one, &other| choice.shares[other].total_cmp(&choice.shares[one]));
        for place in order {
            let pattern = self.pool.get(place);
            let room = self.demand.classes[pattern.class].count - used[pattern.class];
            let most = pattern.times(waiting).min(room);
            let share = choice.shares[place] + HAIR;
            let low = (0..=most).rev().find(|&count| f64::from(count) <= share).unwrap_or(0);
            if wanted(pattern) && low > 0 {
                used[pattern.class] += low;
                plan.take(&self.pool, place, low, waiting);
            }
        }
    }

    /// Fills what offcuts are left with what is worth most.
    fn onto_offcuts(&mut self, plan: &mut Plan, waiting: &mut [u32], choice: &Choice) {
        let demand = self.demand;
        while self.take_best(plan, waiting, choice, |class| !demand.classes[class].new) {}
    }

    /// Takes the pattern that is worth most for its paper, of sheets of some classes, with no more on it than
    /// waits: once, or if all that it holds waits on an offcut, as often as there are such. Says whether
    /// there is one.
    fn take_best(
        &mut self,
        plan: &mut Plan,
        waiting: &mut [u32],
        choice: &Choice,
        of_class: impl Fn(usize) -> bool,
    ) -> bool {
        let demand = self.demand;
        let used = plan.used(demand, &self.pool);
        let mut best: Option<(f64, usize)> = None;
        for (place, pattern) in self.pool.all().iter().enumerate() {
            let class = &demand.classes[pattern.class];
            if !of_class(pattern.class) || used[pattern.class] >= class.count {
                continue;
            }
            // Where prices say nothing, areas do.
            let by_area: f64 = pattern
                .counts
                .iter()
                .map(|&(unit, count)| demand.units[unit].area * f64::from(count.min(waiting[unit])))
                .sum();
            let worth = pattern.worth(&choice.prices, waiting) + HAIR * by_area;
            let dearest = class.members.last().map_or(0, |&stock| demand.costs[stock]);
            let worth =
                if class.new { worth / (dearest.max(1) as f64) } else { worth / class.area };
            if by_area > 0.0 && best.is_none_or(|(known, _)| worth > known) {
                best = Some((worth, place));
            }
        }
        let Some((_, place)) = best else { return false };
        let pattern = self.pool.get(place);
        let Some(within) = pattern.within(demand, waiting) else { return false };
        let class = &demand.classes[within.class];
        let room = class.count - used[within.class];
        let count = if class.new { 1 } else { within.times(waiting).min(room).max(1) };
        let place = self.pool.add(within);
        plan.take(&self.pool, place, count, waiting);
        true
    }

    /// The best of plans whose rest is nested anew.
    fn completed(&mut self, ways: Vec<(Plan, Vec<u32>)>) -> Plan {
        let jobs: Vec<Job> = ways.iter().map(|(plan, waiting)| self.rest(plan, waiting)).collect();
        let found = self.nest(&jobs);
        let mut best = None;
        for ((mut plan, mut waiting), sheets) in ways.into_iter().zip(found) {
            self.add(&mut plan, &mut waiting, &sheets);
            plan.left_out.clone_from(&waiting);
            // Too much was left for one go; a search that was stopped places all that it can as well.
            while self.demand.pieces(&waiting) > 0 {
                let job = self.rest(&plan, &waiting);
                let sheets = self.nest(&[job]).into_iter().next().unwrap_or_default();
                if !self.add(&mut plan, &mut waiting, &sheets) {
                    break;
                }
                plan.left_out.clone_from(&waiting);
            }
            self.keep(&mut best, plan);
        }
        let mut best = best.unwrap_or_default();
        // What fits no sheet was never waiting.
        best.left_out.resize(self.demand.units.len(), 0);
        best
    }

    /// What is left, or as many kits of it as are nested in one go, on the sheets that are left.
    pub fn rest(&self, plan: &Plan, waiting: &[u32]) -> Job {
        let stock = self.demand.left(&plan.used(self.demand, &self.pool));
        let pieces = self.demand.pieces(waiting);
        let most = self.budget.rest;
        let copies = match pieces > most {
            true => waiting
                .iter()
                .map(|&copies| share(copies, most, pieces).max(copies.min(1)))
                .collect(),
            false => waiting.to_vec(),
        };
        self.demand.job_of(&copies, &stock, self.budget.direct)
    }

    /// Adds sheets to a plan, each as often as all that it holds waits if there are many. Says whether any
    /// was added.
    pub fn add(&mut self, plan: &mut Plan, waiting: &mut [u32], sheets: &[Open]) -> bool {
        let many = self.demand.pieces(waiting) > self.budget.rest;
        let places = self.pool.learn(self.demand, sheets);
        let mut any = false;
        for place in places.into_iter().flatten() {
            let pattern = self.pool.get(place);
            let used = plan.used(self.demand, &self.pool)[pattern.class];
            let room = self.demand.classes[pattern.class].count.saturating_sub(used);
            let times = pattern.times(waiting).min(room);
            let count = if many { times } else { times.min(1) };
            any |= count > 0;
            plan.take(&self.pool, place, count, waiting);
        }
        any
    }
}
