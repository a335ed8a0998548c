//! The machine's share of a plan: which paper its pieces lie on, and what stays whole beside them.
//!
//! A sheet has at most one part for the machine. It is a sheet of its own, or a leftover of a sheet that
//! the trimmer cuts; how much of that leftover goes to the machine is settled last, when nothing moves any
//! more.

mod pattern;

use kurbo::{BezPath, Shape as _};

use crate::geometry::{self, rectangle};
use crate::model::length::Length;
use crate::nest::guillotine::CutRules;
use crate::nest::irregular::{Container, Placement, Shape, pack};
use crate::nest::joint::draft::{Copy, Draft, IrregularPart, Open};
use crate::nest::joint::free_paper::{MARK, free_rectangles};
use crate::nest::mat;
use crate::nest::rectangles::{
    Cell, LONGEST, MOST_COPIES, Patch, Rectangle, What, bounding_size, costs, holds, kerf,
    sheet_size,
};
use crate::nest::{Effort, Form, Item, Job, PlacedItem, Search, SheetCut, Tool, Turns};
pub(in crate::nest::joint) use pattern::give_back;
use pattern::{give, largest_leftover};

/// Free paper is offered first where it has this much room for the pieces' bounding boxes.
const ROOMY: f64 = 1.25;
/// Most offcuts that pieces are moved to from new sheets: each costs a fill.
const MOST_RELIEF: usize = 16;

/// New sheets in the order in which they are used up: by place in the job.
pub(in crate::nest::joint) type Preference = Vec<usize>;

/// The rim of a sheet that the machine can't reach, in nanometres.
pub(in crate::nest::joint) fn machine_margin(job: &Job) -> i64 {
    job.rules.machine_margin.to_nanometres().clamp(0, LONGEST)
}

/// The outline of an item.
pub(in crate::nest::joint) fn outline_of(item: &Item) -> BezPath {
    match &item.form {
        Form::Rectangle(size) => rectangle(size.width.to_inches(), size.height.to_inches()),
        Form::Outline(outline) => outline.clone(),
    }
}

/// Whether a machine piece fits a sheet alone, as far as its bounding box tells.
pub(in crate::nest::joint) fn machine_fits(job: &Job, item: &Item) -> bool {
    let rim = machine_margin(job);
    let inside = |size: [i64; 2]| {
        mat::part_for(Patch { at: [0; 2], size }, job.rules.mat).size.map(|length| length - 2 * rim)
    };
    job.stock.iter().filter_map(sheet_size).any(|sheet| fits_in(item, inside(sheet)))
}

/// Whether a piece fits a room without rim, as far as its bounding box tells.
fn fits_in(item: &Item, room: [i64; 2]) -> bool {
    let Some(size) = bounding_size(item) else { return false };
    let shape = Rectangle { size, turns: item.turns.crosswise(), copies: 1, parts: None };
    let diagonal = (room[0] as f64).hypot(room[1] as f64);
    shape.ways().iter().any(|&way| holds(room, shape.lying(way)))
        || (item.turns == Turns::Any
            && room[0] > 0
            && room[1] > 0
            && (size[0].max(size[1]) as f64) <= diagonal)
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

/// The machine's side of a job.
pub(in crate::nest::joint) struct Machine<'a> {
    pub job: &'a Job,
    /// By item; empty for pieces of the trimmer.
    outlines: Vec<BezPath>,
    rim: i64,
    spacing: f64,
    costs: Vec<i128>,
    search: &'a Search,
}

impl<'a> Machine<'a> {
    pub fn new(job: &'a Job, search: &'a Search) -> Self {
        let outline = |item: &Item| match item.tool {
            Tool::Machine => outline_of(item),
            Tool::Trimmer | Tool::Hand => BezPath::new(),
        };
        Self {
            job,
            outlines: job.items.iter().map(outline).collect(),
            rim: machine_margin(job),
            spacing: job.rules.spacing.to_inches().max(0.0),
            costs: costs(job),
            search,
        }
    }

