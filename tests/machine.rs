//! Free-form nesting for the machine: nothing overlaps, nothing leaves its sheet, spacing is kept.

use cutleaf::geometry::{self, Ring};
use cutleaf::nest::irregular::{Container, Placement, Shape, pack};
use cutleaf::nest::{Effort, Search, Turns};
use cutleaf::shapes;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, Shape as _};
use proptest::prelude::*;

const SPACING: f64 = 1.0 / 16.0;
/// How finely edges are looked at, in inches.
const HAIR: f64 = 1e-6;

/// A form of a kind and size.
fn form(kind: u8, size: f64, share: f64) -> BezPath {
    let drawing = match kind % 6 {
        0 => shapes::star(5, size, size * 0.25),
        1 => shapes::ring(size, size * 0.15),
        2 => shapes::ellipse(size, size * (0.3 + share)),
        3 => shapes::tag(size * 0.6, size, shapes::Corner::Clipped(size * 0.1), size * 0.1),
        4 => shapes::heart(size, size),
        _ => shapes::rectangle(size, size * (0.2 + share), shapes::Corner::Square),
    };
    drawing.expect("sizes are sound").outline
}

pub fn rings_of(path: &BezPath, placement: &Placement, tolerance: f64) -> Vec<Ring> {
    let laid = geometry::laying(path, placement.turn, placement.at) * path;
    geometry::rings(&laid, tolerance)
}

fn area(shape: &[Vec<Ring>]) -> f64 {
    shape.iter().flatten().map(geometry::ring_area).sum::<f64>().abs()
}

pub fn shared(one: &Vec<Ring>, other: &Vec<Ring>) -> f64 {
    area(&one.overlay(other, OverlayRule::Intersect, FillRule::EvenOdd))
}

/// The least distance between two sets of rings.
fn distance(one: &[Ring], other: &[Ring]) -> f64 {
    let to_segment = |p: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        let [dx, dy] = [b[0] - a[0], b[1] - a[1]];
        let length = dx * dx + dy * dy;
        let along =
            if length > 0.0 { ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length } else { 0.0 };
        let along = along.clamp(0.0, 1.0);
        (p[0] - a[0] - along * dx).hypot(p[1] - a[1] - along * dy)
    };
    let mut least = f64::INFINITY;
    for (points, edges) in [(one, other), (other, one)] {
        for point in points.iter().flatten() {
            for ring in edges {
                for (index, from) in ring.iter().enumerate() {
                    least = least.min(to_segment(*point, *from, ring[(index + 1) % ring.len()]));
                }
            }
        }
    }
    least
}

fn check(containers: &[Container], forms: &[BezPath], placements: &[Option<Placement>]) {
    check_apart(containers, forms, placements, SPACING);
}

