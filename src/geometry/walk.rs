//! Walking along an outline: places and parts of it by the length that leads to them.
//!
//! Lengths are those of the curves themselves, by [`kurbo`]'s quadrature, not of a polygon that stands for
//! them (`docs/measured.md` compares the two).

use kurbo::{ParamCurve, ParamCurveArclen, ParamCurveDeriv, PathSeg, Point, Vec2};

/// Segments that follow each other, and how far along each begins.
///
/// ```
/// use cutleaf::geometry::walk::Walk;
/// use kurbo::{Point, Rect, Shape};
///
/// let card = Rect::new(0.0, 0.0, 5.0, 3.0).to_path(0.001);
/// let walk = Walk::of(card.segments(), 1e-9);
/// assert_eq!(walk.length(), 16.0);
/// assert_eq!(walk.point(6.0), Some(Point::new(5.0, 1.0)));
/// assert_eq!(walk.part(4.0, 6.0).len(), 2);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Walk {
    stages: Vec<Stage>,
    length: f64,
    accuracy: f64,
}

#[derive(Clone, Copy, Debug)]
struct Stage {
    begin: f64,
    segment: PathSeg,
    length: f64,
}

impl Walk {
    /// A walk along some segments, its lengths measured to `accuracy` inches.
    pub fn of(segments: impl IntoIterator<Item = PathSeg>, accuracy: f64) -> Self {
        let mut walk = Self { stages: Vec::new(), length: 0.0, accuracy };
        for segment in segments {
            let length = segment.arclen(accuracy);
            walk.stages.push(Stage { begin: walk.length, segment, length });
            walk.length += length;
        }
        walk
    }

    /// Its whole length in inches.
    pub const fn length(&self) -> f64 {
        self.length
    }

    /// The point so far along; its beginning or its end where that is beyond. Nothing if it has no segments.
    pub fn point(&self, along: f64) -> Option<Point> {
        let (index, share) = self.find(along)?;
        Some(self.stages.get(index)?.segment.eval(share))
    }

    /// The direction so far along, of length 1.
    pub fn direction(&self, along: f64) -> Option<Vec2> {
        let (index, share) = self.find(along)?;
        Some(direction(&self.stages.get(index)?.segment, share))
    }

    /// The part between two places, curves as curves.
    pub fn part(&self, from: f64, to: f64) -> Vec<PathSeg> {
        let Some(((first, begin), (last, end))) = self.find(from).zip(self.find(to)) else {
            return Vec::new();
        };
        let mut part = Vec::new();
        for index in first..=last {
            let Some(stage) = self.stages.get(index) else { break };
            let begin = if index == first { begin } else { 0.0 };
            let end = if index == last { end } else { 1.0 };
            if begin < end {
                let whole = begin <= 0.0 && end >= 1.0;
                part.push(if whole { stage.segment } else { stage.segment.subsegment(begin..end) });
            }
        }
        part
    }

    /// The segment so far along, and where on it.
    fn find(&self, along: f64) -> Option<(usize, f64)> {
        let index = self.stages.partition_point(|stage| stage.begin <= along).max(1) - 1;
        let Stage { begin, segment, length } = self.stages.get(index)?;
        let rest = (along - begin).clamp(0.0, *length);
        Some((index, segment.inv_arclen(rest, self.accuracy)))
    }
}

/// The direction of a segment, also where its control points meet its end.
fn direction(segment: &PathSeg, share: f64) -> Vec2 {
    let slope = match segment {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(share).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(share).to_vec2(),
    };
    let slope = if slope.hypot() > 1e-9 {
        slope
    } else {
        segment.eval((share + 1e-3).min(1.0)) - segment.eval((share - 1e-3).max(0.0))
    };
    let length = slope.hypot();
    if length > 0.0 { slope / length } else { Vec2::new(1.0, 0.0) }
}
