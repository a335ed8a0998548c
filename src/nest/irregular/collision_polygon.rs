//! An outline as the one solid polygon that the collision engine wants: grown by half the spacing,
//! openings joined to the outside by a slit, loose parts joined by a thread.
//!
//! The polygon always holds the grown outline, but for slits too thin for anything to lie in. So what
//! is clear of another polygon keeps the spacing on paper.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::primitives::{Point, SPolygon};
use kurbo::BezPath;

use crate::geometry::{self, Ring, ring_area};
use crate::kept::Kept;

/// How far a polygon may stray from its curve before it is grown, in inches: a third of the finest
/// ruler mark, and the growth makes up for it.
const COARSE: f64 = 0.005;
/// Chord of a rounded corner in radians: a corner grown by 1/32 in strays by 0.001 in.
const CHORD: f64 = 0.5;
/// Width of slits and threads in inches: far under any spacing, far over the engine's rounding.
const SLIT: f64 = 0.002;
/// Most slits and threads of one piece; a form with more is nested by its outside alone.
const MOST_JOINS: usize = 64;
/// Circles inside a form, by which the engine estimates overlap: at most this many at each coverage.
pub(super) const CIRCLES: SPSurrogateConfig = SPSurrogateConfig {
    n_pole_limits: [(64, 0.0), (16, 0.8), (8, 0.9)],
    ff_pole_area_ratio: 0.3,
    n_ff_piers: 0,
};

/// The forms made last, by their rings: many more than a spread has. The circles inside a form take longer
/// than all else about it, and a paper's pieces are searched again and again.
static FORMS: Kept<Ring, Option<CollisionPolygon>> = Kept::new(256);

/// A form for the engine.
#[derive(Clone, Debug)]
pub(super) struct CollisionPolygon {
    /// The polygon, its bounding box's middle at the origin.
    pub shape: SPolygon,
    /// Where that middle lies in the outline's own measure, in inches.
    pub middle: [f64; 2],
}

impl CollisionPolygon {
    /// A form grown by half of `spacing`; openings smaller than `smallest` square inches are closed.
    /// Nothing if the outline is no form at all.
    pub fn of(outline: &BezPath, spacing: f64, smallest: f64) -> Option<Self> {
        let rings = geometry::rings(outline, COARSE);
        if rings.is_empty() {
            return None;
        }
        let bodies: Vec<Vec<Ring>> = rings.simplify_shape_as::<i64>(FillRule::EvenOdd);
        let grown = grown(&bodies, growth(spacing));
        let open = grown
            .into_iter()
            .map(|body| {
                let keeps = |(index, ring): &(usize, Ring)| {
                    *index == 0 || ring_area(ring).abs() >= smallest
                };
                body.into_iter().enumerate().filter(keeps).map(|(_, ring)| ring).collect()
            })
            .collect();
        let ring = one_ring(open)?;
        Self::of_ring(&ring)
    }

    /// A form as it is.
    pub fn of_ring(ring: &[[f64; 2]]) -> Option<Self> {
        FORMS.of(ring.to_vec(), |ring| Self::made(ring))
    }

    fn made(ring: &[[f64; 2]]) -> Option<Self> {
        let bounds = |axis: usize| {
            let lows = ring.iter().map(|point| point[axis]);
            let low = lows.clone().fold(f64::INFINITY, f64::min);
            (low + lows.fold(f64::NEG_INFINITY, f64::max)) / 2.0
        };
        let middle = [bounds(0), bounds(1)];
        let mut points: Vec<Point> = Vec::with_capacity(ring.len());
        for point in ring {
            let point = Point(narrow(point[0] - middle[0]), narrow(point[1] - middle[1]));
            if points.last() != Some(&point) {
                points.push(point);
            }
        }
        while points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        let mut shape = SPolygon::new(points).ok()?;
        shape.generate_surrogate(CIRCLES).ok()?;
        Some(Self { shape, middle })
    }
}

/// By how much a form is grown so that two of them keep `spacing` between their true curves.
pub(super) fn growth(spacing: f64) -> f64 {
    (spacing / 2.0 + COARSE) / (CHORD / 2.0).cos()
}

