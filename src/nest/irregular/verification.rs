//! The last check of an answer: every outline measured against its neighbours and its sheet.

use kurbo::Shape as _;

use super::{Container, Placement, Shape};
use crate::geometry::boolean::polygon::{edges, gap};
use crate::geometry::{self, Ring};

/// How far an outline may stray from what it was measured by, in inches: the flattening of both
/// outlines, far under what a blade can follow.
const TOLERANCE: f64 = 2.0 * geometry::FLATTENING;
/// How far a box may reach over its sheet's edge by rounding, in inches.
const ROUNDING: f64 = 1e-6;

/// Whether every piece lies inside its container, over no other and no nearer than the spacing.
pub(super) fn sound(
    containers: &[Container],
    shapes: &[Shape<'_>],
    spacing: f64,
    placements: &[Option<Placement>],
) -> bool {
    let laid: Vec<(usize, Laid)> = shapes
        .iter()
        .zip(placements)
        .filter_map(|(shape, placement)| {
            let placement = placement.as_ref()?;
            Some((placement.container, Laid::of(shape, placement)))
        })
        .collect();
    let inside = |(container, laid): &(usize, Laid)| {
        let [width, height] = containers[*container].size;
        let [left, top, right, bottom] = laid.bounds;
        left >= -ROUNDING
            && top >= -ROUNDING
            && right <= width + ROUNDING
            && bottom <= height + ROUNDING
    };
    laid.iter().all(inside)
        && laid.iter().enumerate().all(|(index, (container, one))| {
            laid[index + 1..]
                .iter()
                .filter(|(other, _)| other == container)
                .all(|(_, other)| one.keeps_from(other, spacing))
        })
}

/// A piece where it lies.
struct Laid {
    rings: Vec<Ring>,
    bounds: [f64; 4],
}

impl Laid {
    fn of(shape: &Shape<'_>, placement: &Placement) -> Self {
        let path = geometry::laying(shape.outline, placement.turn, placement.at) * shape.outline;
        let bounds = path.bounding_box();
        Self {
            rings: geometry::rings(&path, geometry::FLATTENING),
            bounds: [bounds.x0, bounds.y0, bounds.x1, bounds.y1],
        }
    }

    fn keeps_from(&self, other: &Self, spacing: f64) -> bool {
        let near = |axis: usize| {
            self.bounds[axis] < other.bounds[axis + 2] + spacing
                && other.bounds[axis] < self.bounds[axis + 2] + spacing
        };
        if !near(0) || !near(1) {
            return true;
        }
        let least = spacing - TOLERANCE;
        let crossing = |one: &Self, two: &Self| {
            one.rings.iter().any(|ring| ring.first().is_some_and(|point| two.holds(*point)))
        };
        !crossing(self, other)
            && !crossing(other, self)
            && (least <= 0.0 || self.distance_at_least(other, least))
            && !self.crosses(other)
    }

    /// Whether a point lies inside by the even-odd rule.
    fn holds(&self, [x, y]: [f64; 2]) -> bool {
        all_edges(&self.rings).fold(false, |inside, [one, other]| {
            let crosses = (one[1] > y) != (other[1] > y)
                && x < one[0] + (other[0] - one[0]) * (y - one[1]) / (other[1] - one[1]);
            inside != crosses
        })
    }

    /// Whether an edge of one crosses an edge of the other.
    fn crosses(&self, other: &Self) -> bool {
        let side = |a: [f64; 2], b: [f64; 2], p: [f64; 2]| {
            (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
        };
        all_edges(&self.rings).any(|[a, b]| {
            all_edges(&other.rings).any(|[c, d]| {
                side(a, b, c) * side(a, b, d) < -1e-12 && side(c, d, a) * side(c, d, b) < -1e-12
            })
        })
    }

    /// Whether no point of one is nearer than `least` to an edge of the other.
    fn distance_at_least(&self, other: &Self, least: f64) -> bool {
        let far = |points: &Self, lines: &Self| {
            points.rings.iter().flatten().all(|&point| {
                let [left, top, right, bottom] = lines.bounds;
                let outside = point[0] < left - least
                    || point[0] > right + least
                    || point[1] < top - least
                    || point[1] > bottom + least;
                outside || all_edges(&lines.rings).all(|edge| gap(edge, point) >= least)
            })
        };
        far(self, other) && far(other, self)
    }
}

/// The edges of every ring.
fn all_edges(rings: &[Ring]) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
    rings.iter().flat_map(edges)
}
