//! How often each pattern is cut, if a part of a sheet could be: the linear relaxation.

use super::demand::Demand;
use super::pool::Pool;
use crate::nest::guillotine::{Column, Covering, dual_values};

/// What the area of the largest sheet adds to a cost, so that sheets at no price are spared as well.
const AREA: f64 = 1e-3;
/// Costs of a copy that no pattern holds, in the dearest sheets.
const UNCOVERED: f64 = 4.0;

/// The relaxation's answer.
pub(super) struct Choice {
    /// How often each pattern is cut.
    pub shares: Vec<f64>,
    /// Worth of a copy of each unit.
    pub prices: Vec<f64>,
}

/// Cost of a sheet of every stock, in the dearest sheets; its area counts a little.
fn sheet_costs(demand: &Demand<'_>) -> Vec<f64> {
    let dearest = demand.costs.iter().copied().max().unwrap_or(1).max(1) as f64;
    let largest = demand.classes.iter().map(|class| class.area).fold(f64::MIN_POSITIVE, f64::max);
    let area = |stock: usize| {
        let class = demand.class_of[stock].and_then(|class| demand.classes.get(class));
        class.filter(|class| class.new).map_or(0.0, |class| class.area / largest)
    };
    let costs = demand.costs.iter().enumerate();
    costs.map(|(stock, &cost)| cost as f64 / dearest + AREA * area(stock)).collect()
}

/// Covers what waits at the least cost, with what is left of each stock.
pub(super) fn choose(
    demand: &Demand<'_>,
    pool: &Pool,
    waiting: &[u32],
    left: &[u32],
) -> Option<Choice> {
    let costs = sheet_costs(demand);
    let pieces: u32 = waiting.iter().fold(0, |sum, &copies| sum.saturating_add(copies));
    if pieces == 0 {
        return None;
    }
    let mut columns = Vec::new();
    let mut places = Vec::new();
    for (place, pattern) in pool.all().iter().enumerate() {
        for &stock in demand.classes[pattern.class].members.iter().filter(|&&one| left[one] > 0) {
            columns.push(Column { stock, counts: &pattern.counts, cost: costs[stock] });
            places.push(place);
        }
    }
    if columns.is_empty() {
        return None;
    }
    let sheets = left.iter().map(|&left| (left < pieces).then_some(left)).collect();
    let wanted = Covering { copies: waiting.to_vec(), sheets, uncovered: UNCOVERED };
    let found = dual_values(&columns, &wanted)?;
    let mut shares = vec![0.0; pool.all().len()];
    for (&place, share) in places.iter().zip(&found.shares) {
        shares[place] += share.max(0.0);
    }
    Some(Choice { shares, prices: found.shapes })
}
