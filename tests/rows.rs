//! Several pieces from one element: rows along lines and arcs, borders that come out even, clusters.

use cutleaf::description::Problems;
use cutleaf::layout::{Layout, PlacedPiece};
use cutleaf::model::length::Length;
use kurbo::Shape;
use proptest::prelude::*;

use crate::support::spreads::{layout_of, record_of};

const HEAD: &str = "name: Orchard\npapers:\n  coral: {color: '#d9694f', sheets: {12 x 12: 4}}\n  \
                    sand: {color: '#e8d5a8', sheets: {12 x 12: 4}}\n  chalk: {color: '#f4efe4', sheets: {12 x 12: 4}}\n\
                    photos:\n  crest: {size: 4 x 6}\n";

fn single(pieces: &str) -> String {
    format!("{HEAD}single:\n  base: chalk\n  pieces:\n{pieces}")
}

fn laid(text: &str) -> Layout {
    layout_of(text).unwrap_or_else(|problems| panic!("{text}{problems}"))
}

fn told(problems: &Problems) -> String {
    let each = problems.0.iter().map(|one| format!("{}: {}", one.message, one.help));
    each.collect::<Vec<_>>().join("; ")
}

fn group<'a>(layout: &'a Layout, prefix: &str) -> Vec<&'a PlacedPiece> {
    layout.pieces.iter().filter(|piece| piece.id.starts_with(prefix)).collect()
}

fn nanometres(inches: f64) -> i64 {
    Length::inches(inches).to_nanometres()
}

/// Distances that a ruler gives: seven 1 in pieces on 10 in leave 3 in for eight gaps.
#[test]
fn a_row_is_spaced_evenly_and_each_piece_has_its_name_and_paper() {
    let layout = laid(&single(
        "    - banner: {id: flag, paper: coral, size: 1 x 3/4, repeat: {along: {from: [1, 2], to: [11, 2]}, \
         count: 7, papers: [coral, sand]}}\n    - circle: {id: by-one, paper: sand, diameter: 1/2, at: {below: flag.3, align: center, gap: 1/4}}\n    \
         - circle: {id: by-all, paper: sand, diameter: 1/2, at: {below: flag, align: center, gap: 1}}\n",
    ));
    let flags = group(&layout, "single.flag.");
    let ids: Vec<&str> = flags.iter().map(|flag| flag.id.as_str()).collect();
    assert_eq!(ids[0], "single.flag.1");
    assert_eq!(ids.len(), 7);
    let names: Vec<&str> = flags.iter().map(|flag| &*layout.papers[flag.paper].name).collect();
    assert_eq!(names, ["coral", "sand", "coral", "sand", "coral", "sand", "coral"]);
    for (number, flag) in flags.iter().enumerate() {
        let left = 1.0 + number as f64 + 0.375 * (number as f64 + 1.0);
        assert!((flag.at[0] - left).abs() < 1e-9 && (flag.at[1] - 1.625).abs() < 1e-9, "{flag:?}");
    }
    assert!(flags[0].notes.iter().any(|note| note.contains("1 3/8 in from middle to middle")));
    let by_one = group(&layout, "single.by-one")[0];
    assert!((by_one.at[0] - (flags[2].at[0] + 0.25)).abs() < 1e-9);
    assert!((by_one.at[1] - 2.625).abs() < 1e-9);
    let by_all = group(&layout, "single.by-all")[0];
    assert!((by_all.at[0] - 5.75).abs() < 1e-9, "{:?}", by_all.at);
}

#[test]
fn rows_run_along_a_piece_its_edge_the_page_and_the_spread() {
    let pages = "    - strip: {id: band, paper: sand, width: 2, at: {top: 5}}\n";
    let row = |along: &str, at: &str| {
        let piece = format!(
            "    - circle: {{id: dot, paper: coral, diameter: 1{at}, repeat: {{along: {along}, count: 4, ends: 1}}}}\n"
        );
        let text = format!("{HEAD}left:\n  pieces:\n{pages}{piece}right: {{}}\n");
        let layout = laid(&text);
        let dots = layout.pieces.iter().filter(|piece| piece.id.contains(".dot."));
        dots.map(|dot| (dot.page, dot.at)).collect::<Vec<_>>()
    };
    assert_eq!(row("band", "")[1], (0, [4.0, 5.5]));
    assert_eq!(row("left.band", "")[3], (0, [10.0, 5.5]));
    assert_eq!(row("{edge: bottom, of: band, inset: 1/2}", "")[0], (0, [1.0, 6.0]));
    assert_eq!(row("{edge: right, inset: 1}", "")[1], (0, [10.5, 4.0]));
    assert_eq!(row("page", ", at: {bottom: 1/2}")[2], (0, [7.0, 10.5]));
    let over = row("spread", ", at: {top: 3}");
    assert_eq!(over, [(0, [1.0, 3.0]), (0, [8.0, 3.0]), (1, [3.0, 3.0]), (1, [10.0, 3.0])]);
}

