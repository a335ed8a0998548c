//! The way of the lifted blade: every stop once, never longer than greedy, near the best there is.

use cutleaf::model::{Process, Tool};
use cutleaf::record::{Pace, Piece, Placed, Record, Sheet};
use cutleaf::toolpath::{BladeVisit, Stop, length, tour};
use kurbo::{BezPath, Circle, Point, Rect, Shape};
use proptest::prelude::*;

use crate::support::routed::routed;

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

/// A closed contour that may begin at any of its corners.
fn closed(corners: &[[f64; 2]]) -> Stop {
    let way = |corner: &[f64; 2]| BladeVisit {
        enter: point(*corner),
        leave: point(*corner),
        inside: 0.0,
    };
    Stop { ways: corners.iter().map(way).collect() }
}

/// A line that may be drawn either way.
fn open([from, to]: [[f64; 2]; 2]) -> Stop {
    let way = |from, to| BladeVisit { enter: point(from), leave: point(to), inside: 0.0 };
    Stop { ways: vec![way(from, to), way(to, from)] }
}

/// The shortest of all tours, tried one by one.
fn shortest(from: Option<Point>, stops: &[Stop], order: &mut Vec<(usize, usize)>) -> f64 {
    if order.len() == stops.len() {
        return length(from, stops, order);
    }
    let mut least = f64::INFINITY;
    for stop in 0..stops.len() {
        if order.iter().any(|(done, _)| *done == stop) {
            continue;
        }
        for way in 0..stops[stop].ways.len() {
            order.push((stop, way));
            least = least.min(shortest(from, stops, order));
            order.pop();
        }
    }
    least
}

fn greedy(stops: &[Stop]) -> f64 {
    let mut waiting: Vec<usize> = (0..stops.len()).collect();
    let (mut at, mut sum) = (Point::ORIGIN, 0.0);
    while !waiting.is_empty() {
        let ways = waiting
            .iter()
            .enumerate()
            .flat_map(|(index, &stop)| stops[stop].ways.iter().map(move |way| (index, *way)));
        let near = |way: &BladeVisit| at.distance(way.enter);
        let (index, way) =
            ways.min_by(|one, other| near(&one.1).total_cmp(&near(&other.1))).expect("a way");
        sum += near(&way);
        at = way.leave;
        waiting.remove(index);
    }
    sum
}

fn corner() -> impl Strategy<Value = [f64; 2]> {
    [0.0..12.0_f64, 0.0..12.0_f64]
}