/// A measure in the engine's own accuracy.
#[expect(clippy::cast_possible_truncation, reason = "rounding to the nearest is what is wanted")]
pub(super) fn narrow(measure: f64) -> f32 {
    measure as f32
}

fn grown(bodies: &Vec<Vec<Ring>>, distance: f64) -> Vec<Vec<Ring>> {
    let style = OutlineStyle::new(distance).line_join(LineJoin::Round(CHORD));
    bodies.outline_as::<i64>(&style)
}

/// Bodies with openings as a single ring: threads join the bodies, slits open the openings. When that
/// takes too many, the openings are closed and the convex hull is left to the caller as nothing.
fn one_ring(mut bodies: Vec<Vec<Ring>>) -> Option<Ring> {
    for _ in 0..MOST_JOINS {
        if bodies.len() < 2 {
            break;
        }
        let thread = thread(&bodies[0], &bodies[1..])?;
        bodies = bodies.overlay_as::<i64>(&thread, OverlayRule::Union, FillRule::NonZero);
    }
    for _ in 0..MOST_JOINS {
        let [body] = bodies.as_slice() else { return None };
        let Some(hole) = body.get(1) else { break };
        let slit = slit(hole, body)?;
        bodies = bodies.overlay_as::<i64>(&slit, OverlayRule::Difference, FillRule::NonZero);
        // A slit may cut a hair off.
        bodies.retain(|body| body.first().is_some_and(|ring| ring_area(ring).abs() > SLIT));
    }
    let [body] = bodies.as_slice() else { return None };
    body.first().cloned()
}

/// A thin bar between the first body and the nearest of the others.
fn thread(first: &[Ring], others: &[Vec<Ring>]) -> Option<Ring> {
    let mut nearest: Option<(f64, [[f64; 2]; 2])> = None;
    for to in others.iter().filter_map(|body| body.first()).flatten() {
        for from in first.first()? {
            let apart = (to[0] - from[0]).hypot(to[1] - from[1]);
            if nearest.is_none_or(|(least, _)| apart < least) {
                nearest = Some((apart, [*from, *to]));
            }
        }
    }
    let (apart, [from, to]) = nearest?;
    let along = if apart > 0.0 {
        [(to[0] - from[0]) / apart, (to[1] - from[1]) / apart]
    } else {
        [1.0, 0.0]
    };
    Some(bar(from, to, along))
}

/// A thin bar from an opening's rightmost corner to the next edge on its right.
fn slit(hole: &Ring, body: &[Ring]) -> Option<Ring> {
    let from = hole.iter().copied().max_by(|one, other| one[0].total_cmp(&other[0]))?;
    let mut next = f64::INFINITY;
    for ring in body {
        for (index, one) in ring.iter().enumerate() {
            let other = ring[(index + 1) % ring.len()];
            let (low, high) = (one[1].min(other[1]), one[1].max(other[1]));
            if low > from[1] || high < from[1] || high - low < 1e-12 {
                continue;
            }
            let x = one[0] + (other[0] - one[0]) * (from[1] - one[1]) / (other[1] - one[1]);
            if x > from[0] + 1e-6 {
                next = next.min(x);
            }
        }
    }
    next.is_finite().then(|| bar(from, [next, from[1]], [1.0, 0.0]))
}

/// A bar of the slit's width that reaches a little beyond both ends.
fn bar(from: [f64; 2], to: [f64; 2], along: [f64; 2]) -> Ring {
    let half = SLIT / 2.0;
    let reach = |point: [f64; 2], sign: f64| {
        [point[0] + sign * SLIT * along[0], point[1] + sign * SLIT * along[1]]
    };
    let aside = |point: [f64; 2], sign: f64| {
        [point[0] - sign * half * along[1], point[1] + sign * half * along[0]]
    };
    let (start, end) = (reach(from, -1.0), reach(to, 1.0));
    vec![aside(start, -1.0), aside(end, -1.0), aside(end, 1.0), aside(start, 1.0)]
}
