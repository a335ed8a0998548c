//! Pieces lying on sheets, perhaps over each other, and how much: what overlap minimisation works on.
//!
//! Pieces always lie inside their sheet. How much two of them overlap is not measured but estimated
//! from circles inside them, as in Gardeyn, Vanden Berghe & Wauters (arXiv 2509.13329): the sum, over
//! pairs of circles, of how deep one goes into the other times the smaller radius, with a tail that
//! tells near from far for circles apart. Only pieces that truly collide, by the engine's polygons,
//! are estimated at all.

use std::sync::{Arc, LazyLock};

use jagua_rs::collision_detection::hazards::collector::BasicHazardCollector;
use jagua_rs::collision_detection::hazards::filter::HazardFilter;
use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::{Transformable, TransformableFrom};
use jagua_rs::geometry::primitives::{Rect, SPolygon};

use super::collision_polygon::{CIRCLES, CollisionPolygon};

/// How the engine divides a sheet: depth of its tree, and edges below which a branch is not divided.
const ENGINE: CDEConfig =
    CDEConfig { quadtree_depth: 4, cd_threshold: 16, item_surrogate_config: CIRCLES };
/// Room round a sheet that the engine knows, as a share of the sheet: polygons are grown by half the
/// spacing and may reach over the edge.
const ROUND: f32 = 0.25;
/// Circles further apart than this share of the larger form count as apart (the paper's epsilon).
const NEAR: f32 = 0.01;

/// Boxes of pieces nearer than this, in inches, are looked at by the engine: far over what its numbers lose.
const ROUNDING: f32 = 1e-3;

/// What the engine's world ends at, in inches from its middle: the engine asks for an end, nothing ever comes
/// near it, and so one serves sheets of all sizes. Made anew for every length that was tried, it took 7 % of
/// the demo's time.
const END: f32 = 10_000.0;
static OUTSIDE: LazyLock<Arc<SPolygon>> = LazyLock::new(|| {
    Arc::new(SPolygon::from(Rect { x_min: -END, y_min: -END, x_max: END, y_max: END }))
});

/// Who is in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum HazardOf {
    /// Where the engine's world ends.
    Outside,
    /// A piece, by number.
    Piece(usize),
}

impl HazardEntity for HazardOf {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Outside => GeoPosition::Exterior,
            Self::Piece(_) => GeoPosition::Interior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Piece(_))
    }
}

/// Leaves a piece itself and the world's end out.
struct Others(usize);

impl HazardFilter<HazardOf> for Others {
    fn is_irrelevant(&self, _: HazKey, entity: &HazardOf) -> bool {
        *entity == HazardOf::Outside || *entity == HazardOf::Piece(self.0)
    }
}

/// A form, ready to be laid.
#[derive(Clone, Debug)]
pub(super) struct Form {
    /// The engine's polygon, its middle at the origin.
    pub solid: CollisionPolygon,
    /// The turns it may have, in radians, each with the true outline's box round the middle;
    /// none where it may have any.
    pub turns: Vec<(f32, Rect)>,
    /// The true outline's distance from the polygon, for boxes at other turns.
    pub grown: f32,
    /// Square root of its convex hull's area: large forms weigh more.
    pub weight: f32,
}

impl Form {
    /// The box of the true outline round the middle at a turn.
    pub fn at_turn(&self, turn: f32) -> Rect {
        if let Some((_, bounds)) = self.turns.iter().find(|(known, _)| *known == turn) {
            return *bounds;
        }
        let turned = self.solid.shape.transform_clone(&Transformation::from_rotation(turn));
        let Rect { x_min, y_min, x_max, y_max } = turned.bbox();
        let less = self.grown.min((x_max - x_min) / 4.0).min((y_max - y_min) / 4.0);
        Rect { x_min: x_min + less, y_min: y_min + less, x_max: x_max - less, y_max: y_max - less }
    }

    /// The lesser side of its polygon's box.
    pub fn narrow_side(&self) -> f32 {
        let bounds = self.solid.shape.bbox();
        bounds.width().min(bounds.height())
    }
}

/// Where a piece lies: its middle, on a sheet, turned by radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pose {
    /// The sheet, by place.
    pub sheet: usize,
    /// Radians.
    pub turn: f32,
    /// The middle, in inches from the sheet's top left.
    pub at: [f32; 2],
}

