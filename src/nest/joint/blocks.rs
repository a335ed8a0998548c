//! Trimmer and machine searched together.
//!
//! A trimmer that packs tight leaves worse paper for the machine. So the machine's pieces are laid first:
//! on whole sheets as far as they fill them, and what is left on the emptiest is pushed together on paper
//! of one width after the other. Each such block then is one more rectangle of the trimmer's search, which
//! finds it a place beside its own pieces, on the sheets that cost least in all.

use rayon::prelude::*;

use super::draft::{Copy, Draft, IrregularPart, Open};
use super::task::{Candidate, Task};
use crate::model::length::{Length, Size};
use crate::nest::guillotine::{Course, IDLE_SHARE, Proof, trim};
use crate::nest::mat;
use crate::nest::rectangles::{Cell, Patch, What, bounding_size, inside_rim, sheet_size};
use crate::nest::{Effort, Job, PlacedItem, Tool};

/// Most blocks that are tried, at normal and at long effort.
const MOST_BLOCKS: [usize; 2] = [4, 12];
/// A block is tried with one in so many of the steps.
const STEPS_PER_BLOCK: u64 = 4;
/// Blocks that are tried side by side.
const SIDE_BY_SIDE: usize = 2;
/// Kinds of trimmer pieces whose measures make room for a block beside them.
const MOST_BESIDE: usize = 3;

/// Machine pieces on paper of their own.
struct IrregularBlock {
    size: [i64; 2],
    placed: Vec<PlacedItem>,
    copies: Vec<Copy>,
    /// Sheets that go to the machine whole.
    whole: Vec<Open>,
}

/// Looks for a better plan with the machine's pieces laid first.
pub(super) fn improve(
    task: &Task<'_>,
    best: &mut Option<Candidate>,
    copies: &[Copy],
    effort: Effort,
    steps: u64,
) {
    let most = MOST_BLOCKS[usize::from(effort == Effort::Long)];
    let (whole, rest) = whole_sheets(task, copies, effort);
    let mut blocks: Vec<IrregularBlock> = Vec::new();
    for (place, width) in widths(task.job, task.kerf).into_iter().enumerate() {
        if blocks.len() >= most || place >= 3 * most || task.search.is_stopped() {
            break;
        }
        let block = block(task, &whole, &rest, width, Effort::Quick);
        let known = |one: &IrregularBlock| blocks.iter().any(|block| block.size == one.size);
        blocks.extend(block.filter(|block| !known(block)));
    }
    let each = (steps / STEPS_PER_BLOCK).max(1);
    let ends_idle = effort == Effort::Long;
    let course = |steps| Course { steps, ends_idle, ..Course::default() };
    let mut chosen: Option<usize> = None;
    let mut idle = 0;
    for (round, some) in blocks.chunks(SIDE_BY_SIDE).enumerate() {
        let found: Vec<Candidate> =
            some.par_iter().map(|block| candidate_of(task, block, course(each))).collect();
        idle += each * found.len() as u64;
        for (place, found) in found.into_iter().enumerate() {
            if task.better(best, found) {
                (chosen, idle) = (Some(round * SIDE_BY_SIDE + place), 0);
            }
        }
        let spent = idle > most as u64 * each / IDLE_SHARE;
        if task.search.is_stopped() || (ends_idle && spent) {
            break;
        }
    }
    // The best of them gets all the steps, its pieces pushed together with all the effort.
    if let Some(chosen) = chosen.and_then(|chosen| blocks.get(chosen)) {
        let found = candidate_of(task, chosen, course(steps));
        task.better(best, found);
        let tighter = block(task, &whole, &rest, chosen.size[0], effort);
        if let Some(tighter) = tighter.filter(|block| block.size != chosen.size) {
            let found = candidate_of(task, &tighter, course(steps));
            task.better(best, found);
        }
    }
}

/// The machine's pieces on whole sheets of the kind on which they cost least; those on the emptiest of them
/// are left for a block.
fn whole_sheets(task: &Task<'_>, copies: &[Copy], effort: Effort) -> (Vec<Open>, Vec<Copy>) {
    let machine = &task.machine;
    let mut best: Option<(i128, usize, Vec<Open>, Vec<Copy>)> = None;
    for preference in machine.preferences() {
        let Some(&kind) = preference.first() else { continue };
        let Some((cost, open, rest)) = on_kind(task, copies, kind, Effort::Quick) else { continue };
        let several = !open.is_empty();
        if best.as_ref().is_none_or(|(known, ..)| cost < *known) {
            best = Some((cost, kind, open, rest));
        }
        if !several {
            break;
        }
    }
    let Some((_, kind, open, rest)) = best else { return (Vec::new(), copies.to_vec()) };
    if open.is_empty() {
        return (open, rest);
    }
    match on_kind(task, copies, kind, effort) {
        Some((_, open, rest)) => (open, rest),
        None => (open, rest),
    }
}

