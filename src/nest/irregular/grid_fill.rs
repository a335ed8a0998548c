//! A sheet's grid: where it is taken, and where a shape is free to lie.

use super::raster::{Raster, WORD, cells};

/// The cells of a container; a set bit is taken.
pub(super) struct Paper {
    size: [f64; 2],
    cell: f64,
    width: usize,
    words: usize,
    rows: Vec<Vec<u64>>,
    /// How many rows from the top are taken altogether.
    first_free: usize,
}

impl Paper {
    /// An empty sheet of a size in inches.
    pub fn new(size: [f64; 2], cell: f64) -> Self {
        let count = |side: f64| cells(side.max(0.0) / cell, f64::ceil);
        let (width, height) = (count(size[0]), count(size[1]));
        let words = width.div_ceil(WORD);
        Self { size, cell, width, words, rows: vec![vec![0; words]; height], first_free: 0 }
    }

    /// The topmost, then leftmost cell at which a shape of this size in inches is free to lie.
    pub fn place(&self, raster: &Raster, size: [f64; 2]) -> Option<[usize; 2]> {
        let room = |axis: usize| self.size[axis] - size[axis];
        if room(0) < -1e-9 || room(1) < -1e-9 {
            return None;
        }
        let last = |axis: usize| cells(room(axis).max(0.0) / self.cell, f64::floor);
        let (last_x, last_y) = (last(0), last(1));
        // No shape begins beyond the last column.
        let mut taken = vec![0_u64; self.words.min(last_x / WORD + 1)];
        let mut row = vec![0_u64; self.words];
        (self.first_free..=last_y).find_map(|y| {
            self.first_column(raster, y, last_x, &mut taken, &mut row).map(|x| [x, y])
        })
    }

    /// The first column up to `last_x` at which the shape is free to begin when its top is in row `y`. Each
    /// row sets a bit in `taken` for the columns that it forbids; most places are forbidden by the first few.
    fn first_column(
        &self,
        raster: &Raster,
        y: usize,
        last_x: usize,
        taken: &mut [u64],
        row: &mut Vec<u64>,
    ) -> Option<usize> {
        taken.fill(0);
        for (down, stretches) in raster.rows.iter().enumerate() {
            let Some(cells) = self.rows.get(y + down) else { continue };
            if cells.iter().all(|word| *word == 0) {
                continue;
            }
            for [first, last] in stretches {
                // Column x is forbidden if any of x + first … x + last - 1 is taken.
                row.clear();
                row.extend_from_slice(cells);
                spread_left(row, last - first);
                or_shifted_left(taken, row, *first);
            }
            first_clear(taken, last_x)?;
        }
        first_clear(taken, last_x)
    }

    /// Takes the cells of a grown shape whose form lies at a cell and is grown by `reach`.
    pub fn take(&mut self, around: &Raster, at: [usize; 2], reach: usize) {
        for (down, stretches) in around.rows.iter().enumerate() {
            let Some(y) = (at[1] + down).checked_sub(reach) else { continue };
            let Some(row) = self.rows.get_mut(y) else { continue };
            for [first, last] in stretches {
                let from = (at[0] + first).saturating_sub(reach);
                let to = (at[0] + last).saturating_sub(reach).min(self.width);
                for x in from..to {
                    row[x / WORD] |= 1 << (x % WORD);
                }
            }
        }
        let width = self.width;
        let is_full = |row: &Vec<u64>| {
            (0..row.len()).all(|word| {
                let bits = (width - word * WORD).min(WORD);
                let mask = if bits == WORD { u64::MAX } else { (1 << bits) - 1 };
                row[word] & mask == mask
            })
        };
        while self.rows.get(self.first_free).is_some_and(is_full) {
            self.first_free += 1;
        }
    }
}

/// Sets each bit that has a set bit among itself and the `length - 1` to its right (higher columns).
fn spread_left(row: &mut [u64], length: usize) {
    let mut covered = 1;
    while covered < length {
        let step = covered.min(length - covered);
        or_self_shifted(row, step);
        covered += step;
    }
}

/// `row |= row >> step`, columns counted upwards.
fn or_self_shifted(row: &mut [u64], step: usize) {
    let (whole, part) = (step / WORD, step % WORD);
    for index in 0..row.len() {
        let low = row.get(index + whole).copied().unwrap_or(0);
        let high = row.get(index + whole + 1).copied().unwrap_or(0);
        row[index] |= if part == 0 { low } else { (low >> part) | (high << (WORD - part)) };
    }
}

/// `into |= row >> step`, columns counted upwards.
fn or_shifted_left(into: &mut [u64], row: &[u64], step: usize) {
    let (whole, part) = (step / WORD, step % WORD);
    for (index, word) in into.iter_mut().enumerate() {
        let low = row.get(index + whole).copied().unwrap_or(0);
        let high = row.get(index + whole + 1).copied().unwrap_or(0);
        *word |= if part == 0 { low } else { (low >> part) | (high << (WORD - part)) };
    }
}

/// The first clear bit up to and including `last`.
fn first_clear(words: &[u64], last: usize) -> Option<usize> {
    for (index, word) in words.iter().enumerate() {
        if *word != u64::MAX {
            let x = index * WORD + word.trailing_ones() as usize;
            return (x <= last).then_some(x);
        }
    }
    // Containers narrower than a cell have no words; the shape may still begin at column 0.
    (words.is_empty() && last == 0).then_some(0)
}
