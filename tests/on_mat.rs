//! A cut file is drawn on the paper that lies on the mat, and the machine has its turn where that is largest.

use cutleaf::description::FaultKind;
use cutleaf::emit::cut_svg::cut_svg;
use cutleaf::geometry::{FLATTENING, ring_area, rings};
use cutleaf::model::Tool;
use cutleaf::record::{Cut, Fall, OnMat, Record, Sheet};
use kurbo::{BezPath, Point, Rect, Shape};
use proptest::prelude::*;

use crate::support::spreads::{record_of, strict_record_of};

const NEAR: f64 = 1e-5;

fn spec(sheets: &str, cutting: &str, pieces: &[&str]) -> String {
    let pieces: String = pieces.iter().map(|piece| format!("    - {piece}\n")).collect();
    format!(
        "name: Dunes\npapers: {{sand: {{color: '#d8b98a', sheets: {{{sheets}}}}}}}\n\
         cutting: {{effort: quick, {cutting}}}\nsingle:\n  pieces:\n{pieces}"
    )
}

fn paper(on_mat: OnMat) -> Rect {
    on_mat.area().into()
}

fn same(one: Rect, other: Rect) -> bool {
    let apart = [one.x0 - other.x0, one.y0 - other.y0, one.x1 - other.x1, one.y1 - other.y1];
    apart.iter().all(|apart| apart.abs() < NEAR)
}

/// What is in hand after so many cuts.
fn in_hand(sheet: &Sheet, cuts: usize) -> Vec<Rect> {
    let mut parts = vec![Rect::new(0.0, 0.0, sheet.size[0], sheet.size[1])];
    for cut in &sheet.cuts[..cuts] {
        let place = parts.iter().position(|part| same(*part, Rect::from(cut.in_hand)));
        parts.swap_remove(place.expect("the paper in hand was freed before"));
        parts.extend([&cut.keeps, &cut.drops].map(|falls| Rect::from(falls.area)));
    }
    parts
}

/// Whether a cut runs through a piece.
fn crosses(cut: &Cut, piece: Rect) -> bool {
    let hand = Rect::from(cut.in_hand);
    let ([x, y], inside) = (cut.from, hand.intersect(piece));
    let down = (cut.from[0] - cut.to[0]).abs() < NEAR;
    inside.area() > NEAR
        && if down {
            x > piece.x0 + NEAR && x < piece.x1 - NEAR
        } else {
            y > piece.y0 + NEAR && y < piece.y1 - NEAR
        }
}

/// The paths of the cut group with the pieces they belong to.
fn cut_paths(svg: &str) -> Vec<(String, BezPath)> {
    let document = roxmltree::Document::parse(svg).expect("well-formed");
    let group = document.descendants().find(|node| node.attribute("id") == Some("cut"));
    let paths = group.expect("a group").children().filter(|node| node.is_element());
    paths
        .map(|path| {
            let data = BezPath::from_svg(path.attribute("d").expect("a path")).expect("path data");
            (path.attribute("data-piece").expect("a piece").to_owned(), data)
        })
        .collect()
}

