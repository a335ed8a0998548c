//! Circular arcs as cubics.

use std::f64::consts::{FRAC_PI_4, TAU};

use kurbo::{BezPath, Point, Vec2};

/// The widest arc that one cubic stands for. At an eighth of a turn it strays from the circle by 4
/// millionths of the radius (24 millionths of an inch on a 12 in circle), at a quarter by 270.
const WIDEST: f64 = FRAC_PI_4;

/// Goes on to a point in a straight line, or begins there; nothing if it is there already.
pub(crate) fn line(path: &mut BezPath, to: Point) {
    match path.current_position() {
        None => path.move_to(to),
        Some(here) if here.distance(to) > 1e-9 => path.line_to(to),
        Some(_) => {}
    }
}

/// Goes on along a circle, from the angle `begin` by `sweep` radians, clockwise on the page where
/// positive; angles are from the x axis towards y. The path must be at the arc's beginning.
pub(crate) fn arc(path: &mut BezPath, centre: Point, radius: f64, begin: f64, sweep: f64) {
    if radius <= 0.0 {
        return;
    }
    let mut count = 1_u32;
    while sweep.abs() / f64::from(count) > WIDEST + 1e-9 {
        count += 1;
    }
    let step = sweep / f64::from(count);
    // The handle length with which a cubic touches its arc in the middle.
    let handle = radius * 4.0 / 3.0 * (step / 4.0).tan();
    for index in 0..count {
        let [from, to] = [0, 1].map(|end| begin + step * f64::from(index + end));
        let [out, back] = [from, to].map(|angle| Vec2::new(angle.cos(), angle.sin()));
        path.curve_to(
            centre + out * radius + out.turn_90() * handle,
            centre + back * radius - back.turn_90() * handle,
            centre + back * radius,
        );
    }
}

/// A closed circle, clockwise on the page.
pub(crate) fn circle_path(centre: Point, radius: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(centre + Vec2::new(radius, 0.0));
    arc(&mut path, centre, radius, 0.0, TAU);
    path.close_path();
    path
}
