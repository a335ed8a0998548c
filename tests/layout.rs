//! From a spec to measured, placed pieces.

use crate::support::spreads::{layout_of, record_of};
use cutleaf::layout::{Layout, PlacedPiece};
use cutleaf::model::length::Size;

const PAPERS: &str = "name: Dunes\npapers:\n  chalk: {color: '#f4efe3', sheets: {12 x 12: 9}}\n  sand: {color: '#d8bf93', sheets: {12 x 12: 9}, turn: never}\nphotos:\n  wide: {size: 6 x 4, facing: left}\n  square: {size: 4 x 4}\n  low: {size: 4 x 3}\n  tall: {size: 4 x 5 1/2}\n";

fn laid(pages: &str) -> Layout {
    layout_of(&format!("{PAPERS}{pages}")).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn piece<'a>(layout: &'a Layout, id: &str) -> &'a PlacedPiece {
    layout.pieces.iter().find(|piece| piece.id == id).unwrap_or_else(|| panic!("no {id}"))
}

/// Common practice, no source: a 12 in page in thirds is a 4 in column and an 8 in rest, and both come
/// from one 12 x 12 in sheet with nothing left.
#[test]
fn thirds_use_one_sheet_with_nothing_left() {
    let yaml = format!(
        "{PAPERS}left:\n  pieces:\n    - panel: {{id: column, paper: chalk, size: 1/3 page x 12}}\n    - panel: {{id: rest, paper: chalk, size: 2/3 page x 1 page, at: {{right: 0}}}}\n"
    );
    let layout = layout_of(&yaml).expect("sound");
    assert_eq!(piece(&layout, "left.column").size, Size::inches(4.0, 12.0));
    assert_eq!(piece(&layout, "left.rest").size, Size::inches(8.0, 12.0));
    assert_eq!(piece(&layout, "left.rest").at, [4.0, 0.0]);
    let record = record_of(&yaml).expect("enough paper");
    assert_eq!(record.sheets.len(), 1);
    assert_eq!(record.sheets[0].used, 1.0);
    assert!(record.sheets[0].offcuts.is_empty());
    assert_eq!(record.sheets[0].cuts.len(), 1);
}

/// Common practice, no source: a 4 x 4 photo above a 4 x 5 1/2 one with 1/4 in all round.
#[test]
fn a_bank_measures_its_mat() {
    let mat = |photos: &str| {
        let layout = laid(&format!(
            "left:\n  pieces:\n    - bank: {{id: pair, photos: [{photos}], run: down, mats: [{{paper: chalk, reveal: 1/4}}]}}\n"
        ));
        piece(&layout, "left.pair.mat").size
    };
    assert_eq!(mat("square, tall"), Size::inches(4.5, 10.0));
    assert_eq!(mat("low, tall"), Size::inches(4.5, 9.0));
}

#[test]
fn mats_lie_under_photos_with_their_reveals() {
    let layout = laid(
        "left:\n  pieces:\n    - bank:\n        id: row\n        photos: [wide, low]\n        gap: 1/8\n        at: [1, 2]\n        mats: [{paper: chalk, reveal: 1/8}, {paper: sand, reveal: {top: 1/4, right: 1/4, bottom: 1, left: 1/4}}]\n",
    );
    let (inner, outer) = (piece(&layout, "left.row.mat"), piece(&layout, "left.row.mat-2"));
    assert_eq!(inner.size, Size::inches(10.375, 4.25));
    assert_eq!(outer.size, Size::inches(10.875, 5.5));
    assert_eq!((outer.at, inner.at), ([1.0, 2.0], [1.25, 2.25]));
    assert!(outer.order < inner.order);
    let low = layout.photos.iter().find(|photo| photo.name == "low").expect("placed");
    assert!(low.order > inner.order);
    // Middles in line: the 3 in photo is half an inch lower than the 4 in one.
    assert_eq!(low.at, [1.25 + 0.125 + 6.0 + 0.125, 2.25 + 0.125 + 0.5]);
}

