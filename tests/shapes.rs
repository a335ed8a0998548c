//! Shapes have the sizes, areas and openings that their makers ask for.

use cutleaf::model::Fault;
use std::f64::consts::PI;

use cutleaf::geometry::Drawing;
use cutleaf::geometry::boolean::contours;
use cutleaf::shapes::{
    Corner, End, Windows, banner, circle, ellipse, frame, heart, polygon, rectangle, ring,
    scallop_circle, star, tag, torn,
};
use kurbo::{BezPath, ParamCurve, Point, Rect, Shape};
use proptest::prelude::*;

use crate::support::in_order::{area, check_in_order, close_to};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn rectangles_lose_their_corners(w in 0.5..12.0_f64, h in 0.5..12.0_f64, share in 0.01..0.4_f64) {
        let reach = share * w.min(h);
        let square = reach * reach;
        for (corner, lost) in [
            (Corner::Square, 0.0),
            (Corner::Round(reach), (4.0 - PI) * square),
            (Corner::Clipped(reach), 2.0 * square),
            (Corner::Notched(reach), PI * square),
        ] {
            let shape = rectangle(w, h, corner).unwrap();
            check_in_order(&shape, [w, h]);
            prop_assert!(close_to(area(&shape), w * h - lost), "{corner:?}");
        }
    }

    #[test]
    fn round_shapes_have_their_areas(w in 0.2..12.0_f64, h in 0.2..12.0_f64, share in 0.05..0.95_f64) {
        let shape = ellipse(w, h).unwrap();
        check_in_order(&shape, [w, h]);
        prop_assert!(close_to(area(&shape), PI * w * h / 4.0));
        let shape = circle(w).unwrap();
        check_in_order(&shape, [w, w]);
        prop_assert!(close_to(area(&shape), PI * w * w / 4.0));
        let band = share * w / 2.0;
        let shape = ring(w, band).unwrap();
        check_in_order(&shape, [w, w]);
        let inner = w - 2.0 * band;
        prop_assert!(close_to(area(&shape), PI * (w * w - inner * inner) / 4.0));
    }

    #[test]
    fn polygons_and_stars_have_their_areas(count in 3_u32..24, d in 0.5..12.0_f64, share in 0.1..0.8_f64) {
        let sides = f64::from(count);
        let radius = d / 2.0;
        let shape = polygon(count, d).unwrap();
        prop_assert!(close_to(area(&shape), sides / 2.0 * radius * radius * (2.0 * PI / sides).sin()));
        let bounds = shape.outline.bounding_box();
        check_in_order(&shape, [bounds.width(), bounds.height()]);
        let depth = share * (radius - 1.0 / 16.0);
        let shape = star(count, d, depth).unwrap();
        prop_assert!(close_to(area(&shape), sides * radius * (radius - depth) * (PI / sides).sin()));
        let bounds = shape.outline.bounding_box();
        check_in_order(&shape, [bounds.width(), bounds.height()]);
    }

    #[test]
    fn scallops_add_up(count in 3_u32..24, d in 2.0..12.0_f64) {
        // A polygon through the valleys, and a piece of a circle on each of its sides.
        let (step, sweep) = (PI / f64::from(count), 2.6_f64);
        let valley = d / 2.0 / (step.cos() + step.sin() * (sweep / 4.0).tan());
        let bump = valley * step.sin() / (sweep / 2.0).sin();
        let wanted = f64::from(count) / 2.0
            * (valley * valley * (2.0 * step).sin() + bump * bump * (sweep - sweep.sin()));
        let shape = scallop_circle(d, count).unwrap();
        let bounds = shape.outline.bounding_box();
        check_in_order(&shape, [bounds.width(), bounds.height()]);
        prop_assert!(close_to(area(&shape), wanted), "{} is not {wanted}", area(&shape));
        prop_assert!(close_to(bounds.height(), d) || count % 2 == 1);
    }

    #[test]
    fn banners_lose_or_keep_their_ends(w in 2.0..24.0_f64, h in 0.3..4.0_f64, one in 0.1..0.9_f64, two in 0.1..0.9_f64) {
        let tail = banner(w, h, End::Straight, End::Dovetail(one)).unwrap();
        check_in_order(&tail, [w, h]);
        prop_assert!(close_to(area(&tail), w * h - h * one / 2.0));
        let both = banner(w, h, End::Point(two), End::Dovetail(one)).unwrap();
        check_in_order(&both, [w, h]);
        prop_assert!(close_to(area(&both), w * h - h * (one + two) / 2.0));
    }

    #[test]
    fn tears_stay_near_the_edges_and_repeat(w in 1.5..12.0_f64, h in 1.5..12.0_f64, depth in 0.03..0.4_f64, seed in any::<u64>(), torn_sides in any::<[bool; 4]>()) {
        let edge = torn(w, h, torn_sides, depth, seed).unwrap();
        prop_assert_eq!(&edge, &torn(w, h, torn_sides, depth, seed).unwrap());
        let [top, right, bottom, left] = torn_sides.map(|torn| if torn { depth } else { 0.0 });
        let outer = Rect::new(0.0, 0.0, w, h);
        let inner = Rect::new(left, top, w - right, h - bottom);
        let bounds = edge.bounding_box();
        prop_assert!(outer.inflate(1e-9, 1e-9).contains_rect(bounds));
        prop_assert!(edge.area() >= inner.area() - 1e-9 && edge.area() <= outer.area() + 1e-9);
        let places = edge.segments().map(|segment| segment.eval(0.5));
        prop_assert!(places.into_iter().all(|at| !inner.inflate(-1e-9, -1e-9).contains(at)));
        if torn_sides.contains(&true) {
            prop_assert!(edge != torn(w, h, torn_sides, depth, seed ^ 1).unwrap());
            prop_assert!(edge.area() < outer.area());
        }
    }
}

