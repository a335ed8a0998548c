//! Stitches close evenly round any outline; hatching stays inside; perforated lines reach the edges; no
//! line of any element leaves its paper.

use crate::support::spreads;

use cutleaf::geometry::boolean::subpaths;
use cutleaf::geometry::hatch::hatch;
use cutleaf::geometry::offset;
use cutleaf::geometry::stitch::{Stitch, stitches};
use cutleaf::model::Tool;
use cutleaf::shapes::{Corner, circle, heart, leaf, rectangle, scallop_circle, star};
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathEl, Point, Shape};
use proptest::prelude::*;

fn any_outline(kind: u32, size: f64) -> BezPath {
    let drawing = match kind {
        0 => circle(size),
        1 => rectangle(size, size * 0.7, Corner::Square),
        2 => rectangle(size, size * 0.7, Corner::Round(size / 9.0)),
        3 => rectangle(size, size * 0.7, Corner::Notched(size / 9.0)),
        4 => star(5, size, size / 5.0),
        5 => heart(size, size),
        6 => leaf(size * 0.7, size, 0),
        _ => scallop_circle(size, 10),
    };
    drawing.unwrap().outline
}

/// How far along a closed path each place lies, with the path's length.
fn along(path: &BezPath, places: &[Point]) -> (Vec<f64>, f64) {
    use kurbo::ParamCurveArclen;
    let mut begin = 0.0;
    let mut best = vec![(f64::INFINITY, 0.0); places.len()];
    for segment in path.segments() {
        for (best, place) in best.iter_mut().zip(places) {
            let near = segment.nearest(*place, 1e-12);
            if near.distance_sq < best.0 - 1e-13 {
                *best = (near.distance_sq, begin + segment.subsegment(0.0..near.t).arclen(1e-10));
            }
        }
        begin += segment.arclen(1e-10);
    }
    for (distance, _) in &best {
        assert!(distance.sqrt() < 1e-5, "a stitch lies {} in off its line", distance.sqrt());
    }
    (best.into_iter().map(|(_, along)| along).collect(), begin)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn dashes_and_gaps_alternate_evenly_round_a_circle(size in 1.0..6.0_f64, length in 0.06..0.3_f64, gap in 0.04..0.2_f64) {
        let path = circle(size).unwrap().outline;
        let sewn = stitches(&path, Stitch::Dashes { length, gap }).unwrap();
        let dashes = subpaths(&sewn);
        let count = (path.perimeter(1e-10) / (length + gap)).round();
        prop_assert!((f64::from(u32::try_from(dashes.len()).unwrap()) - count).abs() < 0.5);
        let lengths: Vec<f64> = dashes.iter().map(|dash| dash.perimeter(1e-10)).collect();
        for one in &lengths {
            prop_assert!((one - lengths[0]).abs() < 1e-6, "{one} is not {}", lengths[0]);
        }
        let starts: Vec<Point> = dashes.iter().filter_map(first_point).collect();
        let (places, whole) = along(&path, &starts);
        for pair in places.windows(2) {
            prop_assert!((pair[1] - pair[0] - whole / count).abs() < 1e-6);
        }
        let share = length / (length + gap);
        prop_assert!((lengths[0] - share * whole / count).abs() < 1e-6);
    }

    #[test]
    fn every_outline_is_sewn_whole(kind in 0_u32..8, size in 2.0..6.0_f64, length in 0.06..0.2_f64, gap in 0.04..0.12_f64) {
        let outline = any_outline(kind, size);
        let line = offset::inward(&outline, 0.125);
        let sewn = stitches(&line, Stitch::Dashes { length, gap }).unwrap();
        let dashes = subpaths(&sewn);
        // The dashes' share of the line is that of a stitch, but for a gap saved at each corner.
        let covered: f64 = dashes.iter().map(|dash| dash.perimeter(1e-8)).sum();
        let whole = line.perimeter(1e-8);
        prop_assert!(covered / whole > length / (length + gap) - 0.05 && covered < whole);
        for dash in &dashes {
            let long = dash.perimeter(1e-8);
            prop_assert!(long < 1.7 * length + gap, "a dash is {long} long");
        }
        let holes = stitches(&line, Stitch::Holes { diameter: 0.03, apart: length + gap }).unwrap();
        let centres: Vec<Point> = subpaths(&holes).iter().map(|hole| hole.bounding_box().center()).collect();
        let (places, whole) = along(&line, &centres);
        let mut steps: Vec<f64> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
        steps.sort_by(f64::total_cmp);
        prop_assert!(centres.len() > 4);
        // Round a line without corners all steps are one.
        if matches!(kind, 0 | 2) {
            let step = whole / f64::from(u32::try_from(centres.len()).unwrap());
            prop_assert!(steps.iter().all(|one| (one - step).abs() < 1e-5 || (one + whole - step).abs() < 1e-5), "{steps:?}");
        }
        for hole in &centres {
            prop_assert!(outline.winding(*hole) != 0);
        }
    }

    #[test]
    fn hatching_stays_inside(kind in 0_u32..8, size in 1.5..4.0_f64, angle in -90.0..90.0_f64, gap in 0.03..0.2_f64) {
        let outline = any_outline(kind, size);
        let lines = hatch(&outline, angle, gap, 0.0625);
        let inside = offset::inward(&outline, 0.06);
        let mut length = 0.0;
        for segment in lines.segments() {
            prop_assert!(inside.winding(segment.eval(0.5)) != 0);
            for share in [0.001, 0.25, 0.75, 0.999] {
                prop_assert!(outline.winding(segment.eval(share)) != 0);
            }
            length += (segment.end() - segment.start()).hypot();
        }
        // Lines so far apart cover the area once.
        let area = offset::inward(&outline, 0.0625).area().abs();
        prop_assert!((length * gap / area - 1.0).abs() < 0.2 + gap, "{} of {area}", length * gap);
    }
}

