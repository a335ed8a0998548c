//! A better answer from a good one: fewer sheets, the emptiest sheet emptied further, and what is left
//! on it pushed together.

use kurbo::Shape as _;
use rayon::prelude::*;

use super::arrangement::{Arrangement, Form, Pose, room};
use super::collision_polygon::{CollisionPolygon, growth, narrow};
use super::separation::{Budget, Patience, Separator};
use super::shortening::Shortening;
use super::{Container, Kinds, Placement, Shape};
use crate::geometry;
use crate::nest::{Effort, Search, Turns};
use crate::search::Chance;
use jagua_rs::geometry::primitives::Rect;

/// Pieces above which only the fill is used: a table of all pairs is kept.
const MOST_MOVED: usize = 400;
/// Share of the sheets that grown pieces may cover; more has never been seen to work out.
const FULLEST: f64 = 0.95;
/// What the engine's numbers lose on a sheet, in inches; a piece so near to an edge lies at the edge.
const ROUNDING: f64 = 1e-5;
/// Shares of the budget, of 8: for a sheet less, and for emptying the emptiest.
const FOR_FEWER: u64 = 4;
const FOR_EMPTYING: u64 = 2;
/// Pushing together ends when one in so many of its evaluations went by without a gain, but not before so
/// many: only a long search has so many evaluations.
const IDLE_SHARE: u64 = 3;
const LEAST_IDLE: u64 = 100_000;
/// Patience with a whole sheet less, and with one piece more on a full sheet.
const WITH_A_SHEET: Patience = Patience { rounds: 200, returns: 3 };
const WITH_A_PIECE: Patience = Patience { rounds: 25, returns: 1 };

/// How many places are looked at: a count, never a time, so that results repeat.
fn evaluations(effort: Effort, pieces: usize) -> u64 {
    let (each, most) = match effort {
        Effort::Quick => (0, 0),
        Effort::Normal => (4_000, 120_000),
        Effort::Long => (400_000, 12_000_000),
    };
    u64::try_from(pieces).unwrap_or(u64::MAX).saturating_mul(each).min(most)
}

