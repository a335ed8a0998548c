//! Plans made of whole sheets: column generation and diving.
//!
//! Where a sheet holds few pieces, what matters is which of them share one. Dual values of the pieces (see
//! [`super::master_problem`]) tell which patterns are worth their sheet; a search fills sheets with what is
//! dear, and new prices follow, until no better pattern turns up. If the parts of patterns together cost
//! more than the next cheaper plan could, none is looked for. Else a dive takes over the most used patterns,
//! a few at a time, with new prices and patterns for the rest (diving with column generation, Sadykov et
//! al., INFORMS Journal on Computing 31, 2019), and what finds no place in the end goes back to ruin and
//! recreate. Patterns are found by search, so nothing is proven by the prices.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::master_problem::{self, Covering, DualValues, dual_values};
use super::problem::CuttingProblem;
use super::ruin_recreate::{PricedPattern, RuinAndRecreate, SEEDS};
use super::sheet_pattern::SheetPattern;
use super::tree::{Forest, number};
use crate::search::Chance;

/// Most pieces on a sheet, on average, for which whole sheets are chosen by prices; with more there are too
/// many patterns that are as good.
const MOST_ON_A_SHEET: usize = 12;
/// Most shapes that get prices.
const MOST_SHAPES: usize = 400;
/// Sheets that are filled in a round, each on its own.
const FILLED: u64 = 32;
/// Most patterns taken from one of them.
const MOST_TAKEN: usize = 6;
/// Steps for each of them; in a dive a quarter.
const FILLING_STEPS: u64 = 300;
/// Where there are several stocks, one in so many begins with an empty sheet.
const EMPTY: u64 = 4;
/// A pattern has to be worth so much more than its sheet.
const GAIN: f64 = 1e-4;
/// Rounds with fewer new patterns than this are calm; after so many of them prices have settled.
const CALM: (usize, u32) = (4, 3);
/// Most columns that are kept.
const MOST_COLUMNS: usize = 4000;
/// Rounds of new patterns before a dive takes sheets over.
const DIVING_ROUNDS: u32 = 2;
/// Patterns used by this share or more are taken over together, up to so many.
const NEARLY_WHOLE: (f64, usize) = (0.9, 3);
/// Shares are shaken by up to this part, either way, so that no dive is like another.
const SHAKEN: f64 = 0.4;
/// A dive steps back to the same place no more than so many times, and in all so many.
const MOST_TIMES: u32 = 2;
const MOST_BACK: u32 = 8;
/// Steps and late acceptance history of the search for what a dive left over.
const AFTER: (u64, usize) = (5_000, 50);
/// Patterns are looked for in portions of the steps, one in so many, with dives between them.
const PORTION: u64 = 4;
/// Rounding of costs.
const HAIR: f64 = 1e-3;

/// Whether choosing whole sheets by prices promises anything.
pub(super) fn suits(problem: &CuttingProblem, best: &Forest) -> bool {
    best.complete()
        && best.sheets.len() > 1
        && problem.shapes.len() <= MOST_SHAPES
        && problem.pieces() as usize <= best.sheets.len() * MOST_ON_A_SHEET
}

/// What a round of filling sheets has brought.
struct Round {
    /// Patterns that were not known.
    new: usize,
    /// What plans cost at least, so far as the search found the best patterns.
    least_cost: f64,
}

/// A pattern that is known.
struct Column {
    pattern: SheetPattern,
    /// Copies by shape.
    counts: Vec<(usize, u32)>,
    /// Cost of the sheet, in sheets of the cheapest kind.
    cost: f64,
}

/// The patterns known so far.
pub(super) struct Columns {
    /// The pieces, and the sheets they may go on.
    pub problem: CuttingProblem,
    /// Cost of the cheapest new sheet.
    unit: f64,
    /// Cost of a copy without a place.
    uncovered: f64,
    all: Vec<Column>,
    known: BTreeSet<(usize, Vec<usize>)>,
    chance: Chance,
    /// Steps that are left.
    pub steps: u64,
    /// Whether prices have settled, and no plan can be hoped for.
    pub hopeless: bool,
    /// What parts of the known patterns cost that cover everything.
    least_cost: f64,
}