    /// Every copy that fits a sheet; those that don't, or are too many, are counted in `left_out`.
    pub fn copies(&self, left_out: &mut [u32]) -> Vec<Copy> {
        let mut room = MOST_COPIES;
        let mut copies = Vec::new();
        for (index, item) in self.job.items.iter().enumerate() {
            if item.tool != Tool::Machine {
                continue;
            }
            let count = if machine_fits(self.job, item) { item.copies.min(room) } else { 0 };
            room -= count;
            left_out[index] = item.copies - count;
            copies.extend((0..count).map(|copy| (index, copy)));
        }
        copies
    }

    /// New sheets, the cheapest first.
    fn cheapest_first(&self) -> Preference {
        let is_new = |&index: &usize| self.job.stock[index].offcut.is_none();
        let mut new: Vec<usize> = (0..self.job.stock.len()).filter(is_new).collect();
        new.sort_by_key(|&index| self.costs[index]);
        new
    }

    /// The orders in which new sheets may be used up: the cheapest first, then each other kind first.
    pub fn preferences(&self) -> Vec<Preference> {
        let cheapest = self.cheapest_first();
        let first = |&kind: &usize| {
            let others = cheapest.iter().copied().filter(move |&other| other != kind);
            std::iter::once(kind).chain(others).collect()
        };
        let others: Vec<Preference> = cheapest.iter().skip(1).map(first).collect();
        std::iter::once(cheapest.clone()).chain(others).collect()
    }

    /// What a sheet of a stock costs.
    pub fn cost(&self, stock: usize) -> i128 {
        self.costs[stock]
    }

    /// The area of the pieces on a sheet's part for the machine, in square inches.
    pub fn covered(&self, open: &Open) -> f64 {
        let placed = open.part.iter().flat_map(|part| &part.placed);
        placed.map(|one| self.job.items[one.item].area()).sum()
    }

    /// The room inside the rim, in inches.
    fn inside(&self, size: [i64; 2]) -> [f64; 2] {
        size.map(|length| Length::nanometres(length - 2 * self.rim).to_inches())
    }

    fn useful(&self, offer: &Offer) -> bool {
        offer.part.size.iter().all(|&length| length > 2 * self.rim)
    }

    /// Lays copies into containers.
    pub fn pack(
        &self,
        containers: &[Container],
        copies: &[Copy],
        effort: Effort,
    ) -> Vec<Option<Placement>> {
        let shapes: Vec<Shape<'_>> = copies
            .iter()
            .map(|&(item, _)| Shape {
                outline: &self.outlines[item],
                turns: self.job.items[item].turns,
            })
            .collect();
        pack(containers, &shapes, self.spacing, effort, self.search)
    }

    /// The area that copies ask for: their boxes with the spacing between.
    pub fn asked(&self, copies: &[Copy]) -> f64 {
        let boxes = copies.iter().map(|&(item, _)| self.outlines[item].bounding_box());
        boxes.map(|b| (b.width() + self.spacing) * (b.height() + self.spacing)).sum()
    }

    /// The height that copies take on paper of a width, rim included on both, and how they lie on it.
    /// Nothing if they take more than `tallest`.
    pub fn block(
        &self,
        copies: &[Copy],
        width: i64,
        tallest: i64,
        effort: Effort,
    ) -> Option<([i64; 2], Vec<PlacedItem>)> {
        let paper = Patch { at: [0; 2], size: [width, tallest] };
        let size = self.inside(mat::part_for(paper, self.job.rules.mat).size);
        if size.iter().any(|side| *side <= 0.0) {
            return None;
        }
        let placements = self.pack(&[Container { size, cost: 1.0 }], copies, effort);
        let placements: Option<Vec<Placement>> = placements.into_iter().collect();
        let placed: Vec<PlacedItem> = copies
            .iter()
            .zip(placements?)
            .map(|(&copy, placement)| self.placed(copy, &placement))
            .collect();
        Some((self.reach(&placed), placed))
    }