/// A better answer than `filled`, if the effort allows for a search.
pub(super) fn better(
    containers: &[Container],
    shapes: &[Shape<'_>],
    kinds: &Kinds,
    spacing: f64,
    effort: Effort,
    filled: &[Option<Placement>],
    search: &Search,
) -> Option<Vec<Option<Placement>>> {
    let evaluations = evaluations(effort, shapes.len());
    if evaluations == 0 || shapes.is_empty() || shapes.len() > MOST_MOVED {
        return None;
    }
    let smallest = shapes.iter().map(|shape| shape.outline.area().abs()).fold(f64::MAX, f64::min);
    let forms: Option<Vec<Form>> =
        kinds.firsts.par_iter().map(|&first| form(&shapes[first], spacing, smallest)).collect();
    let forms = forms?;
    let poses = (0..shapes.len())
        .map(|piece| Some(pose(&shapes[piece], &forms[kinds.of[piece]], filled[piece].as_ref()?)))
        .collect();
    let sizes = containers.iter().map(|container| container.size.map(narrow)).collect();
    let mut fewer = FewerSheets {
        containers,
        forms: &forms,
        form_of: &kinds.of,
        sizes,
        poses,
        chance: Chance::new(3),
        search,
    };
    let mut budget = Budget::new(evaluations * FOR_FEWER / 8, search);
    fewer.fit_the_rest(&mut budget);
    while fewer.drop_a_sheet(&mut budget) {}
    budget.evaluations += evaluations * FOR_EMPTYING / 8;
    let last = fewer.emptiest()?;
    fewer.empty(last, &mut budget);
    budget.evaluations += evaluations - evaluations * (FOR_FEWER + FOR_EMPTYING) / 8;
    fewer.push_together(fewer.emptiest()?, budget.evaluations);
    let placed = fewer.poses.iter().enumerate().map(|(piece, pose)| {
        let form = &forms[kinds.of[piece]];
        pose.map(|pose| placement(&shapes[piece], form, &pose, containers[pose.sheet].size))
    });
    Some(placed.collect())
}

/// A form for the engine.
fn form(shape: &Shape<'_>, spacing: f64, smallest: f64) -> Option<Form> {
    let solid = CollisionPolygon::of(shape.outline, spacing, smallest)?;
    let degrees: &[f64] = match shape.turns {
        Turns::Never => &[0.0],
        Turns::Half => &[0.0, 180.0],
        Turns::Quarter => &[0.0, 90.0, 180.0, 270.0],
        Turns::Any => &[],
    };
    let turns = degrees
        .iter()
        .map(|&degrees| {
            let turned = geometry::turning(degrees) * shape.outline;
            let bounds = turned.bounding_box();
            let middle = geometry::turning(degrees) * geometry::point(solid.middle);
            let bounds = Rect {
                x_min: narrow(bounds.x0 - middle.x),
                y_min: narrow(bounds.y0 - middle.y),
                x_max: narrow(bounds.x1 - middle.x),
                y_max: narrow(bounds.y1 - middle.y),
            };
            (narrow(degrees.to_radians()), bounds)
        })
        .collect();
    let weight = solid.shape.surrogate().convex_hull_area.sqrt();
    // Less than the growth, so that a box at a free turn is never too small.
    let grown = narrow((spacing / 2.0).min(growth(spacing)));
    Some(Form { solid, turns, grown, weight })
}

fn pose(shape: &Shape<'_>, form: &Form, placement: &Placement) -> Pose {
    let turned = geometry::turning(placement.turn) * shape.outline;
    let bounds = turned.bounding_box();
    let middle = geometry::turning(placement.turn) * geometry::point(form.solid.middle);
    let at = [placement.at[0] - bounds.x0 + middle.x, placement.at[1] - bounds.y0 + middle.y];
    Pose {
        sheet: placement.container,
        turn: narrow(placement.turn.to_radians()),
        at: at.map(narrow),
    }
}

fn placement(shape: &Shape<'_>, form: &Form, pose: &Pose, sheet: [f64; 2]) -> Placement {
    let mut turn = f64::from(pose.turn).to_degrees().rem_euclid(360.0);
    if !form.turns.is_empty() {
        turn = (turn / 90.0).round() * 90.0;
    }
    let bounds = (geometry::turning(turn) * shape.outline).bounding_box();
    let middle = geometry::turning(turn) * geometry::point(form.solid.middle);
    let at = [
        f64::from(pose.at[0]) + bounds.x0 - middle.x,
        f64::from(pose.at[1]) + bounds.y0 - middle.y,
    ];
    // A hair over or under the edge is rounding.
    let sides = [bounds.width(), bounds.height()];
    let at = [0, 1].map(|axis| {
        let last = sheet[axis] - sides[axis];
        if (at[axis] - last).abs() < ROUNDING {
            last.max(0.0)
        } else if at[axis].abs() < ROUNDING {
            0.0
        } else {
            at[axis]
        }
    });
    Placement { container: pose.sheet, at, turn }
}

/// The answer so far.
struct FewerSheets<'a> {
    containers: &'a [Container],
    forms: &'a [Form],
    form_of: &'a [usize],
    sizes: Vec<[f32; 2]>,
    poses: Vec<Option<Pose>>,
    chance: Chance,
    search: &'a Search,
}