#[test]
fn a_grid_is_as_square_as_can_be() {
    let layout = laid(
        "left:\n  pieces:\n    - bank: {id: four, photos: [low, low, low, low], run: grid, gap: 1/4}\n",
    );
    let corners: Vec<[f64; 2]> = layout.photos.iter().map(|photo| photo.at).collect();
    assert_eq!(corners, [[0.0, 0.0], [4.25, 0.0], [0.0, 3.25], [4.25, 3.25]]);
    let names: Vec<&str> = layout.photos.iter().map(|photo| photo.id.as_str()).collect();
    assert_eq!(names, ["left.low", "left.low-2", "left.low-3", "left.low-4"]);
}

#[test]
fn positions_follow_edges_middles_and_neighbours() {
    let layout = laid(
        "left:\n  pieces:\n    - panel: {id: a, paper: chalk, size: 3 x 2, at: {right: 1, bottom: 1/2}}\n    - panel: {id: b, paper: chalk, size: 3 x 2, at: center}\n    - panel: {id: c, paper: chalk, size: 1 x 1, at: {below: b, gap: 1/4, align: end}}\n    - panel: {id: d, paper: chalk, size: 1 x 1, at: {left of: b, gap: 1/2, align: center}}\n    - circle: {id: e, paper: chalk, diameter: 1, at: {on: a}}\n    - circle: {id: f, paper: chalk, diameter: 1, at: {on: a, left: 1/4, bottom: 1/4}}\n    - panel: {id: g, paper: chalk, size: 1 x 1, at: {center: 1/4 page, middle: 2}}\n    - panel: {id: h, paper: chalk, size: 1 x 1, at: {above: b, right of: b}}\n",
    );
    let at = |id: &str| piece(&layout, &format!("left.{id}")).at;
    assert_eq!(at("a"), [8.0, 9.5]);
    assert_eq!(at("b"), [4.5, 5.0]);
    assert_eq!(at("c"), [6.5, 7.25]);
    assert_eq!(at("d"), [3.0, 5.5]);
    assert_eq!(at("e"), [9.0, 10.0]);
    assert_eq!(at("f"), [8.25, 10.25]);
    assert_eq!(at("g"), [2.5, 1.5]);
    assert_eq!(at("h"), [7.5, 4.0]);
}

#[test]
fn a_turned_block_keeps_its_corner_and_its_parts_together() {
    let layout = laid(
        "left:\n  pieces:\n    - photo: {id: tipped, photo: square, turn: 90, at: [2, 3], mats: [{paper: chalk, reveal: {top: 1, right: 1/4, bottom: 1/4, left: 1/4}}]}\n",
    );
    let mat = piece(&layout, "left.tipped.mat");
    assert_eq!((mat.at, mat.turn), ([2.0, 3.0], 90.0));
    // The wide reveal was on top; a quarter turn clockwise takes it to the right.
    let photo = &layout.photos[0];
    assert!((photo.at[0] - 2.25).abs() < 1e-9 && (photo.at[1] - 3.25).abs() < 1e-9, "{photo:?}");
}

#[test]
fn a_strip_across_the_spread_is_cut_at_the_gutter_from_one_sheet() {
    let yaml = format!(
        "{PAPERS}left:\n  base: chalk\n  pieces:\n    - strip: {{id: band, paper: sand, width: 3/4, across: spread, at: {{bottom: 2}}}}\nright:\n  base: chalk\n  pieces:\n    - panel: {{id: sky, paper: chalk, size: 3 x 12}}\n    - photo: {{photo: square}}\n"
    );
    let layout = layout_of(&yaml).expect("sound");
    let (left, right) = (piece(&layout, "left.band"), piece(&layout, "right.band"));
    assert_eq!((left.at, right.at), ([0.0, 9.25], [0.0, 9.25]));
    assert_eq!((left.page, right.page), (0, 1));
    assert!(right.order > piece(&layout, "right.sky").order);
    assert!(right.order < layout.photos[0].order);
    let record = record_of(&yaml).expect("enough paper");
    let sheets: Vec<&str> = record
        .sheets
        .iter()
        .filter(|sheet| sheet.placed.iter().any(|placed| placed.piece.ends_with("band")))
        .map(|sheet| sheet.id.as_str())
        .collect();
    assert_eq!(sheets, ["sand-1"]);
}

