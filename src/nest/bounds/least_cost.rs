//! How little the new sheets can possibly cost, where there are several sizes of them.
//!
//! Under a dual feasible function on each side the pieces ask for some of a sheet and a sheet of each
//! size has some to give: what lies on it never sums up to more, since these functions are
//! superadditive (Fekete & Schepers 2004; Clautiaux, Alves & Valério de Carvalho, Annals of Operations
//! Research 179, 2010). So every pair of functions is a condition on the numbers of sheets, the plain
//! areas among them, and the cheapest whole numbers that meet them all are the bound.

use super::dual_feasible::Values;
use crate::nest::Job;
use crate::nest::rectangles::{
    COST_OF_A_COIN, Patch, Rectangle, Sheets, blocks, holds, inside_rim, whole_number,
};

/// What rounding may add to a sum of values.
const HAIR: f64 = 1e-6;
/// Most numbers of sheets that are looked through; with more kinds the bound is left at nothing.
const MOST_MIXES: u64 = 200_000;
/// Most conditions that are kept, those that ask for most.
const MOST_CONDITIONS: usize = 400;

/// What the pieces ask for and what one sheet of each kind gives.
struct Condition {
    asks: f64,
    gives: Vec<f64>,
}

/// No plan with every piece costs less than this.
pub(in crate::nest) fn least_cost(shapes: &[Rectangle], sheets: &[Sheets], kerf: i64) -> i128 {
    let shapes: Vec<Rectangle> = shapes.iter().copied().filter(|shape| shape.copies > 0).collect();
    let new: Vec<&Sheets> =
        sheets.iter().filter(|sheets| sheets.cost > 0 && sheets.count > 0).collect();
    if shapes.is_empty() || new.is_empty() {
        return 0;
    }
    let conditions = conditions(&shapes, sheets, &new, kerf);
    least_of(&new, &conditions)
}

/// The least cost of whole numbers of sheets that meet all conditions; nothing where there are too many.
fn least_of(new: &[&Sheets], conditions: &[Condition]) -> i128 {
    // Of the last kind there is one number for each mix of the others.
    let most: Vec<u32> = new.iter().map(|kind| enough(kind, new, conditions)).collect();
    let mixes = most.iter().rev().skip(1).map(|&count| u64::from(count) + 1);
    if mixes.fold(1, u64::saturating_mul) > MOST_MIXES {
        return 0;
    }
    let mut counts = vec![0; new.len()];
    let mut least = None;
    look_through(new, &most, conditions, &mut counts, 0, &mut least);
    least.unwrap_or(0)
}

/// No sheets with paper for pieces of this area, in square inches, cost less.
pub(in crate::nest) fn least_cost_by_area(area: f64, sheets: &[Sheets]) -> i128 {
    let paper = |sheets: &Sheets| Patch { at: [0; 2], size: sheets.size }.square_inches();
    let free = sheets.iter().filter(|sheets| sheets.cost == 0);
    let free: f64 = free.map(|sheets| f64::from(sheets.count) * paper(sheets)).sum();
    let new: Vec<&Sheets> =
        sheets.iter().filter(|sheets| sheets.cost > 0 && sheets.count > 0).collect();
    let asks = area - free - HAIR;
    if new.is_empty() || asks <= 0.0 {
        return 0;
    }
    let gives = new.iter().map(|sheets| paper(sheets)).collect();
    least_of(&new, &[Condition { asks, gives }])
}

/// The least that the new sheets can cost, in the price's coin; for trimmer pieces alone.
pub(in crate::nest) fn least_price(job: &Job, kerf: i64, margin: i64) -> f64 {
    let sheets: Vec<Sheets> = job
        .stock
        .iter()
        .filter_map(|stock| {
            let size = inside_rim(stock, margin)?.size;
            let cost = if stock.offcut.is_some() {
                0
            } else {
                whole_number(stock.cost() * COST_OF_A_COIN)
            };
            Some(Sheets { size, count: stock.count, cost, old: stock.is_old() })
        })
        .collect();
    let shapes: Vec<Rectangle> = blocks(job, kerf).iter().map(|block| block.shape).collect();
    least_cost(&shapes, &sheets, kerf) as f64 / COST_OF_A_COIN
}

