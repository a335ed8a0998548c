//! Outlines grown and shrunk by an even distance, corners rounded, as true curves.
//!
//! In comes an outline, out comes the edge of everything within (or everything further inside than)
//! a distance of it: Minkowski's sum or difference with a disc. The border drawn by a round pen of
//! twice the distance is united with the outline or taken from it; the result is compared with
//! polygons grown by independent code, and the polygons are handed out where the two disagree.

pub(super) mod distance;

use std::cell::OnceCell;

use kurbo::{Affine, BezPath, Cap, Join, ParamCurve, Stroke, StrokeOpts};

use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::boolean::{self, Rule};
use crate::kept::Kept;
use distance::Edge;

/// How far the pen's border may stray from the true offset, in inches: good for most outlines, and for what
/// a first check left open.
const PEN_ACCURACY: (f64, f64) = (1e-4, 1e-5);

/// How far curves and polygons may lie apart, in inches, before they are looked at more closely.
const APART: f64 = 8e-4;

/// The same on the closer look: at the tip of a narrow notch a little less distance moves the edge much, so
/// that even the polygons' tips lie this far off.
const TIPS_APART: f64 = 0.005;

/// The same where the polygons are the finest, which costs most and is done last.
const EXACT_APART: f64 = 0.0015;

/// By how much, in inches, any point of an offset may be nearer to the source, or farther, than asked.
const OFF: f64 = 6e-4;

/// How far the polygons of the check stray from their curves, in inches, and those from which distances are
/// measured on the closer look: finer ones only cost time.
const CHECKED_WITHIN: (f64, f64) = (2e-4, 1e-5);

/// How far the chords of corners stray from their arcs, in inches, in the check and in what is handed out
/// where curves fail.
const ARC_ERROR: (f64, f64) = (1e-4, 1e-5);

/// Contours of less area than this, in square inches (0.003 in square), may be in the polygons alone: no
/// blade can cut them, and [`boolean`] drops the smallest as dust.
const SPECK: f64 = 1e-5;

/// A contour nearer to the source than the distance less this, in inches, is what a pen's inner
/// border leaves behind in tight bends (a swallow tail), not part of the offset.
const TAIL: f64 = 0.002;

/// Turns in radians, none near a right angle, and hairs added to the distance in inches, none that a
/// blade could show, that are tried in turn where the sweep line fails.
const ATTEMPTS: [(f64, f64); 5] =
    [(0.41, 0.0), (1.13, 0.0), (0.0, 3e-4), (0.41, -3e-4), (2.29, 5e-4)];
/// Distances under this, in inches, are below a blade's accuracy: nothing is done.
const LEAST_DISTANCE: f64 = 1e-4;

/// Outlines moved last, by source, distance and side: backings and middles of a few spreads.
static MOVED: Kept<(BezPath, f64, Side), BezPath> = Kept::new(256);

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
    MOVED.of((source.clone(), distance, side), |(source, distance, side)| {
        moved_anew(source, *distance, *side)
    })
}

fn moved_anew(source: &BezPath, distance: f64, side: Side) -> BezPath {
    let signed = if side == Side::Out { distance } else { -distance };
    let polygons = Polygons::within_tolerance(source, CHECKED_WITHIN.0);
    let wanted = polygons.offset_within(signed, ARC_ERROR.0);
    let drawn = by_pen(source, &Edge::of(&polygons), distance, side, PEN_ACCURACY.0);
    if agrees(&drawn, &wanted, APART) {
        return drawn;
    }
    let fine = Polygons::within_tolerance(source, CHECKED_WITHIN.1);
    let edge = Edge::of(&fine);
    let exactly = OnceCell::new();
    let exact = || exactly.get_or_init(|| fine.offset_within(signed, ARC_ERROR.1));
    let is_right = |drawn: &BezPath| {
        let here = Edge::of(&Polygons::as_is(drawn));
        here.lies_between(&edge, [distance - OFF, distance + OFF])
            && (agrees(drawn, &wanted, TIPS_APART) || agrees(drawn, exact(), EXACT_APART))
    };
    // Where the curves meet badly for the sweep line, they meet better once turned and a hair apart.
    let attempts = std::iter::once((0.0, 0.0)).chain(ATTEMPTS);
    let turned = attempts.map(|(angle, hair)| {
        let turn = Affine::rotate(angle);
        let distance = (distance + hair).max(LEAST_DISTANCE);
        let source = turn * source;
        let edge = Edge::of(&Polygons::within_tolerance(&source, CHECKED_WITHIN.0));
        turn.inverse() * by_pen(&source, &edge, distance, side, PEN_ACCURACY.1)
    });
    turned
        .into_iter()
        .find(is_right)
        .unwrap_or_else(|| boolean::resolve(&in_polygons(source, signed, &edge), Rule::NonZero))
}

/// The offset in polygons: as they lie or, where these leave out a part of the border, turned, the first that
/// is as far from its source as is asked all along.
fn in_polygons(source: &BezPath, signed: f64, edge: &Edge) -> BezPath {
    let distance = signed.abs();
    let turned = |angle: f64| {
        let turn = Affine::rotate(angle);
        let fine = Polygons::within_tolerance(&(turn * source), CHECKED_WITHIN.1);
        turn.inverse() * fine.offset_within(signed, ARC_ERROR.1).to_path()
    };
    let is_right = |moved: &BezPath| {
        let here = Edge::of(&Polygons::as_is(moved));
        here.lies_between(edge, [distance - OFF, distance + OFF])
    };
    let angles = std::iter::once(0.0).chain(ATTEMPTS.map(|(angle, _)| angle));
    let mut first = None;
    for moved in angles.map(turned) {
        if is_right(&moved) {
            return moved;
        }
        first.get_or_insert(moved);
    }
    first.unwrap_or_default()
}

/// Whether curves and polygons lie along each other.
fn agrees(drawn: &BezPath, wanted: &Polygons, apart: f64) -> bool {
    let here = Edge::of(&Polygons::as_is(drawn));
    here.lies_along(&Edge::of(wanted), apart)
        && Edge::of(&wanted.larger_than(SPECK)).lies_along(&here, apart)
}

/// The source with the border of a round pen added or taken away, swallow tails removed.
fn by_pen(source: &BezPath, edge: &Edge, distance: f64, side: Side, accuracy: f64) -> BezPath {
    let pen = Stroke::new(2.0 * distance).with_join(Join::Round).with_caps(Cap::Round);
    let border = kurbo::stroke(source, &pen, &StrokeOpts::default(), accuracy);
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