impl Columns {
    /// None yet; looking for them takes no more than `steps`.
    pub fn new(problem: &CuttingProblem, steps: u64) -> Self {
        let kinds = problem.kinds();
        let costs: Vec<i128> = kinds.iter().map(|&kind| problem.sheets[kind].cost).collect();
        let unit = costs.iter().min().map_or(1.0, |&cost| cost as f64);
        let dearest = costs.iter().max().map_or(1.0, |&cost| cost as f64);
        Self {
            problem: problem.clone(),
            unit,
            uncovered: 2.0 * dearest / unit,
            all: Vec::new(),
            known: BTreeSet::new(),
            chance: Chance::new(SEEDS[1]),
            steps,
            hopeless: false,
            least_cost: f64::INFINITY,
        }
    }

    /// Looks for a plan that costs no more than `goal`, with a share of the steps.
    pub fn within(&mut self, goal: i128, steps: u64) -> Option<Forest> {
        let end = self.steps.saturating_sub(steps);
        let blank = self.problem.blank();
        let mut settled = false;
        self.hopeless = false;
        while self.steps > end && !self.problem.search.is_stopped() {
            if !settled {
                settled = self.settle(&blank, goal, steps / PORTION)?;
            }
            if self.least_cost > self.cost(goal) + HAIR {
                self.hopeless = settled;
                if settled || self.steps.saturating_sub(end) < steps / 2 {
                    return None;
                }
                continue;
            }
            let found = self.dive(blank.clone(), goal)?;
            if found.complete() {
                return Some(found);
            }
        }
        None
    }

    /// A cost in sheets of the cheapest kind.
    fn cost(&self, cost: i128) -> f64 {
        cost as f64 / self.unit
    }

    /// Adds the sheets of a plan.
    pub fn learn(&mut self, plan: &Forest) {
        for sheet in 0..plan.sheets.len() {
            self.add(plan.pattern(sheet));
        }
    }

    /// Adds a pattern and says whether it is new.
    fn add(&mut self, pattern: SheetPattern) -> bool {
        let blocks = pattern.blocks();
        let alike = blocks.chunk_by(|one, other| one == other);
        let counts = alike.map(|blocks| (blocks[0], number(blocks.len()))).collect();
        if !self.known.insert((pattern.stock, blocks)) {
            return false;
        }
        let cost = self.cost(self.problem.sheets[pattern.stock].cost);
        self.all.push(Column { pattern, counts, cost });
        true
    }

    /// Dual values of what waits beside the sheets of a plan.
    fn dual_values(&mut self, plan: &Forest) -> Option<DualValues> {
        self.spend(self.all.len() as u64);
        let pieces: u32 = plan.waiting.iter().sum();
        let sheets = self.problem.sheets.iter().zip(&plan.used).map(|(sheets, used)| {
            let left = sheets.count - used;
            (left < pieces).then_some(left)
        });
        let copies = plan.waiting.clone();
        let wanted = Covering { copies, sheets: sheets.collect(), uncovered: self.uncovered };
        let columns = self.all.iter().map(|one| master_problem::Column {
            stock: one.pattern.stock,
            counts: &one.counts,
            cost: one.cost,
        });
        let columns: Vec<_> = columns.collect();
        dual_values(&columns, &wanted)
    }

    /// Finds patterns until no better ones turn up, and returns those that are worth their sheet or nearly
    /// so, `most` of them.
    pub fn settled(mut self, most: usize) -> Vec<SheetPattern> {
        let blank = self.problem.blank();
        let steps = self.steps;
        if self.settle(&blank, i128::MAX, steps).is_none() {
            return Vec::new();
        }
        let Some(prices) = self.dual_values(&blank) else { return Vec::new() };
        self.best_first(&prices);
        self.all.truncate(most);
        self.all.into_iter().map(|column| column.pattern).collect()
    }

    fn spend(&mut self, steps: u64) {
        self.steps = self.steps.saturating_sub(steps);
    }

