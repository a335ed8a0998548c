//! Bars that join loose parts: a dot to its letter, a letter to its neighbour.
//!
//! In comes an outline in several parts, out comes one in which each part is joined to the nearest by
//! a straight bar: the shortest net that joins them all (Prim, 1957).

use kurbo::{BezPath, Point, Rect, Shape, Vec2};

use crate::geometry::boolean::polygon::{edges, ring_length};
use crate::geometry::{FLATTENING, Ring, boolean, point};

/// Points tried along an edge lie no further apart than this, in inches.
const STEP: f64 = 0.02;
/// The most points tried round one part.
const MOST_POINTS: f64 = 400.0;
/// Places this much further apart than the nearest, in inches and as a share, are as near: of a flat
/// edge over another the middle is joined.
const AS_NEAR: (f64, f64) = (0.002, 0.02);
/// How far a bar reaches into the parts it joins, as a share of its width, first and if that fails.
const REACHES: [f64; 3] = [0.6, 1.2, 2.5];
/// A part of less than this share of the largest one's area is a dot or an accent …
const SMALL: f64 = 0.2;
/// … which is joined to a letter rather than to another dot, unless that is this many times nearer.
const DOT_TO_DOT: f64 = 4.0;
/// The most parts that are joined; a title has a few dozen.
const MOST_PARTS: usize = 1_000;

/// A way from one part to another.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Gap {
    from: Point,
    to: Point,
    gap: f64,
}

/// A part's outer edge.
struct Edge {
    ring: Ring,
    points: Vec<Point>,
    bounds: Rect,
    /// Whether it is small beside the largest: a dot or an accent, and no letter.
    is_small: bool,
}

/// The outline with every part joined to its nearest by a bar of `width` inches. Islands in holes
/// count as parts.
pub fn join_parts(outline: &BezPath, width: f64) -> BezPath {
    let whole = boolean::resolve(outline, boolean::Rule::NonZero);
    let parts = parts(&whole, |depth| depth % 2 == 0);
    let mut joined = whole;
    let mut count = parts.len();
    for way in net(&parts, DOT_TO_DOT) {
        let attempts = REACHES
            .iter()
            .map(|reach| boolean::union(&[joined.clone(), bar_into(way, width, reach * width)]));
        let mut best = None;
        for attempt in attempts {
            let left = boolean::count_parts(&attempt);
            let done = left < count;
            best = Some((attempt, left));
            if done {
                break;
            }
        }
        if let Some((path, left)) = best {
            (joined, count) = (path, left);
        }
    }
    joined
}

/// The widest gap, in inches, of the shortest net that joins the outline's parts; 0 for a single one.
pub fn widest_gap(outline: &BezPath) -> f64 {
    net(&parts(outline, |depth| depth == 0), 1.0).iter().map(|way| way.gap).fold(0.0, f64::max)
}

/// A bar with its ends at two points.
pub fn bar(from: Point, to: Point, width: f64) -> BezPath {
    let along = to - from;
    let side = Vec2::new(-along.y, along.x) * (width / 2.0 / along.hypot().max(1e-12));
    let mut path = BezPath::new();
    path.move_to(from + side);
    path.line_to(to + side);
    path.line_to(to - side);
    path.line_to(from - side);
    path.close_path();
    path
}

/// A bar that reaches into both parts.
fn bar_into(way: Gap, width: f64, reach: f64) -> BezPath {
    let along = way.to - way.from;
    let length = along.hypot();
    let along = if length > 1e-9 { along / length } else { Vec2::new(0.0, 1.0) };
    bar(way.from - along * reach, way.to + along * reach, width)
}

fn parts(outline: &BezPath, wanted: impl Fn(usize) -> bool) -> Vec<Edge> {
    let contours = boolean::contours(outline);
    let largest = contours.iter().map(|contour| contour.area).fold(0.0, f64::max);
    contours
        .into_iter()
        .filter(|contour| wanted(contour.depth))
        .filter_map(|contour| {
            let ring = crate::geometry::rings(&contour.path, FLATTENING).into_iter().next()?;
            let points = points(&ring);
            let is_small = contour.area < SMALL * largest;
            Some(Edge { ring, points, bounds: contour.path.bounding_box(), is_small })
        })
        .take(MOST_PARTS)
        .collect()
}

