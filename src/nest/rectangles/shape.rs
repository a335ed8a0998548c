//! Rectangles to be placed.

/// A rectangle to be placed.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest) struct Rectangle {
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
pub(in crate::nest) struct Parts {
    /// The axis of the first cuts as it lies unturned.
    pub axis: usize,
    /// Whether some of the parts are cut across once more.
    pub uneven: bool,
}

impl Rectangle {
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

/// Whether `room` holds `size`.
pub(in crate::nest) fn holds(room: [i64; 2], size: [i64; 2]) -> bool {
    size[0] <= room[0] && size[1] <= room[1]
}