    /// Finds patterns until no better ones turn up, or until it is clear that no plan costs as little as
    /// `goal`. Says whether that took no more than `steps`; nothing where the prices can't be found.
    fn settle(&mut self, blank: &Forest, goal: i128, steps: u64) -> Option<bool> {
        let goal = self.cost(goal) + HAIR;
        let rest = self.steps.saturating_sub(steps);
        let (few, often) = CALM;
        let mut calm = 0;
        while self.steps > rest && !self.problem.search.is_stopped() {
            let prices = self.dual_values(blank)?;
            let Round { new, least_cost } = self.round(blank, &prices, FILLING_STEPS);
            let hopeless = least_cost > goal;
            self.least_cost = if hopeless { least_cost } else { prices.cost };
            calm = if hopeless || new < few { calm + 1 } else { 0 };
            if calm == often {
                return Some(true);
            }
            if self.all.len() > MOST_COLUMNS {
                self.forget(&prices);
            }
        }
        Some(false)
    }

    /// Fills sheets by prices.
    fn round(&mut self, plan: &Forest, prices: &DualValues, steps: u64) -> Round {
        let mut rest = self.problem.clone();
        for (shape, &waiting) in rest.shapes.iter_mut().zip(&plan.waiting) {
            shape.copies = waiting;
        }
        let starts = self.starts(plan, prices);
        let fill = |(from, seed): &(SheetPattern, u64)| {
            let stock = from.stock;
            let cost = rest.sheets[stock].cost as f64 / self.unit;
            let floor = cost + prices.stocks[stock] + GAIN;
            RuinAndRecreate::new(&rest, *seed).fill(from, &prices.shapes, floor, MOST_TAKEN, steps)
        };
        let found: Vec<_> = starts.par_iter().map(fill).collect();
        self.spend(steps * starts.len() as u64);
        let found: Vec<PricedPattern> = found.into_iter().flatten().collect();
        let least_cost = self.least_cost(plan, prices, &found);
        let new = found.into_iter().map(|worth| self.add(worth.pattern)).filter(|&new| new).count();
        Round { new, least_cost }
    }

    /// What plans cost at least if no pattern is worth more than those found: all prices are lowered until
    /// none is worth more than its sheet (Farley, Operations Research 38, 1990). An offcut costs nothing, so
    /// what is on it beyond its price is taken off as often as there are such offcuts.
    fn least_cost(&self, plan: &Forest, prices: &DualValues, found: &[PricedPattern]) -> f64 {
        let mut over = vec![0.0_f64; self.problem.sheets.len()];
        for PricedPattern { value, pattern } in found {
            let stock = pattern.stock;
            over[stock] = over[stock].max(value - prices.stocks[stock]);
        }
        let (mut ratio, mut free) = (1.0_f64, 0.0);
        for (stock, (sheets, over)) in self.problem.sheets.iter().zip(over).enumerate() {
            if sheets.cost > 0 {
                ratio = ratio.max(over / self.cost(sheets.cost));
            } else {
                free += over * f64::from(sheets.count - plan.used[stock]);
            }
        }
        (prices.cost - free) / ratio
    }

    /// Patterns to begin with: those that are used most, and empty sheets of every stock.
    fn starts(&mut self, plan: &Forest, prices: &DualValues) -> Vec<(SheetPattern, u64)> {
        let mut used: Vec<usize> = (0..self.all.len()).collect();
        used.sort_by(|&one, &other| prices.shares[other].total_cmp(&prices.shares[one]));
        used.truncate(usize::try_from(2 * FILLED).unwrap_or(usize::MAX));
        let sheets = self.problem.sheets.iter().enumerate();
        let left = sheets.filter(|&(stock, sheets)| plan.used[stock] < sheets.count);
        let stocks: Vec<usize> = left.map(|(stock, _)| stock).collect();
        let mut starts = Vec::new();
        for index in 0..FILLED {
            let seed = self.chance.below(u64::MAX);
            let empty = stocks.len() > 1 && index % EMPTY == 0 || used.is_empty();
            let pattern = if empty && !stocks.is_empty() {
                let stock = stocks[self.chance.place(stocks.len())];
                SheetPattern::empty(stock, self.problem.sheets[stock].size)
            } else {
                let Some(&column) = used.get(self.chance.place(used.len())) else { continue };
                self.all[column].pattern.clone()
            };
            starts.push((pattern, seed));
        }
        starts
    }

