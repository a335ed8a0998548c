//! How few sheets can possibly do.
//!
//! Two bounds: the area of all pieces, and for the trimmer's rectangles the areas after their lengths
//! are replaced by dual feasible values (Fekete & Schepers, Mathematical Methods of Operations
//! Research 60, 2004): lengths that share a sheet's side keep sharing it under any such function, so
//! the replaced areas bound the sheets as true ones do. Three families are tried on either side:
//! large counts whole and small nothing (Martello & Vigo, Management Science 44, 1998), rounding to
//! k-ths (Fekete & Schepers, Theorem 1), and rounding to multiples (Carlier, Clautiaux & Moukrim,
//! Computers & Operations Research 34, 2007). A rectangle that may be turned counts with the smaller
//! of its two values; on a square sheet the mean of a pair of functions and the same pair exchanged
//! has one value for both (after Boschetti & Mingozzi, 4OR 1, 2003), which is never less.

use super::trimmer::Patch;
use super::trimmer_problem::{Shape, holds};

/// Most thresholds tried for each side; the bound stays true if some are passed over.
const MOST_THRESHOLDS: usize = 40;
/// Finest rounding to k-ths.
const MOST_PARTS: i64 = 12;
/// Most multiples that are rounded to, for each side.
const MOST_MULTIPLES: usize = 24;
/// Most products in one bound; functions are passed over where there would be more.
const MOST_PRODUCTS: usize = 6_000_000;
/// Most sets of values that the search to the end looks at in every step.
const MOST_WEIGHTS: usize = 40;
/// Rounding in floating point must not claim a sheet too many.
const HAIR: f64 = 1e-6;

/// What the bound is computed from; measures in nanometres.
#[derive(Clone, Debug, Default)]
pub(super) struct Demand {
    /// The trimmer's rectangles.
    pub shapes: Vec<Shape>,
    /// Area of the machine's outlines in square inches.
    pub machine_area: f64,
    /// Sizes of the new sheets.
    pub new: Vec<[i64; 2]>,
    /// Sizes of the offcuts, one each.
    pub offcuts: Vec<[i64; 2]>,
    /// Paper lost by a cut.
    pub kerf: i64,
}

/// A bound and the reason for it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Bound {
    /// No plan uses fewer new sheets.
    pub sheets: u32,
    /// What the pieces cover, in areas of the largest new sheet, offcuts taken off.
    pub covered: f64,
    /// Why.
    pub reason: Reason,
}

/// Why one new sheet less can't do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// What the pieces cover, in areas of the largest new sheet, offcuts taken off.
    Area(f64),
    /// The sizes of the pieces.
    Sizes,
    /// Every plan was tried.
    Tried,
}

impl Limit {
    /// The reason in words.
    pub fn told(self) -> String {
        match self {
            Self::Area(covered) => format!("the pieces cover {} sheets", above_whole(covered)),
            Self::Sizes => "too many of the pieces are too large to share a sheet".to_owned(),
            Self::Tried => "every way of sharing the pieces out was tried".to_owned(),
        }
    }
}

/// A number with as few decimals as still show that it is more than a whole one: `1.2`, `1.03`.
fn above_whole(number: f64) -> String {
    let shown = |decimals: usize| format!("{number:.decimals$}");
    let is_whole = |shown: &String| shown.trim_end_matches('0').ends_with('.');
    (1..4).map(shown).find(|shown| !is_whole(shown)).unwrap_or_else(|| shown(1))
}

/// What gives a bound.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Reason {
    /// The area alone.
    #[default]
    Area,
    /// The sizes of the pieces.
    Sizes,
    /// Every plan was tried.
    Tried,
}

impl Bound {
    /// The same with the outcome of the search to the end.
    pub fn proven(self, sheets: Option<u32>) -> Self {
        match sheets {
            Some(sheets) if sheets > self.sheets => Self { sheets, reason: Reason::Tried, ..self },
            _ => self,
        }
    }

    /// The reason, for those who hear of the answer.
    pub const fn limit(self) -> Limit {
        match self.reason {
            Reason::Area => Limit::Area(self.covered),
            Reason::Sizes => Limit::Sizes,
            Reason::Tried => Limit::Tried,
        }
    }
}