#[test]
fn what_looks_wrong_is_named() {
    let layout = laid(
        "left:\n  pieces:\n    - panel: {id: lost, paper: chalk, size: 2 x 2, at: [1, 1]}\n    - panel: {id: cover, paper: chalk, size: 4 x 4}\n    - circle: {id: over, paper: chalk, diameter: 2, at: {left: -1}}\n    - photo: {photo: square, at: {left: 10, top: 6}}\n    - photo: {photo: wide, at: {left: 0, top: 5}}\nright:\n  base: chalk\n",
    );
    let mut warnings: Vec<(&str, &str)> = layout
        .warnings
        .iter()
        .map(|warning| (warning.kind.as_str(), warning.piece.as_deref().unwrap_or_default()))
        .collect();
    warnings.sort_unstable();
    assert_eq!(
        warnings,
        [
            ("hidden", "left.lost"),
            ("off the page", "left.over"),
            ("photo cut by the gutter", "left.square"),
        ]
    );
}

#[test]
fn torn_edges_stay_in_their_rectangle() {
    let layout = laid(
        "left:\n  pieces:\n    - panel: {id: dune, paper: chalk, size: 12 x 2, at: {bottom: 0}, torn: [top]}\n",
    );
    let dune = piece(&layout, "left.dune");
    assert_eq!(dune.at, [0.0, 10.0]);
    assert_eq!(dune.tool.name(), "hand");
    let torn = dune.finished.as_ref().expect("torn");
    let [width, height] = torn.size();
    assert!((width - 12.0).abs() < 1e-9 && (height - 2.0).abs() < 1e-9);
    let area = kurbo::Shape::area(&torn.outline).abs();
    assert!(area < 24.0 && area > 24.0 - 12.0 * 0.126, "{area}");
}

#[test]
fn score_lines_run_from_edge_to_edge() {
    let layout = laid(
        "left:\n  pieces:\n    - circle: {id: sun, paper: chalk, diameter: 4, score: [{across: 1}, {down: 2}]}\n",
    );
    let lines = &piece(&layout, "left.sun").drawing.lines;
    let ends: Vec<f64> =
        lines.iter().map(|line| kurbo::Shape::bounding_box(&line.path).width()).collect();
    // A chord 1 in below the top of a 4 in circle is 2 √3 in long.
    assert!((ends[0] - 2.0 * 3.0_f64.sqrt()).abs() < 0.01, "{ends:?}");
    assert!(ends[1].abs() < 1e-9);
}

#[test]
fn turning_on_the_sheet_follows_piece_and_paper() {
    use cutleaf::nest::Turns;
    let layout = layout_of(
        "name: Grain
papers:
  plain: {color: '#f4efe3', sheets: {12 x 12: 9}}
  grained: {color: '#d8bf93', sheets: {12 x 12: 9}, turn: half}
  felt: {color: '#d8bf93', sheets: {12 x 12: 9}, turn: any}
single:
  pieces:
    - circle: {id: a, paper: plain, diameter: 1}
    - circle: {id: b, paper: plain, diameter: 1, cut turn: any}
    - circle: {id: c, paper: grained, diameter: 1}
    - circle: {id: d, paper: grained, diameter: 1, cut turn: never}
    - circle: {id: e, paper: felt, diameter: 1}
    - circle: {id: f, paper: felt, diameter: 1, cut turn: quarter}
title:
  - {words: Up, id: up, height: 1, paper: felt, cut turn: half}
",
    )
    .unwrap_or_else(|problems| panic!("{problems:?}"));
    let turns = |id: &str| piece(&layout, id).turns;
    let found = ["a", "b", "c", "d", "e", "f"].map(|id| turns(&format!("single.{id}")));
    use Turns::{Any, Half, Never, Quarter};
    assert_eq!(found, [Quarter, Any, Half, Never, Any, Quarter]);
    assert!(
        layout.pieces.iter().filter(|piece| piece.kind == "letter").all(|one| one.turns == Half)
    );
}

