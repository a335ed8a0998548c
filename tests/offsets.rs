//! Offsets where little is much: notches that all but close.

use cutleaf::geometry::offset::{Holes, outward};
use kurbo::{BezPath, Circle, PathEl, Point, Shape};
use proptest::prelude::*;

/// Two discs of radius 1 whose edges lie `gap` apart.
fn discs(gap: f64) -> BezPath {
    let mut both = BezPath::new();
    for x in [0.0, 2.0 + gap] {
        both.extend(Circle::new((x, 0.0), 1.0).to_path(1e-9).elements().iter().copied());
    }
    both
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Grown until they just overlap, two discs meet in notches so narrow that 0.0001 in of distance
    /// moves their tips by many times as much. The tips are where geometry has them, and curves stay.
    #[test]
    fn the_tips_of_narrow_notches_are_where_they_belong(
        distance in 0.03..0.3f64,
        overlap in 5e-4..4e-3f64,
    ) {
        let gap = 2.0 * distance - overlap;
        let grown = outward(&discs(gap), distance, Holes::Keep);
        let lines = grown.elements().iter().filter(|element| matches!(element, PathEl::LineTo(_)));
        prop_assert!(lines.count() < 12 && grown.elements().len() < 120, "{} nodes", grown.elements().len());
        let middle = 1.0 + gap / 2.0;
        let reach = ((1.0 + distance).powi(2) - middle * middle).sqrt();
        for tip in [Point::new(middle, reach), Point::new(middle, -reach)] {
            let apart = grown
                .segments()
                .map(|segment| kurbo::ParamCurve::eval(&segment, 0.0).distance(tip))
                .fold(f64::INFINITY, f64::min);
            prop_assert!(apart < 0.0015, "{apart} in off");
        }
    }
}
