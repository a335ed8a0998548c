//! The same operations on fine polygons: the check, and the way out when curves fail.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use kurbo::{BezPath, PathEl};

use super::Rule;
use crate::geometry::{Ring, ring_area};

/// How far polygons stray from their curves, in inches: a twentieth of a blade's accuracy.
pub(crate) const FINE: f64 = 5e-5;

/// How far the chords of a rounded corner may stray from its arc, in inches.
const ARC_ERROR: f64 = 1e-4;

/// The widest chord of a rounded corner in radians.
const WIDEST_CHORD: f64 = 0.2;

/// Shapes as polygons: each an outside and its holes.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Polygons(pub(crate) Vec<Vec<Ring>>);

impl Polygons {
    /// What a path holds, crossings resolved.
    pub(crate) fn of(path: &BezPath, rule: Rule) -> Self {
        let rings = fine_rings(path);
        if rings.is_empty() {
            return Self::default();
        }
        let rule = match rule {
            Rule::NonZero => FillRule::NonZero,
            Rule::EvenOdd => FillRule::EvenOdd,
        };
        Self(rings.simplify_shape_as::<i64>(rule))
    }

    /// What a path holds by the non-zero rule, within `tolerance` inches; broken parts left out.
    pub(crate) fn within_tolerance(path: &BezPath, tolerance: f64) -> Self {
        let rings = crate::geometry::rings(&super::closed(path), tolerance);
        if rings.is_empty() {
            return Self::default();
        }
        Self(rings.simplify_shape_as::<i64>(FillRule::NonZero))
    }

    /// The rings of a path that is known to be in order.
    pub(crate) fn as_is(path: &BezPath) -> Self {
        Self(vec![fine_rings(path)])
    }

    /// What either holds.
    pub(crate) fn with(&self, other: &Self) -> Self {
        self.overlaid(other, OverlayRule::Union)
    }

    /// What this holds and the other doesn't.
    pub(crate) fn without(&self, away: &Self) -> Self {
        self.overlaid(away, OverlayRule::Difference)
    }

    /// What both hold.
    pub(crate) fn within(&self, other: &Self) -> Self {
        self.overlaid(other, OverlayRule::Intersect)
    }

    fn overlaid(&self, other: &Self, rule: OverlayRule) -> Self {
        Self(self.0.overlay_as::<i64>(&other.0, rule, FillRule::NonZero))
    }

    /// Grown by `distance` inches, or shrunk where it is negative, with round corners.
    pub(crate) fn offset(&self, distance: f64) -> Self {
        self.offset_within(distance, ARC_ERROR)
    }

    /// The same, where the chords of corners stray at most `arc_error` inches from their arcs. Narrow
    /// ones cost much: with 0.05 radians an offset took eight times as long as with 0.2.
    pub(crate) fn offset_within(&self, distance: f64, arc_error: f64) -> Self {
        if self.0.is_empty() || distance == 0.0 {
            return self.clone();
        }
        let chord = (8.0 * arc_error / distance.abs()).sqrt().min(WIDEST_CHORD);
        let style = OutlineStyle::new(distance).line_join(LineJoin::Round(chord));
        Self(self.0.outline_as::<i64>(&style))
    }

    /// The rings of at least this area in square inches.
    pub(crate) fn larger_than(&self, area: f64) -> Self {
        let kept = |shape: &Vec<Ring>| {
            shape.iter().filter(|ring| ring_area(ring).abs() >= area).cloned().collect()
        };
        Self(self.0.iter().map(kept).collect())
    }

    /// Area in square inches, holes left out.
    pub(crate) fn area(&self) -> f64 {
        self.rings().map(ring_area).sum()
    }

    /// Length of all edges in inches.
    pub(crate) fn perimeter(&self) -> f64 {
        self.rings().map(ring_length).sum()
    }

    /// Every ring, shape by shape.
    pub(crate) fn rings(&self) -> impl Iterator<Item = &Ring> {
        self.0.iter().flatten()
    }

    /// The polygons as a path of straight lines.
    pub(crate) fn to_path(&self) -> BezPath {
        let mut path = BezPath::new();
        for ring in self.rings() {
            for (index, [x, y]) in ring.iter().copied().enumerate() {
                let to = (x, y).into();
                path.push(if index == 0 { PathEl::MoveTo(to) } else { PathEl::LineTo(to) });
            }
            if !ring.is_empty() {
                path.push(PathEl::ClosePath);
            }
        }
        path
    }
}

/// The length of a closed ring in inches.
pub(crate) fn ring_length(ring: &Ring) -> f64 {
    edges(ring).map(|[one, other]| (other[0] - one[0]).hypot(other[1] - one[1])).sum()
}

/// The edges of a closed ring.
pub(crate) fn edges(ring: &Ring) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1)).map(|(one, other)| [one, other])
}

/// The distance from a point to an edge.
pub(crate) fn gap([one, other]: [[f64; 2]; 2], at: [f64; 2]) -> f64 {
    let along = [other[0] - one[0], other[1] - one[1]];
    let to = [at[0] - one[0], at[1] - one[1]];
    let length = along[0] * along[0] + along[1] * along[1];
    let share = if length > 0.0 {
        ((to[0] * along[0] + to[1] * along[1]) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (to[0] - share * along[0]).hypot(to[1] - share * along[1])
}

/// The rings of a path as it is drawn, crossings and all.
pub(super) fn fine_rings(path: &BezPath) -> Vec<Ring> {
    crate::geometry::rings(path, FINE)
}
