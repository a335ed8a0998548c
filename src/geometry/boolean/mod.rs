//! Uniting, subtracting and intersecting outlines as true curves.
//!
//! In come paths of any winding, crossing themselves or each other; out come paths whose contours
//! touch at most in points, with outsides clockwise on the page (y down) and holes opposite. The
//! work is done on curves by a sweep line; every answer is compared with the same operation on fine
//! polygons, and the polygons are handed out in the rare case that the two disagree.
//!
//! Nothing here fails: contours with numbers that are not finite, or that lie outside
//! [`FARTHEST`], are left out, and open subpaths are closed with a straight line.

pub(crate) mod polygon;
mod sweep;

pub use sweep::panic_is_caught;

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Shape};
use linesweeper::topology::{BinaryWindingNumber, OneOfTwo};

use crate::geometry::ring_area;
use polygon::Polygons;

/// Contours of less area than this, in square inches, are dust of the arithmetic (0.001 in square).
const LEAST_AREA: f64 = 1e-6;

/// Segments shorter than this, in inches, are joined to their neighbour: no blade can follow them. Not
/// more, for a long neighbour's end moves by as much: at 0.001 in a small letter lost 0.05 % of its area.
const LEAST_SEGMENT: f64 = 2e-4;

/// Area by which curves and polygons may differ: this share of the area …
const AREA_SHARE: f64 = 1e-4;

/// … and half the flattening of both along the edge.
const EDGE_SHARE: f64 = polygon::FINE / 2.0;

/// Areas as drawn and of what is held are the same if they differ by less than this many inches along
/// the edge: the rounding of polygons. Any crossing that a blade could show is larger.
const AS_DRAWN: f64 = 1e-8;

/// Coordinates beyond this many inches are not paper; the sweep line's accuracy ends there too.
pub const FARTHEST: f64 = 10_000.0;

/// Which points a path that crosses itself holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rule {
    /// Points that the path winds round at all.
    #[default]
    NonZero,
    /// Points that the path winds round an odd number of times.
    EvenOdd,
}

impl Rule {
    const fn holds(self, winding: i32) -> bool {
        match self {
            Self::NonZero => winding != 0,
            Self::EvenOdd => winding % 2 != 0,
        }
    }
}

/// One closed contour of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The contour, closed.
    pub path: BezPath,
    /// In how many other contours it lies: 0 for an outside, 1 for a hole, 2 for an island in a hole.
    pub depth: usize,
    /// Area within it in square inches: positive for outsides and islands, negative for holes.
    pub area: f64,
}

/// The outline of everything that any of the paths holds (each by the non-zero rule).
pub fn union(paths: &[BezPath]) -> BezPath {
    let mut resolved: Vec<BezPath> = paths
        .iter()
        .map(|path| resolve(path, Rule::NonZero))
        .filter(|path| !path.is_empty())
        .collect();
    if resolved.len() < 2 {
        return resolved.pop().unwrap_or_default();
    }
    let mut all = BezPath::new();
    for path in &resolved {
        all.extend(path.elements().iter().copied());
    }
    let tagged: Vec<(&BezPath, ())> = resolved.iter().map(|path| (path, ())).collect();
    let swept = |turn| sweep::sweep::<i32>(&tagged, turn, |winding| *winding != 0);
    checked(swept, &Polygons::of(&all, Rule::NonZero))
}

/// The outline of what `from` holds and `away` doesn't (both by the non-zero rule).
pub fn subtract(from: &BezPath, away: &BezPath) -> BezPath {
    combine(from, away, |one, other| one && !other, Polygons::without)
}

/// The outline of what either path holds, each by the non-zero rule, their windings unseen.
pub(crate) fn join(one: &BezPath, other: &BezPath) -> BezPath {
    combine(one, other, |one, other| one || other, Polygons::with)
}

/// The outline of what both paths hold (both by the non-zero rule).
pub fn intersect(one: &BezPath, other: &BezPath) -> BezPath {
    combine(one, other, |one, other| one && other, Polygons::within)
}