    /// Where a copy lies on its part.
    fn placed(&self, (item, copy): Copy, placement: &Placement) -> PlacedItem {
        let rim = Length::nanometres(self.rim).to_inches();
        PlacedItem { item, copy, at: placement.at.map(|at| at + rim), turn: placement.turn }
    }

    /// The box of a piece where it lies.
    fn bounds(&self, placed: &PlacedItem) -> [f64; 4] {
        let bounds = (geometry::turning(placed.turn) * &self.outlines[placed.item]).bounding_box();
        let [left, top] = placed.at;
        [left, top, left + bounds.width(), top + bounds.height()]
    }

    /// The paper that pieces take from its top left, rim included, to whole marks of a ruler.
    fn reach(&self, placed: &[PlacedItem]) -> [i64; 2] {
        [2, 3].map(|side| {
            let far = placed.iter().map(|one| self.bounds(one)[side]).fold(0.0, f64::max);
            let end = Length::inches(far).to_nanometres() + self.rim;
            (end + MARK - 1).div_euclid(MARK) * MARK
        })
    }

    /// Pieces turned by a quarter, clockwise, with the paper of this size that they lie on.
    pub fn turned(&self, placed: &[PlacedItem], size: [i64; 2]) -> Vec<PlacedItem> {
        let height = Length::nanometres(size[1]).to_inches();
        let turned = placed.iter().map(|one| {
            let [left, _, _, bottom] = self.bounds(one);
            let turn = (one.turn + 90.0).rem_euclid(360.0);
            PlacedItem { at: [height - bottom, left], turn, ..*one }
        });
        turned.collect()
    }

    /// Lays copies on free paper, then on new sheets; those that find no room are counted.
    pub fn lay(&self, draft: &mut Draft, copies: &[Copy], preference: &Preference, effort: Effort) {
        if copies.is_empty() {
            return;
        }
        let offers = self.offers(draft, preference, copies);
        let containers: Vec<Container> = offers
            .iter()
            .map(|offer| Container { size: self.inside(offer.part.size), cost: offer.cost })
            .collect();
        let placements = self.pack(&containers, copies, effort);
        for (&(item, _), placement) in copies.iter().zip(&placements) {
            draft.left_out[item] += u32::from(placement.is_none());
        }
        for (number, offer) in offers.iter().enumerate() {
            let lying = copies.iter().zip(&placements).filter_map(|(&copy, placement)| {
                let placement = placement.as_ref().filter(|one| one.container == number)?;
                Some(self.placed(copy, placement))
            });
            take_up(draft, offer, lying.collect());
        }
    }

    /// Paper for the machine, in the order in which it is to be used up.
    fn offers(&self, draft: &Draft, preference: &Preference, copies: &[Copy]) -> Vec<Offer> {
        let area = self.asked(copies);
        let mut free = self.unused_offcuts(draft, copies.len());
        in_order(&mut free, area);
        let is_offcut = |index: usize| self.job.stock[draft.open[index].stock].offcut.is_some();
        let (old, new): (Vec<usize>, Vec<usize>) =
            (0..draft.open.len()).partition(|&index| is_offcut(index));
        for sheets in [old, new] {
            let mut leftovers: Vec<Offer> =
                sheets.into_iter().filter_map(|index| self.leftover(draft, index)).collect();
            in_order(&mut leftovers, area);
            free.extend(leftovers);
        }
        for &index in preference {
            let Some(size) = sheet_size(&self.job.stock[index]) else { continue };
            let patch = Patch { at: [0; 2], size };
            let offer = Offer::of(self.job, Source::Stock(index), patch, self.costs[index] as f64);
            if !self.useful(&offer) {
                continue;
            }
            let size = offer.part.size.map(|length| length - 2 * self.rim);
            let inside = Patch { at: [0; 2], size };
            // A box that needs a sheet to itself covers at least a quarter of it.
            let quarters = 4.0 * area / inside.square_inches();
            let needed =
                (0..copies.len()).take_while(|&count| (count as f64) < quarters + 2.0).count();
            let unused = self.job.stock[index].count.saturating_sub(draft.used[index]) as usize;
            free.extend(std::iter::repeat_n(offer, unused.min(needed)));
        }
        free
    }

