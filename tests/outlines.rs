//! Outlines united, subtracted and intersected keep their areas, curves and holes.

use cutleaf::geometry::boolean::{Rule, contours, filled, intersect, resolve, subtract, union};
use cutleaf::geometry::offset::{Holes, inward, outward};
use cutleaf::geometry::{rectangle, ring_area, rings};
use kurbo::{Affine, BezPath, Circle, Ellipse, PathEl, Rect, RoundedRect, Shape};
use proptest::prelude::*;

fn disc(x: f64, y: f64, radius: f64) -> BezPath {
    Circle::new((x, y), radius).to_path(1e-5)
}

fn is_curved(path: &BezPath) -> bool {
    path.elements()
        .iter()
        .any(|element| matches!(element, PathEl::CurveTo(..) | PathEl::QuadTo(..)))
}

pub(crate) fn close_to(value: f64, wanted: f64, allowed: f64) -> bool {
    (value - wanted).abs() <= allowed
}

fn some_shape() -> impl Strategy<Value = BezPath> {
    let place = || (0.0..3.0_f64, 0.0..3.0_f64, 0.0..360.0_f64);
    let size = || (0.2..2.0_f64, 0.2..2.0_f64);
    prop_oneof![
        (place(), size()).prop_map(|((x, y, turn), (w, h))| {
            Affine::translate((x, y))
                * Affine::rotate(turn.to_radians())
                * Rect::new(0.0, 0.0, w, h).to_path(1e-5)
        }),
        (place(), size())
            .prop_map(|((x, y, turn), (w, h))| Ellipse::new((x, y), (w, h), turn).to_path(1e-5)),
        (place(), size()).prop_map(|((x, y, turn), (w, h))| {
            Affine::translate((x, y))
                * Affine::rotate(turn.to_radians())
                * RoundedRect::new(0.0, 0.0, w, h, 0.2 * w.min(h)).to_path(1e-5)
        }),
        (place(), size()).prop_map(|((x, y, _), (w, h))| {
            let mut ring = disc(x, y, w);
            ring.extend(disc(x, y, w * h / 2.5).reverse_subpaths());
            ring
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn union_and_intersection_share_out_the_area(one in some_shape(), other in some_shape()) {
        let both = one.area() + other.area();
        let united = union(&[one.clone(), other.clone()]).area();
        let shared = intersect(&one, &other).area();
        prop_assert!(close_to(united + shared, both, 2e-3), "{united} + {shared} is not {both}");
    }

    #[test]
    fn subtraction_leaves_what_is_not_shared(one in some_shape(), other in some_shape()) {
        let left = subtract(&one, &other).area();
        let shared = intersect(&one, &other).area();
        prop_assert!(close_to(left + shared, one.area(), 2e-3));
        prop_assert!(close_to(intersect(&subtract(&one, &other), &other).area(), 0.0, 2e-3));
    }

    #[test]
    fn outsides_run_clockwise_and_holes_against(one in some_shape(), other in some_shape()) {
        for contour in contours(&union(&[one, other])) {
            prop_assert_eq!(contour.area > 0.0, contour.depth % 2 == 0);
        }
    }

    #[test]
    fn winding_does_not_matter(one in some_shape(), other in some_shape()) {
        let forward = union(&[one.clone(), other.clone()]).area();
        let against = union(&[one.reverse_subpaths(), other]).area();
        prop_assert!(close_to(forward, against, 1e-3));
    }
}

#[test]
fn united_circles_stay_curves() {
    let lens = union(&[disc(0.0, 0.0, 1.0), disc(1.0, 0.0, 1.0)]);
    let overlap = 2.0 * std::f64::consts::FRAC_PI_3 - 3.0_f64.sqrt() / 2.0;
    assert!(is_curved(&lens));
    assert!(close_to(lens.area(), 2.0 * std::f64::consts::PI - overlap, 1e-3));
    assert!(lens.elements().len() < 24, "{} elements", lens.elements().len());
}

#[test]
fn contours_nest_and_come_deepest_first() {
    let mut target = BezPath::new();
    target.extend(disc(2.0, 2.0, 2.0));
    target.extend(disc(2.0, 2.0, 1.5).reverse_subpaths());
    target.extend(disc(2.0, 2.0, 1.0));
    target.extend(disc(2.0, 2.0, 0.5).reverse_subpaths());
    let depths: Vec<usize> = contours(&target).iter().map(|contour| contour.depth).collect();
    assert_eq!(depths, [3, 2, 1, 0]);
    let full = filled(&target);
    assert!(close_to(full.area(), disc(2.0, 2.0, 2.0).area(), 1e-4));
}

#[test]
fn a_bow_that_crosses_itself_is_resolved() {
    let bow = BezPath::from_svg("M0 0 L2 2 L2 0 L0 2 Z").unwrap();
    let resolved = resolve(&bow, Rule::NonZero);
    assert!(close_to(resolved.area(), 2.0, 1e-6), "{}", resolved.area());
    assert!(rings(&resolved, 1e-3).iter().all(|ring| ring_area(ring) > 0.0));
}

#[test]
fn the_rule_decides_about_overlaps_in_one_path() {
    let mut twice = rectangle(2.0, 2.0);
    twice.extend(Rect::new(0.5, 0.5, 1.5, 1.5).to_path(1e-3));
    assert!(close_to(resolve(&twice, Rule::NonZero).area(), 4.0, 1e-6));
    assert!(close_to(resolve(&twice, Rule::EvenOdd).area(), 3.0, 1e-6));
}

#[test]
fn open_broken_and_empty_paths_do_no_harm() {
    let open = BezPath::from_svg("M0 0 L2 0 L2 2").unwrap();
    assert!(close_to(union(&[open]).area(), 2.0, 1e-6));
    let broken = BezPath::from_vec(vec![
        PathEl::MoveTo((0.0, 0.0).into()),
        PathEl::LineTo((f64::NAN, 1.0).into()),
        PathEl::LineTo((f64::INFINITY, 1.0).into()),
        PathEl::ClosePath,
    ]);
    let whole = union(&[broken.clone(), rectangle(1.0, 1.0)]);
    assert!(close_to(whole.area(), 1.0, 1e-9));
    assert!(subtract(&broken, &whole).is_empty());
    assert!(union(&[]).is_empty());
    assert!(contours(&BezPath::new()).is_empty());
    let point = BezPath::from_svg("M1 1 L1 1 L1 1 Z").unwrap();
    assert!(union(&[point.clone(), point]).is_empty());
}

#[test]
fn the_same_shape_twice_is_itself() {
    let shape = disc(1.0, 1.0, 1.0);
    assert!(close_to(union(&[shape.clone(), shape.clone()]).area(), shape.area(), 1e-4));
    assert!(subtract(&shape, &shape).is_empty());
}

const PI: f64 = std::f64::consts::PI;

#[test]
fn a_grown_circle_is_a_larger_circle() {
    for distance in [0.03, 0.125, 0.5, 1.0] {
        let grown = outward(&disc(3.0, 3.0, 1.0), distance, Holes::Keep);
        let radius = 1.0 + distance;
        assert!(is_curved(&grown));
        assert!(close_to(grown.area(), PI * radius * radius, 0.002 * radius), "{}", grown.area());
        assert!(close_to(grown.bounding_box().width(), 2.0 * radius, 0.001));
    }
}

#[test]
fn a_shrunk_circle_vanishes_when_it_is_too_small() {
    let shrunk = inward(&disc(3.0, 3.0, 1.0), 0.25);
    assert!(close_to(shrunk.area(), PI * 0.75 * 0.75, 0.003));
    assert!(inward(&disc(3.0, 3.0, 1.0), 1.01).is_empty());
}

#[test]
fn holes_shrink_or_are_filled() {
    let mut frame = rectangle(3.0, 3.0);
    frame.extend(Rect::new(1.0, 1.0, 2.0, 2.0).to_path(1e-3).reverse_subpaths());
    let round_square = 9.0 + 4.0 * 3.0 * 0.25 + PI * 0.25 * 0.25;
    let kept = outward(&frame, 0.25, Holes::Keep);
    assert_eq!(contours(&kept).len(), 2);
    assert!(close_to(kept.area(), round_square - 0.25, 0.003), "{}", kept.area());
    let full = outward(&frame, 0.25, Holes::Fill);
    assert_eq!(contours(&full).len(), 1);
    assert!(close_to(full.area(), round_square, 0.003));
    let closed_up = outward(&frame, 0.51, Holes::Keep);
    assert_eq!(contours(&closed_up).len(), 1);
}

#[test]
fn a_gap_that_growing_closes_is_filled_too() {
    let letter = BezPath::from_svg("M0 0H2V.4H.4V1.6H2V2H0Z").unwrap();
    assert_eq!(contours(&outward(&letter, 0.65, Holes::Fill)).len(), 1);
    assert_eq!(contours(&outward(&letter, 0.2, Holes::Fill)).len(), 1);
}

#[test]
fn sharp_and_tight_shapes_grow_without_pinholes() {
    let star = BezPath::from_svg("M1 0 L1.2 .8 L2 1 L1.2 1.2 L1 2 L.8 1.2 L0 1 L.8 .8 Z").unwrap();
    let drop =
        BezPath::from_svg("M1 0 C1 .9 1.5 1 1.5 1.5 C1.5 2.1 .5 2.1 .5 1.5 C.5 1 1 .9 1 0 Z")
            .unwrap();
    let cove = BezPath::from_svg("M0 0 H3 V2 H1.6 C1.6 .9 1.4 .9 1.4 2 H0 Z").unwrap();
    for shape in [star, drop, cove] {
        for distance in [0.02, 0.0625, 0.125, 0.3] {
            let grown = outward(&shape, distance, Holes::Keep);
            assert_eq!(contours(&grown).len(), 1, "{distance}");
            let back = inward(&grown, distance);
            assert!(back.area() + 0.003 >= shape.area());
        }
    }
}

/// Found by chance: the sweep line fails on this one unless it is turned.
#[test]
fn a_border_that_stops_the_sweep_line_is_drawn_all_the_same() {
    let (w, h, d) = (4.451406499746263, 0.5512742375399853, 0.3191331243858716);
    let shape = RoundedRect::new(0.0, 0.0, w, h, 0.1978929842007357 * h).to_path(1e-5);
    let grown = outward(&shape, d, Holes::Keep);
    let wanted = shape.area() + shape.perimeter(1e-6) * d + PI * d * d;
    assert!(is_curved(&grown));
    assert!(close_to(grown.area(), wanted, 2e-3));
}

#[test]
fn a_distance_of_nothing_changes_nothing() {
    let shape = disc(1.0, 1.0, 1.0);
    for distance in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(close_to(outward(&shape, distance, Holes::Keep).area(), shape.area(), 1e-6));
        assert!(close_to(inward(&shape, distance).area(), shape.area(), 1e-6));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Steiner's formula: a convex shape of area A and perimeter P grows to A + P d + pi d^2.
    #[test]
    fn a_grown_rectangle_follows_steiner(w in 0.2..6.0_f64, h in 0.2..6.0_f64,
                                         round in 0.0..0.5_f64, d in 0.01..0.6_f64) {
        let shape = RoundedRect::new(0.0, 0.0, w, h, round * w.min(h)).to_path(1e-5);
        let grown = outward(&shape, d, Holes::Keep);
        let around = shape.perimeter(1e-6);
        prop_assert!(close_to(grown.area(), shape.area() + around * d + PI * d * d,
                              0.0005 * (around + 7.0 * d)), "{} off", grown.area() - (shape.area() + around * d + PI * d * d));
    }

    #[test]
    fn a_shrunk_rectangle_is_a_rectangle(w in 1.0..6.0_f64, h in 1.0..6.0_f64, d in 0.01..0.45_f64) {
        let shrunk = inward(&rectangle(w, h), d);
        prop_assert!(close_to(shrunk.area(), (w - 2.0 * d) * (h - 2.0 * d), 0.001 * (w + h)));
    }

    #[test]
    fn growing_holds_the_source(one in some_shape(), other in some_shape(), d in 0.01..0.4_f64) {
        let source = union(&[one, other]);
        let grown = outward(&source, d, Holes::Keep);
        prop_assert!(subtract(&source, &grown).area() < 1e-3);
        prop_assert!(grown.area() > source.area());
        prop_assert!(subtract(&source, &inward(&grown, d - 0.003)).area() < 1e-3);
        prop_assert!(is_curved(&grown), "the pen's border was not taken");
    }
}

mod thin {
    //! Parts too narrow to cut are found, corners are not taken for them.

    use cutleaf::geometry::boolean::{subtract, union};
    use cutleaf::geometry::rectangle;
    use cutleaf::geometry::thin::thin_parts;
    use cutleaf::shapes::{Corner, End, banner, heart, star, tag};
    use kurbo::{Affine, BezPath, Rect, Shape};

    use super::{close_to, disc};

    const LEAST: f64 = 1.0 / 16.0;

    #[test]
    fn a_neck_between_two_bodies_is_found_where_it_is() {
        let neck = Rect::new(0.9, 0.48, 2.1, 0.52).to_path(1e-3);
        let far = Affine::translate((2.0, 0.0)) * rectangle(1.0, 1.0);
        let found = thin_parts(&union(&[rectangle(1.0, 1.0), neck, far]), LEAST);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(close_to(found[0].width, 0.04, 0.002), "{found:?}");
        assert!(
            found[0].at[0] > 1.0 && found[0].at[0] < 2.0 && close_to(found[0].at[1], 0.5, 0.01)
        );
        assert!(close_to(found[0].length, 1.0, 0.1), "{found:?}");
    }

    #[test]
    fn even_a_short_neck_counts() {
        let touching = union(&[disc(1.0, 1.0, 1.0), disc(2.9995, 1.0, 1.0)]);
        let found = thin_parts(&touching, LEAST);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].width < 0.05 && close_to(found[0].at[0], 2.0, 0.05), "{found:?}");
    }

    #[test]
    fn a_thin_stroke_and_a_thin_ring_are_found_whole() {
        let stroke = thin_parts(&rectangle(2.0, 0.05), LEAST);
        assert_eq!(stroke.len(), 1);
        assert!(close_to(stroke[0].width, 0.05, 1e-3) && close_to(stroke[0].length, 2.0, 0.06));
        let ring = subtract(&disc(1.0, 1.0, 1.0), &disc(1.0, 1.0, 0.96));
        let found = thin_parts(&ring, LEAST);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(close_to(found[0].width, 0.04, 2e-3), "{found:?}");
        assert!(close_to(found[0].length, 6.16, 0.1), "{found:?}");
    }

    #[test]
    fn a_thin_side_of_a_ring_is_a_neck() {
        let lopsided = subtract(&disc(1.0, 1.0, 1.0), &disc(1.25, 1.0, 0.72));
        let found = thin_parts(&lopsided, LEAST);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(close_to(found[0].width, 0.03, 3e-3) && found[0].at[0] > 1.9, "{found:?}");
    }

    #[test]
    fn a_long_tail_counts_and_a_corner_does_not() {
        let tail = BezPath::from_svg("M0 0 H2 V2 H0 V1 L-1.5 .98 L0 .95 Z").unwrap();
        assert_eq!(thin_parts(&tail, LEAST).len(), 1);
        let shapes = [
            rectangle(2.0, 1.0),
            star(5, 3.0, 0.9).unwrap().outline,
            heart(2.0, 2.0).unwrap().outline,
            tag(2.0, 4.0, Corner::Clipped(0.5), 0.25).unwrap().outline,
            banner(4.0, 1.0, End::Dovetail(0.4), End::Point(0.4)).unwrap().outline,
            disc(1.0, 1.0, 0.5),
            BezPath::new(),
        ];
        for (index, shape) in shapes.iter().enumerate() {
            assert!(thin_parts(shape, LEAST).is_empty(), "{index}: {:?}", thin_parts(shape, LEAST));
        }
    }

    #[test]
    fn no_threshold_finds_nothing() {
        for threshold in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(thin_parts(&rectangle(1.0, 0.01), threshold).is_empty());
        }
    }
}