/// The outline of what the path holds: crossings resolved, windings put right, dust removed.
pub fn resolve(path: &BezPath, rule: Rule) -> BezPath {
    let path = closed(path);
    if path.is_empty() {
        return path;
    }
    let polygons = Polygons::of(&path, rule);
    if let Some(as_drawn) = without_crossings(&path, &polygons) {
        return clean(&as_drawn);
    }
    let swept = |turn| sweep::sweep::<i32>(&[(&path, ())], turn, |winding| rule.holds(*winding));
    checked(swept, &polygons)
}

/// The path itself, outsides clockwise, if none of its contours crosses itself or another: then its
/// rings are those of what it holds, and their areas with their signs add up to the area of that. The
/// sweep line would move its curves by a hair.
fn without_crossings(path: &BezPath, polygons: &Polygons) -> Option<BezPath> {
    let rings = polygon::fine_rings(path);
    if rings.len() != polygons.rings().count() {
        return None;
    }
    let area: f64 = rings.iter().map(ring_area).sum();
    let apart = (area.abs() - polygons.area()).abs();
    if apart > AS_DRAWN * polygons.perimeter() {
        return None;
    }
    Some(if area < 0.0 { path.reverse_subpaths() } else { path.clone() })
}

/// The contours of an outline, deepest first, so that nothing is loose before what is in it is cut.
pub fn contours(path: &BezPath) -> Vec<Contour> {
    let resolved = resolve(path, Rule::NonZero);
    let parts: Vec<NestedContour> =
        subpaths(&resolved).into_iter().map(NestedContour::of).collect();
    let mut contours: Vec<Contour> = parts
        .iter()
        .map(|part| Contour {
            path: part.path.clone(),
            depth: parts.iter().filter(|other| other.holds(part)).count(),
            area: part.area,
        })
        .collect();
    contours.sort_by_key(|contour| std::cmp::Reverse(contour.depth));
    contours
}

/// The subpaths of a path, one by one, in order.
pub fn subpaths(path: &BezPath) -> Vec<BezPath> {
    let mut parts: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, PathEl::MoveTo(_)) {
            parts.push(BezPath::new());
        }
        if let Some(part) = parts.last_mut() {
            part.push(*element);
        }
    }
    parts
}

/// The outermost contours of an outline, one by one: no holes, no islands in them.
pub fn outsides(path: &BezPath) -> Vec<BezPath> {
    let outermost = contours(path).into_iter().filter(|contour| contour.depth == 0);
    outermost.map(|contour| contour.path).collect()
}

/// How many parts fall apart when an outline is cut: 2 for an `i`, and one more for an island in a hole.
pub fn count_parts(path: &BezPath) -> usize {
    contours(path).iter().filter(|contour| contour.depth % 2 == 0).count()
}

/// How many holes an outline has: 2 for a `B`.
pub fn count_holes(path: &BezPath) -> usize {
    contours(path).iter().filter(|contour| contour.depth % 2 == 1).count()
}

/// The outsides of an outline alone: its holes filled, islands in them swallowed.
pub fn filled(path: &BezPath) -> BezPath {
    let mut whole = BezPath::new();
    outsides(path).into_iter().for_each(|outside| whole.extend(outside));
    whole
}

/// A contour with what is needed to see whether it lies in another.
struct NestedContour {
    path: BezPath,
    area: f64,
    bounds: kurbo::Rect,
    probes: Vec<Point>,
}

impl NestedContour {
    /// Points tried on each contour: contours may touch in a point, so the majority decides.
    const PROBES: usize = 5;

    fn of(path: BezPath) -> Self {
        let segments: Vec<PathSeg> = path.segments().collect();
        let step = segments.len().div_ceil(Self::PROBES).max(1);
        let probes = segments.iter().step_by(step).map(|segment| segment.eval(0.5)).collect();
        Self { area: path.area(), bounds: path.bounding_box(), probes, path }
    }

    fn holds(&self, other: &Self) -> bool {
        let larger = self.area.abs() > other.area.abs();
        if !larger || self.bounds.intersect(other.bounds).is_zero_area() {
            return false;
        }
        let within = other.probes.iter().filter(|probe| self.path.winding(**probe) != 0).count();
        2 * within > other.probes.len()
    }
}