    fn unused_offcuts(&self, draft: &Draft, most: usize) -> Vec<Offer> {
        let mut offers = Vec::new();
        for (index, stock) in self.job.stock.iter().enumerate() {
            let (Some(_), Some(size)) = (&stock.offcut, sheet_size(stock)) else { continue };
            let patch = Patch { at: [0; 2], size };
            let count = (stock.count.saturating_sub(draft.used[index]) as usize).min(most);
            let offer = Offer::of(self.job, Source::Stock(index), patch, 0.0);
            if self.useful(&offer) {
                offers.extend(std::iter::repeat_n(offer, count));
            }
        }
        offers
    }

    /// The largest leftover of a sheet that has no part for the machine yet.
    fn leftover(&self, draft: &Draft, index: usize) -> Option<Offer> {
        let open = draft.open.get(index).filter(|open| open.part.is_none())?;
        let patch = largest_leftover(open.root.as_ref()?)?;
        let offer = Offer::of(self.job, Source::Leftover(index), patch, 0.0);
        self.useful(&offer).then_some(offer)
    }

    /// Moves pieces from new sheets to offcuts that have room for them, so that no new paper is cut into
    /// while a leftover would do.
    pub fn relieve(&self, draft: &mut Draft) {
        let is_offcut = |stock: usize| self.job.stock[stock].offcut.is_some();
        for _ in 0..MOST_RELIEF {
            let mut offers = self.unused_offcuts(draft, 1);
            let old = (0..draft.open.len()).filter(|&index| is_offcut(draft.open[index].stock));
            offers.extend(old.filter_map(|index| self.leftover(draft, index)));
            offers.sort_by(|one, other| {
                other.patch.square_inches().total_cmp(&one.patch.square_inches())
            });
            let mut movable: Vec<Copy> = Vec::new();
            for open in draft.open.iter().filter(|open| !is_offcut(open.stock)) {
                let placed = open.part.iter().flat_map(|part| &part.placed);
                movable.extend(placed.map(|one| (one.item, one.copy)));
            }
            movable.sort_by(|one, other| {
                let area = |copy: &Copy| self.job.items[copy.0].area();
                area(other).total_cmp(&area(one)).then(one.cmp(other))
            });
            let moved = offers.iter().find_map(|offer| {
                let room = offer.part.size.map(|length| length - 2 * self.rim);
                let fits = |copy: &&Copy| fits_in(&self.job.items[copy.0], room);
                let fitting: Vec<Copy> = movable.iter().filter(fits).copied().collect();
                let container = Container { size: self.inside(offer.part.size), cost: 0.0 };
                let placements = self.pack(&[container], &fitting, Effort::Quick);
                let lying: Vec<PlacedItem> = fitting
                    .iter()
                    .zip(&placements)
                    .filter_map(|(&copy, placement)| Some(self.placed(copy, placement.as_ref()?)))
                    .collect();
                (!lying.is_empty()).then_some((*offer, lying))
            });
            let Some((offer, lying)) = moved else { return };
            for part in draft.open.iter_mut().filter_map(|open| open.part.as_mut()) {
                let stays = |one: &PlacedItem| {
                    !lying.iter().any(|other| (other.item, other.copy) == (one.item, one.copy))
                };
                part.placed.retain(stays);
            }
            take_up(draft, &offer, lying);
            for open in &mut draft.open {
                if open.part.as_ref().is_some_and(|part| part.placed.is_empty()) {
                    open.part = None;
                    if let Some(root) = &mut open.root {
                        give_back(root);
                    }
                }
            }
            let used = &mut draft.used;
            draft.open.retain(|open| {
                let empty = open.part.is_none()
                    && open.root.as_ref().is_none_or(|root| root.what == What::Leftover);
                used[open.stock] -= u32::from(empty);
                !empty
            });
        }
    }

