//! What the trimmer places as one rectangle.
//!
//! Mostly a block is one piece. Pieces that belong together are one block, with its parts in order: side
//! by side, or under each other where side by side they fit no sheet; or as their pattern runs on over them.

use kurbo::Shape as _;

use super::running_on::RunningOn;
use super::{Cell, Patch, What};
use super::{LONGEST, MOST_COPIES, Parts, Rectangle, holds, kerf, sheet_size};
use crate::model::Repeat;
use crate::model::length::Length;
use crate::nest::{Form, Item, Job, Tool};

/// A rectangle to be placed and what it becomes.
#[derive(Clone, Debug)]
pub(in crate::nest) struct Block {
    /// The rectangle.
    pub shape: Rectangle,
    /// Its parts in order along `axis`; none where it is kept for the machine.
    parts: Vec<Member>,
    /// 0 where the parts lie side by side, 1 where one lies under the other.
    axis: usize,
    /// How two parts lie over which the pattern runs on.
    running_on: Option<RunningOn>,
}

impl Block {
    /// Paper kept for the machine.
    pub fn kept([width, height]: [i64; 2], turns: bool) -> Self {
        let shape = Rectangle { size: [width, height], turns, copies: 1, parts: None };
        Self { shape, parts: Vec::new(), axis: 0, running_on: None }
    }

    /// Whether an item is part of the block.
    pub fn has(&self, item: usize) -> bool {
        self.parts.iter().any(|part| part.item == item)
    }

    /// How many pieces it is of.
    pub fn pieces(&self) -> usize {
        self.parts.len()
    }

    /// The items of its pieces, one for each.
    pub fn items(&self) -> impl Iterator<Item = usize> {
        self.parts.iter().map(|part| part.item)
    }

    /// A copy of the block, from 0, as a rectangle with its parts.
    pub fn cell(&self, number: u32, turned: bool, patch: Patch) -> Cell {
        let crosswise = self.running_on.is_some_and(|way| way.crosswise);
        let lies_turned = turned || crosswise;
        let piece = |part: &Member, patch: Patch| {
            let turned = lies_turned;
            let what = What::Piece { item: part.item, copy: part.first_copy + number, turned };
            Cell { patch, what }
        };
        match self.parts.as_slice() {
            [] => return Cell { patch, what: What::Machine },
            [part] => return piece(part, patch),
            _ => {}
        }
        if let (Some(way), [first, second]) = (self.running_on, self.parts.as_slice()) {
            let of = |number: usize, patch| piece([first, second][number], patch);
            return way.cell(first.size, turned, patch, of);
        }
        let along = self.axis;
        let axis = if turned { 1 - along } else { along };
        let across = 1 - axis;
        let length = patch.size[axis];
        let widths: i64 = self.parts.iter().map(|part| part.size[along]).sum();
        let gaps = i64::try_from(self.parts.len()).unwrap_or(1) - 1;
        let kerf = if gaps > 0 { (length - widths) / gaps } else { 0 };
        let mut at = patch.at;
        let mut cells = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            let mut strip = Patch { at, size: patch.size };
            strip.size[axis] = part.size[along];
            at[axis] += part.size[along] + kerf;
            let extent = part.size[1 - along];
            cells.push(part_cell(strip, extent, across, turned, kerf, |patch| piece(part, patch)));
        }
        Cell { patch, what: What::Split { axis, parts: cells, fixed: true } }
    }
}

/// A piece of a block.
#[derive(Clone, Copy, Debug)]
struct Member {
    item: usize,
    /// The copy in the first block; later blocks count on.
    first_copy: u32,
    size: [i64; 2],
}

/// The width and height of an item's bounding box, or nothing if it has no size.
pub(in crate::nest) fn bounding_size(item: &Item) -> Option<[i64; 2]> {
    let size = match &item.form {
        Form::Rectangle(size) => [size.width.to_nanometres(), size.height.to_nanometres()],
        Form::Outline(outline) => {
            let bounds = outline.bounding_box();
            [whole(bounds.width())?, whole(bounds.height())?]
        }
    };
    (size[0] > 0 && size[1] > 0).then_some(size)
}

/// Inches as the nearest whole nanometres that hold them.
fn whole(inches: f64) -> Option<i64> {
    (inches.is_finite() && inches.abs() < 1e6).then(|| {
        let near = Length::inches(inches);
        let short = near.to_inches() + 1e-9 < inches;
        near.to_nanometres() + i64::from(short)
    })
}

