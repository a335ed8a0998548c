//! Leaves, clouds and sunbursts.

use crate::model::Fault;
use std::f64::consts::PI;

use kurbo::common::solve_itp;
use kurbo::{Affine, BezPath, CubicBez, ParamCurve, Point, Shape};

use super::{LEAST_PAPER, check_corners, check_size, on_circle, shown};
use crate::geometry::arc::{arc, line};
use crate::geometry::{Drawing, Line};
use crate::model::Process;

/// The most pairs of side veins on a leaf.
const MOST_VEINS: u32 = 40;

/// Half a leaf on a square of side 1, from the tip at the top to the stem, widest below its middle.
const HALF_LEAF: [[(f64, f64); 4]; 2] = [
    [(0.5, 0.0), (0.69, 0.13), (1.0, 0.34), (1.0, 0.6)],
    [(1.0, 0.6), (1.0, 0.81), (0.79, 0.93), (0.5, 1.0)],
];

/// How exactly a place on the edge of a leaf is found, as a share of its curve.
const EXACT: f64 = 1e-12;
/// A cloud's bumps, clockwise from the left end of its flat foot: where each ends, and by how much it
/// turns, in radians.
const BUMPS: [((f64, f64), f64); 5] = [
    ((0.155, 0.285), PI),
    ((0.36, 0.13), 2.15),
    ((0.69, 0.16), 2.5),
    ((0.845, 0.33), 1.95),
    ((0.85, 0.6), PI),
];

/// The left end of a cloud's foot.
const FOOT: (f64, f64) = (0.15, 0.6);

/// A disc of `middle` inches in diameter with `rays` that widen to a circle of `diameter` inches; rays
/// and gaps are equally wide.
pub fn sunburst(diameter: f64, rays: u32, middle: f64) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    check_size("diameter of the middle", middle)?;
    check_corners("rays", rays)?;
    if middle > diameter - 2.0 * LEAST_PAPER {
        return Err(Fault::new(
            format!("a middle of {} in leaves no rays", shown(middle)),
            format!("make it {} in or less", shown((diameter - 2.0 * LEAST_PAPER).max(0.0))),
        ));
    }
    let step = PI / f64::from(rays);
    if middle * (step / 2.0).sin() < LEAST_PAPER {
        return Err(Fault::new(
            format!("{rays} rays on a middle of {} in are too thin to cut", shown(middle)),
            "use fewer rays or a larger middle",
        ));
    }
    let [outer, inner] = [diameter / 2.0, middle / 2.0];
    let mut path = BezPath::new();
    for index in 0..rays {
        let begin = (2.0 * f64::from(index) - 0.5) * step;
        line(&mut path, on_circle(begin, inner));
        path.line_to(on_circle(begin, outer));
        arc(&mut path, Point::ORIGIN, outer, begin - PI / 2.0, step);
        path.line_to(on_circle(begin + step, inner));
        arc(&mut path, Point::ORIGIN, inner, begin + step - PI / 2.0, step);
    }
    path.close_path();
    Ok(Drawing::of(path))
}

/// A leaf of `width` by `height` inches, its tip at the top, with a score line along its middle and
/// `veins` pairs of them to the sides.
pub fn leaf(width: f64, height: f64, veins: u32) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    if veins > MOST_VEINS || f64::from(veins) * 2.0 * LEAST_PAPER > height {
        return Err(Fault::new(
            format!("{veins} pairs of veins are too many for a leaf {} in long", shown(height)),
            format!("give at most {MOST_VEINS} pairs, one for each 1/8 in"),
        ));
    }
    let scaled = Affine::scale_non_uniform(width, height);
    let mirrored = scaled * Affine::new([-1.0, 0.0, 0.0, 1.0, 1.0, 0.0]);
    let at = |point: (f64, f64)| scaled * Point::from(point);
    let back = |point: (f64, f64)| mirrored * Point::from(point);
    let mut path = BezPath::new();
    path.move_to(at(HALF_LEAF[0][0]));
    for [_, one, two, to] in HALF_LEAF {
        path.curve_to(at(one), at(two), at(to));
    }
    for [from, one, two, _] in HALF_LEAF.into_iter().rev() {
        path.curve_to(back(two), back(one), back(from));
    }
    path.close_path();
    let mut vein = BezPath::new();
    vein.move_to(at((0.5, 0.97)));
    vein.line_to(at((0.5, 0.07)));
    for index in 0..veins {
        let root = 0.86 - 0.62 * (f64::from(index) + 0.5) / f64::from(veins.max(1));
        let end = (0.5 + 0.74 * half_width(root - 0.13), root - 0.13);
        let bend = (0.5 + 0.5 * (end.0 - 0.5), root - 0.045);
        for to in [scaled, mirrored] {
            vein.move_to(to * Point::new(0.5, root));
            vein.quad_to(to * Point::from(bend), to * Point::from(end));
        }
    }
    let lines = vec![Line { process: Process::Score, path: vein, fold: None }];
    Ok(Drawing { outline: path, lines })
}

/// Half the width of the leaf on a square of side 1, so far below its tip.
fn half_width(down: f64) -> f64 {
    let half = if down < HALF_LEAF[0][3].1 { HALF_LEAF[0] } else { HALF_LEAF[1] };
    let [from, one, two, to] = half.map(Point::from);
    let curve = CubicBez::new(from, one, two, to);
    // Its ends lie at 0 and 1 and are met by themselves.
    let [above, below] = [from.y - down, to.y - down];
    let share = match (above < 0.0, below > 0.0) {
        (false, _) => 0.0,
        (_, false) => 1.0,
        _ => solve_itp(|share| curve.eval(share).y - down, 0.0, 1.0, EXACT, 1, 0.2, above, below),
    };
    curve.eval(share).x - 0.5
}

/// A cloud of `width` by `height` inches with a flat foot.
pub fn cloud(width: f64, height: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    let mut path = BezPath::new();
    let mut here = Point::from(FOOT);
    path.move_to(here);
    for (to, sweep) in BUMPS {
        let to = Point::from(to);
        let chord = to - here;
        let radius = chord.hypot() / 2.0 / (sweep / 2.0).sin();
        let centre =
            here.midpoint(to) + chord.normalize().turn_90() * (radius * (sweep / 2.0).cos());
        arc(&mut path, centre, radius, (here - centre).atan2(), sweep);
        here = to;
    }
    path.close_path();
    let bounds = path.bounding_box();
    let fitted = Affine::scale_non_uniform(width / bounds.width(), height / bounds.height())
        * Affine::translate((-bounds.x0, -bounds.y0));
    Ok(Drawing::of(fitted * path))
}
