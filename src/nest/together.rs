//! One paper's job from pieces to sheets: the trimmer first, then the machine in what is left.

use kurbo::{BezPath, Shape as _};

use super::bound::{Bound, Demand, bound};
use super::bound_cost;
use super::exact::Proof;
use super::free_paper::{MARK, free_rectangle};
use super::machine::{Container, Placement, Shape, pack};
use super::mat;
use super::plan::{keepable, plan};
use super::trimmer::{
    Cell, LONGEST, MOST_COPIES, Patch, Patterned, Trimmed, What, costs, inside_rim, kerf,
    sheet_size, steps, trim, trim_margin,
};
use super::trimmer_blocks::{blocks, bounding_size};
use super::trimmer_problem::{Shape as Rectangle, holds};
use super::{
    Area, Form, Item, Job, LeftOut, Nested, PlacedItem, SheetCut, Tool, Turns, interrupt,
    new_sheets,
};
use crate::length::Length;
use crate::outline::rectangle;

/// Free paper is offered first where it has this much room for the pieces' bounding boxes.
const ROOMY: f64 = 1.25;

/// Cuts a job: which sheets are used, where each piece lies, the cuts, and what is left.
///
/// Every copy of every item is placed exactly once or counted in [`Nested::left_out`]. The outcome
/// is a function of the job alone.
pub fn nest(job: &Job) -> Nested {
    nest_in_steps(job, steps(job.effort))
}

/// How many new sheets a job needs at the least, by bounds that take no search.
pub fn least_sheets(job: &Job) -> u32 {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    bound(&demand(job, kerf, margin)).sheets
}

/// What the new sheets of a job cost at the least, by bounds that take no search: the prices written,
/// for trimmer pieces alone and sheets of which a rim is trimmed.
pub fn least_price(job: &Job) -> f64 {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    bound_cost::least_price(job, kerf, margin)
}

/// Like [`nest`] with a number of search steps for the trimmer instead of the job's effort.
pub fn nest_in_steps(job: &Job, steps: u64) -> Nested {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    let least = bound(&demand(job, kerf, margin));
    let rectangles = bound(&Demand { machine_area: 0.0, ..demand(job, kerf, margin) });
    let trimmed = trim(job, kerf, margin, steps, rectangles.sheets);
    let mut open: Vec<Open> = trimmed.sheets.iter().cloned().map(Open::trimmed).collect();
    let mut left_out = trimmed.left_out.clone();
    machine(job, &trimmed, &mut open, &mut left_out);
    let sheets: Vec<SheetCut> = open.iter().filter_map(|open| finished(job, open, kerf)).collect();
    let least = least.proven(trimmed.proof.sheets);
    let mut notes = notes(job, &sheets, &left_out, least);
    notes.extend(cheapest(job, &sheets, trimmed.proof, least));
    if interrupt::asked() {
        notes.push(interrupt::NOTE.to_owned());
    }
    Nested {
        left_out: counted(job, margin, &trimmed, &left_out),
        sheets,
        bound: least.sheets,
        notes,
    }
}

/// A sheet in use.
struct Open {
    stock: usize,
    /// The trimmer's pattern, or nothing for a sheet that goes to the machine whole.
    root: Option<Cell>,
    /// Machine pieces.
    placed: Vec<PlacedItem>,
    /// Paper that stays free on a sheet without a pattern.
    free: Option<Patch>,
}

impl Open {
    fn trimmed(sheet: Patterned) -> Self {
        Self { stock: sheet.stock, root: Some(sheet.root), placed: Vec::new(), free: None }
    }
}

