//! The constructive start: shapes laid on a fine grid, each at the topmost, then leftmost free place.
//!
//! A cell that a shape touches is its own, and so is every cell nearer than the spacing, so what is
//! free on the grid is free on the paper: the answer is safe whatever the outline (bottom-left fill,
//! Baker, Coffman & Rivest 1980, turned upside down). A search over the order of the pieces, with a
//! fixed number of tries, keeps the best answer.

use std::sync::Arc;

use kurbo::{BezPath, Shape as _};

use super::grid_fill::Paper;
use super::raster::Raster;
use super::{Container, Kinds, Placement, Shape};
use crate::geometry;
use crate::kept::Kept;
use crate::nest::{Effort, Search, Turns};
use crate::search::Chance;

/// Side of a grid cell in inches: half the usual spacing, so little is lost to rounding.
const CELL: f64 = 1.0 / 32.0;
/// Cells of one container at most; larger containers get coarser cells.
const MOST_CELLS: f64 = 4e6;
/// Turns tried for a piece that may lie at any angle, in a full turn.
const ANGLES: u32 = 24;
/// Pieces above which the order is not searched: one fill takes long enough.
const MOST_SEARCHED: usize = 1_500;

/// Packs the shapes into the containers, earlier ones first. A shape without a place gets none.
pub(super) fn pack(
    containers: &[Container],
    shapes: &[Shape<'_>],
    kinds: &Kinds,
    spacing: f64,
    effort: Effort,
    search: &Search,
) -> Vec<Option<Placement>> {
    let cell = cell(containers);
    let sort_of = |&first: &usize| {
        let Shape { outline, turns } = shapes[first];
        SORTS.of((outline.clone(), turns, cell, spacing), |(outline, turns, cell, spacing)| {
            Arc::new(Sort::new(outline, *turns, *cell, *spacing))
        })
    };
    let sorts: Vec<Arc<Sort>> = kinds.firsts.iter().map(sort_of).collect();
    GridFill { containers, sorts: &sorts, sort_of: &kinds.of, cell }.search(effort, search)
}

/// Side of a grid cell, coarser for very large containers.
fn cell(containers: &[Container]) -> f64 {
    let largest = containers
        .iter()
        .map(|container| container.size[0].max(0.0) * container.size[1].max(0.0))
        .filter(|area| area.is_finite())
        .fold(0.0, f64::max);
    CELL.max((largest / MOST_CELLS).sqrt())
}

/// Forms on grids made last, by outline, turns, side of a cell and spacing: a paper's pieces are laid again
/// and again.
static SORTS: Kept<(BezPath, Turns, f64, f64), Arc<Sort>> = Kept::new(256);

/// A form, in each way that it may lie.
struct Sort {
    ways: Vec<TurnedForm>,
    area: f64,
    longest: f64,
    extent: f64,
}

/// A form turned.
struct TurnedForm {
    turn: f64,
    /// Width and height of the turned outline in inches.
    size: [f64; 2],
    /// Cells that it touches.
    raster: Raster,
    /// Cells nearer than the spacing, and how far they reach beyond the form.
    around: Raster,
    reach: usize,
}

impl Sort {
    fn new(outline: &BezPath, turns: Turns, cell: f64, spacing: f64) -> Self {
        let turns: Vec<f64> = match turns {
            Turns::Never => vec![0.0],
            Turns::Half => vec![0.0, 180.0],
            Turns::Quarter => vec![0.0, 90.0, 180.0, 270.0],
            Turns::Any => {
                (0..ANGLES).map(|step| f64::from(step) * 360.0 / f64::from(ANGLES)).collect()
            }
        };
        let mut ways: Vec<TurnedForm> = Vec::new();
        for turn in turns {
            let Some(way) = TurnedForm::new(outline, turn, cell, spacing) else { continue };
            if ways.iter().all(|known| known.raster != way.raster) {
                ways.push(way);
            }
        }
        let size = ways.first().map_or([0.0; 2], |way| way.size);
        Self {
            area: outline.area().abs(),
            longest: size[0].max(size[1]),
            extent: size[0] * size[1],
            ways,
        }
    }
}

impl TurnedForm {
    /// Nothing for an outline that has no area or no bounds.
    fn new(outline: &BezPath, turn: f64, cell: f64, spacing: f64) -> Option<Self> {
        if !outline.elements().iter().all(kurbo::PathEl::is_finite) {
            return None;
        }
        let turned = geometry::turning(turn) * outline;
        let bounds = turned.bounding_box();
        let size = [bounds.width(), bounds.height()];
        let sound = size.iter().all(|side| side.is_finite() && *side > 0.0 && *side / cell < 1e5);
        if !sound {
            return None;
        }
        let moved = kurbo::Affine::translate((-bounds.x0, -bounds.y0)) * turned;
        let rings = geometry::rings(&moved, geometry::FLATTENING / 4.0);
        let raster = Raster::of(&rings, size, cell)?;
        let (around, reach) = raster.grown(spacing, cell);
        Some(Self { turn, size, raster, around, reach })
    }
}

/// What is to be packed.
struct GridFill<'a> {
    containers: &'a [Container],
    sorts: &'a [Arc<Sort>],
    sort_of: &'a [usize],
    cell: f64,
}