/// The fewest new sheets.
pub(super) fn bound(demand: &Demand) -> Bound {
    let Some(largest) = demand.new.iter().map(|&size| square_inches(size)).reduce(f64::max) else {
        return Bound::default();
    };
    let shapes = demand.shapes.iter();
    let trimmer: f64 =
        shapes.map(|shape| square_inches(shape.size) * f64::from(shape.copies)).sum();
    let offcuts: f64 = demand.offcuts.iter().map(|&size| square_inches(size)).sum();
    let covered = ((trimmer + demand.machine_area - offcuts) / largest).max(0.0);
    let by_area = ceiling(covered - HAIR);
    let spare = u32::try_from(demand.offcuts.len()).unwrap_or(u32::MAX);
    let by_size = by_size(demand);
    let by_size = ceiling(by_size - HAIR).saturating_sub(spare);
    let reason = if by_area >= by_size { Reason::Area } else { Reason::Sizes };
    Bound { sheets: by_area.max(by_size), covered, reason }
}

fn square_inches(size: [i64; 2]) -> f64 {
    Patch { at: [0; 2], size }.square_inches()
}

fn ceiling(number: f64) -> u32 {
    let number = number.ceil().clamp(0.0, f64::from(u32::MAX));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped above")]
    let whole = number as u32;
    whole
}

/// Sheets needed by the sizes of the rectangles, on sheets as wide and high as the widest and highest.
fn by_size(demand: &Demand) -> f64 {
    let sizes: Vec<[i64; 2]> = demand.new.iter().chain(&demand.offcuts).copied().collect();
    let values = Values::new(&demand.shapes, &sizes, demand.kerf);
    let copies: Vec<f64> = demand.shapes.iter().map(|shape| f64::from(shape.copies)).collect();
    let mut most = 0.0_f64;
    values.each_pair(|values| {
        most = most.max(values.iter().zip(&copies).map(|(value, count)| value * count).sum());
    });
    most
}

/// The sets of values, one number for each shape, under which the shapes together ask for the most
/// sheets. Shapes that share a sheet of one of the sizes never sum up to more than 1.
pub(super) fn weights(shapes: &[Shape], sizes: &[[i64; 2]], kerf: i64) -> Vec<Vec<f64>> {
    let mut best: Vec<(f64, Vec<f64>)> = Vec::new();
    Values::new(shapes, sizes, kerf).each_pair(|values| {
        let sum: f64 = values.iter().sum();
        let full = best.len() >= MOST_WEIGHTS;
        if full && best.last().is_some_and(|(least, _)| sum <= *least) {
            return;
        }
        if best.iter().any(|(_, known)| known == values) {
            return;
        }
        let place = best.partition_point(|(known, _)| *known >= sum);
        best.insert(place, (sum, values.to_vec()));
        best.truncate(MOST_WEIGHTS);
    });
    best.into_iter().map(|(_, values)| values).collect()
}

/// A dual feasible function on lengths up to that of the sheet.
#[derive(Clone, Copy)]
enum Function {
    /// Long counts as the whole sheet, short as nothing, the rest as it is.
    Threshold(i64),
    /// Rounded down to k-ths unless it is a whole number of (k + 1)-ths.
    Parts(i64),
    /// The smaller part of a cut is rounded down to multiples, the larger up.
    Multiple(i64),
}

impl Function {
    /// The value of a length as a share of the sheet's.
    fn of(self, length: i64, sheet: i64) -> f64 {
        let length = length.min(sheet);
        let share = |part: i64, whole: i64| part as f64 / whole.max(1) as f64;
        match self {
            Self::Threshold(least) if length > sheet - least => 1.0,
            Self::Threshold(least) if length < least => 0.0,
            Self::Threshold(_) => share(length, sheet),
            Self::Parts(parts) if (length * (parts + 1)) % sheet == 0 => share(length, sheet),
            Self::Parts(parts) => share(length * (parts + 1) / sheet, parts),
            Self::Multiple(step) => {
                let whole = sheet / step;
                if 2 * length > sheet {
                    share(whole - (sheet - length) / step, whole)
                } else if 2 * length == sheet {
                    0.5
                } else {
                    share(length / step, whole)
                }
            }
        }
    }
}

/// The values of all shapes under all functions.
pub(super) struct Values {
    /// For each axis and function, the values of every shape lying as it is and turned.
    by_axis: [Vec<Vec<[f64; 2]>>; 2],
    /// For each shape, whether it can lie as it is and turned.
    ways: Vec<[bool; 2]>,
    square: bool,
}

