//! Corners of an outline: where one segment does not go on as the one before it ended.

use kurbo::{ParamCurve, ParamCurveDeriv, PathSeg, Vec2};

/// A bend of more than this in radians (20 degrees) is a corner.
const BEND: f64 = 0.35;
/// A slope shorter than this in inches says nothing of the direction.
const STILL: f64 = 1e-6;
/// Where a segment is looked at instead if it stands still at its end, as a share of it.
const INSIDE: f64 = 0.01;

/// Whether there is a corner between two segments that follow each other.
pub fn is_corner(before: &PathSeg, after: &PathSeg) -> bool {
    let (coming, leaving) = (slope(before, 1.0, 1.0 - INSIDE), slope(after, 0.0, INSIDE));
    coming.cross(leaving).atan2(coming.dot(leaving)).abs() > BEND
}

/// The way a segment runs at a place, or at another where it stands still there.
fn slope(segment: &PathSeg, at: f64, otherwise: f64) -> Vec2 {
    let slope = |at: f64| match segment {
        PathSeg::Line(line) => line.deriv().eval(at).to_vec2(),
        PathSeg::Quad(quad) => quad.deriv().eval(at).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(at).to_vec2(),
    };
    let there = slope(at);
    if there.hypot() > STILL { there } else { slope(otherwise) }
}
