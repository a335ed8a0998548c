//! How few sheets can possibly do.
//!
//! Two bounds: the area of all pieces, and for the trimmer's rectangles the values of Martello &
//! Vigo (Management Science 44, 1998) in the wording of Fekete & Schepers (2004): lengths are
//! replaced by dual feasible values, under which the large count whole and the small nothing, and
//! the areas of the replaced rectangles bound the sheets as true areas do. A rectangle that may be
//! turned counts with the smaller of its two values, which keeps the bound true whichever way it
//! lies.

use super::trimmer::Patch;
use super::trimmer_search::{Shape, holds};

/// Most thresholds tried for each side; the bound stays true if some are passed over.
const MOST_THRESHOLDS: usize = 40;

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
    /// Whether the area alone gives the bound.
    pub by_area: bool,
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
    // Rounding in floating point must not claim a sheet too many.
    let by_area = ceiling(covered - 1e-6);
    let spare = u32::try_from(demand.offcuts.len()).unwrap_or(u32::MAX);
    let by_size = by_size(demand).saturating_sub(spare);
    Bound { sheets: by_area.max(by_size), covered, by_area: by_area >= by_size }
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
fn by_size(demand: &Demand) -> u32 {
    let mut sheet = [0; 2];
    for size in demand.new.iter().chain(&demand.offcuts) {
        for axis in [0, 1] {
            // Every piece takes a kerf with it, and a sheet has room for one kerf beyond its edge.
            sheet[axis] = sheet[axis].max(size[axis] + demand.kerf);
        }
    }
    let shapes: Vec<Shape> = demand
        .shapes
        .iter()
        .map(|shape| Shape { size: shape.size.map(|length| length + demand.kerf), ..*shape })
        .collect();
    let mut lengths: [Vec<i64>; 2] = [vec![0], vec![0]];
    for shape in &shapes {
        for &turned in shape.ways() {
            for axis in [0, 1] {
                let length = shape.lying(turned)[axis];
                lengths[axis].push(length);
                lengths[axis].push(sheet[axis] - length + 1);
            }
        }
    }
    let thresholds = [0, 1].map(|axis| thresholds(&mut lengths[axis], sheet[axis]));
    let mut most = 0;
    for &across in &thresholds[0] {
        for &down in &thresholds[1] {
            most = most.max(valued(&shapes, sheet, [across, down]));
        }
    }
    most
}

/// Thresholds up to half the sheet, thinned out evenly.
fn thresholds(lengths: &mut Vec<i64>, sheet: i64) -> Vec<i64> {
    lengths.push(sheet / 2);
    lengths.retain(|&length| (0..=sheet / 2).contains(&length));
    lengths.sort_unstable();
    lengths.dedup();
    let step = lengths.len().div_ceil(MOST_THRESHOLDS).max(1);
    let last = lengths.last().copied();
    lengths.iter().copied().step_by(step).chain(last).collect()
}

/// The bound for one pair of thresholds.
fn valued(shapes: &[Shape], sheet: [i64; 2], thresholds: [i64; 2]) -> u32 {
    let mut sum = 0_i128;
    for shape in shapes {
        let ways = shape.ways().iter().map(|&turned| shape.lying(turned));
        let fitting = ways.filter(|&size| holds(sheet, size));
        let least = fitting
            .map(|size| {
                let [width, height] =
                    [0, 1].map(|axis| value(size[axis], sheet[axis], thresholds[axis]));
                width * height
            })
            .min();
        sum += least.unwrap_or(0) * i128::from(shape.copies);
    }
    let whole = (i128::from(sheet[0]) * i128::from(sheet[1])).max(1);
    u32::try_from((sum + whole - 1) / whole).unwrap_or(u32::MAX)
}

/// Long counts as the whole sheet, short as nothing, the rest as it is (Fekete & Schepers 2004,
/// Theorem 1 with threshold `threshold`).
fn value(length: i64, sheet: i64, threshold: i64) -> i128 {
    if length > sheet - threshold {
        i128::from(sheet)
    } else if length < threshold {
        0
    } else {
        i128::from(length)
    }
}