#[test]
fn grain_allows_half_turns_only() {
    let record = record_of(
        "name: Grain
papers:
  grained: {color: '#d8bf93', sheets: {12 x 12: 2}, turn: half}
single:
  pieces:
    - panel: {id: wide, paper: grained, size: 12 x 5}
    - panel: {id: tall, paper: grained, size: 5 x 12}
    - tag: {id: one, paper: grained, size: 2 x 3, hole: 1/4}
    - tag: {id: two, paper: grained, size: 2 x 3, hole: 1/4}
",
    )
    .expect("two sheets do");
    let placed: Vec<_> = record.sheets.iter().flat_map(|sheet| &sheet.placed).collect();
    assert_eq!(placed.len(), 4);
    assert!(placed.iter().all(|one| one.turn == 0.0 || one.turn == 180.0), "{placed:?}");
}

#[test]
fn shapes_of_a_few_numbers_are_measured_and_cut_by_the_machine() {
    use cutleaf::nest::Tool;
    use std::f64::consts::PI;
    let layout = laid(
        "single:
  pieces:
    - ring: {id: ring, paper: chalk, diameter: 3, width: 1/2}
    - polygon: {id: polygon, paper: chalk, sides: 6, diameter: 2}
    - star: {id: star, paper: chalk, points: 4, diameter: 2}
    - heart: {id: heart, paper: chalk, size: 2 x 1 3/4}
    - scallop: {id: scallop, paper: chalk, diameter: 2 1/2}
    - frame: {id: frame, paper: chalk, size: 4 x 5, window: 3 x 4}
",
    );
    let of = |id: &str| piece(&layout, &format!("single.{id}"));
    assert!(layout.pieces.iter().all(|piece| piece.tool == Tool::Machine));
    let area = |id: &str| kurbo::Shape::area(&of(id).drawing.outline).abs();
    let near = |one: f64, other: f64| assert!((one - other).abs() < 1e-4, "{one} is not {other}");
    near(area("ring"), PI * (1.5 * 1.5 - 1.0));
    // Six equilateral triangles of side 1.
    near(area("polygon"), 6.0 * 3.0_f64.sqrt() / 4.0);
    // Eight triangles between a point at 1 and a notch at 1/2, 45 degrees apart.
    near(area("star"), 8.0 * 0.5 * 0.5 * (PI / 4.0).sin());
    near(area("frame"), 20.0 - 12.0);
    assert_eq!(of("heart").size, Size::inches(2.0, 1.75));
    assert_eq!(of("ring").size, Size::inches(3.0, 3.0));
    near(of("polygon").size.height.to_inches(), 2.0);
    near(of("polygon").size.width.to_inches(), 3.0_f64.sqrt());
    near(of("scallop").size.height.to_inches(), 2.5);
}

/// The ids of a page from the lowest up.
fn stacked(layout: &Layout, page: usize) -> Vec<String> {
    let pieces = layout.pieces.iter().filter(|piece| piece.page == page);
    let photos = layout.photos.iter().filter(|photo| photo.page == page);
    let mut all: Vec<(u32, &str)> = pieces.map(|piece| (piece.order, piece.id.as_str())).collect();
    all.extend(photos.map(|photo| (photo.order, photo.id.as_str())));
    all.sort_unstable();
    let bare = |id: &str| id.split_once('.').map_or(id, |(_, rest)| rest).to_owned();
    all.into_iter().map(|(_, id)| bare(id)).collect()
}