impl Pose {
    fn transformation(&self) -> Transformation {
        Transformation::from_rotation(self.turn).translate((self.at[0], self.at[1]))
    }
}

/// Where the middle of a form may lie on a sheet: from, to; nothing where the form is too large.
pub(super) fn room(sheet: [f32; 2], bounds: Rect) -> Option<[[f32; 2]; 2]> {
    let low = [-bounds.x_min, -bounds.y_min];
    let mut high = [sheet[0] - bounds.x_max, sheet[1] - bounds.y_max];
    for axis in [0, 1] {
        if high[axis] < low[axis] {
            // A form of the sheet's very size may miss by rounding.
            if high[axis] < low[axis] - 1e-5 {
                return None;
            }
            high[axis] = low[axis];
        }
    }
    Some([low, high])
}

/// Pieces on sheets.
#[derive(Clone)]
pub(super) struct Arrangement<'a> {
    forms: &'a [Form],
    form_of: &'a [usize],
    sheets: Vec<[f32; 2]>,
    engines: Vec<CDEngine<HazardOf>>,
    poses: Vec<Pose>,
    lying: Vec<Arc<SPolygon>>,
    /// Overlap of each pair, twice, row by row.
    overlaps: Vec<f32>,
    /// Weight of each pair, twice, row by row; never under 1.
    weights: Vec<f32>,
}

impl<'a> Arrangement<'a> {
    /// Pieces, each of a form and at a pose, on sheets of these sizes.
    pub fn new(
        forms: &'a [Form],
        form_of: &'a [usize],
        sheets: &[[f32; 2]],
        poses: Vec<Pose>,
    ) -> Self {
        let count = form_of.len();
        let lying = poses
            .iter()
            .zip(form_of)
            .map(|(pose, &form)| {
                Arc::new(forms[form].solid.shape.transform_clone(&pose.transformation()))
            })
            .collect();
        let mut arrangement = Self {
            forms,
            form_of,
            sheets: sheets.to_vec(),
            engines: Vec::new(),
            poses,
            lying,
            overlaps: vec![0.0; count * count],
            weights: vec![1.0; count * count],
        };
        arrangement.rebuild();
        arrangement
    }

    /// The engines and overlaps anew.
    fn rebuild(&mut self) {
        self.engines = self.sheets.iter().map(|sheet| engine(*sheet)).collect();
        for piece in 0..self.len() {
            let hazard = Hazard::new(HazardOf::Piece(piece), self.lying[piece].clone());
            self.engines[self.poses[piece].sheet].register_hazard(hazard);
        }
        for piece in 0..self.len() {
            self.measure(piece);
        }
    }

    /// How many pieces there are.
    pub fn len(&self) -> usize {
        self.form_of.len()
    }

    /// The sheets' sizes.
    pub fn sheets(&self) -> &[[f32; 2]] {
        &self.sheets
    }

    /// Where each piece lies.
    pub fn poses(&self) -> &[Pose] {
        &self.poses
    }

