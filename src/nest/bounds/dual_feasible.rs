//! Dual feasible functions (Fekete & Schepers, Mathematical Methods of Operations Research 60, 2004):
//! lengths that share a sheet's side keep sharing it under any such function.

use crate::nest::rectangles::{Rectangle, holds};

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

/// The sets of values, one number for each shape, under which the shapes together ask for the most
/// sheets. Shapes that share a sheet of one of the sizes never sum up to more than 1.
pub(in crate::nest) fn weights(
    shapes: &[Rectangle],
    sizes: &[[i64; 2]],
    kerf: i64,
) -> Vec<Vec<f64>> {
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
pub(in crate::nest) struct Values {
    /// For each axis and function, the values of every shape lying as it is and turned.
    by_axis: [Vec<Vec<[f64; 2]>>; 2],
    /// For each shape, whether it can lie as it is and turned.
    ways: Vec<[bool; 2]>,
    square: bool,
}

impl Values {
    /// The values on sheets of these sizes.
    pub fn new(shapes: &[Rectangle], sizes: &[[i64; 2]], kerf: i64) -> Self {
        // Every piece takes a kerf with it, and a sheet has room for one kerf beyond its edge.
        let sheet =
            [0, 1].map(|axis| sizes.iter().map(|size| size[axis] + kerf).max().unwrap_or(0).max(1));
        let grown: Vec<Rectangle> = shapes
            .iter()
            .map(|shape| Rectangle { size: shape.size.map(|length| length + kerf), ..*shape })
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
                let value = |shape: &Rectangle| {
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