#[test]
fn a_strip_over_both_pages_lies_on_the_same_things_on_both() {
    let strip = |id: &str, more: &str| {
        format!("strip: {{id: {id}, paper: sand, width: 1, across: spread, at: {{top: 5}}{more}}}")
    };
    let (panel, photo, sun) = (
        "panel: {id: sky, paper: chalk, size: 3 x 12}".to_owned(),
        "photo: {photo: square, at: {left: 4, top: 4}}".to_owned(),
        "circle: {id: sun, paper: chalk, diameter: 2, at: {left: 1, top: 5}}".to_owned(),
    );
    let band = strip("band", "");
    let low = strip("low", "");
    // What is listed left and right, and the order of both from the lowest up.
    let cases: Vec<(Vec<&str>, Vec<&str>, &str, &str)> = vec![
        (
            vec![&panel, &band, &photo],
            vec![&panel, &photo, &sun],
            "sky band square",
            "sky band square sun",
        ),
        (vec![&photo, &band], vec![&panel, &photo, &sun], "square band", "sky square band sun"),
        (
            vec![&photo, &sun, &band],
            vec![&panel, &photo, &sun],
            "square sun band",
            "sky square sun band",
        ),
        (vec![&band, &photo], vec![&photo], "band square", "band square"),
        (vec![&panel, &photo], vec![&band, &photo], "sky band square", "band square"),
        // Two that cross lie the same way round: as listed, or as what they lie on has it.
        (vec![&panel, &band], vec![&panel, &low, &photo], "sky band low", "sky band low square"),
        (vec![&photo, &band], vec![&low, &photo], "low square band", "low square band"),
    ];
    for (left, right, on_left, on_right) in cases {
        let list = |pieces: &[&str]| {
            pieces.iter().map(|piece| format!("    - {piece}\n")).collect::<String>()
        };
        let pages = format!("left:\n  pieces:\n{}right:\n  pieces:\n{}", list(&left), list(&right));
        let layout = laid(&pages);
        assert_eq!(stacked(&layout, 0).join(" "), on_left, "{pages}");
        assert_eq!(stacked(&layout, 1).join(" "), on_right, "{pages}");
    }
}

#[test]
fn a_spec_says_where_a_strip_lies_on_the_other_page() {
    let right = "right:\n  pieces:\n    - panel: {id: sky, paper: chalk, size: 3 x 12}\n    - circle: {id: sun, paper: chalk, diameter: 2}\n    - photo: {id: far, photo: square}\n";
    let with = |key: &str, across: &str| {
        format!(
            "{PAPERS}left:\n  pieces:\n    - strip: {{id: band, paper: sand, width: 1, across: {across}, other page: {{{key}}}}}\n{right}"
        )
    };
    for (key, order) in [
        ("over: sun", "sky sun band square"),
        ("under: sun", "sky band sun square"),
        ("over: far", "sky sun square band"),
        ("under: sky", "band sky sun square"),
    ] {
        let layout = layout_of(&with(key, "spread")).expect(key);
        assert_eq!(stacked(&layout, 1).join(" "), order, "{key}");
    }
    for (key, across, says, helps) in [
        ("over: son", "spread", "no piece `son` on the other page", "`sun`?"),
        ("over: sun, under: sky", "spread", "one of `over` and `under`", "under one of the two"),
        ("over: sun", "page", "only a strip over both pages", "across: spread"),
    ] {
        let problems = layout_of(&with(key, across)).expect_err(key);
        let told = |text: &str| problems.0.iter().any(|problem| problem.message.contains(text));
        assert!(told(says), "{key}: {problems:?}");
        assert!(problems.0[0].help.contains(helps), "{key}: {problems:?}");
    }
}

#[test]
fn a_title_or_story_beyond_the_edge_is_told_once() {
    let spec = "left:\n  pieces:\n    - panel: {paper: chalk, size: 12 x 12}\ntitle:\n  - {words: Dunes, height: 1, paper: sand, at: {left: 9, top: 11 1/2}}\n  - {words: Sea, height: 1, paper: sand, at: {right: -1, top: 1}}\n";
    let layout = laid(spec);
    let told: Vec<(&str, &str)> = layout
        .warnings
        .iter()
        .map(|one| (one.piece.as_deref().unwrap_or_default(), one.message.as_str()))
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    let says = [
        ("title.dunes", "`title.dunes` reaches about"),
        ("title.sea", "2 of the 3 pieces of `title.sea` reach up to 1 in over"),
    ];
    for (piece, message) in says {
        let is_told = |one: &(&str, &str)| one.0 == piece && one.1.starts_with(message);
        assert!(told.iter().any(is_told), "{message}: {told:?}");
    }
}

