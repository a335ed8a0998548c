//! One sheet filled with pieces of the highest prices: ruin and recreate once more, on a single sheet.

use std::collections::BTreeMap;

use super::{RuinAndRecreate, Slot, Waiting};
use crate::nest::guillotine::sheet_pattern::SheetPattern;
use crate::nest::guillotine::tree::{Forest, Kind};

/// Most nodes taken out of the sheet at once.
const MOST_TAKEN: u64 = 3;
/// Late acceptance history; a sheet holds few pieces.
const HISTORY: usize = 20;
/// Prices are shaken by up to this share, either way.
const SHAKEN: f64 = 0.3;

/// A pattern and what its pieces are worth together.
#[derive(Debug)]
pub(in crate::nest) struct PricedPattern {
    /// The sum of the prices.
    pub value: f64,
    /// The pattern.
    pub pattern: SheetPattern,
}

impl RuinAndRecreate<'_> {
    /// Patterns worth more than `floor`, the best `most` of those met on a way that begins with `from`.
    /// Prices are by shape.
    pub fn fill(
        &mut self,
        from: &SheetPattern,
        prices: &[f64],
        floor: f64,
        most: usize,
        steps: u64,
    ) -> Vec<PricedPattern> {
        let mut current = self.problem.blank();
        current.adopt(from, self.costs[from.stock]);
        let mut now = value(&current, prices);
        let mut trial = current.clone();
        let mut history = [now; HISTORY];
        let mut found = BestPatterns { floor, most, patterns: BTreeMap::new() };
        let places = (0..HISTORY).cycle();
        let problem = self.problem;
        for (_, place) in (0..steps).zip(places).take_while(|_| problem.search.step()) {
            trial.clone_from(&current);
            for _ in 0..=self.chance.below(MOST_TAKEN) {
                self.take_one(&mut trial);
            }
            self.fill_up(&mut trial, prices);
            let value = value(&trial, prices);
            found.offer(value, &trial);
            if value >= now || value >= history[place] {
                std::mem::swap(&mut current, &mut trial);
                now = value;
            }
            history[place] = history[place].max(now);
        }
        found.best()
    }

    /// Places what waits where it fits, the dearest first by prices that are shaken a little, half of
    /// the time by price for area.
    fn fill_up(&mut self, forest: &mut Forest, prices: &[f64]) {
        self.begin(forest);
        let by_area = self.chance.below(2) == 0;
        let mut queue = Vec::new();
        for waiting in &self.active {
            let price = prices[waiting.shape];
            if waiting.options > 0 && price > 0.0 {
                let shaken = price * self.chance.shaken(SHAKEN);
                let key = if by_area { shaken / forest.area(waiting.size) } else { shaken };
                queue.push((key, *waiting));
            }
        }
        queue.sort_by(|(one, left), (other, right)| {
            other.total_cmp(one).then(left.shape.cmp(&right.shape))
        });
        self.active.clear();
        for (_, waiting) in queue {
            while forest.waiting[waiting.shape] > 0 && self.fill_in(forest, &waiting) {}
        }
    }

    /// Places a copy where least is lost, if it fits anywhere.
    fn fill_in(&mut self, forest: &mut Forest, waiting: &Waiting) -> bool {
        if !self.leftovers.iter().any(|slot| waiting.fits(slot.size) > 0) {
            return false;
        }
        let Some(way) = self.cheapest(forest, waiting, true) else { return false };
        let id = self.leftovers.swap_remove(way.place).id;
        self.place(forest, id, waiting.shape, way);
        for &id in &self.fresh {
            self.leftovers.push(Slot { id, size: forest.nodes[id as usize].size });
        }
        true
    }
}

/// The patterns met so far.
struct BestPatterns {
    floor: f64,
    most: usize,
    /// By what lies on the sheet.
    patterns: BTreeMap<Vec<usize>, PricedPattern>,
}

impl BestPatterns {
    /// Keeps the only sheet of a forest if it is worth it.
    fn offer(&mut self, value: f64, forest: &Forest) {
        if value <= self.floor {
            return;
        }
        let pattern = forest.pattern(0);
        self.patterns.entry(pattern.blocks()).or_insert(PricedPattern { value, pattern });
        if self.patterns.len() > 2 * self.most {
            let mut values: Vec<f64> = self.patterns.values().map(|worth| worth.value).collect();
            values.sort_by(|one, other| other.total_cmp(one));
            self.floor = values[self.most];
            let floor = self.floor;
            self.patterns.retain(|_, worth| worth.value > floor);
        }
    }

    fn best(self) -> Vec<PricedPattern> {
        let mut found: Vec<PricedPattern> = self.patterns.into_values().collect();
        found.sort_by(|one, other| other.value.total_cmp(&one.value));
        found.truncate(self.most);
        found
    }
}

/// What the pieces of a plan are worth.
fn value(forest: &Forest, prices: &[f64]) -> f64 {
    let worth = |kind| match kind {
        Kind::Piece { block, .. } => prices[block as usize],
        Kind::Vacant | Kind::Leftover | Kind::Split(_) => 0.0,
    };
    forest.nodes.iter().map(|node| worth(node.kind)).sum()
}