impl FewerSheets<'_> {
    fn area(&self, piece: usize) -> f64 {
        f64::from(self.forms[self.form_of[piece]].solid.shape.area())
    }

    fn extent(&self, container: usize) -> f64 {
        self.containers[container].size.iter().product()
    }

    fn lying_on(&self, container: usize) -> Vec<usize> {
        let lies = |piece: &usize| self.poses[*piece].is_some_and(|pose| pose.sheet == container);
        (0..self.poses.len()).filter(lies).collect()
    }

    fn used(&self) -> Vec<usize> {
        (0..self.containers.len()).filter(|&one| !self.lying_on(one).is_empty()).collect()
    }

    /// The used container with the most free paper; one that costs before one that doesn't.
    fn emptiest(&self) -> Option<usize> {
        let free = |container: usize| {
            let taken: f64 = self.lying_on(container).iter().map(|&piece| self.area(piece)).sum();
            self.extent(container) - taken
        };
        self.used().into_iter().max_by(|&one, &other| {
            let costs = |container: usize| self.containers[container].cost > 0.0;
            costs(one)
                .cmp(&costs(other))
                .then(free(one).total_cmp(&free(other)))
                .then(other.cmp(&one))
        })
    }

    /// A random pose of a piece on one of these containers, if it fits any.
    fn thrown(&mut self, piece: usize, containers: &[usize]) -> Option<Pose> {
        let form = &self.forms[self.form_of[piece]];
        let turns: Vec<f32> = if form.turns.is_empty() {
            vec![self.chance.between(0.0, std::f32::consts::TAU), 0.0]
        } else {
            form.turns.iter().map(|(turn, _)| *turn).collect()
        };
        let mut fitting = Vec::new();
        for &sheet in containers {
            for &turn in &turns {
                if let Some(room) = room(self.sizes[sheet], form.at_turn(turn)) {
                    fitting.push((sheet, turn, room));
                }
            }
        }
        let &(sheet, turn, [low, high]) = fitting.get(self.chance.place(fitting.len()))?;
        let at = [0, 1].map(|axis| self.chance.between(low[axis], high[axis]));
        Some(Pose { sheet, turn, at })
    }

    /// Lays `pieces` on `containers`, those at another container thrown; keeps it if nothing overlaps.
    fn try_on(
        &mut self,
        pieces: &[usize],
        containers: &[usize],
        patience: Patience,
        budget: &mut Budget,
    ) -> bool {
        let room: f64 = containers.iter().map(|&container| self.extent(container)).sum();
        let area: f64 = pieces.iter().map(|&piece| self.area(piece)).sum();
        if budget.is_spent() || containers.is_empty() || area > room * FULLEST {
            return false;
        }
        let mut poses = Vec::with_capacity(pieces.len());
        for &piece in pieces {
            let kept = self.poses[piece].filter(|pose| containers.contains(&pose.sheet));
            let Some(pose) = kept.or_else(|| self.thrown(piece, containers)) else { return false };
            let sheet = containers.iter().position(|&container| container == pose.sheet);
            poses.push(Pose { sheet: sheet.unwrap_or(0), ..pose });
        }
        let form_of: Vec<usize> = pieces.iter().map(|&piece| self.form_of[piece]).collect();
        let sizes: Vec<[f32; 2]> = containers.iter().map(|&one| self.sizes[one]).collect();
        let mut movers = Separator::new(Arrangement::new(self.forms, &form_of, &sizes, poses));
        let sheets: Vec<usize> = (0..sizes.len()).collect();
        let apart = movers.separate(&sheets, patience, budget);
        if apart {
            for (&piece, pose) in pieces.iter().zip(movers.arrangement().poses()) {
                self.poses[piece] = Some(Pose { sheet: containers[pose.sheet], ..*pose });
            }
        }
        apart
    }

    /// Finds room for pieces without a place.
    fn fit_the_rest(&mut self, budget: &mut Budget) {
        if self.poses.iter().any(Option::is_none) {
            let all: Vec<usize> = (0..self.poses.len()).collect();
            let containers: Vec<usize> = (0..self.containers.len()).collect();
            self.try_on(&all, &containers, WITH_A_SHEET, budget);
        }
    }

    /// Does without the dearest container, the emptiest of them first; true if that worked.
    fn drop_a_sheet(&mut self, budget: &mut Budget) -> bool {
        let used = self.used();
        let dearest = used.iter().map(|&one| self.containers[one].cost).fold(0.0_f64, f64::max);
        if dearest <= 0.0 {
            return false;
        }
        let taken = |container: usize| -> f64 {
            self.lying_on(container).iter().map(|&piece| self.area(piece)).sum()
        };
        let dropped = used
            .iter()
            .copied()
            .filter(|&one| self.containers[one].cost >= dearest)
            .min_by(|&one, &other| taken(one).total_cmp(&taken(other)).then(other.cmp(&one)));
        let Some(dropped) = dropped else { return false };
        // What costs nothing may be used too, and so may one sheet that is cheaper.
        let kept = |container: &usize| {
            *container != dropped
                && (used.contains(container) || self.containers[*container].cost <= 0.0)
        };
        let mut containers: Vec<usize> = (0..self.containers.len()).filter(kept).collect();
        let placed: Vec<usize> =
            (0..self.poses.len()).filter(|&piece| self.poses[piece].is_some()).collect();
        if self.try_on(&placed, &containers, WITH_A_SHEET, budget) {
            return true;
        }
        let cheaper = (0..self.containers.len())
            .filter(|one| !containers.contains(one) && self.containers[*one].cost < dearest)
            .min_by(|&one, &other| {
                self.containers[one].cost.total_cmp(&self.containers[other].cost)
            });
        let Some(cheaper) = cheaper else { return false };
        containers.push(cheaper);
        self.try_on(&placed, &containers, WITH_A_SHEET, budget)
    }

    /// Moves pieces from a container to the others in use, the largest first, as long as there is room.
    fn empty(&mut self, container: usize, budget: &mut Budget) {
        let others: Vec<usize> =
            self.used().into_iter().filter(|&other| other != container).collect();
        if others.is_empty() {
            return;
        }
        let mut moving = self.lying_on(container);
        moving.sort_by(|&one, &other| self.area(other).total_cmp(&self.area(one)));
        for piece in moving {
            let mut pieces: Vec<usize> =
                others.iter().flat_map(|&other| self.lying_on(other)).collect();
            pieces.push(piece);
            self.try_on(&pieces, &others, WITH_A_PIECE, budget);
        }
    }

    /// Makes what lies on a container as short as can be along its longer side.
    fn push_together(&mut self, container: usize, evaluations: u64) {
        let pieces = self.lying_on(container);
        let size = self.sizes[container];
        let axis = usize::from(size[1] >= size[0]);
        let poses: Vec<Pose> = pieces
            .iter()
            .filter_map(|&piece| self.poses[piece])
            .map(|pose| Pose { sheet: 0, ..pose })
            .collect();
        let end = pieces
            .iter()
            .zip(&poses)
            .map(|(&piece, pose)| {
                let bounds = self.forms[self.form_of[piece]].at_turn(pose.turn);
                pose.at[axis] + [bounds.x_max, bounds.y_max][axis]
            })
            .fold(0.0, f32::max);
        let mut sheet = size;
        sheet[axis] = end.min(size[axis]);
        let form_of: Vec<usize> = pieces.iter().map(|&piece| self.form_of[piece]).collect();
        let arrangement = Arrangement::new(self.forms, &form_of, &[sheet], poses);
        let mut movers = Separator::new(arrangement);
        let mut budget = Budget::new(evaluations, self.search);
        if !movers.separate(&[0], WITH_A_SHEET, &mut budget) {
            return;
        }
        let mut shortening = Shortening::new(movers.into_arrangement(), 0, axis, vec![0]);
        let idle = (budget.evaluations / IDLE_SHARE).max(LEAST_IDLE);
        shortening.run(budget.evaluations, idle, self.search);
        for (&piece, pose) in pieces.iter().zip(shortening.best().1) {
            self.poses[piece] = Some(Pose { sheet: container, ..*pose });
        }
    }
}