#[test]
fn pieces_on_an_arc_stand_upright_or_turn_with_it() {
    let arc = |keys: &str, more: &str| {
        let layout = laid(&single(&format!(
            "    - rectangle: {{id: tile, paper: coral, size: 1 x 1/2{more}, repeat: {{along: {{arc: {{center: [6, 6], \
             radius: 4, {keys}}}, count: 3, ends: 0}}}}\n"
        )));
        let tiles = group(&layout, "single.tile.");
        tiles
            .iter()
            .map(|tile| (tile.turn, tile.on_page().bounding_box().center()))
            .collect::<Vec<_>>()
    };
    let upright = arc("from: -90, to: 90}", "");
    assert!(upright.iter().all(|(turn, _)| *turn == 0.0));
    let over = arc("from: -90, to: 90}, turned: true", "");
    assert!(over[0].0 < -80.0 && over[1].0.abs() < 1e-9 && over[2].0 > 80.0, "{over:?}");
    for (_, middle) in &over {
        assert!(((middle.x - 6.0).hypot(middle.y - 6.0) - 4.0).abs() < 1e-6, "{middle:?}");
    }
    // A garland hangs: its pieces stay upright in the middle.
    let under = arc("from: 120, to: 240}, turned: true", "");
    assert!(under[1].0.abs() < 1e-9 && (under[1].1.y - 10.0).abs() < 1e-6, "{under:?}");
    assert!(under[0].0 < 0.0 && under[2].0 > 0.0, "{under:?}");
    let layout = laid(&single(
        "    - circle: {id: dot, paper: coral, diameter: 1, repeat: {along: {arc: {center: [6, 6], radius: 4, from: 0, \
         to: 360}}, count: 8}}\n",
    ));
    let ring = group(&layout, "single.dot.");
    assert!((ring[0].at[0] - 5.5).abs() < 1e-6 && (ring[0].at[1] - 1.5).abs() < 1e-6);
    assert!((ring[2].at[0] - 9.5).abs() < 1e-6 && (ring[2].at[1] - 5.5).abs() < 1e-6);
}