/// What is true of every machine sheet; returns how many there are.
fn check(record: &Record, margin: f64) -> usize {
    let mut sheets = 0;
    for sheet in &record.sheets {
        let Some(svg) = cut_svg(record, sheet) else { continue };
        sheets += 1;
        let on_mat = sheet.on_mat.expect("a paper for the mat");
        let after = on_mat.after as usize;
        let mat = record.rules.mat.expect("a mat");
        let lying = on_mat.lying();
        assert!((0..2).all(|axis| lying[axis] <= mat[axis] + NEAR), "{lying:?} on {mat:?}");
        assert!(
            in_hand(sheet, after).into_iter().any(|part| same(part, paper(on_mat))),
            "{on_mat:?} is not in hand after {after} cuts"
        );
        let [width, height] = lying;
        let page =
            usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("an SVG file").size();
        assert!((f64::from(page.width()) / 96.0 - width).abs() < 1e-4, "{svg}");
        assert!((f64::from(page.height()) / 96.0 - height).abs() < 1e-4, "{svg}");
        let reach = Rect::new(0.0, 0.0, width, height).inset(1e-4 - margin);
        let frame = on_mat.onto_sheet();
        let paths = cut_paths(&svg);
        for placed in sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine) {
            let own: Vec<&BezPath> = paths
                .iter()
                .filter_map(|(piece, path)| (placed.piece == *piece).then_some(path))
                .collect();
            assert_eq!(own.len(), placed.rings.len());
            for path in own {
                assert!(
                    reach.union(path.bounding_box()) == reach,
                    "{} leaves its paper",
                    placed.piece
                );
                let there = frame * path.clone();
                let (bounds, area) = (there.bounding_box(), there.area().abs());
                let is_it = |ring: &Vec<[f64; 2]>| {
                    let points = ring.iter().map(|&[x, y]| Rect::from_points((x, y), (x, y)));
                    let own = points.reduce(|all, one| all.union(one)).expect("points");
                    let apart = [
                        own.x0 - bounds.x0,
                        own.y0 - bounds.y0,
                        own.x1 - bounds.x1,
                        own.y1 - bounds.y1,
                    ];
                    apart.iter().all(|apart| apart.abs() < 2e-3)
                        && (ring_area(ring).abs() - area).abs() < 0.02
                };
                assert!(
                    placed.rings.iter().any(is_it),
                    "{} lies elsewhere on its sheet",
                    placed.piece
                );
            }
            let points = placed.rings.iter().flatten().map(|&[x, y]| Point::new(x, y));
            let piece = points.fold(None::<Rect>, |all, point| {
                let one = Rect::from_points(point, point);
                Some(all.map_or(one, |all| all.union(one)))
            });
            for cut in &sheet.cuts {
                assert!(
                    !crosses(cut, piece.expect("points")),
                    "cut {} runs through {}",
                    cut.number,
                    placed.piece
                );
            }
        }
        for (place, cut) in sheet.cuts.iter().enumerate() {
            for falls in [&cut.keeps, &cut.drops] {
                let other = if place < after { Fall::Spent } else { Fall::Machine };
                assert_ne!(falls.what, other);
            }
        }
    }
    sheets
}

const STARS: [&str; 3] = [
    "star: {id: a, paper: sand, diameter: 3}",
    "star: {id: b, paper: sand, diameter: 3, at: [4, 0]}",
    "star: {id: c, paper: sand, diameter: 3, at: [8, 0]}",
];

