//! The course of a search by patterns: patterns to begin with, how often each is cut, what is left, and the
//! same again with the patterns that this has brought.

use rayon::prelude::*;

use super::choice::{Choice, choose};
use super::demand::Demand;
use super::pattern::Pattern;
use super::plan::Plan;
use super::pool::Pool;
use crate::nest::guillotine::{Patterned, priced_patterns};
use crate::nest::joint::direct::directly;
use crate::nest::joint::draft::Open;
use crate::nest::joint::task::{Candidate, Task};
use crate::nest::worth::Worth;
use crate::nest::{Effort, Job, Nested};
use crate::search::Chance;

/// Numbers of kits that are nested at once.
const KITS: [u32; 10] = [1, 2, 3, 4, 5, 6, 8, 12, 16, 24];
/// Most pieces of which a sheet is filled with copies of one alone, those that cover most.
const MOST_ALONE: usize = 8;
/// Parts of sheets smaller than this are rounding.
const HAIR: f64 = 1e-6;
/// Sheets that are nested anew together.
const ANEW: u64 = 3;
/// Attempts to nest some sheets anew that run side by side.
const SIDE_BY_SIDE: usize = 2;
/// Where the numbers of the attempts begin.
const SEED: u64 = 30;

/// How much an effort tries.
#[derive(Clone, Copy)]
struct Budget {
    /// Most pieces of the kits that are nested at once.
    kits: u32,
    /// Most pieces of what is left and nested anew.
    rest: u32,
    /// The effort of each of these.
    direct: Effort,
    /// Largest pieces that are left aside in turn.
    without: usize,
    /// Steps of the search for the trimmer's patterns by prices.
    steps: u64,
    /// Rounds of choosing.
    rounds: usize,
    /// Most sheets that are taken over with places left empty before the rest is nested.
    thinned: usize,
    /// Pairs of patterns that are nested anew in a round.
    pairs: usize,
    /// Attempts to save a sheet among a few.
    anew: usize,
}

impl Budget {
    const fn of(effort: Effort) -> Self {
        let quick = Self {
            kits: 40,
            rest: 60,
            direct: Effort::Quick,
            without: 1,
            steps: 60_000,
            rounds: 1,
            thinned: 2,
            pairs: 0,
            anew: 4,
        };
        match effort {
            Effort::Quick => quick,
            Effort::Normal => Self {
                kits: 60,
                rest: 80,
                without: 3,
                steps: 200_000,
                rounds: 3,
                thinned: 4,
                pairs: 4,
                anew: 16,
                ..quick
            },
            Effort::Long => Self {
                kits: 100,
                rest: 100,
                direct: Effort::Normal,
                without: 6,
                steps: 1_000_000,
                rounds: 6,
                thinned: 6,
                pairs: 8,
                anew: 60,
            },
        }
    }
}

/// A search by patterns.
pub(super) struct Rounds<'a, 'b> {
    task: &'b Task<'a>,
    demand: &'b Demand<'a>,
    budget: Budget,
    pool: Pool,
    chance: Chance,
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
    fn is_least(&self, plan: &Plan) -> bool {
        let (left_out, cost, _) = plan.price(self.demand, &self.pool);
        left_out == 0 && cost <= self.least
    }

    fn nest(&self, jobs: &[Job]) -> Vec<Vec<Open>> {
        let opened =
            |job: &Job| directly(job, self.task.search).map_or_else(Vec::new, |found| found.open);
        jobs.par_iter().map(opened).collect()
    }

    /// Finds patterns to begin with, of whole kits and on offcuts; returns the copies that fit a sheet at all.
    fn begin(&mut self) -> Vec<u32> {
        let demand = self.demand;
        let mut jobs = Vec::new();
        self.of_kits(&vec![true; demand.units.len()], &mut jobs);
        jobs.extend(self.on_offcuts());
        for sheets in self.nest(&jobs) {
            self.pool.learn(demand, &sheets);
        }
        // One of each lies in the first kit.
        let mut fits = vec![0; demand.units.len()];
        for &(unit, _) in self.pool.all().iter().flat_map(|pattern| &pattern.counts) {
            fits[unit] = demand.units[unit].copies;
        }
        fits
    }

    /// Finds more patterns: of parts of kits, of one piece alone, and by prices.
    fn more(&mut self, fits: &[u32]) {
        let mut jobs = Vec::new();
        for some in self.selections() {
            self.of_kits(&some, &mut jobs);
        }
        jobs.extend(self.alone());
        for sheets in self.nest(&jobs) {
            self.pool.learn(self.demand, &sheets);
        }
        self.by_prices(fits);
    }

    /// The classes of new sheets.
    fn new_classes(&self) -> Vec<usize> {
        let classes = &self.demand.classes;
        (0..classes.len()).filter(|&class| classes[class].new).collect()
    }

    /// Which units are nested together, beside all of them: those of the machine, and all but the largest, which
    /// fill sheets best by themselves.
    fn selections(&self) -> Vec<Vec<bool>> {
        let demand = self.demand;
        let all = vec![true; demand.units.len()];
        let machine: Vec<bool> = (0..all.len()).map(|unit| demand.is_machine(unit)).collect();
        let mut selections = Vec::new();
        if machine.contains(&true) && machine.contains(&false) {
            selections.push(machine.clone());
        }
        let mut largest: Vec<usize> = (0..all.len()).collect();
        largest.sort_by(|&one, &other| {
            demand.units[other].area.total_cmp(&demand.units[one].area).then(one.cmp(&other))
        });
        // Of trimmer pieces alone, prices find the patterns.
        let without = if machine.contains(&true) { self.budget.without } else { 0 };
        let mut some = all;
        for &unit in largest.iter().take(without.min(largest.len().saturating_sub(1))) {
            some[unit] = false;
            if !selections.contains(&some) {
                selections.push(some.clone());
            }
        }
        selections
    }