#[test]
fn a_torn_edge_is_ragged_and_uses_its_depth() {
    let edge = torn(10.0, 4.0, [true, false, false, false], 0.25, 7).unwrap();
    let heights: Vec<f64> =
        edge.segments().map(|segment| segment.end().y).filter(|y| *y <= 0.25).collect();
    let highest = heights.iter().copied().fold(1.0, f64::min);
    let lowest = heights.iter().copied().fold(0.0, f64::max);
    assert!(lowest - highest > 0.15, "only {} of 0.25 in is used", lowest - highest);
    let turns = heights
        .windows(3)
        .filter(|three| (three[1] - three[0]) * (three[2] - three[1]) < 0.0)
        .count();
    assert!(turns > 60, "a tear with {turns} turns in 10 in is a wave, not a tear");
}

#[test]
fn a_twelve_inch_circle_is_round_within_a_thousandth() {
    let shape = circle(12.0).unwrap();
    for segment in shape.outline.segments() {
        for step in 0..=16 {
            let at = segment.eval(f64::from(step) / 16.0);
            assert!((at.distance(Point::new(6.0, 6.0)) - 6.0).abs() < 1e-4);
        }
    }
}

#[test]
fn hearts_are_even_and_full() {
    let shape = heart(3.0, 2.5).unwrap();
    check_in_order(&shape, [3.0, 2.5]);
    let (left, right) =
        shape.outline.segments().fold((0.0_f64, 0.0_f64), |(left, right), segment| {
            (left.max(1.5 - segment.eval(0.5).x), right.max(segment.eval(0.5).x - 1.5))
        });
    assert!(close_to(left, right));
    assert!((0.6..0.75).contains(&(area(&shape) / 7.5)), "{}", area(&shape) / 7.5);
}

