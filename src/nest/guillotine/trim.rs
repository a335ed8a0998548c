//! Rectangles onto sheets by straight cuts from edge to edge.
//!
//! In come the job's trimmer and hand pieces; out come sheets with a pattern each, a nest of
//! rectangles in whole nanometres from which [`super::cuts::plan`] reads the cuts.

use super::course;
use super::exact::Proof;
use super::problem::CuttingProblem;
use super::rank::filled;
use super::tree::{Forest, Kind};
use crate::nest::bounds::least_cost;
use crate::nest::rectangles::{
    Block, Cell, MOST_COPIES, Patch, Rectangle, Sheets, What, blocks, costs, holds, inside_rim,
    sheet_size,
};
use crate::nest::{Effort, Job, Search, Tool};

/// Pieces up to which a job gets all its steps. A step takes longer the more pieces there are, so beyond
/// it steps get fewer in proportion.
const FULL_STEPS_PIECES: u64 = 100;
/// Pieces beyond which steps get fewer by the square, so that no job hangs.
const MANY_PIECES: u64 = 1000;
/// A long search ends when one in so many of its steps has gone by without a gain.
pub(in crate::nest) const IDLE_SHARE: u64 = 3;
/// Steps of the search to the end for one of the search: it takes nanoseconds where the other takes
/// microseconds.
const EXACT_STEPS: u64 = 100;
/// Most steps of the search to the end.
const MOST_EXACT_STEPS: u64 = 20_000_000;
/// A sheet with its pattern.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::nest) struct Patterned {
    /// Its stock, by place in the job.
    pub stock: usize,
    /// The part inside the trimmed rim, with what is cut from it.
    pub root: Cell,
}

/// The trimmer's share of a job.
#[derive(Clone, Debug, Default)]
pub(in crate::nest) struct Trimmed {
    /// Sheets in use.
    pub sheets: Vec<Patterned>,
    /// How many of each stock are in use.
    pub used: Vec<u32>,
    /// Copies of each item without a place.
    pub left_out: Vec<u32>,
    /// The blocks that were to be placed.
    pub blocks: Vec<Block>,
    /// What is proven about the sheets.
    pub proof: Proof,
}

/// Most levels of cuts in one direction, if the changes of direction are limited.
fn levels(job: &Job) -> Option<u32> {
    job.rules.stages.map(|changes| changes.saturating_add(1))
}

/// How a job's trimmer pieces are searched.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::nest) struct Course {
    /// Steps.
    pub steps: u64,
    /// New sheets that are needed at the least.
    pub sheet_bound: u32,
    /// Whether the search ends early where it gains nothing.
    pub ends_idle: bool,
    /// Paper to be kept in one piece for the machine, and whether it may be turned.
    pub kept: Option<([i64; 2], bool)>,
}

/// Cuts a job's trimmer and hand pieces.
pub(in crate::nest) fn trim(
    job: &Job,
    kerf: i64,
    margin: i64,
    course: &Course,
    search: &Search,
) -> Trimmed {
    let mut blocks = blocks(job, kerf);
    blocks.extend(course.kept.map(|(size, turns)| Block::kept(size, turns)));
    let mut trimmed = Trimmed {
        used: vec![0; job.stock.len()],
        left_out: job
            .items
            .iter()
            .map(|item| if item.tool == Tool::Machine { 0 } else { item.copies })
            .collect(),
        blocks,
        ..Trimmed::default()
    };
    let mut numbers = vec![0; trimmed.blocks.len()];
    whole_sheets(job, margin, &mut trimmed, &mut numbers);
    let mut problem = problem(job, kerf, margin, course, &trimmed, &numbers);
    problem.search = search.clone();
    let (forest, proof) = course::search(&problem);
    // A sheet that was given to a piece as large as itself is no outcome of the search.
    if trimmed.used.iter().all(|&used| used == 0) {
        trimmed.proof = proof;
    }
    let mut sheets: Vec<_> = forest.sheets.iter().collect();
    sheets.sort_by(|one, other| {
        let fill = |root: u32| filled(&forest, root);
        one.stock.cmp(&other.stock).then(fill(other.root).total_cmp(&fill(one.root)))
    });
    for sheet in sheets {
        let stock = sheet.stock as usize;
        let Some(patch) = job.stock.get(stock).and_then(|stock| inside_rim(stock, margin)) else {
            continue;
        };
        let root = reading(&forest, &mut trimmed, &mut numbers, sheet.root, patch.at);
        trimmed.sheets.push(Patterned { stock, root });
        trimmed.used[stock] += 1;
    }
    trimmed
}

/// Pieces as large as a whole sheet take one with its rim.
fn whole_sheets(job: &Job, margin: i64, trimmed: &mut Trimmed, numbers: &mut [u32]) {
    if margin == 0 {
        return;
    }
    for block in 0..trimmed.blocks.len() {
        let shape = trimmed.blocks[block].shape;
        for (stock, sheets) in job.stock.iter().enumerate() {
            let Some(size) = sheet_size(sheets) else { continue };
            let fits = |turned: bool| {
                shape.lying(turned) == size
                    && levels(job).is_none_or(|most| shape.levels(turned, None) <= most)
            };
            let Some(&turned) = shape.ways().iter().find(|&&way| fits(way)) else {
                continue;
            };
            while numbers[block] < shape.copies.min(MOST_COPIES)
                && trimmed.used[stock] < sheets.count
                && inside_rim(sheets, margin).is_none_or(|patch| !holds(patch.size, size))
            {
                let patch = Patch { at: [0; 2], size };
                let root = block_cell(trimmed, numbers, block, turned, patch);
                trimmed.sheets.push(Patterned { stock, root });
                trimmed.used[stock] += 1;
            }
        }
    }
}