    /// Jobs of one kit of some units, of two, and so on, on sheets of all sizes and of each alone.
    fn of_kits(&self, some: &[bool], jobs: &mut Vec<Job>) {
        let demand = self.demand;
        let new = self.new_classes();
        for kits in KITS.into_iter().filter(|&kits| kits <= demand.kits) {
            let mut copies = demand.in_kits(kits);
            for (copies, _) in copies.iter_mut().zip(some).filter(|(_, some)| !**some) {
                *copies = 0;
            }
            let pieces = demand.pieces(&copies);
            if kits > 1 && pieces > self.budget.kits {
                break;
            }
            jobs.push(self.job(&copies, |class| match demand.classes[class].new {
                true => pieces,
                false => share(demand.classes[class].count, kits, demand.kits),
            }));
            for &alone in new.iter().filter(|_| new.len() > 1) {
                jobs.push(self.job(&copies, |class| if class == alone { pieces } else { 0 }));
            }
        }
    }

    /// Adds the patterns of the trimmer's pieces that their prices find.
    fn by_prices(&mut self, fits: &[u32]) {
        let demand = self.demand;
        let of_trimmer = |unit: usize| if demand.is_machine(unit) { 0 } else { fits[unit] };
        let copies: Vec<u32> = (0..fits.len()).map(of_trimmer).collect();
        let job = self.job(&copies, |class| demand.classes[class].count);
        let (kerf, margin) = (self.task.kerf, self.task.margin);
        let priced = priced_patterns(&job, kerf, margin, self.budget.steps, self.task.search);
        let open = priced.into_iter().map(|found| {
            let Patterned { stock, root } = found;
            Open { stock, root: Some(root), part: None }
        });
        self.pool.learn(demand, &open.collect::<Vec<_>>());
    }

    /// A job of some copies on so many sheets of each class.
    fn job(&self, copies: &[u32], count: impl Fn(usize) -> u32) -> Job {
        let stock = self.demand.dearest(|class, _| count(class));
        self.demand.job_of(copies, &stock, self.budget.direct)
    }

    /// Jobs of one sheet with as many copies of one unit as may fit.
    fn alone(&self) -> Vec<Job> {
        let demand = self.demand;
        let mut units: Vec<usize> = (0..demand.units.len()).collect();
        let covers = |&unit: &usize| demand.units[unit].area * f64::from(demand.units[unit].copies);
        units.sort_by(|one, other| covers(other).total_cmp(&covers(one)).then(one.cmp(other)));
        let mut jobs = Vec::new();
        for unit in units.into_iter().take(MOST_ALONE) {
            for class in self.new_classes() {
                let most = demand.classes[class].area / demand.units[unit].area.max(HAIR);
                let most =
                    (0..self.budget.rest).take_while(|&count| f64::from(count) < most).count();
                let most = u32::try_from(most).unwrap_or(0).min(demand.units[unit].copies);
                if most > 1 {
                    let mut copies = vec![0; demand.units.len()];
                    copies[unit] = most;
                    jobs.push(self.job(&copies, |one| u32::from(one == class)));
                }
            }
        }
        jobs
    }

    /// Jobs on offcuts alone, as many kits as may fit.
    fn on_offcuts(&self) -> Vec<Job> {
        let demand = self.demand;
        let one = demand.in_kits(1);
        let in_one = demand.area(&one).max(HAIR);
        let offcuts = (0..demand.classes.len()).filter(|&class| !demand.classes[class].new);
        let job = |class: usize| {
            let kits = KITS
                .into_iter()
                .find(|&kits| f64::from(kits) * in_one >= demand.classes[class].area);
            let copies = demand.in_kits(kits.unwrap_or(KITS[KITS.len() - 1]).min(demand.kits));
            (demand.pieces(&copies) <= self.budget.rest || copies == one)
                .then(|| self.job(&copies, |other| u32::from(other == class)))
        };
        offcuts.filter_map(job).collect()
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
    /// waits: once, or if all that it holds waits on an offcut, as often as there are such. Says whether there
    /// is one.
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
            // Too much was left for one go.
            while self.demand.pieces(&waiting) > 0 && !self.task.search.is_stopped() {
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
    fn rest(&self, plan: &Plan, waiting: &[u32]) -> Job {
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
    fn add(&mut self, plan: &mut Plan, waiting: &mut [u32], sheets: &[Open]) -> bool {
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

    /// Nests pairs of the patterns that the relaxation uses anew: they may be better mixed.
    fn pair(&mut self, fits: &[u32]) {
        let demand = self.demand;
        let left = demand.left(&vec![0; demand.classes.len()]);
        let Some(choice) = choose(demand, &self.pool, fits, &left) else { return };
        let used: Vec<usize> =
            (0..choice.shares.len()).filter(|&place| choice.shares[place] > HAIR).collect();
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
    fn save(&mut self, plan: &mut Plan) {
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
                let copies = plan.left_out.iter().zip(&waiting);
                other.left_out = copies.map(|(left, waiting)| left.max(waiting)).copied().collect();
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
    fn tidy(&mut self, plan: &Plan) {
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

/// `part` of `whole` of a number, rounded down.
fn share(number: u32, part: u32, whole: u32) -> u32 {
    let share = u64::from(number) * u64::from(part) / u64::from(whole.max(1));
    u32::try_from(share).unwrap_or(u32::MAX)
}