#[test]
fn a_photo_is_named_by_its_own_name_where_one_element_alone_shows_it() {
    let pages = "left:\n  pieces:\n    - photo: {photo: square, at: {left: 1, top: 1}}\n    - panel: {id: beside, paper: chalk, size: 1 x 1, at: {right of: square, gap: 1/4}}\n";
    let layout = laid(pages);
    let square = &layout.photos[0];
    let wanted = square.at[0] + square.size.width.to_inches() + 0.25;
    assert!((piece(&layout, "left.beside").at[0] - wanted).abs() < 1e-9);
    let twice = pages
        .replace("    - panel", "    - photo: {photo: square, at: {left: 7, top: 7}}\n    - panel");
    let problems = layout_of(&format!("{PAPERS}{twice}")).unwrap_err();
    assert!(problems.0[0].message.contains("no piece `square`"), "{problems}");
}

/// Photos 4 in wide, 4 in and 5 1/2 in high, one under the other: without a gap a reveal of 1/4 in all round
/// needs a 4 1/2 x 10 in mat (common practice, no source); a gap between them makes it that much higher, and
/// a weighted mat its heavier side.
#[test]
fn a_column_of_two_photos_needs_its_mat() {
    for (gap, reveal, wanted) in [
        ("", "1/4", [4.5, 10.0]),
        (", gap: 1/4", "1/4", [4.5, 10.25]),
        (", gap: 1/4", "{sides: 1/4, bottom: 3/4}", [4.5, 10.75]),
        ("", "{top: 1/2, right: 1/8, bottom: 1, left: 3/8}", [4.5, 11.0]),
        ("", "{sides: 1/4, left: 1, right: 1/2}", [5.5, 10.0]),
    ] {
        let layout = laid(&format!(
            "left:\n  pieces:\n    - bank: {{id: pair, photos: [square, tall], run: down{gap}, mats: [{{paper: chalk, reveal: {reveal}}}]}}\n"
        ));
        assert_eq!(piece(&layout, "left.pair.mat").size.to_inches(), wanted, "{gap} {reveal}");
    }
    let lacking = "left:\n  pieces:\n    - photo: {photo: low, mats: [{paper: chalk, reveal: {top: 1/4, bottom: 1/2, left: 1/4}}]}\n";
    let problems = layout_of(&format!("{PAPERS}{lacking}")).expect_err("no right");
    assert!(problems.0[0].to_string().contains("`right`"), "{problems:?}");
}

/// Of several mats each lies on the next, with its own reveals, on photos and banks alike.
#[test]
fn mats_of_several_layers_lie_on_each_other() {
    for element in ["photo: {id: it, photo: low", "bank: {id: it, photos: [low]"] {
        let layout = laid(&format!(
            "left:\n  pieces:\n    - {element}, at: [1, 1], mats: [{{paper: chalk, reveal: 1/8}}, {{paper: sand, reveal: {{sides: 1/4, bottom: 1}}}}, {{paper: chalk, reveal: 1/16}}]}}\n"
        ));
        let found: Vec<(&str, [f64; 2], [f64; 2], u32)> = layout
            .pieces
            .iter()
            .map(|piece| (piece.id.as_str(), piece.size.to_inches(), piece.at, piece.order))
            .collect();
        let wanted = [
            ("left.it.mat-3", [4.875, 4.625], [1.0, 1.0], 0),
            ("left.it.mat-2", [4.75, 4.5], [1.0625, 1.0625], 1),
            ("left.it.mat", [4.25, 3.25], [1.3125, 1.3125], 2),
        ];
        assert_eq!(found, wanted, "{element}");
        assert_eq!(
            (layout.photos[0].at, layout.photos[0].order),
            ([1.4375, 1.4375], 3),
            "{element}"
        );
    }
}