/// Sheets, what else is set, pieces; the loaded paper's size, its turn, the cuts before.
type Row<'a> = (&'a str, &'a str, &'a [&'a str], [f64; 2], f64, u32);

#[test]
fn the_largest_paper_that_fits_is_loaded() {
    let panel = "panel: {id: sky, paper: sand, size: 12 x 6, at: [0, 4]}";
    let with_panel = [panel, STARS[0], STARS[1], STARS[2]];
    let rows: [Row<'_>; 8] = [
        ("12 x 12: 2", "", &STARS, [12.0, 12.0], 0.0, 0),
        ("12 x 12: 2", "", &with_panel, [12.0, 12.0], 0.0, 0),
        ("8.5 x 11: 2", "mat: 12 x 24", &STARS, [8.5, 11.0], 0.0, 0),
        ("11 x 8.5: 2", "mat: 9 x 12", &STARS, [11.0, 8.5], 90.0, 0),
        ("12 x 18: 2", "mat: 12 x 18", &with_panel, [12.0, 18.0], 0.0, 0),
        ("18 x 12: 2", "mat: 12 x 18", &with_panel, [18.0, 12.0], 90.0, 0),
        ("12 x 18: 2", "", &with_panel, [12.0, 12.0], 0.0, 1),
        ("24 x 24: 1", "kerf: 1/32", &STARS, [9.25, 3.5], 0.0, 2),
    ];
    for (sheets, cutting, pieces, size, turn, after) in rows {
        let row = format!("{sheets}, {cutting}, {} pieces", pieces.len());
        let record = record_of(&spec(sheets, cutting, pieces)).expect("a good spec");
        assert!(check(&record, 0.25) > 0, "{row}");
        let sheet = record.sheets.iter().find(|sheet| sheet.on_mat.is_some()).expect("a sheet");
        let on_mat = sheet.on_mat.expect("a paper");
        assert_eq!((on_mat.turn, on_mat.after), (turn, after), "{row}: {on_mat:?}");
        if size[1] > 4.0 {
            assert_eq!(on_mat.size, size, "{row}");
        } else {
            // As much as its pieces need, no less than their rim.
            assert!(on_mat.size.iter().all(|side| *side <= 12.0 + NEAR), "{row}: {on_mat:?}");
        }
    }
}

#[test]
fn strokes_lie_in_the_turned_frame() {
    let record = record_of(&spec("11 x 8.5: 1", "mat: 9 x 12", &STARS[..1])).expect("a good spec");
    let sheet = &record.sheets[0];
    let drawn: BezPath = sheet
        .strokes
        .iter()
        .flat_map(|stroke| BezPath::from_svg(&stroke.path).expect("data"))
        .collect();
    let there = rings(&(sheet.loaded().onto_sheet() * drawn), FLATTENING);
    let area: f64 = there.iter().map(ring_area).sum();
    let wanted: f64 = sheet.placed[0].rings.iter().map(ring_area).sum();
    assert!((area.abs() - wanted.abs()).abs() < 1e-3);
    let svg = cut_svg(&record, sheet).expect("a cut file");
    assert!(svg.contains("viewBox=\"0 0 8.5 11\""), "{svg}");
}

#[test]
fn what_the_mat_does_not_take_is_told() {
    for (sheets, cutting, piece, message, help) in [
        (
            "12 x 18: 1",
            "",
            "star: {id: sun, paper: sand, diameter: 11}\n    - star: {id: low, paper: sand, diameter: 7}",
            "there is not enough sand",
            "one part of 12 x 12 in",
        ),
        (
            "12 x 18: 2",
            "",
            "circle: {id: sun, paper: sand, diameter: 11 3/4}",
            "doesn't lie on the machine's mat of 12 x 12 in",
            "cutting: {mat",
        ),
        (
            "12 x 18: 2",
            "mat: 6 x 12",
            "star: {id: sun, paper: sand, diameter: 8}",
            "mat of 6 x 12 in",
            "tool: hand",
        ),
        (
            "8.5 x 11: 2",
            "mat: 6 x 12",
            "circle: {id: sun, paper: sand, diameter: 2, print: {ground: '#204060'}}",
            "printed sheet of 8 1/2 x 11 in, which the mat of 6 x 12 in doesn't take",
            "loaded whole",
        ),
    ] {
        let problems = strict_record_of(&spec(sheets, cutting, &[piece])).expect_err("too large").0;
        let problem = &problems[0];
        assert_eq!(problem.fault, FaultKind::CannotCut);
        assert!(problem.message.contains(message), "{}", problem.message);
        assert!(problem.help.contains(help), "{}", problem.help);
    }
}

#[test]
fn paper_too_small_to_hold_is_a_warning_with_the_way_out() {
    let small = "name: Dunes\npapers: {sand: {color: '#d8b98a', sheets: {12 x 12: 1}, offcuts: [{size: SIZE, id: end}]}}\n\
                 single: {pieces: [{heart: {id: h, paper: sand, size: 1 x 1}}]}\n";
    for (size, warned) in [("1 1/2 x 5", true), ("2 x 5", false), ("5 x 1 3/4", true)] {
        let record = record_of(&small.replace("SIZE", size)).expect("a good spec");
        let told: Vec<_> =
            record.warnings.iter().filter(|warning| warning.kind == "small on the mat").collect();
        assert_eq!(told.len(), usize::from(warned), "{size}");
        if let Some(warning) = told.first() {
            assert!(warning.message.contains("`single.h`"), "{}", warning.message);
            assert!(warning.help.contains("leave `end` out"), "{}", warning.help);
            assert!(warning.line.is_some());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever sheet, mat and pieces: the frame holds.
    #[test]
    fn any_sheet_and_mat_agree(
        sheet in (8_u32..25, 8_u32..25),
        mat in (8_u32..14, 8_u32..25),
        stars in prop::collection::vec(2_u32..7, 1..6),
        panels in prop::collection::vec((1_u32..8, 1_u32..8), 0..5),
        kerf in 0_u32..3,
        margin in 0_u32..3,
    ) {
        let lines: Vec<String> = stars.iter().enumerate()
            .map(|(number, size)| format!("star: {{id: s{number}, paper: sand, diameter: {size}}}"))
            .chain(panels.iter().enumerate().map(|(number, (width, height))| {
                format!("panel: {{id: p{number}, paper: sand, size: {width} x {height}}}")
            }))
            .collect();
        let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
        let cutting = format!("mat: {} x {}, kerf: {kerf}/32, machine margin: {margin}/8", mat.0, mat.1);
        let record = record_of(&spec(&format!("{} x {}: 20", sheet.0, sheet.1), &cutting, &lines));
        if let Ok(record) = record {
            prop_assert!(check(&record, f64::from(margin) / 8.0) > 0);
        }
    }
}