/// What is left for the search.
pub(super) fn problem(
    job: &Job,
    kerf: i64,
    margin: i64,
    course: &Course,
    trimmed: &Trimmed,
    numbers: &[u32],
) -> CuttingProblem {
    let costs = costs(job);
    let sheets: Vec<Sheets> = job
        .stock
        .iter()
        .enumerate()
        .map(|(index, stock)| {
            let patch = inside_rim(stock, margin);
            let size = patch.map_or([0; 2], |patch| patch.size);
            let count = if patch.is_some() { stock.count - trimmed.used[index] } else { 0 };
            Sheets { size, count, cost: costs[index], old: stock.is_old() }
        })
        .collect();
    let mut room = MOST_COPIES;
    let shapes: Vec<Rectangle> = trimmed
        .blocks
        .iter()
        .zip(numbers)
        .map(|(block, &done)| {
            let fits =
                block.shape.ways().iter().any(|&way| {
                    sheets.iter().any(|sheets| holds(sheets.size, block.shape.lying(way)))
                });
            let wanted = if fits { block.shape.copies - done.min(block.shape.copies) } else { 0 };
            let parts = u32::try_from(block.pieces()).unwrap_or(MOST_COPIES).max(1);
            let copies = wanted.min(room / parts);
            room -= copies * parts;
            Rectangle { copies, ..block.shape }
        })
        .collect();
    let new = sheets.iter().filter(|sheets| sheets.cost > 0 && sheets.count > 0);
    let cheapest = new.map(|sheets| sheets.cost).min().unwrap_or(0);
    let done: u32 = trimmed.used.iter().sum();
    let cost_bound = cheapest * i128::from(course.sheet_bound.saturating_sub(done));
    let cost_bound = cost_bound.max(least_cost(&shapes, &sheets, kerf));
    let pieces: u64 = shapes.iter().map(|shape| u64::from(shape.copies)).sum();
    let steps = fewer_steps(course.steps, pieces);
    let idle = if course.ends_idle { steps / IDLE_SHARE } else { steps };
    let levels = levels(job);
    let exact_steps = steps.saturating_mul(EXACT_STEPS).min(MOST_EXACT_STEPS);
    CuttingProblem {
        shapes,
        sheets,
        kerf,
        levels,
        cost_bound,
        steps,
        idle,
        exact_steps,
        search: Search::default(),
    }
}

/// The steps that a job of so many pieces gets.
fn fewer_steps(steps: u64, pieces: u64) -> u64 {
    let steps = steps.saturating_mul(FULL_STEPS_PIECES) / pieces.max(FULL_STEPS_PIECES);
    let many = pieces.max(MANY_PIECES);
    steps.saturating_mul(MANY_PIECES * MANY_PIECES) / (many * many)
}

/// Reads a tree as rectangles on the sheet, parts of equal measure side by side.
pub(super) fn reading(
    forest: &Forest,
    trimmed: &mut Trimmed,
    numbers: &mut [u32],
    id: u32,
    at: [i64; 2],
) -> Cell {
    let node = forest.nodes[id as usize];
    let patch = Patch { at, size: node.size };
    match node.kind {
        Kind::Leftover | Kind::Vacant => Cell { patch, what: What::Leftover },
        Kind::Piece { block, turned } => {
            block_cell(trimmed, numbers, block as usize, turned, patch)
        }
        Kind::Split(axis) => {
            let parts = arranged(forest, id, axis);
            let mut at = at;
            let mut cells = Vec::with_capacity(parts.len());
            for part in parts {
                cells.push(reading(forest, trimmed, numbers, part, at));
                at[axis] += forest.nodes[part as usize].size[axis] + forest.kerf;
            }
            Cell { patch, what: What::Split { axis, parts: cells, fixed: false } }
        }
    }
}

/// The parts of a split, equal ones side by side, large ones first, a leftover last.
fn arranged(forest: &Forest, id: u32, axis: usize) -> Vec<u32> {
    let mut parts: Vec<u32> = forest.parts(id).collect();
    let extent = |part: u32| forest.nodes[part as usize].size[axis];
    let left = |part: u32| forest.nodes[part as usize].kind == Kind::Leftover;
    parts.sort_by_key(|&part| (left(part), std::cmp::Reverse(extent(part))));
    parts
}

/// The next copy of a block as a rectangle with its parts.
fn block_cell(
    trimmed: &mut Trimmed,
    numbers: &mut [u32],
    block: usize,
    turned: bool,
    patch: Patch,
) -> Cell {
    let number = numbers[block];
    numbers[block] += 1;
    for item in trimmed.blocks[block].items() {
        trimmed.left_out[item] = trimmed.left_out[item].saturating_sub(1);
    }
    trimmed.blocks[block].cell(number, turned, patch)
}

/// Steps of the search for an effort. A step takes about 5 to 30 microseconds.
pub(in crate::nest) const fn steps(effort: Effort) -> u64 {
    match effort {
        Effort::Quick => 200,
        Effort::Normal => 40_000,
        Effort::Long => 1_000_000,
    }
}