    /// The form of a piece.
    pub fn form(&self, piece: usize) -> &'a Form {
        &self.forms[self.form_of[piece]]
    }

    /// The box of a piece's polygon where it lies.
    pub fn bounds(&self, piece: usize) -> Rect {
        self.lying[piece].bbox()
    }

    /// A polygon to be moved about for [`Arrangement::overlap_at`].
    pub fn probe(&self, piece: usize) -> SPolygon {
        self.lying[piece].as_ref().clone()
    }

    /// Whether two pieces have the same form.
    pub fn alike(&self, one: usize, other: usize) -> bool {
        self.form_of[one] == self.form_of[other]
    }

    /// The sum of all overlaps.
    pub fn overlap(&self) -> f32 {
        // Each pair stands twice; f64 keeps the sum independent of how small terms come.
        let sum: f64 = self.overlaps.iter().map(|&overlap| f64::from(overlap)).sum();
        super::collision_polygon::narrow(sum / 2.0)
    }

    /// Whether a piece overlaps another.
    pub fn overlaps(&self, piece: usize) -> bool {
        self.row(piece).iter().any(|&overlap| overlap > 0.0)
    }

    /// The weighted overlap of a piece with all others.
    pub fn weighted(&self, piece: usize) -> f32 {
        let count = self.len();
        let weights = &self.weights[piece * count..(piece + 1) * count];
        self.row(piece).iter().zip(weights).map(|(overlap, weight)| overlap * weight).sum()
    }

    /// The weighted sum of all overlaps.
    pub fn weighted_sum(&self) -> f32 {
        let pairs = self.overlaps.iter().zip(&self.weights);
        let sum: f64 = pairs.map(|(&one, &weight)| f64::from(one) * f64::from(weight)).sum();
        super::collision_polygon::narrow(sum / 2.0)
    }

    fn row(&self, piece: usize) -> &[f32] {
        &self.overlaps[piece * self.len()..(piece + 1) * self.len()]
    }

    /// The weighted overlap that a piece would have at a pose, or at least `most` if it is no less.
    pub fn overlap_at(&self, piece: usize, pose: &Pose, probe: &mut SPolygon, most: f32) -> f32 {
        let form = self.form(piece);
        probe.transform_from(&form.solid.shape, &pose.transformation());
        let weights = &self.weights[piece * self.len()..];
        let mut sum = 0.0;
        let shape: &SPolygon = probe;
        let add = |entity| {
            if let HazardOf::Piece(other) = entity {
                sum += self.estimate(shape, form, other) * weights[other];
            }
            sum >= most
        };
        self.collide(piece, pose.sheet, shape, add);
        sum
    }

    /// Tells `add` each piece in the way of a polygon until it has heard enough.
    fn collide(
        &self,
        piece: usize,
        sheet: usize,
        shape: &SPolygon,
        mut add: impl FnMut(HazardOf) -> bool,
    ) {
        let bounds = shape.bbox();
        let may_touch = |other: usize| {
            let lying = self.lying[other].bbox();
            other != piece
                && self.poses[other].sheet == sheet
                && bounds.x_min <= lying.x_max + ROUNDING
                && lying.x_min <= bounds.x_max + ROUNDING
                && bounds.y_min <= lying.y_max + ROUNDING
                && lying.y_min <= bounds.y_max + ROUNDING
        };
        // Free of all boxes it is free of all that lies in them, which takes the engine long to tell.
        if !(0..self.len()).any(may_touch) {
            return;
        }
        let engine = &self.engines[sheet];
        let mut found = BasicHazardCollector::with_capacity(0);
        let others = Others(piece);
        let enough =
            engine.collect_surrogate_collisions_until(shape, &others, &mut found, &mut add);
        if !enough {
            let _ = engine.collect_poly_collisions_until(shape, &others, &mut found, add);
        }
    }

    /// How much a polygon overlaps a piece that it collides with; more than 0.
    fn estimate(&self, shape: &SPolygon, form: &Form, other: usize) -> f32 {
        let lying = self.lying[other].as_ref();
        let near = shape.diameter().max(lying.diameter()) * NEAR;
        let mut deep = near * near;
        for one in &shape.surrogate().poles {
            for two in &lying.surrogate().poles {
                let (dx, dy) = (one.center.0 - two.center.0, one.center.1 - two.center.1);
                let depth = one.radius + two.radius - (dx * dx + dy * dy).sqrt();
                let penetration =
                    if depth >= near { depth } else { near * near / (2.0 * near - depth) };
                deep += penetration * one.radius.min(two.radius);
            }
        }
        deep.sqrt() * (form.weight * self.form(other).weight).sqrt()
    }

    /// Lays a piece elsewhere.
    pub fn lay(&mut self, piece: usize, pose: Pose) {
        let shape = Arc::new(self.form(piece).solid.shape.transform_clone(&pose.transformation()));
        let from = self.poses[piece].sheet;
        self.engines[from].deregister_hazard_by_entity(HazardOf::Piece(piece));
        self.engines[pose.sheet]
            .register_hazard(Hazard::new(HazardOf::Piece(piece), shape.clone()));
        self.lying[piece] = shape;
        self.poses[piece] = pose;
        self.measure(piece);
    }

    /// A piece's overlaps with all others anew.
    fn measure(&mut self, piece: usize) {
        let count = self.len();
        let mut found = Vec::new();
        let shape = self.lying[piece].clone();
        self.collide(piece, self.poses[piece].sheet, &shape, |entity| {
            if let HazardOf::Piece(other) = entity {
                found.push(other);
            }
            false
        });
        for other in 0..count {
            self.overlaps[piece * count + other] = 0.0;
            self.overlaps[other * count + piece] = 0.0;
        }
        for other in found {
            let overlap = self.estimate(&shape, self.form(piece), other);
            self.overlaps[piece * count + other] = overlap;
            self.overlaps[other * count + piece] = overlap;
        }
    }

    /// Makes pairs that overlap weigh more, the worst most, and lets the others' weights fade.
    pub fn weigh(&mut self) {
        // The paper's values.
        const LEAST: f32 = 1.2;
        const MOST: f32 = 2.0;
        const FADE: f32 = 0.95;
        let worst = self.overlaps.iter().copied().fold(0.0_f32, f32::max);
        if worst <= 0.0 {
            return;
        }
        for (weight, &overlap) in self.weights.iter_mut().zip(&self.overlaps) {
            *weight = if overlap > 0.0 {
                *weight * (LEAST + (MOST - LEAST) * overlap / worst)
            } else {
                (*weight * FADE).max(1.0)
            };
        }
    }

    /// All weights as at first.
    pub fn weigh_alike(&mut self) {
        self.weights.fill(1.0);
    }

    /// Lays every piece as in a list of poses.
    pub fn lay_all(&mut self, poses: &[Pose]) {
        for (piece, pose) in poses.iter().enumerate() {
            if self.poses[piece] != *pose {
                self.lay(piece, *pose);
            }
        }
    }

    /// Makes this a copy of an arrangement with the same pieces on the same sheets.
    pub fn become_like(&mut self, other: &Self) {
        for piece in 0..self.len() {
            if self.poses[piece] == other.poses[piece] {
                continue;
            }
            let from = self.poses[piece].sheet;
            self.engines[from].deregister_hazard_by_entity(HazardOf::Piece(piece));
            let hazard = Hazard::new(HazardOf::Piece(piece), other.lying[piece].clone());
            self.engines[other.poses[piece].sheet].register_hazard(hazard);
            self.lying[piece] = other.lying[piece].clone();
            self.poses[piece] = other.poses[piece];
        }
        self.overlaps.clone_from(&other.overlaps);
        self.weights.clone_from(&other.weights);
    }

    /// The pose moved so that the piece lies inside its sheet; nothing if it is too large for it.
    pub fn inside(&self, piece: usize, pose: Pose) -> Option<Pose> {
        let [low, high] = room(self.sheets[pose.sheet], self.form(piece).at_turn(pose.turn))?;
        let at = [0, 1].map(|axis| pose.at[axis].max(low[axis]).min(high[axis]));
        Some(Pose { at, ..pose })
    }

    /// Gives a sheet another size; pieces lie as in `poses`, moved inside. False, and nothing is done,
    /// if a piece is too large for it.
    pub fn resize(&mut self, sheet: usize, size: [f32; 2], poses: &[Pose]) -> bool {
        let before = std::mem::replace(&mut self.sheets[sheet], size);
        let inside: Option<Vec<Pose>> = poses
            .iter()
            .enumerate()
            .map(
                |(piece, pose)| {
                    if pose.sheet == sheet { self.inside(piece, *pose) } else { Some(*pose) }
                },
            )
            .collect();
        let Some(inside) = inside else {
            self.sheets[sheet] = before;
            return false;
        };
        self.lying = inside
            .iter()
            .enumerate()
            .map(|(piece, pose)| {
                Arc::new(self.form(piece).solid.shape.transform_clone(&pose.transformation()))
            })
            .collect();
        self.poses = inside;
        self.rebuild();
        true
    }
}

/// An engine for an empty sheet.
fn engine(sheet: [f32; 2]) -> CDEngine<HazardOf> {
    let round = sheet[0].max(sheet[1]) * ROUND;
    let bounds =
        Rect { x_min: -round, y_min: -round, x_max: sheet[0] + round, y_max: sheet[1] + round };
    let outside = Hazard::new(HazardOf::Outside, OUTSIDE.clone());
    CDEngine::new(bounds.inflate_to_square(), vec![outside], ENGINE)
}
