//! Raised pieces: foam squares lie under them, out of sight, near enough to each other, and are counted.

use crate::support::spreads::{layout_of, record_of};
use cutleaf::emit::SmallCopies;
use cutleaf::emit::spread::spread_svg;
use cutleaf::geometry::rectangle;
use cutleaf::layout::foam_squares;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::length::{Length, Units};
use cutleaf::plan::{Chain, Redo, redo_layout};
use cutleaf::record::Record;
use cutleaf::shapes;
use kurbo::{BezPath, Point, Shape};

const HEAD: &str = "name: Orchard
papers:
  bark: {color: '#6b5a45', sheets: {12 x 12: 9}}
  pear: {color: '#cfd18a', sheets: {12 x 12: 9}}
photos: {tree: {size: 4 x 6}}
single:
  base: pear
  pieces:
";

fn built(rest: &str) -> Record {
    record_of(&format!("{HEAD}{rest}")).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// The corners and the middles of the sides of a square.
fn rim([x, y]: [f64; 2], square: f64) -> impl Iterator<Item = Point> {
    let steps = [-0.5, 0.0, 0.5].map(|step| step * square);
    steps.into_iter().flat_map(move |across| steps.map(|down| Point::new(x + across, y + down)))
}

#[test]
fn squares_lie_inside_apart_and_never_far_from_any_place() {
    let drawn = |drawing: Result<cutleaf::geometry::Drawing, _>| -> BezPath {
        drawing
            .map(|drawing| drawing.at_origin().outline)
            .unwrap_or_else(|fault: cutleaf::model::Fault| panic!("{fault:?}"))
    };
    let cases: [(&str, BezPath, [i64; 2], usize); 7] = [
        // Name, outline, side of the squares, and how many there are at least.
        ("tag", rectangle(2.0, 3.0), [1, 2], 4),
        ("panel", rectangle(12.0, 12.0), [1, 2], 30),
        ("strip", rectangle(12.0, 1.0), [1, 2], 5),
        ("narrow strip", rectangle(6.0, 0.5), [1, 4], 3),
        ("circle", drawn(shapes::circle(1.0)), [1, 4], 3),
        ("ring", drawn(shapes::ring(3.0, 0.25)), [1, 8], 4),
        ("stroke", rectangle(0.25, 2.0), [1, 8], 2),
    ];
    for (name, outline, [count, parts], least) in cases {
        let (square, at) =
            foam_squares(&outline, Units::Inches).unwrap_or_else(|| panic!("{name}"));
        assert_eq!(square, Length::part(count, parts), "{name}: {at:?}");
        assert!(at.len() >= least, "{name}: {at:?}");
        let side = square.to_inches();
        for place in &at {
            assert!(
                rim(*place, side).all(|point| outline.winding(point) != 0),
                "{name}: {place:?}"
            );
        }
        for (number, one) in at.iter().enumerate() {
            let clear =
                |other: &[f64; 2]| (one[0] - other[0]).abs().max((one[1] - other[1]).abs()) >= side;
            assert!(at[..number].iter().all(clear), "{name}: {at:?}");
        }
        // No place of the outline is more than 1 1/2 in and two squares from foam.
        let far =
            outline.segments().map(|segment| kurbo::ParamCurve::eval(&segment, 0.5)).map(|point| {
                at.iter()
                    .map(|place| point.distance(Point::from((place[0], place[1]))))
                    .fold(f64::MAX, f64::min)
            });
        assert!(far.fold(0.0, f64::max) < 1.5 + 2.0 * side, "{name}: {at:?}");
        // It does not tip: squares lie on both sides of its middle.
        let middle = outline.bounding_box().center();
        for (axis, middle) in [(0, middle.x), (1, middle.y)] {
            let sides = at.iter().map(|place| place[axis] - middle);
            let [low, high] =
                sides.fold([0.0_f64; 2], |[low, high], one| [low.min(one), high.max(one)]);
            let is_thin =
                outline.bounding_box().size().width.min(outline.bounding_box().size().height) < 0.6;
            assert!(is_thin || low < 0.0 && high > 0.0, "{name}: {at:?}");
        }
        assert_eq!(foam_squares(&outline, Units::Inches), Some((square, at)), "{name}");
    }
    assert_eq!(foam_squares(&rectangle(0.15, 2.0), Units::Inches), None);
    let metric = foam_squares(&rectangle(3.0, 3.0), Units::Millimetres).map(|(square, _)| square);
    assert_eq!(metric, Some(Length::mm(12.0)));
}

/// Foam lies under what touches the page: not under what lies on a raised part of the same element.
#[test]
fn foam_lies_under_the_lowest_part_and_is_counted() {
    let record = built(
        "    - photo: {id: crown, photo: tree, raised: 1/8, at: [1, 1], mats: [{paper: bark, reveal: 1/8}, {paper: pear, reveal: 1/4}]}
    - circle: {id: fruit, paper: bark, diameter: 2, raised: 1/16, copies: 3, at: [8, 1]}
    - photo: {photo: tree, id: loose, raised: 1/8, at: [7, 5], turn: 90}
    - panel: {id: flat, paper: bark, size: 1 x 1, at: [11, 11]}
title:
  - {words: Pip, height: 1, paper: bark, raised: 1/8, backing: {paper: pear, margin: 1/8}, at: {left: 1, bottom: 1}}
",
    );
    let piece = |id: &str| {
        record.pieces.iter().find(|piece| piece.id == id).unwrap_or_else(|| panic!("no {id}"))
    };
    let under = |id: &str| piece(id).raised.as_ref().map(|raised| (raised.height, raised.square));
    assert_eq!(under("single.crown.mat-2"), Some((0.125, 0.5)));
    assert_eq!(under("single.crown.mat"), None);
    assert_eq!(under("single.fruit"), Some((0.0625, 0.5)));
    assert_eq!(under("single.flat"), None);
    let letters: Vec<bool> = record
        .pieces
        .iter()
        .filter(|piece| piece.id.starts_with("title."))
        .map(|piece| piece.raised.is_some() == (piece.kind == "backing"))
        .collect();
    assert!(letters.len() >= 4 && letters.iter().all(|right| *right), "{letters:?}");
    let loose = record.photos.iter().filter(|photo| photo.raised.is_some()).count();
    assert_eq!(loose, 1, "the photo on mats lies flat on them");
    let note = &piece("single.fruit").notes[0];
    let count = piece("single.fruit").raised.as_ref().map_or(0, |raised| raised.at.len());
    assert_eq!(note, &format!("raised 1/16 in: stands on {count} foam squares of 1/2 in"));
    // Every square of every copy, by side and height.
    let mut wanted = std::collections::BTreeMap::new();
    let pieces =
        record.pieces.iter().filter_map(|piece| Some((piece.raised.as_ref()?, piece.copies)));
    let photos =
        record.photos.iter().filter_map(|photo| Some((photo.raised.as_ref()?, photo.copies.get())));
    for (raised, copies) in pieces.chain(photos) {
        let of = [raised.square, raised.height].map(|side| Length::inches(side).to_nanometres());
        *wanted.entry(of).or_insert(0_u64) += raised.at.len() as u64 * u64::from(copies);
    }
    let found = record.totals.foam.iter().map(|line| {
        ([line.square, line.height].map(|side| Length::inches(side).to_nanometres()), line.count)
    });
    assert_eq!(found.collect::<std::collections::BTreeMap<_, _>>(), wanted);
    // A redo stands on foam as well.
    let again = redo_layout(
        &Chain::of(record.clone()),
        &[Redo::Piece("single.fruit".into())],
        &FontBook::new(vec![]),
    );
    let again = cutleaf::plan::record(&again.expect("redone")).expect("enough paper");
    assert_eq!(again.pieces[0].raised, piece("single.fruit").raised);
}

/// The second piece is turned upright and lies wholly on the first.
#[test]
fn a_turned_piece_of_a_cluster_lies_where_it_is_turned_to() {
    let record = built(
        "    - cluster:
        id: cross
        raised: 1/8
        at: [3, 3]
        pieces:
          - rectangle: {paper: bark, size: 2 x 6}
          - rectangle: {paper: pear, size: 6 x 1, turn: 90}
",
    );
    let pieces = record.pieces.iter().filter(|piece| piece.id.to_string().contains("cross"));
    let stand: Vec<bool> = pieces.map(|piece| piece.raised.is_some()).collect();
    assert_eq!(stand, [true, false]);
}

/// The largest page there is, and the most squares that lie under one piece.
#[test]
fn foam_under_the_largest_piece_is_laid_on_a_coarse_grid() {
    let (square, at) = foam_squares(&rectangle(50.0, 50.0), Units::Inches).expect("room");
    assert_eq!((square, at.len()), (Length::part(1, 2), 400));
    let within = |place: &f64| (0.25..49.75).contains(place);
    assert!(at.iter().flatten().all(within));
}

#[test]
fn what_stands_on_foam_is_not_gutted_and_opens_nothing_below() {
    let gutted = |raised: &str| {
        let record = built(&format!(
            "    - photo: {{id: crown, photo: tree, {raised} at: [3, 3], mats: [{{paper: bark, reveal: 1}}]}}\ngutting: {{when: always}}\n"
        ));
        let gutted = record
            .pieces
            .iter()
            .filter(|piece| !piece.gutted.is_empty() || !piece.opened.is_empty());
        gutted.map(|piece| piece.id.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(gutted(""), ["single.base", "single.crown.mat"]);
    assert!(gutted("raised: 1/8,").is_empty());
}

#[test]
fn raised_pieces_throw_a_larger_shadow() {
    let picture = |raised: &str| {
        let record =
            built(&format!("    - circle: {{paper: bark, diameter: 2, {raised} at: [4, 4]}}\n"));
        let font = FontBook::new(vec![]).find("text").expect("built in");
        spread_svg(&record, &[], &font, &SmallCopies::default()).document()
    };
    let shades = |svg: &str| svg.matches("#2e2418").count();
    assert!(shades(&picture("raised: 1/8,")) > shades(&picture("")) + 4);
}

#[test]
fn what_can_not_be_raised_is_told() {
    for (elements, told) in [
        ("    - circle: {paper: bark, diameter: 2, raised: 1}\n", "keeps an album from closing"),
        ("    - circle: {paper: bark, diameter: 2, raised: -1/8}\n", "less than 0"),
        ("    - circle: {paper: bark, diameter: 2, raised: high}\n", "high"),
        ("    - panel: {paper: bark, size: 6 x 6, raised: 1/8, gut: true}\n", "can't be cut out"),
        ("    - panel: {paper: bark, size: 1000 x 1000, raised: 1/8}\n", "far too large"),
        (
            "    - cluster: {raised: 1/8, pieces: [{heart: {paper: bark, size: 2 x 2, raised: 1/16}}]}\n",
            "the whole cluster is raised",
        ),
    ] {
        let problems = layout_of(&format!("{HEAD}{elements}")).expect_err(elements);
        assert!(problems.0[0].message.contains(told), "{elements}: {problems:?}");
    }
    let thin = layout_of(&format!(
        "{HEAD}    - panel: {{id: reed, paper: bark, size: 1/8 x 3, raised: 1/8, at: [1, 1]}}\n"
    ))
    .expect("sound");
    let told: Vec<(&str, &str)> =
        thin.warnings.iter().map(|one| (&*one.kind, &*one.message)).collect();
    assert_eq!(told, [("too thin for foam", "`single.reed` is too thin for foam")]);
    let flat = layout_of(&format!(
        "{HEAD}    - panel: {{id: reed, paper: bark, size: 1 x 3, raised: 0, at: [1, 1]}}\n"
    ))
    .expect("sound");
    assert!(flat.pieces.iter().all(|piece| piece.raised.is_none()));
}
