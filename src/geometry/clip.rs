//! Lines cut off where they leave the paper: a line of a piece is never drawn beyond its outline or over
//! one of its holes.
//!
//! In come an outline and lines, open or closed; out come the parts of the lines that lie on the paper,
//! curves as curves, and how much of them lay off it. Each segment is parted where it meets the outline,
//! and a part is kept if its middle lies on the paper or on its edge.

use kurbo::{BezPath, Line, ParamCurve, ParamCurveArclen, PathSeg, Point, Shape};

use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::boolean::subpaths;
use crate::geometry::offset::distance::Edge;
use crate::geometry::point;

/// What lies this near to the edge, in inches, lies on the paper: half of what a blade can do.
const ON_THE_EDGE: f64 = 5e-4;
/// Accuracy of measured lengths in inches.
const ACCURACY: f64 = 1e-6;
/// Edges are drawn out by this share of their length, so that nothing slips through between two.
const OVERLAP: f64 = 1e-6;
/// Parts shorter than this in inches are what a line leaves where it touches a corner.
const LEAST: f64 = 1e-3;
/// Places on a segment nearer than this share of it are one.
const SAME_PLACE: f64 = 1e-9;
/// Pairs of a segment and an edge that are looked at for one outline: a fraction of a second.
const MOST_LOOKS: usize = 100_000_000;

/// An outline by which lines are clipped.
pub struct Paper {
    near: Edge,
    /// The edges by their left ends.
    edges: Vec<[Point; 2]>,
    looks: usize,
}

/// What is left of a line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Clipped {
    /// What lies on the paper; no elements where nothing does.
    pub kept: BezPath,
    /// The length in inches of what doesn't.
    pub cut_off: f64,
}

impl Paper {
    /// The paper that an outline holds: closed, in inches, no contour crossing another.
    pub fn of(outline: &BezPath) -> Self {
        let polygons = Polygons::as_is(outline);
        let mut edges: Vec<[Point; 2]> = polygons
            .rings()
            .flat_map(crate::geometry::boolean::polygon::edges)
            .map(|edge| {
                let [one, other] = edge.map(point);
                if one.x <= other.x { [one, other] } else { [other, one] }
            })
            .collect();
        edges.sort_by(|one, other| one[0].x.total_cmp(&other[0].x));
        Self { near: Edge::of(&polygons), edges, looks: 0 }
    }

    /// What of a line lies on the paper; nothing where there is more to compare than time for it.
    pub fn clip(&mut self, line: &BezPath) -> Option<Clipped> {
        let mut clipped = Clipped::default();
        for part in subpaths(line) {
            let segments: Vec<PathSeg> = part.segments().collect();
            let mut pieces: Vec<(PathSeg, bool)> = Vec::new();
            for segment in segments {
                pieces.extend(self.parted(segment)?);
            }
            if pieces.iter().all(|(_, kept)| *kept) {
                clipped.kept.extend(part);
                continue;
            }
            let off = pieces.iter().filter(|(_, kept)| !kept);
            clipped.cut_off += off.map(|(segment, _)| segment.arclen(ACCURACY)).sum::<f64>();
            clipped.kept.extend(joined(&pieces));
        }
        Some(clipped)
    }

    /// A segment in parts that lie on the paper or off it, and which they do.
    fn parted(&mut self, segment: PathSeg) -> Option<Vec<(PathSeg, bool)>> {
        let mut places = self.meetings(&segment)?;
        places.extend([0.0, 1.0]);
        places.sort_by(f64::total_cmp);
        places.dedup_by(|one, other| (*one - *other).abs() < SAME_PLACE);
        let stretches = places.windows(2).map(|ends| segment.subsegment(ends[0]..ends[1]));
        Some(stretches.map(|part| (part, self.holds(part.eval(0.5)))).collect())
    }

    /// Whether a place is on the paper: a level line from the left to it crosses an odd number of edges, or
    /// it lies on one. (The curves' own winding parts them first, and may err at the height of a corner.)
    fn holds(&self, at: Point) -> bool {
        let left = self.edges.iter().take_while(|edge| edge[0].x <= at.x);
        let crossed = left.filter(|[one, other]| {
            (one.y <= at.y) != (other.y <= at.y)
                && one.x + (at.y - one.y) / (other.y - one.y) * (other.x - one.x) < at.x
        });
        crossed.count() % 2 == 1 || self.near.is_within([at.x, at.y], ON_THE_EDGE)
    }

    /// Where a segment meets the outline, as shares of the segment.
    fn meetings(&mut self, segment: &PathSeg) -> Option<Vec<f64>> {
        let bounds = segment.bounding_box().inflate(OVERLAP, OVERLAP);
        let mut places = Vec::new();
        let within = self.edges.partition_point(|edge| edge[0].x <= bounds.x1);
        self.looks += within;
        if self.looks > MOST_LOOKS {
            return None;
        }
        for [one, other] in self.edges.iter().take(within) {
            let apart = other.x < bounds.x0
                || one.y.max(other.y) < bounds.y0
                || one.y.min(other.y) > bounds.y1;
            if !apart {
                let over = (*other - *one) * OVERLAP;
                meet(segment, Line::new(*one - over, *other + over), &mut places);
            }
        }
        places.retain(|place| (0.0..=1.0).contains(place));
        Some(places)
    }
}

/// Adds where a segment meets an edge. Two straight lines are met here: the curves' own way takes short
/// ones for parallel.
fn meet(segment: &PathSeg, edge: Line, places: &mut Vec<f64>) {
    let PathSeg::Line(line) = segment else {
        places.extend(segment.intersect_line(edge).iter().map(|meeting| meeting.segment_t));
        return;
    };
    let (along, across) = (line.p1 - line.p0, edge.p1 - edge.p0);
    let turn = along.cross(across);
    if turn.abs() <= 1e-12 * along.hypot() * across.hypot() {
        return;
    }
    let to = edge.p0 - line.p0;
    if (0.0..=1.0).contains(&(to.cross(along) / turn)) {
        places.push(to.cross(across) / turn);
    }
}

/// The kept parts as a path, those that follow each other joined.
fn joined(parts: &[(PathSeg, bool)]) -> BezPath {
    let mut whole = BezPath::new();
    let mut run: Vec<PathSeg> = Vec::new();
    let mut finish = |run: &mut Vec<PathSeg>| {
        let length: f64 = run.iter().map(|segment| segment.arclen(ACCURACY)).sum();
        if length >= LEAST
            && let Some(first) = run.first()
        {
            whole.move_to(first.start());
            run.iter().for_each(|segment| whole.push(segment.as_path_el()));
        }
        run.clear();
    };
    for (segment, kept) in parts {
        if *kept {
            run.push(*segment);
        } else {
            finish(&mut run);
        }
    }
    finish(&mut run);
    whole
}
