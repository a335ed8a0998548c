//! What the trimmer's searches work on.

/// A rectangle to be placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    /// Width and height in nanometres.
    pub size: [i64; 2],
    /// Whether a quarter turn is allowed.
    pub turns: bool,
    /// Copies.
    pub copies: u32,
}

impl Shape {
    /// The size as it lies on the sheet.
    pub fn lying(&self, turned: bool) -> [i64; 2] {
        if turned { [self.size[1], self.size[0]] } else { self.size }
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
    /// Steps of the search to the end.
    pub exact_steps: u64,
}

/// Whether `room` holds `size`.
pub(super) fn holds(room: [i64; 2], size: [i64; 2]) -> bool {
    size[0] <= room[0] && size[1] <= room[1]
}
