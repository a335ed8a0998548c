//! What the trimmer's searches work on.

use super::trimmer_tree::Forest;

/// A rectangle to be placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    /// Width and height in nanometres.
    pub size: [i64; 2],
    /// Whether a quarter turn is allowed.
    pub turns: bool,
    /// Copies.
    pub copies: u32,
    /// The cuts that part it, where it is of several pieces.
    pub parts: Option<Parts>,
}

/// The cuts that part a rectangle of several pieces.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parts {
    /// The axis of the first cuts as it lies unturned.
    pub axis: usize,
    /// Whether some of the parts are cut across once more.
    pub uneven: bool,
}

impl Shape {
    /// The size as it lies on the sheet.
    pub fn lying(&self, turned: bool) -> [i64; 2] {
        if turned { [self.size[1], self.size[0]] } else { self.size }
    }

    /// Levels of cuts that part it, beyond those of the paper it lies on, which was cut along `beside`.
    pub fn levels(&self, turned: bool, beside: Option<usize>) -> u32 {
        self.parts.map_or(0, |parts| {
            let axis = if turned { 1 - parts.axis } else { parts.axis };
            u32::from(beside != Some(axis)) + u32::from(parts.uneven)
        })
    }

    /// Whether turning makes a difference and is allowed.
    pub fn ways(&self) -> &'static [bool] {
        if self.turns && self.size[0] != self.size[1] { &[false, true] } else { &[false] }
    }
}

/// Sheets of one kind.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheets {
    /// Usable width and height in nanometres.
    pub size: [i64; 2],
    /// How many there are.
    pub count: u32,
    /// Cost of one, nothing for an offcut.
    pub cost: i128,
}

/// What the search works on.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    /// Pieces.
    pub shapes: Vec<Shape>,
    /// Sheets.
    pub sheets: Vec<Sheets>,
    /// Paper lost by a cut.
    pub kerf: i64,
    /// Most levels of cuts in one direction, if limited.
    pub levels: Option<u32>,
    /// No plan costs less.
    pub cost_bound: i128,
    /// Steps of the search.
    pub steps: u64,
    /// Steps without a gain after which it ends.
    pub idle: u64,
    /// Steps of the search to the end.
    pub exact_steps: u64,
}

/// How many sheets of each kind of new sheet, by place.
pub(super) type Mix = Vec<(usize, u32)>;

impl Problem {
    /// How many pieces there are.
    pub fn pieces(&self) -> u32 {
        self.shapes.iter().map(|shape| shape.copies).sum()
    }

    /// The kinds of new sheets on hand, by place.
    pub fn kinds(&self) -> Vec<usize> {
        let new = |kind: &usize| self.sheets[*kind].cost > 0 && self.sheets[*kind].count > 0;
        (0..self.sheets.len()).filter(new).collect()
    }

    /// Limits the new sheets to a mix.
    pub fn limit(&mut self, mix: &Mix) {
        for &(kind, count) in mix {
            self.sheets[kind].count = count;
        }
    }

    /// No sheet in use; everything waits.
    pub fn blank(&self) -> Forest {
        let waiting = self.shapes.iter().map(|shape| shape.copies).collect();
        let longest = self.sheets.iter().flat_map(|sheets| sheets.size).max().unwrap_or(1);
        let scale = 1.0 / longest.max(1) as f64;
        Forest::new(self.sheets.len(), waiting, self.kerf, scale)
    }

    /// Area of what waits in a plan, in squares of the longest sheet side.
    pub fn left_out(&self, forest: &Forest) -> f64 {
        let waiting = forest.waiting.iter().zip(&self.shapes);
        waiting
            .filter(|(count, _)| **count > 0)
            .map(|(&count, shape)| f64::from(count) * forest.area(shape.size))
            .sum()
    }
}

/// Whether `room` holds `size`.
pub(super) fn holds(room: [i64; 2], size: [i64; 2]) -> bool {
    size[0] <= room[0] && size[1] <= room[1]
}
