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

fn close_to(value: f64, wanted: f64, allowed: f64) -> bool {
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

mod drawings {
    //! Drawings read from SVG files.

    use std::time::{Duration, Instant};

    use cutleaf::geometry::boolean::contours;
    use cutleaf::model::Process;
    use cutleaf::svg_import::{Fit, read_svg};
    use kurbo::Shape;

    use super::{PI, close_to};

    fn svg(inside: &str) -> String {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="4in" height="2in" viewBox="0 0 400 200">{inside}</svg>"#
        )
    }

    #[test]
    fn the_kite_comes_in_true_to_size() {
        let text = include_str!("../templates/kite-day/kite.svg");
        let kite = read_svg(text, Fit::RealSize).unwrap();
        assert!(close_to(kite.size()[0], 3.0, 1e-4) && close_to(kite.size()[1], 4.9, 1e-4));
        let nested: Vec<usize> = contours(&kite.outline).iter().map(|one| one.depth).collect();
        assert_eq!(
            nested.iter().filter(|depth| **depth == 0).count(),
            1,
            "loose parts: {nested:?}"
        );
        assert!(nested.iter().filter(|depth| **depth == 1).count() >= 2, "no windows: {nested:?}");
        assert_eq!(kite.lines.len(), 2);
        assert!(kite.lines.iter().all(|line| line.process == Process::Score));
        let spine = kite.lines[0].path.bounding_box();
        assert!(close_to(spine.x0, 1.5, 1e-4) && close_to(spine.y0, 0.14, 1e-4));
    }

    #[test]
    fn shapes_are_united_and_keep_their_holes() {
        let text = svg(
            r#"<g transform="translate(50 50) scale(.5)"><rect width="200" height="200"/><circle cx="200" cy="100" r="100"/></g>
               <path fill-rule="evenodd" d="M200 0H400V200H200Z M250 50H350V150H250Z"/>"#,
        );
        let drawing = read_svg(&text, Fit::RealSize).unwrap();
        let wanted = 1.0 + PI / 8.0 + 3.0;
        assert!(close_to(drawing.outline.area(), wanted, 2e-3), "{}", drawing.outline.area());
        assert_eq!(contours(&drawing.outline).iter().filter(|one| one.depth == 1).count(), 1);
    }

    #[test]
    fn an_unfilled_shape_in_paper_is_a_window() {
        let text = svg(
            r#"<g fill="none" stroke="black"><circle cx="100" cy="100" r="50"/><rect width="200" height="200"/>
               <circle cx="100" cy="100" r="20"/></g>"#,
        );
        let drawing = read_svg(&text, Fit::RealSize).unwrap();
        assert!(close_to(drawing.outline.area(), 4.0 - PI * 0.25 + PI * 0.04, 1e-3));
    }

    #[test]
    fn drawings_are_made_as_large_as_asked() {
        let text = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 0H40V20H0Z"/></svg>"#;
        for (fit, size) in [
            (Fit::Width(3.0), [3.0, 1.5]),
            (Fit::Height(3.0), [6.0, 3.0]),
            (Fit::Within([2.0, 2.0]), [2.0, 1.0]),
            (Fit::Within([8.0, 1.0]), [2.0, 1.0]),
        ] {
            let found = read_svg(text, fit).unwrap().size();
            assert!(
                close_to(found[0], size[0], 1e-5) && close_to(found[1], size[1], 1e-5),
                "{found:?}"
            );
        }
    }

    #[test]
    fn millimetres_are_true() {
        let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="50.8mm" height="2.54cm"><rect width="100%" height="100%"/></svg>"#;
        let found = read_svg(text, Fit::RealSize).unwrap().size();
        assert!(close_to(found[0], 2.0, 1e-5) && close_to(found[1], 1.0, 1e-5), "{found:?}");
    }

    #[test]
    fn lines_take_their_process_from_id_class_or_label() {
        let text = svg(
            r##"<rect width="400" height="200"/><path id="fold" d="M0 0L9 9Z" style="display:none"/>
               <g fill="none" stroke="red"><path class="my score-line" d="M0 100H400"/>
               <g id="pen-2"><path d="M10 10H90"/><circle r="9" cx="50" cy="50"/></g>
               <g xmlns:x="urn:x" x:label="perforate"><line id="tear" x1="200" y1="0" x2="200" y2="200"/></g>
               <g id="score"><use href="#stem"/></g></g>
               <defs><path id="stem" d="M300 0V200"/></defs>"##,
        );
        let drawing = read_svg(&text, Fit::RealSize).unwrap();
        let processes: Vec<&str> = drawing.lines.iter().map(|line| line.process.name()).collect();
        assert_eq!(processes, ["score", "pen", "pen", "perforate", "score"]);
        assert!(close_to(drawing.outline.area(), 8.0, 1e-6));
    }

    #[test]
    fn what_cannot_be_cut_is_refused_by_name() {
        let many = r#"<rect width="9" height="9"/>"#.repeat(2_001);
        let deep = "<g>".repeat(5_000) + "<rect/>" + &"</g>".repeat(5_000);
        let cases = [
            (
                r#"<path id="lace" d="M0 0L9 9L9 0" fill="none" stroke="black"/>"#,
                "`lace` is an open path",
            ),
            ("\n<path d='M0 0L9 9L9 0'/>", "the <path> in line 2 is an open path"),
            (r#"<rect width="9" height="9"/><text id="name">dunes</text>"#, "`name` is text"),
            (r#"<image id="sky" href="/etc/hostname"/>"#, "`sky` is a picture"),
            (r#"<image href="data:image/png;base64,AAAA"/>"#, "is a picture"),
            (
                r##"<clipPath id="c"><rect width="5" height="5"/></clipPath><g id="sail" clip-path="url(#c)"><rect width="9" height="9"/></g>"##,
                "`sail` is clipped",
            ),
            (
                r##"<mask id="m"><rect width="5" height="5" fill="white"/></mask><g id="sail" mask="url(#m)"><rect width="9" height="9"/></g>"##,
                "`sail` is masked",
            ),
            (r##"<use id="far" href="other.svg#kite"/>"##, "`far` names an outside file"),
            (
                r##"<use id="far" xlink:href="http://localhost/kite.svg#a"/>"##,
                "`far` names an outside file",
            ),
            (
                r##"<rect id="far" width="9" height="9" style="fill:url(file:///etc/passwd)"/>"##,
                "`far` names an outside file",
            ),
            ("<style>@import 'a.css';</style>", "names an outside file"),
            ("<script>alert(1)</script>", "is a script"),
            (
                r#"<rect id="ghost" width="9" height="9" fill="none"/>"#,
                "`ghost` has neither a fill nor a stroke",
            ),
            (
                r#"<rect id="huge" width="1e30" height="9"/>"#,
                "`huge`|would be|no closed shape|no place on paper",
            ),
            ("", "no closed shape"),
            (many.as_str(), "more than 2000 paths"),
            (deep.as_str(), "nested more than"),
            ("<g>", "is no SVG"),
        ];
        for (inside, named) in cases {
            let error = read_svg(&svg(inside), Fit::RealSize).expect_err(named);
            assert!(
                named.split('|').any(|name| error.message.contains(name)),
                "`{}` doesn't say `{named}`",
                error.message
            );
            assert!(!error.help.is_empty());
        }
    }

    #[test]
    fn a_drawing_without_a_real_size_asks_for_one() {
        for size in [
            "",
            r#"width="100%" height="100%""#,
            r#"width="300" height="200""#,
            r#"width="300px" height="2in""#,
            r#"width="-3in" height="2in""#,
        ] {
            let text = format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 9 9"><rect width="9" height="9"/></svg>"#
            );
            let error = read_svg(&text, Fit::RealSize).expect_err(size);
            assert!(error.message.contains("real size"), "{size}: {}", error.message);
        }
    }

    #[test]
    fn sizes_that_cannot_be_cut_are_refused() {
        let text = svg(r#"<rect width="9" height="9"/>"#);
        for fit in
            [Fit::Width(0.0), Fit::Height(-1.0), Fit::Width(f64::NAN), Fit::Within([1.0, 1e9])]
        {
            assert!(read_svg(&text, fit).is_err(), "{fit:?}");
        }
    }

    #[test]
    fn hostile_files_end_in_a_message_at_once() {
        let mut bomb = String::from("<defs><rect id='a0' width='9' height='9'/>");
        for level in 1..40 {
            let below = level - 1;
            let copies = format!("<use href='#a{below}'/>").repeat(10);
            bomb += &format!("<g id='a{level}'>{copies}</g>");
        }
        bomb += "</defs><use href='#a39'/>";
        let mut chain = String::from("<rect id='c0' width='9' height='9'/>");
        for level in 1..9_000 {
            chain += &format!("<use id='c{level}' href='#c{}'/>", level - 1);
        }
        let scribble: String = (0..50_000_u32)
            .map(|step| format!("L{} {}", step * 7_919 % 400, step * 104_729 % 200))
            .collect();
        let texts = [
            svg(&bomb),
            svg(&chain),
            svg("<use id='x' href='#y'/><g id='y'><use href='#x'/></g>"),
            svg("<g id='x'><use href='#x'/></g>"),
            svg(&format!("<path d='M0 0{scribble}Z'/>")),
            svg(&"<g>".repeat(200_000)),
            svg(&("<g>".repeat(200_000) + &"</g>".repeat(200_000))),
            "<!DOCTYPE s [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]><svg xmlns='http://www.w3.org/2000/svg'>&b;</svg>".to_owned(),
            "<?xml-stylesheet href='a.css'?><svg xmlns='http://www.w3.org/2000/svg'/>".to_owned(),
            "x".repeat(6_000_000),
            "\u{0}\u{1}<svg".to_owned(),
            String::new(),
        ];
        for (index, text) in texts.iter().enumerate() {
            let begin = Instant::now();
            let error = read_svg(text, Fit::RealSize).expect_err(&format!("file {index}"));
            let taken = begin.elapsed();
            println!("{index}: {taken:?} {}", error.message);
            assert!(taken < Duration::from_secs(2), "file {index} took {taken:?}: {error}");
        }
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
