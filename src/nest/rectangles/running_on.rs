//! Two pieces over which the pattern of their paper runs on, such as the halves of a strip over both pages.
//!
//! The second begins at the place of the pattern where the first ends, and at the same place across. Side by
//! side, the paper between them is a whole number of repeats. Under each other, one of them starts later
//! along the sheet by what the first is longer than a whole number of repeats (or the other by what it is
//! shorter), and the height of a piece with what lies between the two is a whole number of repeats. What lies
//! between or before the pieces and is wider than the cuts is waste, and is cut off.

use super::{Cell, Parts, Patch, Rectangle, What, holds, inside_rim, sheet_size, trim_margin};
use crate::model::Repeat;
use crate::model::length::Length;
use crate::nest::Job;

/// A pattern runs on if it is off by no more, in nanometres: 1/128 in, half of what anybody sees, so that no
/// slivers are cut that nobody needs.
const NEAR: i64 = 25_400_000 / 128;

/// How two pieces of one size lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RunningOn {
    /// Size of both with what lies between them, before all is turned.
    pub size: [i64; 2],
    /// 0 where they lie side by side, 1 where one lies under the other.
    pub axis: usize,
    /// Whether they lie turned by a quarter, and in no other way.
    pub crosswise: bool,
    /// Whether they may lie turned as well.
    pub turns: bool,
    /// How much later than the block each starts, across `axis`.
    starts: [i64; 2],
    /// The distance of the two.
    gap: i64,
    /// Paper lost by a cut.
    kerf: i64,
}

impl RunningOn {
    /// How they may lie on a sheet of the job, on the least paper; nothing where no sheet holds them so.
    pub fn of(
        job: &Job,
        size: [i64; 2],
        repeats: [Repeat; 2],
        turns: bool,
        kerf: i64,
    ) -> Option<Self> {
        let found = Self::ways(size, repeats, turns, kerf).filter(|way| way.is_held(job));
        let least = found.min_by_key(|way| area(way.size))?;
        let other = |crosswise| Self::way(size, repeats, kerf, least.axis, crosswise);
        let same = turns
            && [false, true].iter().all(|&crosswise| {
                other(crosswise)
                    .is_some_and(|way| Self { crosswise: least.crosswise, ..way } == least)
            });
        Some(if same { Self { crosswise: false, turns: true, ..least } } else { least })
    }

    /// The shortest paper on which they may lie, whatever sheets there are; of those as short, the least.
    pub fn least_room(
        size: [i64; 2],
        repeats: [Repeat; 2],
        turns: bool,
        kerf: i64,
    ) -> Option<[i64; 2]> {
        let ways = Self::ways(size, repeats, turns, kerf);
        let least = ways.min_by_key(|way| (way.size[0].max(way.size[1]), area(way.size)))?;
        Some(least.rectangle().size)
    }

    fn ways(
        size: [i64; 2],
        repeats: [Repeat; 2],
        turns: bool,
        kerf: i64,
    ) -> impl Iterator<Item = Self> {
        let all = [(0, false), (1, false), (0, true), (1, true)];
        let ways = all.into_iter().filter(move |&(_, crosswise)| turns || !crosswise);
        ways.filter_map(move |(axis, crosswise)| Self::way(size, repeats, kerf, axis, crosswise))
    }

    fn way(
        [width, height]: [i64; 2],
        repeats: [Repeat; 2],
        kerf: i64,
        axis: usize,
        crosswise: bool,
    ) -> Option<Self> {
        let [across, down] = if crosswise { [repeats[1], repeats[0]] } else { repeats };
        let (size, starts, gap) = if axis == 0 {
            let gap = gap(0, across, kerf)?;
            ([width * 2 + gap, height], [0; 2], gap)
        } else {
            let starts = starts(width, across, kerf)?;
            let gap = gap(height, down, kerf)?;
            ([width + starts[0].max(starts[1]), height * 2 + gap], starts, gap)
        };
        Some(Self { size, axis, crosswise, turns: false, starts, gap, kerf })
    }

    /// Whether a sheet holds them.
    fn is_held(&self, job: &Job) -> bool {
        let shape = self.rectangle();
        let levels = job.rules.stages.map(|changes| changes.saturating_add(1));
        let margin = trim_margin(job);
        let held = job.stock.iter().filter(|stock| stock.count > 0).any(|stock| {
            sheet_size(stock) == Some(shape.size)
                || inside_rim(stock, margin).is_some_and(|patch| holds(patch.size, shape.size))
        });
        held && levels.is_none_or(|most| shape.levels(false, None) <= most)
    }