fn a_stop() -> impl Strategy<Value = Stop> {
    prop_oneof![
        prop::collection::vec(corner(), 1..4).prop_map(|corners| closed(&corners)),
        [corner(), corner()].prop_map(open),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn every_stop_is_visited_once(stops in prop::collection::vec(a_stop(), 0..60)) {
        let order = tour(Some(Point::ORIGIN), &stops);
        let mut seen: Vec<usize> = order.iter().map(|(stop, _)| *stop).collect();
        seen.sort_unstable();
        prop_assert_eq!(seen, (0..stops.len()).collect::<Vec<_>>());
        prop_assert!(order.iter().all(|&(stop, way)| way < stops[stop].ways.len()));
        prop_assert!(length(Some(Point::ORIGIN), &stops, &order) <= greedy(&stops) + 1e-9);
        prop_assert_eq!(&order, &tour(Some(Point::ORIGIN), &stops));
    }

    #[test]
    fn few_stops_are_visited_as_well_as_can_be(
        stops in prop::collection::vec(a_stop(), 1..6),
        anywhere in any::<bool>(),
    ) {
        let from = (!anywhere).then_some(Point::ORIGIN);
        let found = length(from, &stops, &tour(from, &stops));
        let least = shortest(from, &stops, &mut Vec::new());
        prop_assert!(found <= least + 1e-9, "{} against {}", found, least);
    }
}

/// A sheet of pieces that lie where their paths are drawn.
fn sheet_of(paths: &[BezPath], pace: Pace) -> Record {
    let mut sheet = Sheet { id: "sky-1".into(), size: [12.0, 12.0], ..Sheet::default() };
    let mut record = Record { pace, ..Record::default() };
    for (number, path) in paths.iter().enumerate() {
        let bounds = path.bounding_box();
        let id = format!("piece.{number}");
        let path = (kurbo::Affine::translate((-bounds.x0, -bounds.y0)) * path).to_svg();
        let at = [bounds.x0, bounds.y0];
        record.pieces.push(Piece { id: id.clone().into(), path, ..Piece::default() });
        sheet.placed.push(Placed {
            piece: id.into(),
            at,
            tool: Tool::Machine,
            ..Placed::default()
        });
    }
    record.sheets.push(sheet);
    routed(&mut record);
    record
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Rings in rings: nothing is cut after what holds it, and a piece is finished before the next.
    #[test]
    fn what_lies_inside_is_cut_before_what_holds_it(
        rings in prop::collection::vec((corner(), 1_usize..5), 1..12),
    ) {
        let paths: Vec<BezPath> = rings
            .iter()
            .enumerate()
            .map(|(number, (_, depth))| {
                let mut path = BezPath::new();
                for ring in 0..*depth {
                    let center = ((number % 4) as f64 * 3.0 + 1.5, (number / 4) as f64 * 3.0 + 1.5);
                    path.extend(Circle::new(center, 1.4 - 0.3 * ring as f64).to_path(1e-6));
                }
                path
            })
            .collect();
        let record = sheet_of(&paths, Pace::default());
        let strokes = &record.sheets[0].strokes;
        prop_assert_eq!(strokes.len(), rings.iter().map(|(_, depth)| depth).sum::<usize>());
        let mut finished: Vec<&str> = Vec::new();
        let mut last: Option<(&str, f64)> = None;
        for stroke in strokes {
            let path = BezPath::from_svg(&stroke.path).expect("path data");
            let area = path.area();
            prop_assert!(area > 0.0, "clockwise on the page");
            if let Some((piece, smaller)) = last {
                if stroke.piece == piece {
                    prop_assert!(area > smaller);
                } else {
                    finished.push(piece);
                }
            }
            prop_assert!(!finished.contains(&stroke.piece.as_str()));
            last = Some((&stroke.piece, area));
        }
    }
}

#[test]
fn contours_begin_at_corners_and_go_on_over_their_start() {
    let square = Rect::new(2.0, 2.0, 4.0, 4.0).to_path(1e-6);
    let plain = sheet_of(std::slice::from_ref(&square), Pace::default());
    let path = BezPath::from_svg(&plain.sheets[0].strokes[0].path).expect("path data");
    assert_eq!(path.elements().first(), Some(&kurbo::PathEl::MoveTo(Point::new(2.0, 2.0))));
    assert_eq!(path.elements().last(), Some(&kurbo::PathEl::ClosePath));
    let pace = Pace { speed: 2.0, lift: 0.5, overcut: 0.125 };
    let over = sheet_of(&[square], pace);
    let path = BezPath::from_svg(&over.sheets[0].strokes[0].path).expect("path data");
    let end =
        path.segments().last().map(|segment| kurbo::ParamCurve::end(&segment)).expect("an end");
    assert!(end.distance(Point::new(2.125, 2.0)) < 1e-6, "{end:?}");
    let work = over.sheets[0].work.as_ref().expect("work");
    let way = 8.125 + work.travel;
    assert!((over.sheets[0].length_of(Process::Cut) - 8.125).abs() < 1e-6);
    assert!((work.travel - 8.0_f64.sqrt()).abs() < 1e-6);
    assert!((work.seconds - way / 2.0 - 0.5).abs() < 1e-5);
}

#[test]
fn thousands_of_holes_take_no_time_to_speak_of() {
    let holes: Vec<Stop> = (0..20_000_u32)
        .map(|hole| {
            let [x, y] = [hole * 7919 % 12_000, hole * 104_729 % 11_987].map(f64::from);
            closed(&[[x / 1000.0, y / 1000.0]])
        })
        .collect();
    let order = tour(Some(Point::ORIGIN), &holes);
    assert_eq!(order.len(), holes.len());
    let random: Vec<(usize, usize)> = (0..holes.len()).map(|hole| (hole, 0)).collect();
    let found = length(Some(Point::ORIGIN), &holes, &order);
    assert!(found < 0.05 * length(Some(Point::ORIGIN), &holes, &random), "{found}");
}