/// Every element of paper, with measures to fill in.
const ELEMENTS: [&str; 29] = [
    "panel: {paper: chalk, size: W x H",
    "circle: {paper: chalk, diameter: W",
    "ellipse: {paper: chalk, size: W x H",
    "rectangle: {paper: chalk, size: W x H, corners: {round: 1/4}",
    "rectangle: {paper: chalk, size: W x H, corners: {notched: 3/8}",
    "tag: {paper: chalk, size: W x H",
    "tag: {paper: chalk, size: W x H, shoulders: round",
    "banner: {paper: chalk, size: W x H, left: point",
    "ring: {paper: chalk, diameter: W, width: 3/8",
    "polygon: {paper: chalk, sides: 5, diameter: W",
    "star: {paper: chalk, diameter: W, points: 7",
    "heart: {paper: chalk, size: W x H",
    "scallop: {paper: chalk, diameter: W, scallops: 9",
    "scallop edge: {paper: chalk, size: W x H, edges: [top, bottom]",
    "ticket: {paper: chalk, size: W x H, notches: corners",
    "pennants: {paper: chalk, size: W x H, pennants: 3, gap: 1/8",
    "arrow: {paper: chalk, size: W x H",
    "plaque: {paper: chalk, size: W x H",
    "frame: {paper: chalk, size: W x H, window: 1/2 x 1/2, windows: {columns: 2, gap: 1/8}",
    "sunburst: {paper: chalk, diameter: W, rays: 9",
    "leaf: {paper: chalk, size: W x H, veins: 6",
    "cloud: {paper: chalk, size: W x H",
    "pocket: {paper: chalk, size: W x H, notch: 1/4",
    "envelope: {paper: chalk, card: W x H",
    "tent: {paper: chalk, size: W x H",
    "accordion: {paper: chalk, panels: 4, size: W x H",
    "gatefold: {paper: chalk, size: W x H",
    "step: {paper: chalk, width: W, riser: H",
    "photo corner: {paper: chalk, size: W, scores: edge",
];

