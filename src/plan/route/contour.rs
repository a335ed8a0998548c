//! Contours and lines as the machine follows them.

use kurbo::{BezPath, Line, ParamCurve, ParamCurveArclen, PathEl, PathSeg, Point, Rect, Shape};

use crate::geometry::corner::is_corner;
use crate::geometry::walk::Walk;
use crate::toolpath::BladeVisit;

/// Accuracy of measured lengths in inches.
const LENGTH_ACCURACY: f64 = 1e-5;
/// Lines up to this length in inches come from rounding and are left out: no blade feels them, and
/// some machines stumble over them.
const SHORTEST: f64 = 1e-6;
/// Starts that are offered of one contour; more don't make the way shorter.
const MOST_STARTS: usize = 24;

/// A chain of segments, closed or open.
#[derive(Clone, Debug)]
pub(super) struct Contour {
    segments: Vec<PathSeg>,
    closed: bool,
}

impl Contour {
    /// The contours of an outline, every one closed and clockwise on the page.
    pub fn closed(outline: &BezPath) -> Vec<Self> {
        let close = |mut contour: Self| {
            if let Some((start, end)) = contour.start().zip(contour.end())
                && start.distance(end) > SHORTEST
            {
                contour.segments.push(PathSeg::Line(Line::new(end, start)));
            }
            contour.closed = true;
            if contour.path().area() < 0.0 {
                contour.turn_round();
            }
            contour
        };
        Self::lines(outline).into_iter().map(close).collect()
    }

    /// The lines of a path, open or closed as they are.
    pub fn lines(path: &BezPath) -> Vec<Self> {
        let mut chains: Vec<Vec<PathEl>> = Vec::new();
        for &element in path.elements() {
            if matches!(element, PathEl::MoveTo(_)) || chains.is_empty() {
                chains.push(Vec::new());
            }
            if let Some(chain) = chains.last_mut() {
                chain.push(element);
            }
        }
        let felt = |segment: &PathSeg| !matches!(segment, PathSeg::Line(line) if line.p0.distance(line.p1) <= SHORTEST);
        let chains = chains.into_iter().map(|chain| Self {
            closed: matches!(chain.last(), Some(PathEl::ClosePath)),
            segments: kurbo::segments(chain).filter(felt).collect(),
        });
        let sound = |contour: &Self| {
            !contour.segments.is_empty() && contour.segments.iter().all(PathSeg::is_finite)
        };
        chains.filter(sound).collect()
    }

    fn turn_round(&mut self) {
        self.segments.reverse();
        self.segments.iter_mut().for_each(|segment| *segment = segment.reverse());
    }

    fn start(&self) -> Option<Point> {
        self.segments.first().map(PathSeg::start)
    }

    fn end(&self) -> Option<Point> {
        self.segments.last().map(PathSeg::end)
    }

    /// The contour as a path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::from_path_segments(self.segments.iter().copied());
        if self.closed {
            // The closing line is what `Z` draws.
            if matches!(path.elements().last(), Some(PathEl::LineTo(_))) {
                path.pop();
            }
            path.close_path();
        }
        path
    }

    /// Its length in inches.
    pub fn length(&self) -> f64 {
        self.segments.iter().map(|segment| segment.arclen(LENGTH_ACCURACY)).sum()
    }

    /// Its bounding box.
    pub fn bounds(&self) -> Rect {
        BezPath::from_path_segments(self.segments.iter().copied()).bounding_box()
    }

    /// A point on it.
    pub fn probe(&self) -> Option<Point> {
        self.segments.first().map(|segment| segment.eval(0.5))
    }

    /// The segments at which the blade may begin, each with the way that makes. An open line is taken
    /// from either end; backwards, its segment is their number.
    pub fn starts(&self) -> Vec<(usize, BladeVisit)> {
        if !self.closed {
            let (Some(start), Some(end)) = (self.start(), self.end()) else { return Vec::new() };
            let way = |enter, leave| BladeVisit { enter, leave, inside: 0.0 };
            return vec![(0, way(start, end)), (self.segments.len(), way(end, start))];
        }
        let all = 0..self.segments.len();
        let mut starts: Vec<usize> =
            all.clone().filter(|&index| self.begins_in_a_corner(index)).collect();
        if starts.is_empty() {
            starts = all.collect();
        }
        let step = starts.len().div_ceil(MOST_STARTS).max(1);
        let at = |index: usize| {
            let point = self.segments[index].start();
            (index, BladeVisit { enter: point, leave: point, inside: 0.0 })
        };
        starts.into_iter().step_by(step).map(at).collect()
    }

    /// Whether a segment begins in a corner: the blade turns there anyway, and the seam is not seen.
    fn begins_in_a_corner(&self, index: usize) -> bool {
        let before = &self.segments[(index + self.segments.len() - 1) % self.segments.len()];
        is_corner(before, &self.segments[index])
    }

    /// The same contour begun at one of its [`Self::starts`], cut on by `overcut` inches if it is closed.
    pub fn begun(&self, index: usize, overcut: f64) -> Self {
        let mut contour = self.clone();
        if !self.closed {
            if index == self.segments.len() {
                contour.turn_round();
            }
            return contour;
        }
        contour.segments.rotate_left(index.min(self.segments.len()));
        let rest = overcut.min(self.length() / 2.0);
        if rest > 0.0 {
            contour.closed = false;
            let walk = Walk::of(contour.segments.iter().copied(), LENGTH_ACCURACY);
            contour.segments.extend(walk.part(0.0, rest));
        }
        contour
    }
}