/// The blocks of a job's trimmer and hand pieces.
pub(in crate::nest) fn blocks(job: &Job, kerf: i64) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut done: Vec<&str> = Vec::new();
    let cut = |item: &Item| item.tool != Tool::Machine && item.copies > 0;
    for (index, item) in job.items.iter().enumerate() {
        if !cut(item) {
            continue;
        }
        match item.word() {
            Some(word) if done.contains(&word) => {}
            Some(word) => {
                done.push(word);
                let group: Vec<usize> = (index..job.items.len())
                    .filter(|&other| {
                        let item = &job.items[other];
                        cut(item) && item.word() == Some(word)
                    })
                    .collect();
                blocks.extend(block(job, &group, kerf));
            }
            None => blocks.extend(block(job, &[index], kerf)),
        }
    }
    blocks
}

/// One block of items side by side: a copy of each where all have as many copies, else all copies of
/// all.
fn block(job: &Job, group: &[usize], kerf: i64) -> Option<Block> {
    let copies = job.items.get(*group.first()?)?.copies;
    let alike = group.iter().all(|&item| job.items[item].copies == copies);
    let mut parts = Vec::new();
    for &item in group {
        let size = bounding_size(&job.items[item])?;
        let each = if alike { 1 } else { job.items[item].copies.min(MOST_COPIES) };
        parts.extend((0..each).map(|first_copy| Member { item, first_copy, size }));
    }
    let gaps = kerf * (i64::try_from(parts.len()).ok()? - 1);
    let size = |axis: usize| {
        let mut size = [0; 2];
        size[axis] = parts.iter().map(|part| part.size[axis].min(LONGEST)).sum::<i64>() + gaps;
        size[1 - axis] = parts.iter().map(|part| part.size[1 - axis]).max().unwrap_or(0);
        size
    };
    let turns = group.iter().all(|&item| job.items[item].turns.crosswise());
    let copies = if alike { copies } else { 1 };
    if let Some(running_on) = running_on(job, group, kerf).filter(|_| alike) {
        let shape = Rectangle { copies, ..running_on.rectangle() };
        return Some(Block { shape, parts, axis: running_on.axis, running_on: Some(running_on) });
    }
    let fits = |axis: usize| {
        let [width, height] = size(axis);
        job.stock
            .iter()
            .filter_map(sheet_size)
            .any(|sheet| holds(sheet, [width, height]) || (turns && holds(sheet, [height, width])))
    };
    let axis = usize::from(!fits(0) && fits(1));
    let size = size(axis);
    let uneven = parts.iter().any(|part| part.size[1 - axis] < size[1 - axis]);
    let cuts = (parts.len() > 1).then_some(Parts { axis, uneven });
    let shape = Rectangle { size, turns, copies, parts: cuts };
    Some(Block { shape, parts, axis, running_on: None })
}

/// Two pieces of one size over which the pattern is to run on, after how much it repeats, and whether both
/// may be turned.
fn to_run_on(job: &Job, group: &[usize]) -> Option<([i64; 2], [Repeat; 2], bool)> {
    let [first, second] = group else { return None };
    let [first, second] = [job.items.get(*first)?, job.items.get(*second)?];
    let repeats = first.together.as_ref()?.runs_on?;
    let size = bounding_size(first)?;
    let is_one_size = bounding_size(second)? == size && size.iter().all(|side| *side <= LONGEST);
    let turns = first.turns.crosswise() && second.turns.crosswise();
    is_one_size.then_some((size, repeats, turns))
}

fn running_on(job: &Job, group: &[usize], kerf: i64) -> Option<RunningOn> {
    let (size, repeats, turns) = to_run_on(job, group)?;
    RunningOn::of(job, size, repeats, turns, kerf)
}

/// Width and height of the shortest paper from which the pieces that share a word are cut so that the pattern
/// runs on; nothing where no sheet would do.
pub(in crate::nest) fn least_room(job: &Job, word: &str) -> Option<[i64; 2]> {
    let of_it = |&item: &usize| job.items[item].word() == Some(word);
    let group: Vec<usize> = (0..job.items.len()).filter(of_it).collect();
    let (size, repeats, turns) = to_run_on(job, &group)?;
    RunningOn::least_room(size, repeats, turns, kerf(job))
}

/// A part in its strip of the block: tops are in line, and a quarter turn takes the top to the right.
fn part_cell(
    strip: Patch,
    extent: i64,
    across: usize,
    turned: bool,
    kerf: i64,
    piece: impl Fn(Patch) -> Cell,
) -> Cell {
    let spare = strip.size[across] - extent;
    if spare <= 0 {
        return piece(strip);
    }
    let rest = (spare - kerf).max(0);
    let (mut kept, mut left) = (strip, strip);
    kept.size[across] = extent;
    left.size[across] = rest;
    if turned {
        kept.at[across] += spare;
    } else {
        left.at[across] += extent + kerf;
    }
    let mut cells = vec![piece(kept)];
    if rest > 0 {
        let place = usize::from(!turned);
        cells.insert(place, Cell { patch: left, what: What::Leftover });
    }
    Cell { patch: strip, what: What::Split { axis: across, parts: cells, fixed: true } }
}