#[test]
fn frames_and_tags_keep_their_openings() {
    let mat = frame(6.0, 4.0, Corner::Square, Windows::one([5.0, 3.0])).unwrap();
    check_in_order(&mat, [6.0, 4.0]);
    assert!(close_to(area(&mat), 9.0));
    assert_eq!(contours(&mat.outline)[0].depth, 1);
    let label = tag(2.0, 4.0, Corner::Clipped(0.5), 0.25).unwrap();
    check_in_order(&label, [2.0, 4.0]);
    assert!(close_to(area(&label), 8.0 - 0.25 - PI * 0.25 * 0.25 / 4.0));
    let hole = contours(&label.outline)[0].path.bounding_box();
    assert!(close_to(hole.center().x, 1.0) && hole.y0 > 0.1 && hole.y1 < 1.0, "{hole:?}");
    let pointed = tag(1.0, 3.0, Corner::Clipped(0.5), 0.125).unwrap();
    assert_eq!(contours(&pointed.outline).len(), 2);
    let plain = tag(2.0, 4.0, Corner::Round(0.25), 0.0).unwrap();
    assert_eq!(contours(&plain.outline).len(), 1);
}

#[test]
fn half_a_side_is_not_too_much_for_a_corner() {
    let pill = rectangle(4.0, 1.0, Corner::Round(0.5)).unwrap();
    check_in_order(&pill, [4.0, 1.0]);
    assert!(close_to(area(&pill), 3.0 + PI / 4.0));
    let lozenge = rectangle(1.0, 1.0, Corner::Clipped(0.5)).unwrap();
    assert!(close_to(area(&lozenge), 0.5));
}

#[test]
fn sizes_that_cannot_be_cut_are_refused_with_help() {
    let bent = |result: Result<BezPath, Fault>| result.map(Drawing::of);
    let straight = [false; 4];
    let cases: Vec<(&str, Result<Drawing, Fault>)> = vec![
        ("width", rectangle(0.0, 1.0, Corner::Square)),
        ("height", rectangle(1.0, -1.0, Corner::Square)),
        ("width", rectangle(f64::NAN, 1.0, Corner::Square)),
        ("larger than any paper", rectangle(1e9, 1.0, Corner::Square)),
        ("corner", rectangle(2.0, 1.0, Corner::Round(0.51))),
        ("corner", rectangle(2.0, 1.0, Corner::Clipped(-0.1))),
        ("corner", rectangle(2.0, 1.0, Corner::Notched(0.5))),
        ("corner", rectangle(2.0, 1.0, Corner::Round(f64::INFINITY))),
        ("width", ellipse(0.0, 1.0)),
        ("diameter", circle(-2.0)),
        ("band", ring(2.0, 1.0)),
        ("band", ring(2.0, 0.0)),
        ("2 sides", polygon(2, 1.0)),
        ("sides", polygon(u32::MAX, 1.0)),
        ("points", star(0, 1.0, 0.2)),
        ("depth", star(5, 1.0, 0.0)),
        ("notches", star(5, 1.0, 0.5)),
        ("height", heart(1.0, 0.0)),
        ("scallops", scallop_circle(1.0, 2)),
        ("too small to cut", scallop_circle(1.0, 200)),
        ("corner", tag(2.0, 4.0, Corner::Round(1.2), 0.1)),
        ("hole", tag(2.0, 4.0, Corner::Square, 2.0)),
        ("hole", tag(2.0, 4.0, Corner::Square, -0.1)),
        ("ends", banner(1.0, 1.0, End::Dovetail(0.5), End::Dovetail(0.5))),
        ("end", banner(1.0, 1.0, End::Straight, End::Point(-0.5))),
        ("end", banner(1.0, 1.0, End::Dovetail(f64::NAN), End::Straight)),
        ("window", frame(2.0, 2.0, Corner::Square, Windows::one([2.0, 1.0]))),
        ("window", frame(2.0, 2.0, Corner::Square, Windows::one([1.0, 0.0]))),
        ("depth", bent(torn(2.0, 2.0, straight, 0.0, 1))),
        ("tear", bent(torn(2.0, 2.0, straight, 1.0, 1))),
    ];
    for (index, (named, result)) in cases.into_iter().enumerate() {
        let error = result.expect_err(&format!("case {index} ({named}) went through"));
        assert!(error.message.contains(named), "case {index}: {} has no `{named}`", error.message);
        assert!(!error.help.is_empty());
    }
}
