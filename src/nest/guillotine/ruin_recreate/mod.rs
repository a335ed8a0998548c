//! Goal-driven ruin and recreate (Gardeyn & Wauters, EJOR 301, 2022).
//!
//! A first plan is built greedily. Then the search looks for a plan that costs less than the best
//! one: it takes some nodes out of the trees, puts the pieces back, and keeps the outcome by late
//! acceptance (Burke & Bykov, EJOR 258, 2017). Once everything fits, the limit drops. A second pass on
//! sheets of the same cost gathers what is left into one large leftover and saves cuts.

mod fill;
mod offcuts;

pub(in crate::nest::guillotine) use fill::PricedPattern;

use crate::nest::guillotine::problem::CuttingProblem;
use crate::nest::guillotine::rank::{filled, rank};
use crate::nest::guillotine::tree::{Forest, Kind, number};
use crate::nest::rectangles::holds;
use crate::search::Chance;

/// Longest late acceptance history (the paper's value, for long runs).
const HISTORY: usize = 500;
/// Shortest history.
const SHORT_HISTORY: usize = 10;
/// A short run takes a short history: 50 for 8000 steps took 1 % fewer sheets than 500 on a fifth of
/// the published lists.
const STEPS_PER_HISTORY: u64 = 160;
/// Most nodes removed at once; the mean is about half (the paper removes 8 on average).
const MOST_REMOVED: u64 = 15;
/// One option in so many is overlooked when a piece is placed (5 %, the paper's value).
const BLINK: u64 = 20;
/// A sheet type other than the one that looks best is tried once in so many times.
const OTHER_SHEET: u64 = 4;
/// Weight of a square of paper that found no place against gathered leftovers.
const LEFT_OUT_WEIGHT: f64 = 20.0;
/// Losses closer than this are the same: they differ by rounding only.
const SAME_LOSS: f64 = 1e-12;
/// Seeds of the search and of one beside it; any numbers do.
pub(in crate::nest::guillotine) const SEEDS: [u64; 2] = [0x5eed_0fda, 0x00c0_ffee];

/// The search and what it reuses from step to step.
pub(in crate::nest::guillotine) struct RuinAndRecreate<'a> {
    pub problem: &'a CuttingProblem,
    chance: Chance,
    costs: Vec<i128>,
    /// Shapes by falling area, as ranks.
    order: Vec<usize>,
    leftovers: Vec<Slot>,
    fresh: Vec<u32>,
    active: Vec<Waiting>,
}

/// A leftover on offer.
#[derive(Clone, Copy)]
struct Slot {
    id: u32,
    size: [i64; 2],
}

/// A shape of which copies wait.
#[derive(Clone, Copy)]
struct Waiting {
    shape: usize,
    size: [i64; 2],
    /// Whether a turned copy is another way to lie.
    turns: bool,
    /// Ways to lie in the leftovers on offer.
    options: u32,
    order: usize,
}

impl Waiting {
    /// In how many ways a copy lies in a leftover.
    fn fits(&self, room: [i64; 2]) -> u32 {
        let [width, height] = self.size;
        u32::from(width <= room[0] && height <= room[1])
            + u32::from(self.turns && height <= room[0] && width <= room[1])
    }
}

/// A way to put a piece into a leftover.
#[derive(Clone, Copy)]
struct Insertion {
    place: usize,
    turned: bool,
    axis: usize,
    loss: f64,
}

impl<'a> RuinAndRecreate<'a> {
    /// Ready to search, by chance that begins with `seed`.
    pub fn new(problem: &'a CuttingProblem, seed: u64) -> Self {
        let mut by_area: Vec<usize> = (0..problem.shapes.len()).collect();
        by_area.sort_by_key(|&shape| {
            let [width, height] = problem.shapes[shape].size;
            std::cmp::Reverse(i128::from(width) * i128::from(height))
        });
        let mut order = vec![0; by_area.len()];
        for (rank, &shape) in by_area.iter().enumerate() {
            order[shape] = rank;
        }
        Self {
            problem,
            chance: Chance::new(seed),
            costs: problem.sheets.iter().map(|sheets| sheets.cost).collect(),
            order,
            leftovers: Vec::new(),
            fresh: Vec::new(),
            active: Vec::new(),
        }
    }

    /// The greedy plan.
    pub fn first(&mut self) -> Forest {
        let mut forest = self.problem.blank();
        self.recreate(&mut forest, i128::MAX, false);
        forest
    }