/// What the bound is computed from.
fn demand(job: &Job, kerf: i64, margin: i64) -> Demand {
    let mut demand = Demand { kerf, ..Demand::default() };
    let fits = |shape: &Rectangle| {
        job.stock
            .iter()
            .filter_map(sheet_size)
            .any(|size| shape.ways().iter().any(|&way| holds(size, shape.lying(way))))
    };
    demand.shapes = blocks(job, kerf).iter().map(|block| block.shape).filter(|s| fits(s)).collect();
    for item in job.items.iter().filter(|item| item.tool == Tool::Machine) {
        if machine_fits(job, item) {
            demand.machine_area += outline_of(item).area().abs() * f64::from(item.copies);
        }
    }
    for stock in &job.stock {
        let Some(size) = sheet_size(stock) else { continue };
        if stock.offcut.is_none() {
            // Machine pieces and pieces as large as the sheet need no trimmed rim.
            let whole = demand.machine_area > 0.0
                || demand
                    .shapes
                    .iter()
                    .any(|shape| shape.ways().iter().any(|&way| shape.lying(way) == size));
            let inside = inside_rim(stock, margin).map(|patch| patch.size);
            demand.new.extend(if whole { Some(size) } else { inside });
        } else {
            let count = stock.count.min(MOST_COPIES) as usize;
            demand.offcuts.extend(std::iter::repeat_n(size, count));
        }
    }
    demand
}

fn outline_of(item: &Item) -> BezPath {
    match &item.form {
        Form::Rectangle(size) => rectangle(size.width.to_inches(), size.height.to_inches()),
        Form::Outline(outline) => outline.clone(),
    }
}

/// Whether a machine piece fits a sheet alone, as far as its bounding box tells.
fn machine_fits(job: &Job, item: &Item) -> bool {
    let Some(size) = bounding_size(item) else { return false };
    let rim = machine_margin(job);
    let shape = Rectangle { size, turns: item.turns.crosswise(), copies: 1, parts: None };
    let any = item.turns == Turns::Any;
    job.stock.iter().filter_map(sheet_size).any(|sheet| {
        let part = mat::part_for(Patch { at: [0; 2], size: sheet }, job.rules.mat);
        let room = part.size.map(|length| length - 2 * rim);
        let diagonal = (room[0] as f64).hypot(room[1] as f64);
        shape.ways().iter().any(|&way| holds(room, shape.lying(way)))
            || (any && room[0] > 0 && room[1] > 0 && (size[0].max(size[1]) as f64) <= diagonal)
    })
}

fn machine_margin(job: &Job) -> i64 {
    job.rules.machine_margin.to_nanometres().clamp(0, LONGEST)
}

/// Where a container of the machine comes from.
#[derive(Clone, Copy)]
enum Source {
    /// A leftover of a sheet in use.
    Leftover(usize),
    /// A sheet of a stock.
    Stock(usize),
}

#[derive(Clone, Copy)]
struct Offer {
    source: Source,
    /// The paper on its sheet, rim included.
    patch: Patch,
    /// As much of it as lies on the mat.
    part: Patch,
    cost: f64,
}

impl Offer {
    fn of(job: &Job, source: Source, patch: Patch, cost: f64) -> Self {
        Self { source, patch, part: mat::part_for(patch, job.rules.mat), cost }
    }
}