/// Whether a place lies on the paper of an outline, or within a thousandth of an inch of it.
fn on_paper(outline: &BezPath, at: Point) -> bool {
    let near = |segment: kurbo::PathSeg| segment.nearest(at, 1e-9).distance_sq.sqrt() <= 1e-3;
    // At the very height of a corner the winding may be off by a rounding: beside it, it isn't.
    let beside = at + kurbo::Vec2::new(3e-7, 7e-7);
    outline.winding(at) != 0 || outline.winding(beside) != 0 || outline.segments().any(near)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_line_of_an_element_leaves_its_paper(
        element in 0..ELEMENTS.len(), w in 26_u32..56, h in 26_u32..56, at in 1_u32..60, keys in 0_usize..6,
    ) {
        let [wide, high] = [w, h].map(|marks| format!("{marks}/16"));
        let keys = match keys {
            0 => format!("score: [{{across: {at}/32}}], perforate: [{{down: {at}/40}}]"),
            1 => format!("perforate: [{{across: {at}/48}}, {{down: {at}/32}}], torn: [top, left]"),
            2 => "stitch: {}, hatch: {}".to_owned(),
            3 => format!("stitch: {{as: holes, diameter: 1/16, inset: {at}/400 + 1/31}}"),
            4 => "stitch: {as: dashes, inset: 1/16}, hatch: {angle: 13, gap: 1/32, inset: 0}".to_owned(),
            _ => "stitch: {inset: 0}".to_owned(),
        };
        let element = ELEMENTS[element].replace('W', &wide).replace('H', &high);
        let yaml = format!("{HEAD}    - {element}, {keys}}}\n").replace("12 x 12: 1", "30 x 30: 1");
        // What doesn't fit is refused, and tells so.
        if let Ok(layout) = spreads::layout_of(&yaml) {
            for piece in &layout.pieces {
                for line in &piece.drawing.lines {
                    for segment in line.path.segments() {
                        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
                            let place = segment.eval(share);
                            prop_assert!(
                                on_paper(&piece.drawing.outline, place),
                                "{yaml}: {} at {place:?}", line.process.name()
                            );
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn lines_under_letters_lie_on_their_backing() {
    for placement in ["pen", "score"] {
        for counters in ["filled", "kept"] {
            let yaml = format!(
                "name: Sewn\npapers: {{chalk: {{color: \"#f4efe3\", sheets: {{12 x 12: 1}}}}}}\nsingle: {{}}\ntitle:\n  - {{words: Boog, height: 1, paper: chalk, backing: {{paper: [chalk, chalk], margin: 1/32, counters: {counters}, placement: {placement}, inset: 0, pins: 1/16}}}}\n"
            );
            let layout =
                spreads::layout_of(&yaml).unwrap_or_else(|problems| panic!("{problems:?}"));
            let lines = layout.pieces.iter().flat_map(|piece| {
                piece.drawing.lines.iter().map(move |line| (&piece.drawing.outline, line))
            });
            let mut count = 0;
            for (outline, line) in lines {
                count += 1;
                for segment in line.path.segments() {
                    for place in [0.0, 0.3, 0.7].map(|share| segment.eval(share)) {
                        let process = line.process.name();
                        assert!(on_paper(outline, place), "{yaml}: {process} at {place:?}");
                    }
                }
            }
            assert!(count > 4, "{count} lines");
        }
    }
}

fn first_point(path: &BezPath) -> Option<Point> {
    match path.elements().first() {
        Some(PathEl::MoveTo(point)) => Some(*point),
        _ => None,
    }
}

#[test]
fn corners_get_a_dash_end_and_a_hole() {
    let square = rectangle(2.0, 1.0, Corner::Square).unwrap().outline;
    let holes = stitches(&square, Stitch::Holes { diameter: 0.03, apart: 0.19 }).unwrap();
    let centres: Vec<Point> =
        subpaths(&holes).iter().map(|hole| hole.bounding_box().center()).collect();
    // 11 + 5 steps on either half.
    assert_eq!(centres.len(), 2 * (11 + 5));
    let dashes = stitches(&square, Stitch::Dashes { length: 0.125, gap: 0.0625 }).unwrap();
    let starts: Vec<Point> = subpaths(&dashes).iter().filter_map(first_point).collect();
    for corner in [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)].map(Point::from) {
        assert!(centres.iter().any(|centre| centre.distance(corner) < 1e-9));
        assert!(starts.iter().any(|start| start.distance(corner) < 1e-9));
    }
}

#[test]
fn hostile_measures_end_without_stitches() {
    let square = rectangle(2.0, 1.0, Corner::Square).unwrap().outline;
    for bad in [0.0, -1.0, f64::NAN, 1e-7] {
        assert!(stitches(&square, Stitch::Holes { diameter: 0.1, apart: bad }).is_none());
        assert!(hatch(&square, 0.0, bad, 0.0).elements().is_empty());
    }
    assert!(hatch(&square, f64::NAN, 0.1, 0.0).elements().is_empty());
}

const HEAD: &str =
    "name: Sewn\npapers: {chalk: {color: \"#f4efe3\", sheets: {12 x 12: 1}}}\nsingle:\n  pieces:\n";

#[test]
fn a_spec_asks_for_stitches_hatching_and_tear_off_lines() {
    let spec = format!(
        "{HEAD}    - panel: {{id: flag, paper: chalk, size: 3 x 2, stitch: {{as: holes}}, hatch: {{angle: 0, gap: 1/4, inset: 1/4}}}}\n    \
         - ticket: {{id: stub, paper: chalk, size: 3 x 1, at: [0, 4], perforate: [{{down: 2}}], stitch: {{as: dashes}}}}\n"
    );
    let record = spreads::record_of(&spec).unwrap();
    let piece = |id: &str| record.pieces.iter().find(|piece| piece.id == id).unwrap();
    let flag = piece("single.flag");
    assert_eq!(flag.tool, Tool::Machine);
    let words: Vec<&str> = flag.lines.iter().map(|line| line.process.name()).collect();
    assert_eq!(words, ["pen", "cut"]);
    // 2 3/4 x 1 3/4 in inside an eighth, 3/16 in apart: 15 and 9 holes on a side.
    assert_eq!(flag.lines[1].path.matches('Z').count(), 2 * (15 + 9));
    // Lines 1/4 in apart on 1 1/2 in, from edge to edge.
    assert!((6..=7).contains(&flag.lines[0].path.matches('L').count()));
    let stub = piece("single.stub");
    assert_eq!(stub.lines[0].process.name(), "perforate");
    assert!(
        stub.notes.iter().any(|note| note == "perforate down, from the left: 2 in"),
        "{:?}",
        stub.notes
    );
    // Slits stay open in the machine's way.
    let strokes = record.sheets.iter().flat_map(|sheet| &sheet.strokes);
    let cuts: Vec<&str> = strokes
        .filter(|stroke| stroke.piece == "single.stub" && stroke.process.name() == "cut")
        .map(|stroke| stroke.path.as_str())
        .collect();
    assert_eq!(cuts.iter().filter(|path| path.ends_with('Z')).count(), 1);
    assert!(cuts.len() > 20, "{} slits", cuts.len());
}

#[test]
fn what_cannot_be_sewn_is_refused_with_its_place() {
    for (keys, says) in [
        ("stitch: {inset: 3}", "no line of stitches fits"),
        ("stitch: {length: 0}", "have no length"),
        ("stitch: {as: holes, diameter: 1}", "run into one another"),
        ("stitch: {as: dashes, gap: 0}", "cut the piece apart"),
        ("stitch: {as: dashes, inset: 0}", "run off the edge"),
        ("stitch: {as: beads}", "`beads` is not a kind of stitch"),
        ("stitch: {}, tool: trimmer", "made by the machine"),
        ("stitch: {}, torn: [top]", "torn edges"),
        ("stitch: {length: 1/1000000, gap: 0}", "too many"),
        ("hatch: {gap: 0}", "no hatching fits"),
        ("hatch: {gap: 1/1000000}", "no hatching fits"),
        ("perforate: [{across: 9}]", "the perforate line is off the piece"),
    ] {
        let spec = format!("{HEAD}    - panel: {{paper: chalk, size: 3 x 2, {keys}}}\n");
        let problems = spreads::layout_of(&spec).expect_err(keys);
        let messages: Vec<&str> =
            problems.0.iter().map(|problem| problem.message.as_str()).collect();
        assert!(messages.iter().any(|message| message.contains(says)), "{keys}: {messages:?}");
    }
}