/// The machine's pieces on sheets of one kind: what they cost but for the emptiest, those sheets, and the
/// pieces on the emptiest. Nothing if there are too few.
fn on_kind(
    task: &Task<'_>,
    copies: &[Copy],
    kind: usize,
    effort: Effort,
) -> Option<(i128, Vec<Open>, Vec<Copy>)> {
    let machine = &task.machine;
    let mut draft = Draft {
        open: Vec::new(),
        used: task.job.stock.iter().map(|stock| stock.count).collect(),
        left_out: vec![0; task.job.items.len()],
    };
    // Sheets of this kind alone.
    draft.used[kind] = 0;
    machine.lay(&mut draft, copies, &vec![kind], effort);
    if draft.left_out.iter().any(|&copies| copies > 0) {
        return None;
    }
    let emptiest = draft
        .open
        .iter()
        .enumerate()
        .min_by(|(_, one), (_, other)| machine.covered(one).total_cmp(&machine.covered(other)));
    let place = emptiest.map(|(place, _)| place)?;
    let last = draft.open.remove(place);
    let rest = last.part.iter().flat_map(|part| &part.placed).map(copy).collect();
    Some((machine.cost(kind) * draft.open.len() as i128, draft.open, rest))
}

fn copy(placed: &PlacedItem) -> Copy {
    (placed.item, placed.copy)
}

/// Widths of paper on which a block may lie: those of the sheets, what pieces of the trimmer leave beside
/// them, and halves.
fn widths(job: &Job, kerf: i64) -> Vec<i64> {
    let mut pieces: Vec<(f64, [i64; 2])> = job
        .items
        .iter()
        .filter(|item| item.tool != Tool::Machine)
        .filter_map(|item| {
            let size = bounding_size(item)?;
            let area = Patch { at: [0; 2], size }.square_inches();
            Some((area * f64::from(item.copies), size))
        })
        .collect();
    pieces.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
    pieces.dedup_by_key(|(_, size)| *size);
    pieces.truncate(MOST_BESIDE);
    let sheets: Vec<[i64; 2]> =
        job.stock.iter().filter(|stock| stock.count > 0).filter_map(sheet_size).collect();
    let sides: Vec<i64> = sheets.iter().flatten().copied().collect();
    let mut widths = sides.clone();
    for count in 1..4 {
        for (_, size) in &pieces {
            for &side in size {
                widths.extend(sides.iter().map(|whole| whole - count * (side + kerf)));
            }
        }
    }
    widths.extend(sides.iter().map(|side| side / 2));
    widths.retain(|&width| width > 0);
    let mut known = Vec::new();
    widths.retain(|width| {
        let new = !known.contains(width);
        known.push(*width);
        new
    });
    widths
}

/// The rest of the machine's pieces as a block of some width, if they and a sheet have room for it.
fn block(
    task: &Task<'_>,
    whole: &[Open],
    rest: &[Copy],
    width: i64,
    effort: Effort,
) -> Option<IrregularBlock> {
    let tallest = task.job.stock.iter().filter_map(sheet_size).flatten().max()?;
    let (size, placed) = task.machine.block(rest, width, tallest, effort)?;
    let fits = task.job.stock.iter().filter(|stock| stock.count > 0).any(|stock| {
        inside_rim(stock, task.margin).is_some_and(|patch| {
            let [width, height] = patch.size;
            size[0] <= width && size[1] <= height || size[0] <= height && size[1] <= width
        })
    });
    let paper = Size::new(Length::nanometres(size[0]), Length::nanometres(size[1]));
    let fits = fits && mat::lies(paper, task.job.rules.mat).is_some();
    fits.then(|| IrregularBlock { size, placed, copies: rest.to_vec(), whole: whole.to_vec() })
}

/// The plan with a block.
fn candidate_of(task: &Task<'_>, block: &IrregularBlock, course: Course) -> Candidate {
    let machine = &task.machine;
    let mut job = task.job.clone();
    for open in &block.whole {
        job.stock[open.stock].count = job.stock[open.stock].count.saturating_sub(1);
    }
    let turns = block.copies.iter().all(|&(item, _)| job.items[item].turns.crosswise());
    let course = Course { kept: Some((block.size, turns)), ..course };
    let trimmed = trim(&job, task.kerf, task.margin, &course, task.search);
    let mut draft = Draft::of(&trimmed);
    machine.copies(&mut draft.left_out);
    let mut waiting = true;
    for open in &mut draft.open {
        let Some(patch) = open.root.as_ref().and_then(kept) else { continue };
        let placed = if patch.size == block.size {
            block.placed.clone()
        } else {
            machine.turned(&block.placed, block.size)
        };
        open.part = Some(IrregularPart { patch, placed });
        waiting = false;
    }
    for open in &block.whole {
        draft.used[open.stock] += 1;
        draft.open.push(open.clone());
    }
    if waiting {
        let preference = machine.preferences().into_iter().next().unwrap_or_default();
        machine.lay(&mut draft, &block.copies, &preference, Effort::Quick);
    }
    // What is proven of one block is not proven of the job.
    task.found(draft, Proof::default())
}

/// The paper kept for the machine.
fn kept(cell: &Cell) -> Option<Patch> {
    match &cell.what {
        What::Machine => Some(cell.patch),
        What::Split { parts, .. } => parts.iter().find_map(kept),
        What::Piece { .. } | What::Leftover => None,
    }
}