/// Places the machine's pieces.
fn machine(job: &Job, trimmed: &Trimmed, open: &mut Vec<Open>, left_out: &mut [u32]) {
    let (mut copies, mut outlines) = (Vec::new(), Vec::new());
    let mut room = MOST_COPIES;
    for (index, item) in job.items.iter().enumerate() {
        if item.tool != Tool::Machine {
            continue;
        }
        left_out[index] = item.copies;
        if machine_fits(job, item) {
            let count = item.copies.min(room);
            room -= count;
            copies.extend((0..count).map(|copy| (index, copy, outlines.len())));
        }
        outlines.push(outline_of(item));
    }
    if copies.is_empty() {
        return;
    }
    let shapes: Vec<Shape<'_>> = copies
        .iter()
        .map(|&(item, _, outline)| Shape {
            outline: &outlines[outline],
            turns: job.items[item].turns,
        })
        .collect();
    let boxes = || shapes.iter().map(|shape| shape.outline.bounding_box());
    let spacing = job.rules.spacing.to_inches().max(0.0);
    let kerf = kerf(job);
    let area: f64 = boxes().map(|b| (b.width() + spacing) * (b.height() + spacing)).sum();
    let offers = offers(job, trimmed, open, area, shapes.len());
    let rim = Length::nanometres(machine_margin(job)).to_inches();
    let inner =
        |patch: &Patch| patch.size.map(|length| Length::nanometres(length).to_inches() - 2.0 * rim);
    let containers: Vec<Container> = offers
        .iter()
        .map(|offer| Container { size: inner(&offer.part), cost: offer.cost })
        .collect();
    let placements = pack(&containers, &shapes, spacing, job.effort);
    for (number, offer) in offers.iter().enumerate() {
        let lying: Vec<(usize, &Placement)> = placements
            .iter()
            .enumerate()
            .filter_map(|(shape, placement)| Some((shape, placement.as_ref()?)))
            .filter(|(_, placement)| placement.container == number)
            .collect();
        if lying.is_empty() {
            continue;
        }
        let origin = offer.part.at.map(|length| Length::nanometres(length).to_inches() + rim);
        let mut placed = Vec::with_capacity(lying.len());
        let mut boxes = Vec::with_capacity(lying.len());
        for (shape, placement) in lying {
            let Some(&(item, copy, outline)) = copies.get(shape) else { continue };
            let at = [placement.at[0] + origin[0], placement.at[1] + origin[1]];
            let turned = crate::outline::turning(placement.turn) * &outlines[outline];
            let bounds = turned.bounding_box();
            boxes.push([at[0], at[1], at[0] + bounds.width(), at[1] + bounds.height()]);
            placed.push(PlacedItem { item, copy, at, turn: placement.turn });
            left_out[item] = left_out[item].saturating_sub(1);
        }
        settle(offer, open, placed, &boxes, [rim, spacing], kerf);
    }
}

/// Paper for the machine, in the order in which it is to be used up.
fn offers(job: &Job, trimmed: &Trimmed, open: &[Open], area: f64, shapes: usize) -> Vec<Offer> {
    let rim = machine_margin(job);
    let useful = |offer: &Offer| offer.part.size.iter().all(|&length| length > 2 * rim);
    let mut free = Vec::new();
    let unused = |index: usize| job.stock[index].count - trimmed.used[index];
    for (index, stock) in job.stock.iter().enumerate() {
        if let (Some(_), Some(size)) = (&stock.offcut, sheet_size(stock)) {
            let offer = Offer::of(job, Source::Stock(index), Patch { at: [0; 2], size }, 0.0);
            let count = (unused(index) as usize).min(shapes);
            free.extend(std::iter::repeat_n(offer, count));
        }
    }
    free.retain(useful);
    in_order(&mut free, area);
    let mut leftovers: Vec<Offer> = open
        .iter()
        .enumerate()
        .filter_map(|(index, open)| {
            let patch = largest_leftover(open.root.as_ref()?)?;
            Some(Offer::of(job, Source::Leftover(index), patch, 0.0))
        })
        .filter(useful)
        .collect();
    in_order(&mut leftovers, area);
    free.extend(leftovers);
    let mut new: Vec<usize> =
        (0..job.stock.len()).filter(|&index| job.stock[index].offcut.is_none()).collect();
    let costs = costs(job);
    new.sort_by_key(|&index| costs[index]);
    for index in new {
        let Some(size) = sheet_size(&job.stock[index]) else { continue };
        let patch = Patch { at: [0; 2], size };
        let offer = Offer::of(job, Source::Stock(index), patch, costs[index] as f64);
        if !useful(&offer) {
            continue;
        }
        let inside = Patch { at: [0; 2], size: offer.part.size.map(|length| length - 2 * rim) };
        // A box that needs a sheet to itself covers at least a quarter of it.
        let quarters = 4.0 * area / inside.square_inches();
        let needed = (0..shapes).take_while(|&count| (count as f64) < quarters + 2.0).count();
        free.extend(std::iter::repeat_n(offer, (unused(index) as usize).min(needed)));
    }
    free
}