    /// Whether no plan can cost less.
    pub fn is_done(&self, forest: &Forest) -> bool {
        forest.complete() && forest.cost <= self.problem.cost_bound
    }

    /// Looks for cheaper plans (the paper's goal-driven phase).
    pub fn lower(&mut self, mut best: Forest, steps: u64) -> Forest {
        let history = history_length(steps);
        let mut left = steps;
        if !best.complete() {
            best = self.reach(best, i128::MAX, history, &mut left);
        }
        while best.complete() && !self.is_done(&best) && left > 0 {
            let limit = best.cost - 1;
            let mut start = best.clone();
            self.shrink(&mut start, limit);
            let found = self.reach(start, limit, history, &mut left);
            if !found.complete() {
                break;
            }
            best = found;
        }
        best
    }

    /// Looks for a plan of at most `limit` that leaves nothing out, from one that does. It ends with such
    /// a plan, or where the steps do, with the one that left out least.
    pub fn reach(&mut self, start: Forest, limit: i128, history: usize, steps: &mut u64) -> Forest {
        let mut best_left = self.problem.left_out(&start);
        let mut gained = *steps;
        let mut best = start.clone();
        let mut now = self.score(&start);
        let mut trial = start.clone();
        let mut current = start;
        let mut history = vec![now; history.max(1)];
        let mut places = (0..history.len()).cycle();
        while *steps > 0 && self.problem.search.step() {
            if gained - *steps >= self.problem.idle {
                *steps = 0;
                break;
            }
            *steps -= 1;
            let place = places.next().unwrap_or(0);
            trial.clone_from(&current);
            self.ruin(&mut trial);
            self.recreate(&mut trial, limit, true);
            let left = self.problem.left_out(&trial);
            if left <= 0.0 {
                return trial;
            }
            if left < best_left {
                best_left = left;
                gained = *steps;
                best.clone_from(&trial);
            }
            let score = self.score(&trial);
            if score <= now || score <= history[place] {
                std::mem::swap(&mut current, &mut trial);
                now = score;
            }
            history[place] = history[place].min(now);
        }
        best
    }

    /// Gathers leftovers and saves cuts at the same cost (the paper's second phase).
    pub fn gather(&mut self, mut best: Forest, steps: u64) -> Forest {
        let limit = best.cost;
        let left = self.problem.left_out(&best);
        let mut fences = Vec::new();
        let (mut best_rank, mut now) = rank(&best, self.problem, &mut fences);
        let mut current = best.clone();
        let mut history = vec![now; history_length(steps)];
        let mut trial = current.clone();
        let places = (0..history.len()).cycle();
        let mut gained = 0;
        let problem = self.problem;
        for (step, place) in (0..steps).zip(places).take_while(|_| problem.search.step()) {
            if step - gained >= self.problem.idle {
                break;
            }
            trial.clone_from(&current);
            self.ruin(&mut trial);
            self.recreate(&mut trial, limit, true);
            if self.problem.left_out(&trial) > left {
                continue;
            }
            let (trial_rank, score) = rank(&trial, self.problem, &mut fences);
            if trial_rank.beats(&best_rank) {
                best.clone_from(&trial);
                best_rank = trial_rank;
                gained = step;
            }
            if score <= now || score <= history[place] {
                std::mem::swap(&mut current, &mut trial);
                now = score;
            }
            history[place] = history[place].min(now);
        }
        best
    }

    fn score(&self, forest: &Forest) -> f64 {
        let leftovers = forest.nodes.iter().filter(|node| node.kind == Kind::Leftover);
        let worth: f64 = leftovers.map(|node| node.worth).sum();
        LEFT_OUT_WEIGHT * self.problem.left_out(forest) - worth
    }

    /// Puts sheets back, the emptiest first, until the rest cost no more than `limit`.
    fn shrink(&mut self, forest: &mut Forest, limit: i128) {
        while forest.cost > limit {
            let emptiest = (0..forest.sheets.len())
                .filter(|&index| self.costs[forest.sheets[index].stock as usize] > 0)
                .min_by(|&one, &other| {
                    let fill = |index: usize| filled(forest, forest.sheets[index].root);
                    fill(one).total_cmp(&fill(other))
                });
            let Some(index) = emptiest else { return };
            forest.close(index, &self.costs);
        }
    }

    /// Removes random nodes (the paper's ruin step).
    fn ruin(&mut self, forest: &mut Forest) {
        let removals = 1 + self.chance.below(MOST_REMOVED);
        for _ in 0..removals {
            self.take_one(forest);
        }
        self.close_empty(forest);
    }