/// How good an answer is; smaller is better: pieces without a place, cost and number of containers in
/// use, then how far down the last one is filled.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
struct FillWorth(usize, f64, usize, f64);

struct Answer {
    placements: Vec<Option<Placement>>,
    worth: FillWorth,
}

impl GridFill<'_> {
    /// The best answer of a fixed number of orders.
    fn search(&self, effort: Effort, search: &Search) -> Vec<Option<Placement>> {
        let count = self.sort_of.len();
        let sorted = |measure: &dyn Fn(&Sort) -> f64| {
            let mut order: Vec<usize> = (0..count).collect();
            order.sort_by(|&one, &other| {
                let measure = |index: usize| measure(&self.sorts[self.sort_of[index]]);
                measure(other).total_cmp(&measure(one)).then(one.cmp(&other))
            });
            order
        };
        let mut order = sorted(&|sort| sort.extent);
        let mut best = self.fill(&order);
        if !(2..=MOST_SEARCHED).contains(&count) {
            return best.placements;
        }
        for measure in [
            &(|sort: &Sort| sort.longest) as &dyn Fn(&Sort) -> f64,
            &|sort: &Sort| sort.area,
            &|sort: &Sort| sort.ways.first().map_or(0.0, |way| way.size[1]),
        ] {
            let other = sorted(measure);
            let answer = self.fill(&other);
            if answer.worth < best.worth {
                (best, order) = (answer, other);
            }
        }
        let mut chance = Chance::new(0);
        for _ in 0..tries(effort, count) {
            if !search.step() {
                break;
            }
            let mut other = order.clone();
            let (one, two) = (chance.place(count), chance.place(count));
            if chance.place(2) == 0 {
                other.swap(one, two);
            } else {
                let moved = other.remove(one);
                other.insert(two, moved);
            }
            let answer = self.fill(&other);
            if answer.worth <= best.worth {
                (best, order) = (answer, other);
            }
        }
        best.placements
    }

    /// Lays the pieces in an order, each into the first container that has room.
    fn fill(&self, order: &[usize]) -> Answer {
        let mut papers: Vec<Option<Paper>> = self.containers.iter().map(|_| None).collect();
        let mut placements: Vec<Option<Placement>> = vec![None; self.sort_of.len()];
        let mut depth = vec![0.0_f64; self.containers.len()];
        // A form that once found no room in a container finds none later either.
        let mut full = vec![0_usize; self.sorts.len()];
        for &piece in order {
            let sort_index = self.sort_of[piece];
            let sort = &self.sorts[sort_index];
            for number in full[sort_index]..self.containers.len() {
                let size = self.containers[number].size;
                let paper = papers[number].get_or_insert_with(|| Paper::new(size, self.cell));
                let place = sort
                    .ways
                    .iter()
                    .enumerate()
                    .filter_map(|(index, way)| {
                        let at = paper.place(&way.raster, way.size)?;
                        let bottom = at[1] as f64 * self.cell + way.size[1];
                        Some((bottom, at, index))
                    })
                    .min_by(|one, other| one.0.total_cmp(&other.0).then(one.1[0].cmp(&other.1[0])));
                let Some((bottom, at, way)) = place else {
                    full[sort_index] = number + 1;
                    continue;
                };
                let way = &sort.ways[way];
                paper.take(&way.around, at, way.reach);
                depth[number] = depth[number].max(bottom);
                placements[piece] = Some(Placement {
                    container: number,
                    at: at.map(|cells| cells as f64 * self.cell),
                    turn: way.turn,
                });
                break;
            }
        }
        let worth = self.worth(&placements, &depth);
        Answer { placements, worth }
    }

    fn worth(&self, placements: &[Option<Placement>], depth: &[f64]) -> FillWorth {
        let missing = placements.iter().filter(|placement| placement.is_none()).count();
        let used = |number: &usize| depth[*number] > 0.0;
        let cost = (0..depth.len()).filter(used).map(|number| self.containers[number].cost).sum();
        let containers = (0..depth.len()).filter(used).count();
        let last = (0..depth.len()).rev().find(used).map_or(0.0, |number| depth[number]);
        FillWorth(missing, cost, containers, last)
    }
}

/// How many orders are tried: a count, never a time, so that results repeat.
fn tries(effort: Effort, pieces: usize) -> usize {
    let insertions = match effort {
        Effort::Quick => 0,
        Effort::Normal => 200,
        Effort::Long => 1_500,
    };
    insertions / pieces.max(1)
}