    /// Drops the half of the columns that are worth least.
    fn forget(&mut self, prices: &DualValues) {
        self.best_first(prices);
        self.all.truncate(MOST_COLUMNS / 2);
        let known = self.all.iter().map(|column| (column.pattern.stock, column.pattern.blocks()));
        self.known = known.collect();
    }

    /// Puts the columns that are worth most beyond their sheet first.
    fn best_first(&mut self, prices: &DualValues) {
        let gain = |column: &Column| {
            let pieces = column.counts.iter();
            let worth: f64 =
                pieces.map(|&(shape, count)| prices.shapes[shape] * f64::from(count)).sum();
            worth - column.cost - prices.stocks[column.pattern.stock]
        };
        self.all.sort_by(|one, other| gain(other).total_cmp(&gain(one)));
    }

    /// Takes over patterns from the most used down; where the rest can't do within the goal it steps back
    /// and takes others. Then it looks for places for what is left. Nothing where the prices can't be found.
    fn dive(&mut self, blank: Forest, goal: i128) -> Option<Forest> {
        if self.all.len() > MOST_COLUMNS {
            let prices = self.dual_values(&blank)?;
            self.forget(&prices);
        }
        let seed = self.chance.below(u64::MAX);
        let mut best = blank.clone();
        let mut plan = blank;
        let mut passed: Vec<(Forest, u32)> = Vec::new();
        let mut refused = BTreeSet::new();
        let mut back = 0;
        while self.steps > 0 && !self.problem.search.is_stopped() {
            let prices = self.diving_prices(&plan)?;
            let hope = self.cost(plan.cost) + prices.cost <= self.cost(goal) + HAIR;
            let before = plan.clone();
            let taken =
                if hope { self.take_over(&mut plan, &prices, goal, &refused) } else { Vec::new() };
            if self.problem.left_out(&plan) < self.problem.left_out(&best) {
                best.clone_from(&plan);
            }
            if plan.complete() {
                return Some(plan);
            }
            if !taken.is_empty() {
                refused.extend(taken);
                passed.push((before, 0));
                continue;
            }
            passed.retain(|(_, times)| *times < MOST_TIMES);
            let Some((before, times)) = passed.last_mut().filter(|_| back < MOST_BACK) else {
                break;
            };
            *times += 1;
            back += 1;
            plan.clone_from(before);
        }
        let (mut steps, history) = AFTER;
        self.spend(steps);
        let mut search = RuinAndRecreate::new(&self.problem, seed);
        Some(search.reach(best, goal, history, &mut steps))
    }

    /// Dual values of what waits, after a few rounds of new patterns.
    fn diving_prices(&mut self, plan: &Forest) -> Option<DualValues> {
        let mut prices = self.dual_values(plan)?;
        for _ in 0..DIVING_ROUNDS {
            if self.round(plan, &prices, FILLING_STEPS / 4).new == 0 {
                break;
            }
            prices = self.dual_values(plan)?;
        }
        Some(prices)
    }

    /// Adds the most used patterns to a plan, of those that still fit it and are not refused, and returns
    /// which.
    fn take_over(
        &mut self,
        plan: &mut Forest,
        prices: &DualValues,
        goal: i128,
        refused: &BTreeSet<usize>,
    ) -> Vec<usize> {
        let shares = prices.shares.iter().enumerate().filter(|(_, share)| **share > GAIN);
        let mut order: Vec<(f64, usize)> =
            shares.map(|(place, share)| (share * self.chance.shaken(SHAKEN), place)).collect();
        order.sort_by(|one, other| other.0.total_cmp(&one.0));
        let (whole, most) = NEARLY_WHOLE;
        let mut taken = Vec::new();
        for (_, place) in order {
            if taken.len() == most || (!taken.is_empty() && prices.shares[place] < whole) {
                break;
            }
            let Column { pattern, counts, .. } = &self.all[place];
            let sheets = self.problem.sheets[pattern.stock];
            if !refused.contains(&place)
                && counts.iter().all(|&(shape, count)| count <= plan.waiting[shape])
                && plan.cost + sheets.cost <= goal
                && plan.used[pattern.stock] < sheets.count
            {
                plan.adopt(pattern, sheets.cost);
                taken.push(place);
            }
        }
        taken
    }
}
