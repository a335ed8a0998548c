//! Stitch holes an eighth of an inch apart along outlines, found by the program's own walk on curves and by
//! `lyon_algorithms` on flattened ones: how far from evenly spaced, how far off the curve, and the time.
//!
//! `cargo run --release --example walking`

#![expect(clippy::cast_possible_truncation, reason = "`lyon_algorithms` counts in 32 bits")]

use std::time::Instant;

use cutleaf::geometry::walk::Walk;
use kurbo::{
    BezPath, Circle, Ellipse, ParamCurve, ParamCurveArclen, ParamCurveNearest, PathEl, PathSeg,
    Point, Shape,
};
use lyon_algorithms::path::Path;
use lyon_algorithms::path::math::point;
use lyon_algorithms::walk::{RegularPattern, WalkerEvent, walk_along_path};

/// From one hole to the next, in inches.
const APART: f64 = 0.125;
/// How far the polygon that `lyon_algorithms` walks may stray from its curve, in inches.
const TOLERANCES: [f32; 3] = [1e-3, 1e-4, 1e-5];
/// Times each is walked.
const TIMES: u32 = 20;

fn outlines() -> Vec<(&'static str, BezPath)> {
    let wave = BezPath::from_svg("M0.5 6C2 1 4 1 6 6S10 11 11.5 6").expect("a path");
    let loops = BezPath::from_svg("M1 1C11 1 11 9 3 9S1 3 6 3Q9 3 9 5").expect("a path");
    vec![
        ("circle, 11 in", Circle::new((6.0, 6.0), 5.5).to_path(1e-9)),
        ("ellipse, 11 by 3 in", Ellipse::new((6.0, 6.0), (5.5, 1.5), 0.3).to_path(1e-9)),
        ("wave", wave),
        ("loop", loops),
    ]
}

/// The holes by curves.
fn by_curves(path: &BezPath) -> Vec<Point> {
    let walk = Walk::of(path.segments(), 1e-9);
    let mut holes = Vec::new();
    let mut along = 0.0;
    while along < walk.length() {
        holes.extend(walk.point(along));
        along = APART * holes.len() as f64;
    }
    holes
}

/// The holes by a flattened path of 32-bit numbers.
fn by_polygon(path: &BezPath, tolerance: f32) -> Vec<Point> {
    let at = |place: Point| point(place.x as f32, place.y as f32);
    let mut drawn = Path::builder();
    let mut open = false;
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(to) => {
                if open {
                    drawn.end(false);
                }
                drawn.begin(at(to));
                open = true;
            }
            PathEl::LineTo(to) => {
                drawn.line_to(at(to));
            }
            PathEl::QuadTo(one, to) => {
                drawn.quadratic_bezier_to(at(one), at(to));
            }
            PathEl::CurveTo(one, two, to) => {
                drawn.cubic_bezier_to(at(one), at(two), at(to));
            }
            PathEl::ClosePath => {
                drawn.end(true);
                open = false;
            }
        }
    }
    if open {
        drawn.end(false);
    }
    let mut holes = Vec::new();
    let mut pattern = RegularPattern {
        callback: &mut |event: WalkerEvent<'_>| {
            holes.push(Point::new(event.position.x.into(), event.position.y.into()));
            true
        },
        interval: APART as f32,
    };
    walk_along_path(drawn.build().iter(), 0.0, tolerance, &mut pattern);
    holes
}

/// How far a place lies along a path, near a length, and how far off it.
fn along(segments: &[(f64, PathSeg)], place: Point, near: f64) -> (f64, f64) {
    segments
        .iter()
        .map(|(begin, segment)| {
            let nearest = segment.nearest(place, 1e-14);
            let length = begin + segment.subsegment(0.0..nearest.t).arclen(1e-12);
            (length, nearest.distance_sq.sqrt())
        })
        // A path that crosses itself is met twice.
        .min_by(|one, other| {
            let far = |(length, off): &(f64, f64)| off + (length - near).abs().min(1.0) * 1e-2;
            far(one).total_cmp(&far(other))
        })
        .expect("a segment")
}

fn told(name: &str, path: &BezPath, holes: impl Fn() -> Vec<Point>) {
    let begun = Instant::now();
    let mut found = Vec::new();
    for _ in 0..TIMES {
        found = holes();
    }
    let time = begun.elapsed() / TIMES;
    let mut begin = 0.0;
    let segments: Vec<(f64, PathSeg)> = path
        .segments()
        .map(|segment| {
            let place = (begin, segment);
            begin += segment.arclen(1e-12);
            place
        })
        .collect();
    let [mut uneven, mut astray, mut off] = [0.0_f64; 3];
    let mut before = 0.0;
    for (index, hole) in found.iter().enumerate() {
        let wanted = APART * index as f64;
        let (length, distance) = along(&segments, *hole, wanted);
        if index > 0 {
            uneven = uneven.max((length - before - APART).abs());
            astray = astray.max((length - wanted).abs());
        }
        off = off.max(distance);
        before = length;
    }
    println!("| {name} | {} | {uneven:.1e} | {astray:.1e} | {off:.1e} | {time:.1?} |", found.len());
}

fn main() {
    println!(
        "| | holes | spacing off by | place along off by | off the curve by | time |\n|---|---|---|---|---|---|"
    );
    for (name, path) in outlines() {
        told(&format!("{name}: curves"), &path, || by_curves(&path));
        for tolerance in TOLERANCES {
            told(&format!("{name}: polygon within {tolerance:e}"), &path, || {
                by_polygon(&path, tolerance)
            });
        }
    }
}