/// The smallest paper that has room for everything first, then the rest from the largest.
fn in_order(offers: &mut [Offer], area: f64) {
    let size = |offer: &Offer| offer.part.square_inches();
    offers.sort_by(|one, other| {
        let (one, other) = (size(one), size(other));
        let roomy = |size: f64| size >= area * ROOMY;
        match (roomy(one), roomy(other)) {
            (true, true) => one.total_cmp(&other),
            (false, false) => other.total_cmp(&one),
            (true, false) => std::cmp::Ordering::Less,
            (false, true) => std::cmp::Ordering::Greater,
        }
    });
}

fn largest_leftover(cell: &Cell) -> Option<Patch> {
    match &cell.what {
        What::Leftover => Some(cell.patch),
        What::Split(_, parts) => parts
            .iter()
            .filter_map(largest_leftover)
            .max_by(|one, other| one.square_inches().total_cmp(&other.square_inches())),
        What::Piece { .. } | What::Machine => None,
    }
}

/// Writes the machine's pieces down where they lie.
fn settle(
    offer: &Offer,
    open: &mut Vec<Open>,
    placed: Vec<PlacedItem>,
    boxes: &[[f64; 4]],
    [rim, spacing]: [f64; 2],
    kerf: i64,
) {
    let end = [2, 3].map(|side| {
        let far = boxes.iter().map(|bounds| bounds[side]).fold(0.0, f64::max);
        Length::inches(far + rim).to_nanometres()
    });
    match offer.source {
        Source::Leftover(index) => {
            let Some(sheet) = open.get_mut(index) else { return };
            sheet.placed = placed;
            if let Some(root) = &mut sheet.root {
                give(root, offer, end, kerf);
            }
        }
        Source::Stock(stock) if offer.part == offer.patch => {
            let free = free_rectangle(offer.patch, boxes, spacing);
            open.push(Open { stock, root: None, placed, free });
        }
        // The trimmer cuts the paper for the mat out of the sheet first.
        Source::Stock(stock) => {
            let mut root = Cell { patch: offer.patch, what: What::Leftover };
            give(&mut root, offer, end, kerf);
            open.push(Open { stock, root: Some(root), placed, free: None });
        }
    }
}

/// Makes the leftover that is offered the machine's, as far as `end`; the rest stays a leftover if it is
/// worth keeping, or has to be cut off for the mat.
fn give(cell: &mut Cell, offer: &Offer, end: [i64; 2], kerf: i64) {
    let Offer { patch, part, .. } = *offer;
    if let What::Split(_, parts) = &mut cell.what {
        parts.iter_mut().for_each(|part| give(part, offer, end, kerf));
        return;
    }
    if cell.what != What::Leftover || cell.patch != patch {
        return;
    }
    let too_large = [0, 1].map(|axis| part.size[axis] < patch.size[axis]);
    let halves = [0, 1].map(|axis| {
        let used = (end[axis] - patch.at[axis] + MARK - 1).div_euclid(MARK) * MARK;
        let used = if too_large[axis] { used.min(part.size[axis]) } else { used };
        let (mut machine, mut rest) = (patch, patch);
        machine.size[axis] = used;
        rest.at[axis] += used + kerf;
        rest.size[axis] -= used + kerf;
        (axis, machine, rest)
    });
    let best = halves
        .into_iter()
        .filter(|(axis, _, rest)| rest.size[*axis] > 0 && keepable(rest.size))
        .filter(|(axis, ..)| too_large[*axis] || too_large == [false; 2])
        .max_by(|one, other| one.2.square_inches().total_cmp(&other.2.square_inches()));
    let forced = halves.into_iter().find(|(axis, ..)| too_large[*axis]);
    let Some((axis, machine, rest)) = best.or(forced) else {
        cell.what = What::Machine;
        return;
    };
    let mut kept = Cell { patch: machine, what: What::Leftover };
    let still = Offer { patch: machine, part: Patch { size: part.size, ..machine }, ..*offer };
    if too_large[1 - axis] {
        give(&mut kept, &still, end, kerf);
    } else {
        kept.what = What::Machine;
    }
    let rest = (rest.size[axis] > 0).then_some(Cell { patch: rest, what: What::Leftover });
    cell.what = What::Split(axis, std::iter::once(kept).chain(rest).collect());
}