fn combine(
    one: &BezPath,
    other: &BezPath,
    inside: impl Fn(bool, bool) -> bool,
    on_polygons: impl Fn(&Polygons, &Polygons) -> Polygons,
) -> BezPath {
    let (one, other) = (closed(one), closed(other));
    let tagged = [(&one, OneOfTwo::A), (&other, OneOfTwo::B)];
    let swept = |turn| {
        sweep::sweep::<BinaryWindingNumber>(&tagged, turn, |both| {
            inside(both.shape_a != 0, both.shape_b != 0)
        })
    };
    let polygons =
        on_polygons(&Polygons::of(&one, Rule::NonZero), &Polygons::of(&other, Rule::NonZero));
    checked(swept, &polygons)
}

/// The sweep line's first answer that agrees with the polygons, else the polygons.
fn checked(swept: impl Fn(f64) -> Option<BezPath>, polygons: &Polygons) -> BezPath {
    let allowed = AREA_SHARE * polygons.area() + EDGE_SHARE * polygons.perimeter() + LEAST_AREA;
    let agrees = |path: &BezPath| (Polygons::as_is(path).area() - polygons.area()).abs() <= allowed;
    let found = sweep::TURNS.into_iter().filter_map(swept).find(agrees);
    clean(&found.unwrap_or_else(|| polygons.to_path()))
}

/// Every subpath closed; those with numbers that are no place on paper left out.
pub(crate) fn closed(path: &BezPath) -> BezPath {
    let mut whole = BezPath::new();
    for part in subpaths(path) {
        let on_paper = part.elements().iter().all(|element| match *element {
            PathEl::MoveTo(to) | PathEl::LineTo(to) => near(to),
            PathEl::QuadTo(one, to) => near(one) && near(to),
            PathEl::CurveTo(one, two, to) => near(one) && near(two) && near(to),
            PathEl::ClosePath => true,
        });
        if !on_paper || part.elements().len() < 2 {
            continue;
        }
        whole.extend(part.elements().iter().copied());
        if !matches!(part.elements().last(), Some(PathEl::ClosePath)) {
            whole.close_path();
        }
    }
    whole
}

fn near(point: Point) -> bool {
    point.x.abs() <= FARTHEST && point.y.abs() <= FARTHEST
}

/// Without dust: contours of no area and segments too short for a blade.
fn clean(path: &BezPath) -> BezPath {
    let mut whole = BezPath::new();
    for part in subpaths(path) {
        if part.area().abs() < LEAST_AREA {
            continue;
        }
        let kept = without_short_segments(&part);
        if kept.area().abs() >= LEAST_AREA {
            whole.extend(kept);
        }
    }
    whole
}

/// One closed subpath, its short segments joined to their neighbours.
fn without_short_segments(part: &BezPath) -> BezPath {
    let mut kept: Vec<PathEl> = Vec::new();
    let mut start = Point::ZERO;
    let mut here = Point::ZERO;
    for element in part.elements() {
        let reach = match *element {
            PathEl::MoveTo(to) => {
                start = to;
                here = to;
                kept.push(*element);
                continue;
            }
            PathEl::LineTo(to) => here.distance(to),
            PathEl::QuadTo(one, to) => here.distance(one).max(here.distance(to)),
            PathEl::CurveTo(one, two, to) => {
                here.distance(one).max(here.distance(two)).max(here.distance(to))
            }
            PathEl::ClosePath => continue,
        };
        if reach >= LEAST_SEGMENT {
            kept.push(*element);
            here = element.end_point().unwrap_or(here);
        }
    }
    if here.distance(start) < LEAST_SEGMENT {
        end_at(&mut kept, start);
    }
    kept.push(PathEl::ClosePath);
    BezPath::from_vec(kept)
}

/// Bends the last segment so that it ends where the contour began.
fn end_at(elements: &mut [PathEl], start: Point) {
    match elements.last_mut() {
        Some(PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to)) => *to = start,
        Some(PathEl::MoveTo(_) | PathEl::ClosePath) | None => {}
    }
}