    /// Removes a random node in use.
    fn take_one(&mut self, forest: &mut Forest) {
        // Nodes in use are at least a third of all; a few misses are harmless.
        for _ in 0..8 {
            if forest.nodes.is_empty() {
                return;
            }
            let id = self.chance.place(forest.nodes.len());
            if matches!(forest.nodes[id].kind, Kind::Piece { .. } | Kind::Split(_)) {
                forest.remove(number(id));
                return;
            }
        }
    }

    /// Puts sheets without a piece back.
    fn close_empty(&self, forest: &mut Forest) {
        for index in (0..forest.sheets.len()).rev() {
            let root = forest.sheets[index].root;
            if forest.nodes[root as usize].kind == Kind::Leftover {
                forest.close(index, &self.costs);
            }
        }
    }

    /// Places what waits, the piece with the fewest options first, each where least is lost.
    fn recreate(&mut self, forest: &mut Forest, limit: i128, blinks: bool) {
        self.begin(forest);
        while let Some(index) = self.scarcest() {
            let waiting = self.active[index];
            if waiting.options == 0 {
                if !self.open(forest, waiting.shape, limit, blinks) {
                    self.active.swap_remove(index);
                }
                continue;
            }
            let found = self.cheapest(forest, &waiting, blinks);
            let Some(option) = found.or_else(|| self.cheapest(forest, &waiting, false)) else {
                self.active.swap_remove(index);
                continue;
            };
            self.put(forest, waiting.shape, option);
            if forest.waiting[waiting.shape] == 0 {
                self.active.swap_remove(index);
            }
        }
        // With few changes of direction a sheet may turn out to be of no use to the piece.
        self.close_empty(forest);
    }

    /// Lists what waits and where it could lie.
    fn begin(&mut self, forest: &Forest) {
        self.leftovers.clear();
        self.active.clear();
        for (shape, _) in forest.waiting.iter().enumerate().filter(|(_, count)| **count > 0) {
            let form = &self.problem.shapes[shape];
            self.active.push(Waiting {
                shape,
                size: form.size,
                turns: form.ways().len() > 1,
                options: 0,
                order: self.order[shape],
            });
        }
        let shortest = self.active.iter().map(|waiting| waiting.size[0].min(waiting.size[1])).min();
        let Some(shortest) = shortest else { return };
        for (id, node) in forest.nodes.iter().enumerate() {
            if node.kind == Kind::Leftover && node.size[0].min(node.size[1]) >= shortest {
                self.offer(Slot { id: number(id), size: node.size });
            }
        }
    }

    fn scarcest(&self) -> Option<usize> {
        let keys = self.active.iter().map(|waiting| (waiting.options, waiting.order));
        keys.enumerate().min_by_key(|&(_, key)| key).map(|(index, _)| index)
    }

    fn cheapest(&mut self, forest: &Forest, waiting: &Waiting, blinks: bool) -> Option<Insertion> {
        let mut best: Option<Insertion> = None;
        for place in 0..self.leftovers.len() {
            let Slot { id, size: room } = self.leftovers[place];
            for &turned in &[false, true][..=usize::from(waiting.turns)] {
                let size = if turned { [waiting.size[1], waiting.size[0]] } else { waiting.size };
                if !holds(room, size) {
                    continue;
                }
                let both = room[0] > size[0] && room[1] > size[1];
                // Between equals, the cut that goes on in the direction of those beside it.
                let along = forest.axis_beside(id).unwrap_or(0);
                let axes = [along, 1 - along];
                for &axis in &axes[..=usize::from(both)] {
                    let way = (waiting.shape, turned);
                    if !self.shallow(forest, id, way, axis)
                        || (blinks && self.chance.below(BLINK) == 0)
                    {
                        continue;
                    }
                    let loss = loss(forest, id, size, axis);
                    if best.is_none_or(|best| loss < best.loss - SAME_LOSS) {
                        best = Some(Insertion { place, turned, axis, loss });
                    }
                }
            }
        }
        best
    }