fn conditions(
    shapes: &[Rectangle],
    sheets: &[Sheets],
    new: &[&Sheets],
    kerf: i64,
) -> Vec<Condition> {
    let usable: Vec<&Sheets> = sheets.iter().filter(|sheets| sheets.count > 0).collect();
    let sizes: Vec<[i64; 2]> = usable.iter().map(|sheets| sheets.size).collect();
    // A sheet may be looked at either way only if all that lies on it may be turned with it.
    let turns = shapes.iter().all(|shape| shape.turns || shape.size[0] == shape.size[1]);
    let as_shape =
        |sheets: &&Sheets| Rectangle { size: sheets.size, turns, copies: 1, parts: None };
    let offcuts: Vec<&Sheets> = usable.iter().copied().filter(|sheets| sheets.cost == 0).collect();
    let all: Vec<Rectangle> = shapes
        .iter()
        .copied()
        .chain(new.iter().map(as_shape))
        .chain(offcuts.iter().map(as_shape))
        .collect();
    let outsiders: Vec<Vec<usize>> = new
        .iter()
        .map(|kind| {
            let fits = |shape: &Rectangle| {
                shape.ways().iter().any(|&way| holds(kind.size, shape.lying(way)))
            };
            (0..shapes.len()).filter(|&shape| !fits(&shapes[shape])).collect()
        })
        .collect();
    let mut conditions: Vec<Condition> = Vec::new();
    Values::new(&all, &sizes, kerf).each_pair(|values| {
        let (pieces, rest) = values.split_at(shapes.len());
        let (gives, free) = rest.split_at(new.len());
        let asked: f64 =
            pieces.iter().zip(shapes).map(|(value, shape)| value * f64::from(shape.copies)).sum();
        let free: f64 =
            free.iter().zip(&offcuts).map(|(value, sheets)| value * f64::from(sheets.count)).sum();
        let mut note = |asks: f64, gives: Vec<f64>| {
            if asks > 0.0 && gives.iter().any(|&one| one > 0.0) {
                conditions.push(Condition { asks, gives });
            }
        };
        note(asked - free - HAIR, gives.to_vec());
        // What doesn't fit a kind has to come from the others.
        for (kind, outsiders) in outsiders.iter().enumerate() {
            if outsiders.is_empty() {
                continue;
            }
            let asked: f64 = outsiders
                .iter()
                .map(|&shape| pieces[shape] * f64::from(shapes[shape].copies))
                .sum();
            let mut gives = gives.to_vec();
            gives[kind] = 0.0;
            note(asked - free - HAIR, gives);
        }
    });
    // The plain areas come first and stay; of the others those that ask for the most sheets.
    let share = |one: &Condition| one.asks / one.gives.iter().copied().fold(HAIR, f64::max);
    let mut rest = conditions.split_off(conditions.len().min(1));
    rest.sort_by(|one, other| share(other).total_cmp(&share(one)));
    rest.truncate(MOST_CONDITIONS);
    conditions.extend(rest);
    conditions
}

/// How many sheets of a kind meet every condition that it can meet alone, at the most as many as there
/// are.
fn enough(kind: &Sheets, new: &[&Sheets], conditions: &[Condition]) -> u32 {
    let place = new.iter().position(|other| std::ptr::eq(*other, kind)).unwrap_or(0);
    let needed = conditions
        .iter()
        .filter(|condition| condition.gives[place] > HAIR)
        .map(|condition| (condition.asks / condition.gives[place]).ceil())
        .fold(0.0, f64::max);
    (0..kind.count).find(|&count| f64::from(count) >= needed).unwrap_or(kind.count)
}

/// Every mix of the kinds before the last, with as many of the last as the conditions then need.
fn look_through(
    new: &[&Sheets],
    most: &[u32],
    conditions: &[Condition],
    counts: &mut Vec<u32>,
    kind: usize,
    least: &mut Option<i128>,
) {
    let last = kind + 1 == new.len();
    let numbers = if last {
        let Some(count) = needed(new, conditions, counts, kind) else { return };
        count..=count
    } else {
        0..=most[kind]
    };
    for count in numbers {
        counts[kind] = count;
        if !last {
            look_through(new, most, conditions, counts, kind + 1, least);
            continue;
        }
        let cost: i128 =
            counts.iter().zip(new).map(|(&count, kind)| i128::from(count) * kind.cost).sum();
        if least.is_none_or(|least| cost < least) {
            *least = Some(cost);
        }
    }
    counts[kind] = 0;
}

/// How many sheets of the last kind the conditions need beside the others; nothing if there are too few.
fn needed(new: &[&Sheets], conditions: &[Condition], counts: &[u32], kind: usize) -> Option<u32> {
    let mut needed = 0.0_f64;
    for condition in conditions {
        let given: f64 = condition.gives[..kind]
            .iter()
            .zip(counts)
            .map(|(one, &count)| one * f64::from(count))
            .sum();
        let missing = condition.asks - given;
        if missing <= 0.0 {
            continue;
        }
        if condition.gives[kind] <= HAIR {
            return None;
        }
        needed = needed.max((missing / condition.gives[kind]).ceil());
    }
    (0..=new[kind].count).find(|&count| f64::from(count) >= needed)
}