/// A sheet as it is handed out.
fn finished(job: &Job, open: &Open, kerf: i64) -> Option<SheetCut> {
    let whole = sheet_size(job.stock.get(open.stock)?)?;
    let mut sheet = SheetCut { stock: open.stock, ..SheetCut::default() };
    match &open.root {
        Some(root) => {
            let plan = plan(whole, root, kerf);
            sheet.placed = plan.placed;
            sheet.cuts = plan.cuts;
            sheet.machine = plan.machine;
            sheet.offcuts = plan.offcuts;
        }
        None => {
            sheet.machine = Some(Patch { at: [0; 2], size: whole }.area());
            sheet.offcuts = open.free.iter().map(|patch| patch.area()).collect::<Vec<Area>>();
        }
    }
    if let Some(machine) = sheet.machine {
        let whole = Patch { at: [0; 2], size: whole }.area();
        sheet.on_mat = mat::turn(whole, machine, &mut sheet.cuts, job.rules.mat);
    }
    sheet.placed.extend(&open.placed);
    Some(sheet)
}

/// Copies without a place, by item.
fn counted(job: &Job, margin: i64, trimmed: &Trimmed, left_out: &[u32]) -> Vec<LeftOut> {
    let room = |stock| {
        let inside = inside_rim(stock, margin).map(|patch| patch.size);
        sheet_size(stock).into_iter().chain(inside)
    };
    let stocked = job.stock.iter().any(|stock| sheet_size(stock).is_some());
    let trimmer_fits = |item: usize| {
        trimmed.blocks.iter().filter(|block| block.has(item)).any(|block| {
            job.stock.iter().any(|stock| {
                room(stock).enumerate().any(|(inside, room)| {
                    block.shape.ways().iter().any(|&way| {
                        let size = block.shape.lying(way);
                        if inside == 0 && margin > 0 { room == size } else { holds(room, size) }
                    })
                })
            })
        })
    };
    let mut counted = Vec::new();
    for (item, &copies) in left_out.iter().enumerate().filter(|(_, copies)| **copies > 0) {
        let fits = match job.items[item].tool {
            Tool::Machine => machine_fits(job, &job.items[item]),
            Tool::Trimmer | Tool::Hand => trimmer_fits(item),
        };
        let sized = bounding_size(&job.items[item]).is_some();
        counted.push(LeftOut { item, copies, too_large: stocked && sized && !fits });
    }
    counted
}

/// What limited the number of sheets.
fn notes(job: &Job, sheets: &[SheetCut], left_out: &[u32], least: Bound) -> Vec<String> {
    let mut notes = Vec::new();
    for (item, _) in left_out.iter().enumerate().filter(|(_, copies)| **copies > 0) {
        let item = &job.items[item];
        if bounding_size(item).is_none() {
            notes.push(format!("{} has no size, so there is nothing to cut", item.id));
        } else if item.copies > MOST_COPIES {
            notes.push(format!("no more than {MOST_COPIES} pieces are cut in one go"));
        }
    }
    let new = new_sheets(&job.stock, sheets);
    let complete = left_out.iter().all(|&copies| copies == 0);
    if complete && new > 0 && new == least.sheets as usize && least.sheets > 1 {
        notes.push(least.reason());
    }
    notes
}

/// Says so where no cheaper mix of sheets can do, although fewer sheets might.
fn cheapest(job: &Job, sheets: &[SheetCut], proof: Proof, least: Bound) -> Option<String> {
    let new = new_sheets(&job.stock, sheets);
    let machine = job.items.iter().any(|item| item.tool == Tool::Machine && item.copies > 0);
    (proof.cost && !machine && new > least.sheets as usize)
        .then(|| "no cheaper sheets can do: every way of sharing the pieces out was tried".into())
}
