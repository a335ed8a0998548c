//! Outlines as cells of a grid: a cell belongs to a shape as soon as the shape touches it.

use crate::geometry::Ring;

/// Bits of a machine word.
pub(super) const WORD: usize = 64;

/// Cells in rows, one bit a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Raster {
    /// Cells in a row.
    pub width: usize,
    /// For each row, the stretches of cells that are taken: first and one past the last.
    pub rows: Vec<Vec<[usize; 2]>>,
}

impl Raster {
    /// The cells that rings touch (inside by the even-odd rule); the rings' bounding box begins at the
    /// origin and has this size. Nothing for rings without area.
    pub fn of(rings: &[Ring], size: [f64; 2], cell: f64) -> Option<Self> {
        let count = |side: f64| cells(side / cell, f64::ceil).max(1);
        let (width, height) = (count(size[0]), count(size[1]));
        if rings.is_empty() {
            return None;
        }
        let mut stretches: Vec<Vec<[usize; 2]>> = vec![Vec::new(); height];
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); height];
        let last_column = width - 1;
        for ring in rings {
            for (index, from) in ring.iter().enumerate() {
                let to = &ring[(index + 1) % ring.len()];
                let (top, bottom) = if from[1] <= to[1] { (from, to) } else { (to, from) };
                let row_of = |y: f64| cells(y / cell, f64::floor).min(height - 1);
                for row in row_of(top[1])..=row_of(bottom[1]) {
                    let [upper, lower] = [row as f64 * cell, (row + 1) as f64 * cell];
                    let at = |y: f64| x_at(*top, *bottom, y);
                    let (one, other) = if bottom[1] - top[1] < 1e-12 {
                        (top[0], bottom[0])
                    } else {
                        (at(upper.max(top[1])), at(lower.min(bottom[1])))
                    };
                    let column = |x: f64| cells(x / cell, f64::floor).min(last_column);
                    stretches[row].push([column(one.min(other)), column(one.max(other)) + 1]);
                    let middle = (upper + lower) / 2.0;
                    if top[1] <= middle && middle < bottom[1] {
                        crossings[row].push(at(middle));
                    }
                }
            }
        }
        for (row, crossings) in crossings.iter_mut().enumerate() {
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let first = cells(pair[0] / cell, f64::floor).min(last_column);
                let last = cells(pair[1] / cell, f64::floor).min(last_column);
                stretches[row].push([first, last + 1]);
            }
        }
        let rows = stretches.into_iter().map(joined).collect();
        Some(Self { width, rows })
    }

    /// The cells nearer than `distance` to a taken cell, and by how many cells they reach beyond it on
    /// every side.
    pub fn grown(&self, distance: f64, cell: f64) -> (Self, usize) {
        let reach = cells(distance / cell, f64::ceil);
        if reach == 0 {
            return (self.clone(), 0);
        }
        let height = self.rows.len() + 2 * reach;
        let mut rows: Vec<Vec<[usize; 2]>> = vec![Vec::new(); height];
        for (row, stretches) in self.rows.iter().enumerate() {
            for down in 0..=2 * reach {
                // Two cells k rows apart have k - 1 cells between them.
                let apart = down.abs_diff(reach).saturating_sub(1) as f64 * cell;
                if apart >= distance {
                    continue;
                }
                let sideways = (distance * distance - apart * apart).max(0.0).sqrt();
                let wider = cells(sideways / cell, f64::ceil).min(reach);
                for [first, last] in stretches {
                    rows[row + down].push([first + reach - wider, last + reach + wider]);
                }
            }
        }
        let rows = rows.into_iter().map(joined).collect();
        (Self { width: self.width + 2 * reach, rows }, reach)
    }
}

/// Where an edge crosses a height.
fn x_at(top: [f64; 2], bottom: [f64; 2], y: f64) -> f64 {
    top[0] + (bottom[0] - top[0]) * (y - top[1]) / (bottom[1] - top[1])
}

/// A number of cells from a measure; below 0 counts as 0.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped first")]
pub(super) fn cells(measure: f64, round: impl Fn(f64) -> f64) -> usize {
    // A hair less, so that a side of exactly n cells is n cells.
    let hair = if round(0.5) > 0.5 { -1e-9 } else { 1e-9 };
    round(measure + hair).clamp(0.0, 1e9) as usize
}

/// Stretches in order, overlapping and touching ones made one.
fn joined(mut stretches: Vec<[usize; 2]>) -> Vec<[usize; 2]> {
    stretches.sort_unstable();
    let mut joined: Vec<[usize; 2]> = Vec::new();
    for [first, last] in stretches {
        match joined.last_mut() {
            Some(before) if first <= before[1] => before[1] = before[1].max(last),
            _ => joined.push([first, last]),
        }
    }
    joined
}