impl Values {
    /// The values on sheets of these sizes.
    pub fn new(shapes: &[Shape], sizes: &[[i64; 2]], kerf: i64) -> Self {
        // Every piece takes a kerf with it, and a sheet has room for one kerf beyond its edge.
        let sheet =
            [0, 1].map(|axis| sizes.iter().map(|size| size[axis] + kerf).max().unwrap_or(0).max(1));
        let grown: Vec<Shape> = shapes
            .iter()
            .map(|shape| Shape { size: shape.size.map(|length| length + kerf), ..*shape })
            .collect();
        let ways: Vec<[bool; 2]> = grown
            .iter()
            .map(|shape| {
                [false, true].map(|turned| {
                    shape.ways().contains(&turned) && holds(sheet, shape.lying(turned))
                })
            })
            .collect();
        let mut most = 1;
        while most * most * shapes.len().max(1) < MOST_PRODUCTS && most < 1000 {
            most += 1;
        }
        let by_axis = [0, 1].map(|axis| {
            let mut lengths: Vec<i64> = Vec::new();
            for (shape, ways) in grown.iter().zip(&ways) {
                let lying = [false, true].iter().zip(ways).filter(|(_, fits)| **fits);
                lengths.extend(lying.map(|(&turned, _)| shape.lying(turned)[axis]));
            }
            let functions = functions(&lengths, sheet[axis]);
            let step = functions.len().div_ceil(most).max(1);
            let values = functions.iter().step_by(step).map(|function| {
                let value = |shape: &Shape| {
                    [false, true].map(|turned| function.of(shape.lying(turned)[axis], sheet[axis]))
                };
                grown.iter().map(value).collect()
            });
            values.collect()
        });
        Self { by_axis, ways, square: sheet[0] == sheet[1] }
    }

    /// Hands out the values of all shapes under every pair of functions.
    pub fn each_pair(&self, mut take: impl FnMut(&[f64])) {
        let mut values = vec![0.0; self.ways.len()];
        for across in &self.by_axis[0] {
            for down in &self.by_axis[1] {
                for (place, (ways, value)) in self.ways.iter().zip(&mut values).enumerate() {
                    let [straight, turned] =
                        [0, 1].map(|way| across[place][way] * down[place][way]);
                    *value = match ways {
                        [true, true] => straight.min(turned),
                        [true, false] => straight,
                        [false, true] => turned,
                        [false, false] => 0.0,
                    };
                }
                take(&values);
                if self.square {
                    self.exchanged(across, down, &mut values);
                    take(&values);
                }
            }
        }
    }

    /// The mean of two functions and the same two exchanged, on a square sheet.
    fn exchanged(&self, across: &[[f64; 2]], down: &[[f64; 2]], values: &mut [f64]) {
        for (place, (ways, value)) in self.ways.iter().zip(values).enumerate() {
            let sum = |way: usize| across[place][way] * down[place][way];
            // A square sheet holds a shape either way or not at all.
            *value = if ways.contains(&true) { f64::midpoint(sum(0), sum(1)) } else { 0.0 };
        }
    }
}

/// The functions that are tried on sides of these lengths.
fn functions(lengths: &[i64], sheet: i64) -> Vec<Function> {
    let sides = lengths.iter().flat_map(|&length| [length, sheet - length + 1]);
    let mut functions = vec![Function::Threshold(0)];
    functions.extend(
        thinned(sides.chain([sheet / 2]), sheet / 2, MOST_THRESHOLDS)
            .into_iter()
            .map(Function::Threshold),
    );
    functions.extend((1..=MOST_PARTS).map(Function::Parts));
    let steps = lengths.iter().flat_map(|&length| [length, sheet - length]);
    functions.extend(thinned(steps, sheet / 2, MOST_MULTIPLES).into_iter().map(Function::Multiple));
    functions
}

/// Lengths from 1 to `most` in order, thinned out evenly.
fn thinned(lengths: impl Iterator<Item = i64>, most: i64, count: usize) -> Vec<i64> {
    let mut lengths: Vec<i64> = lengths.filter(|length| (1..=most).contains(length)).collect();
    lengths.sort_unstable();
    lengths.dedup();
    let step = lengths.len().div_ceil(count).max(1);
    let last = lengths.last().copied();
    let mut thinned: Vec<i64> = lengths.iter().copied().step_by(step).chain(last).collect();
    thinned.dedup();
    thinned
}
