//! A job on its way to a plan, what bounds it, and which of two plans stays.

use kurbo::Shape as _;

use super::draft::{Draft, Open};
use super::irregular_part::{Machine, machine_fits, outline_of};
use crate::nest::bounds::{self, Bound, Demand, bound};
use crate::nest::guillotine::Proof;
use crate::nest::rectangles::{
    MOST_COPIES, Rectangle, Sheets, blocks, bounding_size, costs, holds, inside_rim, kerf,
    sheet_size, trim_margin,
};
use crate::nest::worth::Worth;
use crate::nest::{Job, LeftOut, Nested, Search, Tool};

/// The best plan so far.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub worth: Worth,
    pub nested: Nested,
    pub left_out: Vec<u32>,
    /// Its sheets as they were before they were written out.
    pub open: Vec<Open>,
    /// What all searches together have proven.
    pub proof: Proof,
}

/// A job on its way to a plan.
pub(super) struct Task<'a> {
    pub job: &'a Job,
    pub search: &'a Search,
    pub machine: Machine<'a>,
    pub kerf: i64,
    pub margin: i64,
    pub least: Bound,
    /// New sheets that the trimmer's pieces alone need.
    pub sheet_bound: u32,
    /// No plan costs less.
    pub cost_bound: i128,
}

impl<'a> Task<'a> {
    pub fn new(job: &'a Job, search: &'a Search) -> Self {
        let kerf = kerf(job);
        let margin = trim_margin(job);
        let whole = demand(job, kerf, margin);
        let least = bound(&whole);
        let sheet_bound = bound(&Demand { machine_area: 0.0, ..whole }).sheets;
        Self {
            job,
            search,
            machine: Machine::new(job, search),
            kerf,
            margin,
            least,
            sheet_bound,
            cost_bound: cost_bound(job),
        }
    }

    /// Takes a plan if it is better than the best so far.
    pub fn consider(&self, best: &mut Option<Candidate>, draft: Draft, proof: Proof) -> bool {
        let found = self.found(draft, proof);
        self.better(best, found)
    }

    /// The better of two plans; both proofs hold for it.
    pub fn better(&self, best: &mut Option<Candidate>, mut found: Candidate) -> bool {
        let Some(known) = best else {
            *best = Some(found);
            return true;
        };
        let proof = known.proof.and(found.proof);
        let better = found.worth < known.worth;
        if better {
            std::mem::swap(known, &mut found);
        }
        known.proof = proof;
        better
    }

    /// A draft written out and weighed.
    pub fn found(&self, mut draft: Draft, proof: Proof) -> Candidate {
        self.machine.relieve(&mut draft);
        let sheets = draft.open.iter().filter_map(|open| self.machine.finished(open)).collect();
        let left_out = self.counted(&draft.left_out);
        let nested = Nested { sheets, left_out, ..Nested::default() };
        let worth = Worth::of(self.job, &nested);
        Candidate { worth, nested, left_out: draft.left_out, open: draft.open, proof }
    }
}

/// The least that new sheets with enough paper for all pieces cost.
fn cost_bound(job: &Job) -> i128 {
    let fits = |item: &&crate::nest::Item| match item.tool {
        Tool::Machine => machine_fits(job, item),
        Tool::Trimmer | Tool::Hand => bounding_size(item).is_some(),
    };
    let asked: f64 =
        job.items.iter().filter(fits).map(|item| item.area() * f64::from(item.copies)).sum();
    let costs = costs(job);
    let kinds = job.stock.iter().zip(costs).filter_map(|(stock, cost)| {
        Some(Sheets { size: sheet_size(stock)?, count: stock.count, cost, old: stock.is_old() })
    });
    bounds::least_cost_by_area(asked, &kinds.collect::<Vec<_>>())
}

/// What the bound is computed from.
pub(super) fn demand(job: &Job, kerf: i64, margin: i64) -> Demand {
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

impl Task<'_> {
    /// Copies without a place, by item.
    pub fn counted(&self, left_out: &[u32]) -> Vec<LeftOut> {
        let (job, margin) = (self.job, self.margin);
        if left_out.iter().all(|&copies| copies == 0) {
            return Vec::new();
        }
        let blocks = blocks(job, self.kerf);
        let room = |stock| {
            let inside = inside_rim(stock, margin).map(|patch| patch.size);
            sheet_size(stock).into_iter().chain(inside)
        };
        let stocked = job.stock.iter().any(|stock| sheet_size(stock).is_some());
        let trimmer_fits = |item: usize| {
            blocks.iter().filter(|block| block.has(item)).any(|block| {
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
}