    /// Both as one rectangle.
    pub fn rectangle(&self) -> Rectangle {
        let uneven = self.starts != [0; 2];
        let [width, height] = self.size;
        let (size, axis) = match self.crosswise {
            true => ([height, width], 1 - self.axis),
            false => (self.size, self.axis),
        };
        Rectangle { size, turns: self.turns, copies: 1, parts: Some(Parts { axis, uneven }) }
    }

    /// Both within a rectangle, `sizes` as they lie there; `turned` is what comes on top of `crosswise`.
    pub fn cell(
        &self,
        size: [i64; 2],
        turned: bool,
        patch: Patch,
        piece: impl Fn(usize, Patch) -> Cell,
    ) -> Cell {
        let turned = turned || self.crosswise;
        let (axis, size) =
            if turned { (1 - self.axis, [size[1], size[0]]) } else { (self.axis, size) };
        let across = 1 - axis;
        let one = |number: usize, strip: Patch| {
            let room = Room { axis: across, lead: self.starts[number], kerf: self.kerf };
            room.cell(strip, size[across], |patch| piece(number, patch))
        };
        let (mut first, mut second) = (patch, patch);
        first.size[axis] = size[axis];
        second.at[axis] = first.end(axis) + self.kerf;
        second.size[axis] = patch.end(axis) - second.at[axis];
        let between = Room { axis, lead: self.gap - self.kerf, kerf: self.kerf };
        let second = between.cell(second, size[axis], |strip| one(1, strip));
        let parts = vec![one(0, first), second];
        Cell { patch, what: What::Split { axis, parts, fixed: true } }
    }
}

/// Where in a patch something starts.
struct Room {
    axis: usize,
    lead: i64,
    kerf: i64,
}

impl Room {
    /// What is as long as `extent`, with the waste before or behind it.
    fn cell(&self, patch: Patch, extent: i64, inner: impl Fn(Patch) -> Cell) -> Cell {
        let axis = self.axis;
        let spare = patch.size[axis] - extent;
        if spare <= 0 {
            return inner(patch);
        }
        let (mut kept, mut waste) = (patch, patch);
        kept.size[axis] = extent;
        waste.size[axis] = (spare - self.kerf).max(0);
        if self.lead > 0 {
            kept.at[axis] += spare;
        } else {
            waste.at[axis] += extent + self.kerf;
        }
        let mut parts = vec![inner(kept)];
        if waste.size[axis] > 0 {
            let place = usize::from(self.lead <= 0);
            parts.insert(place, Cell { patch: waste, what: What::Leftover });
        }
        Cell { patch, what: What::Split { axis, parts, fixed: true } }
    }
}

fn area([width, height]: [i64; 2]) -> i128 {
    i128::from(width) * i128::from(height)
}

/// What a length is longer than a whole number of repeats; 0 where it is off by no more than [`NEAR`].
fn beyond(length: i64, every: i64) -> i64 {
    let beyond = length.rem_euclid(every);
    if beyond <= NEAR || every - beyond <= NEAR { 0 } else { beyond }
}

fn nanometres(every: Length) -> i64 {
    every.to_nanometres().max(1)
}

/// The least distance, cut off by one cut or by two, that makes a length a whole number of repeats.
fn gap(length: i64, repeat: Repeat, kerf: i64) -> Option<i64> {
    let every = match repeat {
        Repeat::Plain => return Some(kerf),
        Repeat::Never => return (length + kerf <= NEAR).then_some(kerf),
        Repeat::Every(every) => nanometres(every),
    };
    match beyond(length + kerf, every) {
        0 => Some(kerf),
        beyond => Some(more_than(kerf * 2, kerf + every - beyond, every)),
    }
}

/// How much later the first or the second of two pieces of a length starts, the lesser of the two.
fn starts(length: i64, repeat: Repeat, kerf: i64) -> Option<[i64; 2]> {
    let every = match repeat {
        Repeat::Plain => return Some([0; 2]),
        Repeat::Never => return None,
        Repeat::Every(every) => nanometres(every),
    };
    let beyond = beyond(length, every);
    if beyond == 0 {
        return Some([0; 2]);
    }
    let [first, second] = [every - beyond, beyond].map(|start| more_than(kerf, start, every));
    Some(if first < second { [first, 0] } else { [0, second] })
}

/// A length, or as many repeats more as make it longer than what cuts take.
fn more_than(cuts: i64, length: i64, every: i64) -> i64 {
    let short = (cuts + 1 - length).max(0);
    length + (short + every - 1) / every * every
}