/// Points along a ring, evenly spread, its corners among them.
fn points(ring: &Ring) -> Vec<Point> {
    let step = STEP.max(ring_length(ring) / MOST_POINTS);
    let mut points = Vec::new();
    for [one, other] in edges(ring) {
        let (one, other) = (point(one), point(other));
        let steps = (one.distance(other) / step).ceil().max(1.0);
        let mut walked = 0.0;
        while walked < steps {
            points.push(one.lerp(other, walked / steps));
            walked += 1.0;
        }
    }
    points
}

/// The shortest net of ways that joins all parts; ways between small parts count as `dot_to_dot` times
/// longer.
fn net(parts: &[Edge], dot_to_dot: f64) -> Vec<Gap> {
    let mut best: Vec<Option<(f64, Gap)>> = vec![None; parts.len()];
    let mut outside: Vec<usize> = (1..parts.len()).collect();
    let mut latest = 0;
    let mut net = Vec::new();
    while !outside.is_empty() {
        for &part in &outside {
            let (one, other) = (&parts[latest], &parts[part]);
            let factor = if one.is_small && other.is_small { dot_to_dot } else { 1.0 };
            let least = factor * boxes_apart(one.bounds, other.bounds);
            if best[part].is_none_or(|(cost, _)| cost > least) {
                let way = way(one, other);
                if best[part].is_none_or(|(cost, _)| cost > factor * way.gap) {
                    best[part] = Some((factor * way.gap, way));
                }
            }
        }
        let cost = |part: usize| best[part].map_or(f64::INFINITY, |(cost, _)| cost);
        let Some(place) = (0..outside.len())
            .min_by(|&one, &other| cost(outside[one]).total_cmp(&cost(outside[other])))
        else {
            break;
        };
        latest = outside.remove(place);
        net.extend(best[latest].map(|(_, way)| way));
    }
    net
}

fn boxes_apart(one: Rect, other: Rect) -> f64 {
    let across = (one.x0 - other.x1).max(other.x0 - one.x1).max(0.0);
    let down = (one.y0 - other.y1).max(other.y0 - one.y1).max(0.0);
    across.hypot(down)
}

/// The shortest way between two parts; of many as short, the middle one.
fn way(one: &Edge, other: &Edge) -> Gap {
    let there = ways(&one.points, &other.ring);
    let back = ways(&other.points, &one.ring).into_iter().map(|Gap { from, to, gap }| Gap {
        from: to,
        to: from,
        gap,
    });
    let all: Vec<Gap> = there.into_iter().chain(back).collect();
    let least = all.iter().map(|way| way.gap).fold(f64::INFINITY, f64::min);
    let near = least * (1.0 + AS_NEAR.1) + AS_NEAR.0;
    let near: Vec<&Gap> = all.iter().filter(|way| way.gap <= near).collect();
    let sum = near.iter().fold(Vec2::ZERO, |sum, way| sum + way.from.to_vec2());
    let middle = (sum * (1.0 / count(near.len()))).to_point();
    near.into_iter()
        .min_by(|one, other| one.from.distance(middle).total_cmp(&other.from.distance(middle)))
        .copied()
        .unwrap_or(Gap { from: Point::ZERO, to: Point::ZERO, gap: 0.0 })
}

/// From each point the shortest way to a ring.
fn ways(points: &[Point], ring: &Ring) -> Vec<Gap> {
    let to_edge = |from: Point, [one, other]: [[f64; 2]; 2]| {
        let (one, other) = (point(one), point(other));
        let along = other - one;
        let share = ((from - one).dot(along) / along.hypot2().max(1e-18)).clamp(0.0, 1.0);
        let to = one + along * share;
        Gap { from, to, gap: from.distance(to) }
    };
    points
        .iter()
        .filter_map(|point| {
            edges(ring)
                .map(|edge| to_edge(*point, edge))
                .min_by(|one, other| one.gap.total_cmp(&other.gap))
        })
        .collect()
}

fn count(number: usize) -> f64 {
    u32::try_from(number).map_or(f64::from(u32::MAX), f64::from).max(1.0)
}