#[test]
fn pieces_of_rows_borders_and_clusters_are_cut_and_redone_by_their_names() {
    let text = single(
        "    - photo: {id: twice, photo: crest, mats: [{paper: coral, reveal: 1/4}], repeat: {along: {from: [0, 4], to: [12, 4]}, count: 2}}\n    \
         - border: {papers: [coral, sand], block: 1 x 1, along: bottom}\n    \
         - cluster: {id: bits, at: [9, 8], pieces: [{circle: {paper: sand, diameter: 1}}, {heart: {paper: coral, size: 1 x 1, copies: 2, at: {offset: [1/2, -1/4]}}}]}\n",
    );
    let record = record_of(&text).unwrap_or_else(|problems| panic!("{problems}"));
    let ids: Vec<&str> = record.pieces.iter().map(|piece| piece.id.as_str()).collect();
    for id in ["single.twice.1.mat", "single.twice.2.mat", "single.border.12", "single.bits.heart"]
    {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
    let placed = record.sheets.iter().flat_map(|sheet| &sheet.placed);
    assert_eq!(placed.filter(|placed| placed.piece == "single.bits.heart").count(), 2);
    assert_eq!(record.photos.len(), 2);
}

#[test]
fn a_cluster_is_placed_and_turned_as_one() {
    let pieces = "pieces: [{circle: {id: large, paper: coral, diameter: 2}}, \
                  {rectangle: {id: flag, paper: sand, size: 1 x 1/2, turn: 90, at: {offset: [1, -1]}}}]";
    let layout = laid(&single(&format!(
        "    - cluster: {{id: one, at: [3, 4], {pieces}}}\n    - cluster: {{id: other, turn: 90, at: {{left: 3, top: 8}}, {pieces}}}\n    \
         - rectangle: {{id: after, paper: coral, size: 1 x 1, at: {{right of: one, gap: 1/4}}}}\n    \
         - rectangle: {{id: beside, paper: coral, size: 1 x 1, at: {{below: one.flag}}}}\n"
    )));
    let at = |id: &str| {
        layout.pieces.iter().find(|piece| piece.id == id).expect(id).on_page().bounding_box()
    };
    // The disc reaches from -1 to 1 round the anchor, the flag from 3/4 to 1 1/4 and from -1 1/2 to -1/2.
    let (disc, flag) = (at("single.one.large"), at("single.one.flag"));
    assert!((disc.x0 - 3.0).abs() < 1e-6 && (disc.y0 - 4.5).abs() < 1e-6, "{disc:?}");
    assert!((flag.x0 - 4.75).abs() < 1e-6 && (flag.y0 - 4.0).abs() < 1e-6, "{flag:?}");
    assert!((flag.x1 - 5.25).abs() < 1e-6 && (flag.y1 - 5.0).abs() < 1e-6, "{flag:?}");
    assert!((at("single.after").x0 - 5.5).abs() < 1e-6);
    assert!(
        (at("single.beside").y0 - 5.0).abs() < 1e-6 && (at("single.beside").x0 - 4.75).abs() < 1e-6
    );
    // A quarter turn takes what lay above to the right.
    let (disc, flag) = (at("single.other.large"), at("single.other.flag"));
    assert!((disc.x0 - 3.0).abs() < 1e-6 && (disc.y0 - 8.0).abs() < 1e-6, "{disc:?}");
    assert!((flag.x1 - 5.5).abs() < 1e-6 && (flag.y1 - 10.25).abs() < 1e-6, "{flag:?}");
}

/// Seven blocks of 1 1/2 in with six gaps of 1/4 in are 12 in.
#[test]
fn a_border_comes_out_even_on_the_ruler() {
    let border = |keys: &str| {
        let layout = laid(&single(&format!(
            "    - border: {{id: hem, papers: [coral, sand, chalk], {keys}}}\n"
        )));
        let blocks = group(&layout, "single.hem.");
        let size = blocks[0].size;
        let first = blocks[0].notes.join("; ");
        (blocks.iter().map(|block| block.at).collect::<Vec<_>>(), size, first)
    };
    let (places, size, note) = border("block: 1 1/2 x 1, gap: 1/8, along: bottom");
    assert!(
        size.width.ruler().exact
            && size.width.to_nanometres() % Length::part(1, 16).to_nanometres() == 0
    );
    assert_eq!(size.height, Length::part(1, 1));
    assert!(
        note.contains(&format!("one of {} blocks", places.len())) && !note.contains("about"),
        "{note}"
    );
    assert_eq!((places.len(), places[0], places[1]), (7, [0.0, 11.0], [1.75, 11.0]));
    let last = places.last().expect("blocks");
    assert_eq!(nanometres(last[0]) + size.width.to_nanometres(), nanometres(12.0));
    // No ruler shows a size that fits 11 1/2 in.
    let (places, _, note) = border("block: 1 1/2 x 1, gap: 1/8, along: bottom, inset: 1/4");
    assert_eq!((places.len(), places[0]), (7, [0.25, 10.75]));
    assert!(note.contains("about 1 17/32 x 1 in") && note.contains("1/8 in apart"), "{note}");
    let (places, size, _) = border("block: 1 x 1, along: round");
    assert_eq!(
        (places.len(), size.width, size.height),
        (44, Length::part(1, 1), Length::part(1, 1))
    );
    let (places, size, _) = border("block: 1 x 1, gap: 1/8, along: [top, left], keep: block");
    assert_eq!((places.len(), size.width), (21, Length::part(1, 1)), "corners are shared");
    assert_eq!(places[0], [0.0, 0.0]);
    let text = single(
        "    - panel: {id: sky, paper: sand, size: 4 x 6, at: [2, 3]}\n    - border: {id: hem, papers: coral, block: 1/2 x 1, along: right, of: sky, inset: 1/4}\n",
    );
    let layout = laid(&text);
    let down = group(&layout, "single.hem.");
    assert_eq!((down[0].at, down.len()), ([5.25, 3.25], 6), "{:?}", down[0].size);
    let end = nanometres(down.last().expect("blocks").at[1]) + down[0].size.height.to_nanometres();
    assert_eq!(end, nanometres(8.75));
}

#[test]
fn what_cannot_be_repeated_is_told_with_what_can() {
    let circle = |repeat: &str| {
        format!("    - circle: {{id: dot, paper: coral, diameter: 1, repeat: {{{repeat}}}}}\n")
    };
    let line = "along: {from: [1, 2], to: [11, 2]}";
    let arc = |keys: &str| circle(&format!("along: {{arc: {{center: [6, 6], {keys}}}}}, count: 3"));
    let cluster = |pieces: &str| format!("    - cluster: {{id: bits, pieces: [{pieces}]}}\n");
    let border = |keys: &str| format!("    - border: {{papers: [coral], {keys}}}\n");
    for (pieces, phrase) in [
        (circle(&format!("{line}, count: 0")), "room for 1 to 10"),
        (circle(&format!("{line}, count: 11")), "room for 1 to 10"),
        (circle(&format!("{line}, count: -3")), "whole number"),
        (circle(&format!("{line}, count: 4000000")), "don't fit"),
        (circle(line), "`count` and `pitch`"),
        (circle(&format!("{line}, count: 3, pitch: 2")), "`count` and `pitch`"),
        (circle(&format!("{line}, pitch: 1/2")), "overlap"),
        (circle(&format!("{line}, pitch: 0")), "more than 0"),
        (circle(&format!("{line}, pitch: 2, ends: 6")), "doesn't fit"),
        (circle("along: {from: [1, 2]}, count: 3"), "two ends"),
        (circle("along: {from: [1, 2], to: [1, 2]}, count: 3"), "begins where it ends"),
        (circle("along: {edge: top, from: [1, 2], to: [2, 2]}, count: 3"), "it takes one of"),
        (circle("along: {}, count: 3"), "it takes one of"),
        (circle("along: single.nowhere, count: 3"), "no piece `single.nowhere`"),
        (circle("along: dot, count: 3"), "depends on itself"),
        (circle("along: spread, count: 3"), "needs both pages"),
        (circle(&format!("{line}, count: 3, papers: []")), "no paper in the list"),
        (circle(&format!("{line}, count: 3, papers: [corral]")), "did you mean `coral`"),
        (circle(&format!("{line}, count: 3, tilts: [900]")), "within 360"),
        (arc("radius: 0, from: 0, to: 90"), "not more than 0"),
        (arc("radius: -2, from: 0, to: 90"), "not more than 0"),
        (arc("radius: 900, from: 0, to: 90"), "radius is more than"),
        (arc("radius: 4, from: 0, to: 0"), "more than 0 degrees"),
        (arc("radius: 4, from: -300, to: 300"), "whole circle has 360"),
        (arc("radius: 4, from: 0, to: 720"), "within 360"),
        (circle(&format!("{line}, count: 3")) + "    - circle: {id: dot, paper: sand, diameter: 1}\n", "taken twice"),
        ("    - circle: {paper: coral, diameter: 1, at: [2, 2], repeat: {along: {from: [1, 2], to: [11, 2]}, count: 3}}\n".to_owned(), "two places"),
        (cluster(""), "no pieces"),
        (cluster("{cluster: {pieces: [{circle: {paper: coral, diameter: 1}}]}}"), "another cluster"),
        (cluster("{border: {papers: coral, block: 1 x 1, along: top}}"), "can't hold a border"),
        (cluster("{circle: {paper: coral, diameter: 1, repeat: {along: page, count: 2}}}"), "repeated"),
        (cluster("{circle: {paper: coral, diameter: 1, at: [1, 1]}}"), "by its offset"),
        (cluster("{circle: {id: a, paper: coral, diameter: 1}}, {circle: {id: a, paper: coral, diameter: 1}}"), "taken twice"),
        ("    - cluster: {torn: [top], pieces: [{circle: {paper: coral, diameter: 1}}]}\n".to_owned(), "no paper of its own"),
        ("    - circle: {paper: coral, diameter: 1, at: {offset: [1, 1]}}\n".to_owned(), "only the pieces of a cluster"),
        (border("block: 1/32 x 1/32, along: round"), "more than 400"),
        (border("block: 13 x 1, along: top"), "longer than its edge"),
        (border("block: 1 x 1, gap: 20, along: top"), "leave no room"),
        (border("block: 1 x 1, gap: 11.98, along: top"), "leave no room"),
        (border("block: 0 x 1, along: top"), "not more than 0"),
        (border("block: 1 x 1, gap: -1/8, along: top"), "less than 0"),
        (border("block: 7 x 7, keep: block, along: top"), "no two blocks"),
        (border("block: 2 x 7, along: [top, bottom]"), "no room"),
        (border("block: 1 x 1, along: []"), "runs nowhere"),
        (border("block: 1 x 1, along: upper"), "is not a side of a border"),
        (border("block: 1 x 1, along: top, at: [1, 1]"), "where its edges are"),
        (border("block: 1 x 1, along: top, torn: [top]"), "plain rectangles"),
        (border("block: 1 x 1, along: top, of: single.nowhere"), "no piece"),
    ] {
        let text = single(&pieces);
        let problems = layout_of(&text).expect_err(&pieces);
        let told = told(&problems);
        assert!(told.contains(phrase), "{pieces}{phrase}: {told}");
    }
    let gutter =
        format!("{HEAD}left:\n  pieces:\n{}right: {{}}\n", circle("along: spread, count: 3"));
    assert!(told(&layout_of(&gutter).expect_err("the gutter")).contains("in the gutter"));
}

/// A piece of open size is measured before what runs along it, and what goes by that row after both: the same
/// as with its size written.
#[test]
fn rows_along_pieces_of_open_size_are_measured_after_them() {
    let sky = |size: &str| {
        let right = if size.starts_with("fit") { ", right: 1" } else { "" };
        format!(
            "    - panel: {{id: sky, paper: coral, size: {size}, at: {{left: 1, top: 2{right}}}}}\n"
        )
    };
    let dots =
        "    - circle: {id: dot, paper: sand, diameter: 1, repeat: {along: sky, count: 5}}\n";
    let edge = "    - circle: {id: dot, paper: sand, diameter: 1, repeat: {along: {edge: bottom, of: sky}, pitch: 2}}\n";
    let border =
        "    - border: {id: dot, papers: [sand, chalk], block: 1 x 1, along: round, of: sky}\n";
    let on_row =
        "    - circle: {id: sun, paper: chalk, diameter: 1/2, repeat: {along: dot.2, count: 1}}\n";
    let below = "    - panel: {id: dune, paper: chalk, size: fit, at: {below: dot, left: 0, right: 0, bottom: 1/2}}\n";
    let by_one = "    - panel: {id: dune, paper: chalk, size: fit x 1, at: {between: [dot.2, right edge], top: 9}}\n";
    let listed_before = |row: &str, sky: &str| format!("{row}{sky}");
    let after = |row: &str, sky: &str| format!("{sky}{row}");
    for (open, written) in [("fit x 4", "10 x 4"), ("fit", "10 x 10")] {
        for row in [dots, edge, border] {
            for order in [after, listed_before] {
                for more in [String::new(), on_row.to_owned(), below.to_owned(), by_one.to_owned()]
                {
                    if more == below && open == "fit" || more == on_row && row == border {
                        continue;
                    }
                    let [open, written] =
                        [open, written].map(|size| single(&(order(row, &sky(size)) + &more)));
                    let [one, other] = [&open, &written].map(|text| laid(text));
                    let places = |layout: &Layout| -> Vec<_> {
                        let pieces = layout.pieces.iter();
                        pieces.map(|piece| (piece.id.clone(), piece.at, piece.size)).collect()
                    };
                    assert_eq!(places(&one), places(&other), "{open}");
                    assert!(one.pieces.iter().any(|piece| piece.id.starts_with("single.dot.")));
                }
            }
        }
    }
    // What goes by a row along itself has no size.
    let circle =
        "    - panel: {id: sky, paper: coral, size: fit x 4, at: between dot and right edge}\n";
    let problems = layout_of(&single(&(circle.to_owned() + dots))).expect_err("a circle");
    let told = told(&problems);
    assert!(told.contains("the size of `sky` depends on itself"), "{told}");
    assert_eq!(problems.0.len(), 1, "{told}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Gaps differ by a nanometre at most, and with the pieces they come to the row's length exactly.
    #[test]
    fn a_row_comes_out_to_the_nanometre(length in 30_000i64..110_000, width in 3_000i64..9_000, count in 1u32..12, has_ends: bool) {
        let mm = |thousandths: i64| format!("{}.{:03} mm", thousandths / 1000 * 2, thousandths % 1000);
        let ends = if has_ends { ", ends: 1.337 mm" } else { "" };
        let text = single(&format!(
            "    - rectangle: {{id: tile, paper: coral, size: {} x 5 mm, repeat: {{along: {{from: [0, 3], to: [{}, 3]}}, count: {count}{ends}}}}}\n",
            mm(width), mm(length),
        ));
        let Ok(layout) = layout_of(&text) else {
            // Only where it has no room.
            prop_assert!(i64::from(count) * (width / 1000 * 2000 + width % 1000) + 2_674 > length / 1000 * 2000 + length % 1000);
            return Ok(());
        };
        let tiles = group(&layout, "single.tile.");
        prop_assert_eq!(tiles.len(), count as usize);
        let whole = (length / 1000 * 2000 + length % 1000) * 1000;
        let wide = (width / 1000 * 2000 + width % 1000) * 1000;
        let starts: Vec<i64> = tiles.iter().map(|tile| nanometres(tile.at[0])).collect();
        let mut gaps = vec![starts[0]];
        gaps.extend(starts.windows(2).map(|two| two[1] - two[0] - wide));
        gaps.push(whole - starts[starts.len() - 1] - wide);
        prop_assert_eq!(gaps.iter().sum::<i64>() + wide * i64::from(count), whole);
        let between = if has_ends { &gaps[1..gaps.len() - 1] } else { &gaps[..] };
        let [least, most] = [between.iter().min(), between.iter().max()];
        if let (Some(least), Some(most)) = (least, most) {
            prop_assert!(most - least <= 1, "{:?}", gaps);
        }
        if has_ends && count > 1 {
            prop_assert_eq!((gaps[0], gaps[gaps.len() - 1]), (1_337_000, 1_337_000));
        }
    }

    /// A border reaches from end to end, its blocks are equal, and its gaps too, to a nanometre.
    #[test]
    fn a_border_covers_exactly_its_run(width in 40i64..190, block in 4i64..40, gap in 0i64..8, inset in -4i64..8, keep: bool) {
        let keep = if keep { ", keep: block" } else { "" };
        let text = single(&format!(
            "    - panel: {{id: sky, paper: sand, size: {width}/16 x 8, at: [0, 1]}}\n    - border: {{id: hem, papers: coral, block: {block}/16 x 1/2, gap: {gap}/16, along: top, of: sky, inset: {inset}/16{keep}}}\n"
        ));
        let Ok(layout) = layout_of(&text) else {
            prop_assert!(2 * block > width - 2 * inset, "{}", text);
            return Ok(());
        };
        let blocks = group(&layout, "single.hem.");
        let wide = blocks[0].size.width.to_nanometres();
        let starts: Vec<i64> = blocks.iter().map(|block| nanometres(block.at[0])).collect();
        let [from, to] = [inset as f64 / 16.0, (width - inset) as f64 / 16.0].map(nanometres);
        prop_assert_eq!(starts[0], from);
        // One block alone fills its run but for a fraction of a nanometre each.
        let end = starts[starts.len() - 1] + wide;
        prop_assert_eq!(end, to);
        let gaps: Vec<i64> = starts.windows(2).map(|two| two[1] - two[0] - wide).collect();
        prop_assert!(gaps.iter().all(|gap| *gap >= 0), "{:?}", gaps);
        if let (Some(least), Some(most)) = (gaps.iter().min(), gaps.iter().max()) {
            prop_assert!(most - least <= 1, "{:?}", gaps);
        }
        if !keep.is_empty() {
            prop_assert_eq!(wide, block * 1_587_500);
        }
    }
}