fn check_apart(
    containers: &[Container],
    forms: &[BezPath],
    placements: &[Option<Placement>],
    spacing: f64,
) {
    let placed: Vec<(usize, Vec<Ring>)> = forms
        .iter()
        .zip(placements)
        .filter_map(|(form, placement)| {
            let rings = rings_of(form, placement.as_ref()?, geometry::FLATTENING);
            Some((placement.as_ref()?.container, rings))
        })
        .collect();
    for (form, placement) in forms.iter().zip(placements) {
        let Some(placement) = placement else { continue };
        let [width, height] = containers[placement.container].size;
        // A flattened curve's points stray from it by as much as it is flattened.
        for point in rings_of(form, placement, HAIR).iter().flatten() {
            let inside = |at: f64, side: f64| at > -2.0 * HAIR && at < side + 2.0 * HAIR;
            assert!(inside(point[0], width), "{point:?} leaves {width}");
            assert!(inside(point[1], height), "{point:?} leaves {height}");
        }
    }
    for (index, (container, rings)) in placed.iter().enumerate() {
        for (_, other) in placed[index + 1..].iter().filter(|(other, _)| other == container) {
            assert!(shared(rings, other) < 1e-6, "two pieces overlap");
            let apart = distance(rings, other);
            assert!(apart >= spacing - 0.002, "two pieces are {apart} in apart");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn pieces_keep_their_distance(
        kinds in prop::collection::vec((any::<u8>(), 0.3_f64..2.5, 0.05_f64..0.6), 1..14),
        width in 3.0_f64..9.0,
        quarter in any::<bool>(),
    ) {
        let forms: Vec<BezPath> = kinds.iter().map(|&(kind, size, share)| form(kind, size, share)).collect();
        let turns = if quarter { Turns::Quarter } else { Turns::Never };
        let shapes: Vec<Shape<'_>> = forms.iter().map(|outline| Shape { outline, turns }).collect();
        let containers = [
            Container { size: [width, 2.0], cost: 0.0 },
            Container { size: [width, 8.0], cost: 1.0 },
            Container { size: [12.0, 12.0], cost: 2.0 },
        ];
        let placements = pack(&containers, &shapes, SPACING, Effort::Quick, &Search::new());
        prop_assert!(placements.iter().all(Option::is_some), "a 12 in sheet has room for all");
        check(&containers, &forms, &placements);
        prop_assert_eq!(&placements, &pack(&containers, &shapes, SPACING, Effort::Quick, &Search::new()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]
    #[test]
    fn a_longer_search_keeps_every_distance_too(
        kinds in prop::collection::vec((any::<u8>(), 0.3_f64..2.5, 0.05_f64..0.6), 2..30),
        width in 3.0_f64..6.0,
        turns in prop::sample::select(vec![Turns::Never, Turns::Quarter, Turns::Any]),
        spacing in prop::sample::select(vec![SPACING, 0.0, 0.25]),
    ) {
        let forms: Vec<BezPath> = kinds.iter().map(|&(kind, size, share)| form(kind, size, share)).collect();
        let shapes: Vec<Shape<'_>> = forms.iter().map(|outline| Shape { outline, turns }).collect();
        let mut containers = vec![Container { size: [width, 3.0], cost: 0.0 }];
        containers.extend([Container { size: [width, 5.0], cost: 1.0 }; 12]);
        let normal = pack(&containers, &shapes, spacing, Effort::Normal, &Search::new());
        check_apart(&containers, &forms, &normal, spacing);
        let quick = pack(&containers, &shapes, spacing, Effort::Quick, &Search::new());
        let without = |placements: &[Option<Placement>]| placements.iter().filter(|one| one.is_none()).count();
        prop_assert!(without(&normal) <= without(&quick));
        if without(&normal) == without(&quick) {
            prop_assert!(sheets_in_use(&normal) <= sheets_in_use(&quick));
        }
        prop_assert_eq!(&normal, &pack(&containers, &shapes, spacing, Effort::Normal, &Search::new()));
    }
}

/// How many of the containers that cost something are used.
fn sheets_in_use(placements: &[Option<Placement>]) -> usize {
    let used: std::collections::BTreeSet<usize> =
        placements.iter().flatten().map(|placement| placement.container).collect();
    used.into_iter().filter(|&container| container > 0).count()
}

#[test]
fn a_sheet_less_is_found_where_the_fill_misses_it() {
    let forms: Vec<BezPath> =
        (0_u8..18).map(|n| form(n, 0.9 + f64::from(n % 4) * 0.4, 0.3)).collect();
    let shapes: Vec<Shape<'_>> =
        forms.iter().map(|outline| Shape { outline, turns: Turns::Quarter }).collect();
    let containers = [Container { size: [5.8, 5.8], cost: 1.0 }; 2];
    let sheets = |effort| {
        let placements = pack(&containers, &shapes, SPACING, effort, &Search::new());
        assert!(placements.iter().all(Option::is_some));
        check(&containers, &forms, &placements);
        placements.iter().flatten().map(|placement| placement.container).max()
    };
    assert_eq!(sheets(Effort::Quick), Some(1));
    assert_eq!(sheets(Effort::Normal), Some(0));
}

#[test]
fn normal_effort_is_no_worse_than_quick() {
    let forms: Vec<BezPath> =
        (0_u8..24).map(|n| form(n, 0.8 + f64::from(n % 5) * 0.3, 0.3)).collect();
    let shapes: Vec<Shape<'_>> =
        forms.iter().map(|outline| Shape { outline, turns: Turns::Quarter }).collect();
    let containers = [Container { size: [6.0, 30.0], cost: 1.0 }];
    let depth = |effort| {
        let placements = pack(&containers, &shapes, SPACING, effort, &Search::new());
        check(&containers, &forms, &placements);
        let bottom = |(form, placement): (&BezPath, &Option<Placement>)| {
            let placement = placement.as_ref().expect("there is room");
            rings_of(form, placement, geometry::FLATTENING)
                .iter()
                .flatten()
                .map(|point| point[1])
                .fold(0.0, f64::max)
        };
        forms.iter().zip(&placements).map(bottom).fold(0.0, f64::max)
    };
    assert!(depth(Effort::Normal) <= depth(Effort::Quick) + 1e-9);
}

#[test]
fn small_pieces_nest_inside_frames() {
    let frame = shapes::frame(5.0, 5.0, shapes::Corner::Square, shapes::Windows::one([4.0, 4.0]))
        .expect("sound")
        .outline;
    let heart = form(4, 2.0, 0.0);
    let shapes = [&frame, &heart].map(|outline| Shape { outline, turns: Turns::Quarter });
    let containers = [Container { size: [5.0, 5.0], cost: 1.0 }];
    let placements = pack(&containers, &shapes, SPACING, Effort::Quick, &Search::new());
    assert!(placements.iter().all(Option::is_some), "{placements:?}");
    check(&containers, &[frame.clone(), heart.clone()], &placements);
}

#[test]
fn turning_is_done_where_it_is_allowed_and_needed() {
    let long = geometry::rectangle(5.0, 1.0);
    let containers = [Container { size: [2.0, 6.0], cost: 1.0 }];
    let turned = |turns| {
        pack(
            &containers,
            &[Shape { outline: &long, turns }],
            SPACING,
            Effort::Quick,
            &Search::new(),
        )[0]
    };
    assert_eq!(turned(Turns::Quarter).map(|placement| placement.turn), Some(90.0));
    assert_eq!(turned(Turns::Never), None);
}

#[test]
fn what_has_no_room_gets_no_place() {
    let large = geometry::rectangle(13.0, 13.0);
    let shapes = [Shape { outline: &large, turns: Turns::Any }];
    assert_eq!(
        pack(
            &[Container { size: [12.0, 12.0], cost: 1.0 }],
            &shapes,
            SPACING,
            Effort::Normal,
            &Search::new()
        ),
        [None]
    );
    assert_eq!(pack(&[], &shapes, SPACING, Effort::Normal, &Search::new()), [None]);
    assert_eq!(
        pack(
            &[Container { size: [-1.0, f64::NAN], cost: 1.0 }],
            &shapes,
            SPACING,
            Effort::Normal,
            &Search::new()
        ),
        [None]
    );
}

#[test]
fn broken_outlines_do_no_harm() {
    let empty = BezPath::new();
    let mut bow_tie = BezPath::new();
    bow_tie.move_to((0.0, 0.0));
    for point in [(2.0, 1.0), (2.0, 0.0), (0.0, 1.0)] {
        bow_tie.line_to(point);
    }
    bow_tie.close_path();
    let mut unsound = bow_tie.clone();
    unsound.line_to((f64::NAN, 0.0));
    let line = geometry::rectangle(3.0, 0.0);
    let forms = [empty, bow_tie, unsound, line];
    let shapes: Vec<Shape<'_>> =
        forms.iter().map(|outline| Shape { outline, turns: Turns::Quarter }).collect();
    let containers = [Container { size: [12.0, 12.0], cost: 1.0 }];
    let placements = pack(&containers, &shapes, SPACING, Effort::Normal, &Search::new());
    let placed: Vec<bool> = placements.iter().map(Option::is_some).collect();
    assert_eq!(placed, [false, true, false, false]);
    assert!(forms[1].area().abs() < 1e-9, "a bow tie's areas cancel out, yet it takes paper");
}

#[test]
fn three_hundred_letters_find_their_places() {
    let forms: Vec<BezPath> = (0_u8..=250).chain(0..50).map(|n| form(n, 0.7, 0.4)).collect();
    let shapes: Vec<Shape<'_>> =
        forms.iter().map(|outline| Shape { outline, turns: Turns::Quarter }).collect();
    let containers = [Container { size: [11.5, 11.5], cost: 1.0 }; 4];
    let placements = pack(&containers, &shapes, SPACING, Effort::Quick, &Search::new());
    assert!(placements.iter().all(Option::is_some));
    check(&containers, &forms, &placements);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn odd_outlines_of_any_size_come_to_an_end(
        corners in prop::collection::vec(prop::collection::vec((0_u8..6, 0_u8..6), 1..14), 1..5),
        scale in prop::sample::select(vec![1e-7, 1e-4, 1e-2, 0.3, 1.0, 1.9]),
        spacing in prop::sample::select(vec![0.0, 1e-6, SPACING, 0.5]),
        turns in prop::sample::select(vec![Turns::Never, Turns::Half, Turns::Quarter, Turns::Any]),
        ring in 2_usize..7,
    ) {
        // Rings of a few corners on a coarse grid: they cross, touch, double back and have no area.
        let path = |corners: &Vec<(u8, u8)>| {
            let mut path = BezPath::new();
            for ring in corners.chunks(ring) {
                for (index, &(x, y)) in ring.iter().enumerate() {
                    let at = (f64::from(x) * scale, f64::from(y) * scale);
                    match (index, x) {
                        (0, _) => path.move_to(at),
                        (_, 3) => path.quad_to((at.0 + scale, at.1), at),
                        _ => path.line_to(at),
                    }
                }
                path.close_path();
            }
            path
        };
        let forms: Vec<BezPath> = corners.iter().map(path).collect();
        let shapes: Vec<Shape<'_>> = forms.iter().map(|outline| Shape { outline, turns }).collect();
        let containers =
            [6.0, 12.0, 12.0].map(|side| Container { size: [side, side], cost: side - 6.0 });
        let begun = std::time::Instant::now();
        let placements = pack(&containers, &shapes, spacing, Effort::Normal, &Search::new());
        prop_assert!(begun.elapsed().as_secs() < 60, "{:?}", begun.elapsed());
        prop_assert_eq!(placements.len(), forms.len());
    }
}
