//! Outlines grown and shrunk by an even distance, corners rounded, as true curves.
//!
//! In comes an outline, out comes the edge of everything within (or everything further inside than)
//! a distance of it: Minkowski's sum or difference with a disc. The border drawn by a round pen of
//! twice the distance is united with the outline or taken from it; the result is compared with
//! polygons grown by independent code, and the polygons are handed out where the two disagree.

pub(super) mod distance;

use kurbo::{Affine, BezPath, Cap, Join, ParamCurve, Stroke, StrokeOpts};

use super::boolean::polygon::Polygons;
use super::boolean::{self, Rule};
use distance::Edge;

/// How far the pen's border may stray from the true offset, in inches.
const PEN_ACCURACY: f64 = 1e-4;

/// How far curves and polygons may lie apart, in inches, before the polygons are taken.
const APART: f64 = 0.0015;

/// How far the polygons of the check stray from their curves, in inches: little beside [`APART`]; finer
/// ones only cost time.
const CHECKED_WITHIN: f64 = 2e-4;

/// A contour nearer to the source than the distance less this, in inches, is what a pen's inner
/// border leaves behind in tight bends (a swallow tail), not part of the offset.
const TAIL: f64 = 0.002;

/// Turns in radians, none near a right angle, and hairs added to the distance in inches, none that a
/// blade could show, that are tried in turn where the sweep line fails.
const ATTEMPTS: [(f64, f64); 5] =
    [(0.41, 0.0), (1.13, 0.0), (0.0, 3e-4), (0.41, -3e-4), (2.29, 5e-4)];
/// Distances under this, in inches, are below a blade's accuracy: nothing is done.
const LEAST_DISTANCE: f64 = 1e-4;

/// What becomes of holes when an outline grows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Holes {
    /// They shrink as the outline grows into them, and close if they are narrow.
    #[default]
    Keep,
    /// They are filled, and those that the growing would make too.
    Fill,
}

/// The outline grown by `distance` inches with round corners. A distance that isn't positive gives
/// the outline itself.
pub fn outward(path: &BezPath, distance: f64, holes: Holes) -> BezPath {
    let resolved = boolean::resolve(path, Rule::NonZero);
    match holes {
        Holes::Keep => moved(&resolved, distance, Side::Out),
        Holes::Fill => boolean::filled(&moved(&boolean::filled(&resolved), distance, Side::Out)),
    }
}

/// The outline shrunk by `distance` inches; nothing is left of parts narrower than twice that.
/// A distance that isn't positive gives the outline itself.
pub fn inward(path: &BezPath, distance: f64) -> BezPath {
    moved(&boolean::resolve(path, Rule::NonZero), distance, Side::In)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Out,
    In,
}

fn moved(source: &BezPath, distance: f64, side: Side) -> BezPath {
    let usable = distance.is_finite() && (LEAST_DISTANCE..boolean::FARTHEST).contains(&distance);
    if source.is_empty() || !usable {
        return source.clone();
    }
    let polygons = Polygons::within_tolerance(source, CHECKED_WITHIN);
    let wanted = polygons.offset(if side == Side::Out { distance } else { -distance });
    let there = Edge::of(&wanted);
    let agrees = |drawn: &BezPath| {
        let here = Edge::of(&Polygons::as_is(drawn));
        here.lies_along(&there, APART) && there.lies_along(&here, APART)
    };
    let drawn = by_pen(source, &Edge::of(&polygons), distance, side);
    if agrees(&drawn) {
        return drawn;
    }
    // Where the curves meet badly for the sweep line, they meet better once turned and a hair apart.
    let turned = ATTEMPTS.into_iter().map(|(angle, hair)| {
        let turn = Affine::rotate(angle);
        let distance = (distance + hair).max(LEAST_DISTANCE);
        let source = turn * source;
        let edge = Edge::of(&Polygons::within_tolerance(&source, CHECKED_WITHIN));
        turn.inverse() * by_pen(&source, &edge, distance, side)
    });
    turned
        .into_iter()
        .find(agrees)
        .unwrap_or_else(|| boolean::resolve(&wanted.to_path(), Rule::NonZero))
}

/// The source with the border of a round pen added or taken away, swallow tails removed.
fn by_pen(source: &BezPath, edge: &Edge, distance: f64, side: Side) -> BezPath {
    let pen = Stroke::new(2.0 * distance).with_join(Join::Round).with_caps(Cap::Round);
    let border = kurbo::stroke(source, &pen, &StrokeOpts::default(), PEN_ACCURACY);
    let whole = match side {
        Side::Out => boolean::join(source, &border),
        Side::In => boolean::subtract(source, &border),
    };
    let mut kept = BezPath::new();
    for contour in boolean::subpaths(&whole) {
        if !is_tail(&contour, edge, distance) {
            kept.extend(contour);
        }
    }
    kept
}

/// Whether most of a contour lies nearer to the source than an offset can.
fn is_tail(contour: &BezPath, edge: &Edge, distance: f64) -> bool {
    let reach = distance - TAIL;
    if reach <= 0.0 {
        return false;
    }
    let places = [0.0, 0.5];
    let probes: Vec<_> =
        contour.segments().flat_map(|segment| places.map(|t| segment.eval(t))).collect();
    let near = probes.iter().filter(|probe| edge.is_within([probe.x, probe.y], reach)).count();
    2 * near > probes.len()
}