    /// A sheet as it is handed out.
    pub fn finished(&self, open: &Open) -> Option<SheetCut> {
        let whole = sheet_size(self.job.stock.get(open.stock)?)?;
        let kerf = kerf(self.job);
        let rules = &self.job.rules;
        let table = CutRules {
            kerf,
            worth_keeping: rules.worth_keeping,
            rim_is_paper: rules.rim_is_paper,
            staged: rules.stages.is_some(),
        };
        let placed = open.part.as_ref().map_or(&[] as &[PlacedItem], |part| &part.placed);
        let boxes: Vec<[f64; 4]> = placed.iter().map(|one| self.bounds(one)).collect();
        let distances = [self.spacing, Length::nanometres(kerf).to_inches()];
        let free = |size: [i64; 2]| free_rectangles(size, &boxes, distances, rules.worth_keeping);
        let mut sheet = SheetCut { stock: open.stock, ..SheetCut::default() };
        let Some(root) = &open.root else {
            sheet.machine = Some(Patch { at: [0; 2], size: whole }.area());
            sheet.offcuts = free(whole).iter().map(|patch| patch.area()).collect();
            sheet.placed = placed.to_vec();
            self.on_mat(&mut sheet, whole);
            return Some(sheet);
        };
        let mut root = root.clone();
        let mut inside = Vec::new();
        if let Some(part) = &open.part {
            let most = mat::part_for(part.patch, rules.mat).size;
            let end = self.reach(placed);
            let end = [0, 1].map(|axis| end[axis].min(most[axis]));
            let given = give(&mut root, part.patch, [end, most], &table);
            inside = given.map_or_else(Vec::new, free);
        }
        let plan = table.plan(whole, &root, &inside);
        (sheet.placed, sheet.cuts) = (plan.placed, plan.cuts);
        (sheet.machine, sheet.offcuts) = (plan.machine, plan.offcuts);
        if let Some(machine) = sheet.machine {
            let origin = [machine.left.to_inches(), machine.top.to_inches()];
            let moved = |one: &PlacedItem| PlacedItem {
                at: [0, 1].map(|axis| origin[axis] + one.at[axis]),
                ..*one
            };
            sheet.placed.extend(placed.iter().map(moved));
        }
        self.on_mat(&mut sheet, whole);
        Some(sheet)
    }

    /// Says when the machine has its turn.
    fn on_mat(&self, sheet: &mut SheetCut, whole: [i64; 2]) {
        if let Some(machine) = sheet.machine {
            let whole = Patch { at: [0; 2], size: whole }.area();
            sheet.on_mat = mat::turn(whole, machine, &mut sheet.cuts, self.job.rules.mat);
        }
    }
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

/// Writes down that pieces lie on the paper of an offer.
fn take_up(draft: &mut Draft, offer: &Offer, placed: Vec<PlacedItem>) {
    if placed.is_empty() {
        return;
    }
    let part = Some(IrregularPart { patch: offer.patch, placed });
    match offer.source {
        Source::Leftover(index) => draft.open[index].part = part,
        Source::Stock(stock) => {
            draft.used[stock] += 1;
            // Where the sheet doesn't lie on the mat, the trimmer cuts the part out of it.
            let cut = offer.part != offer.patch;
            let root = cut.then_some(Cell { patch: offer.patch, what: What::Leftover });
            draft.open.push(Open { stock, root, part });
        }
    }
}