    /// Whether the cuts stay within the permitted changes of direction.
    fn shallow(
        &self,
        forest: &Forest,
        id: u32,
        (shape, turned): (usize, bool),
        axis: usize,
    ) -> bool {
        let Some(levels) = self.problem.levels else { return true };
        let shape = &self.problem.shapes[shape];
        let size = shape.lying(turned);
        let node = &forest.nodes[id as usize];
        let (mut along, mut depth) = (forest.axis_beside(id), forest.depth(id));
        for cut in [axis, 1 - axis] {
            if node.size[cut] > size[cut] && along != Some(cut) {
                along = Some(cut);
                depth += 1;
            }
        }
        depth + shape.levels(turned, along) <= levels
    }

    fn put(&mut self, forest: &mut Forest, shape: usize, option: Insertion) {
        let Slot { id, size: room } = self.leftovers.swap_remove(option.place);
        for waiting in &mut self.active {
            waiting.options -= waiting.fits(room).min(waiting.options);
        }
        self.place(forest, id, shape, option);
        for index in 0..self.fresh.len() {
            let id = self.fresh[index];
            self.offer(Slot { id, size: forest.nodes[id as usize].size });
        }
    }

    /// Cuts a copy from a leftover; what is left of that is `fresh`.
    fn place(&mut self, forest: &mut Forest, leftover: u32, shape: usize, way: Insertion) {
        let size = self.problem.shapes[shape].lying(way.turned);
        let kind = Kind::Piece { block: number(shape), turned: way.turned };
        self.fresh.clear();
        forest.place(leftover, kind, size, way.axis, &mut self.fresh);
        forest.waiting[shape] -= 1;
    }

    /// Adds a leftover to those on offer.
    fn offer(&mut self, slot: Slot) {
        let mut useful = 0;
        for waiting in &mut self.active {
            let fits = waiting.fits(slot.size);
            waiting.options += fits;
            useful |= fits;
        }
        // Pieces only get fewer while they are placed, so what holds none now never will.
        if useful > 0 {
            self.leftovers.push(slot);
        }
    }

    /// Takes another sheet into use for a piece that fits nowhere.
    fn open(&mut self, forest: &mut Forest, shape: usize, limit: i128, vary: bool) -> bool {
        let sheets = &self.problem.sheets;
        let room = limit.saturating_sub(forest.cost);
        let piece = &self.problem.shapes[shape];
        let possible = |&stock: &usize| {
            forest.used[stock] < sheets[stock].count
                && sheets[stock].cost <= room
                && piece.ways().iter().any(|&way| holds(sheets[stock].size, piece.lying(way)))
        };
        let candidates: Vec<usize> = (0..sheets.len()).filter(possible).collect();
        if candidates.is_empty() {
            return false;
        }
        let stock = if vary && candidates.len() > 1 && self.chance.below(OTHER_SHEET) == 0 {
            candidates[self.chance.place(candidates.len())]
        } else {
            self.likeliest(forest, &candidates)
        };
        let root = forest.open(stock, sheets[stock].size, sheets[stock].cost);
        self.offer(Slot { id: root, size: sheets[stock].size });
        true
    }

    /// Offcuts first, the smallest of them; then the cheapest sheet that could hold all that waits;
    /// then the sheet with the most paper for its cost.
    fn likeliest(&self, forest: &Forest, candidates: &[usize]) -> usize {
        let waiting = self.problem.left_out(forest);
        let key = |stock: usize| {
            let sheets = &self.problem.sheets[stock];
            let area = forest.area(sheets.size);
            let cost = sheets.cost as f64;
            if sheets.cost == 0 {
                (0, area)
            } else if area >= waiting {
                (1, cost)
            } else {
                (2, cost / area)
            }
        };
        let best = candidates.iter().copied().min_by(|&one, &other| {
            let (one_class, one_value) = key(one);
            let (other_class, other_value) = key(other);
            one_class.cmp(&other_class).then(one_value.total_cmp(&other_value))
        });
        best.unwrap_or(0)
    }
}

/// What the leftovers are worth less after a piece is placed.
fn loss(forest: &Forest, id: u32, size: [i64; 2], axis: usize) -> f64 {
    let node = &forest.nodes[id as usize];
    let across = 1 - axis;
    let (mut far, mut near) = (node.size, size);
    far[axis] = forest.rest(node.size[axis], size[axis]);
    near[across] = forest.rest(node.size[across], size[across]);
    let worth = |size: [i64; 2]| if size[0] > 0 && size[1] > 0 { forest.worth(size) } else { 0.0 };
    node.worth - worth(far) - worth(near)
}

fn history_length(steps: u64) -> usize {
    usize::try_from(steps / STEPS_PER_HISTORY).unwrap_or(HISTORY).clamp(SHORT_HISTORY, HISTORY)
}
