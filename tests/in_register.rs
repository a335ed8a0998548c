//! Printed, then cut: marks the printer can reach, room for the bleed, words clear of the cut.

use std::io::Read as _;

use cutleaf::emit::cut_svg::cut_svg;
use cutleaf::emit::in_register::in_register_pdf;
use cutleaf::geometry::{self, FLATTENING, laying, readable};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{Color, PieceId, Tool};
use cutleaf::plan::{self, Chain, Redo, redo_layout};
use cutleaf::record::{Piece, Record, Sheet};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::BezPath;
use proptest::prelude::*;

use crate::support::spreads::{layout_of, record_of, strict_record_of};

const HEAD: &str = "name: Tags
papers:
  chalk: {color: '#f4efe3', sheets: {8.5 x 11: 4, 12 x 12: 4}}
single:
  pieces:
";

fn pieces(lines: &[String]) -> String {
    lines.iter().fold(HEAD.to_owned(), |spec, line| format!("{spec}    - {line}\n"))
}

fn one(line: &str) -> String {
    pieces(&[line.to_owned()])
}

fn refused(spec: &str) -> String {
    let problems = strict_record_of(spec).expect_err("refused").0;
    problems.iter().map(|problem| format!("{}. ", problem.message)).collect()
}

fn printed(record: &Record) -> &Sheet {
    record.printed_before_cut().first().copied().expect("a printed sheet")
}

/// The pieces of a sheet with what is printed, bleed included, and their outlines, as they lie.
fn laid(record: &Record, sheet: &Sheet) -> Vec<(PieceId, BezPath, BezPath)> {
    let piece = |id: &str| -> &Piece {
        record.pieces.iter().find(|piece| piece.id == id).expect("a piece of the record")
    };
    let placed = sheet.placed.iter().map(|placed| {
        let piece = piece(&placed.piece);
        let outline = readable(&piece.path).expect("an outline");
        let lay = laying(&outline, placed.turn, placed.at);
        let print = piece.print.as_ref().expect("all of them are printed");
        let field = readable(&print.field).expect("a field");
        (placed.piece.clone(), lay * outline, lay * field)
    });
    placed.collect()
}

fn shared(one: &BezPath, other: &BezPath) -> f64 {
    let [one, other] = [one, other].map(|path| geometry::rings(path, FLATTENING));
    let shared = one.overlay(&other, OverlayRule::Intersect, FillRule::EvenOdd);
    shared.iter().flatten().map(geometry::ring_area).sum::<f64>().abs()
}

#[test]
fn a_printed_piece_goes_to_the_printer_s_paper_and_the_machine() {
    let record = record_of(&one(
        "tag: {id: tag, paper: chalk, size: 2 x 4, print: {text: held by one string, rule: {}}}",
    ))
    .expect("a good spec");
    let sheet = printed(&record);
    assert_eq!((sheet.size, sheet.in_register, sheet.printed), ([8.5, 11.0], Some(1), None));
    assert_eq!(sheet.placed.len(), 1);
    assert_eq!(sheet.placed[0].tool, Tool::Machine);
    let print = record.pieces[0].print.as_ref().expect("a print");
    assert_eq!(print.text.as_ref().expect("words").text, "held by one string");
    assert_eq!(print.lines.len(), 1);
    // Four whole marks, each arm within the printer's reach.
    assert_eq!(sheet.marks.len(), 4);
    let margin = record.rules.printer_margin;
    for mark in &sheet.marks {
        for axis in 0..2 {
            let reach = mark.arm + mark.weight / 2.0;
            assert!(mark.at[axis] - reach >= margin - 1e-9, "{mark:?}");
            assert!(mark.at[axis] + reach <= sheet.size[axis] - margin + 1e-9, "{mark:?}");
        }
    }
    assert!(cut_svg(&record, sheet).is_some_and(|svg| svg.contains("id=\"register\"")));
    assert!(record.warnings.iter().all(|warning| warning.kind != "mark left out"));
}

#[test]
fn printed_pages_hold_their_words_and_repeat_byte_for_byte() {
    let spec =
        one("circle: {paper: chalk, diameter: 3, print: {ground: '#204060', text: up it went}}");
    let layout = layout_of(&spec).expect("a good spec");
    let record = plan::record(&layout).expect("enough paper");
    let font = FontBook::default().find("text").expect("built in");
    let pdf = || in_register_pdf(&record, &layout.fonts, &[], &font).expect("drawn");
    assert!(pdf().starts_with(b"%PDF-"));
    assert_eq!(pdf(), pdf());
    // Light type on a dark ground, without being asked.
    let print = record.pieces[0].print.as_ref().expect("a print");
    assert_eq!(print.text.as_ref().expect("words").ink, Color::WHITE);
}

/// The operators of a file's pages, by its content streams.
fn operators(pdf: &[u8]) -> String {
    let find = |from: usize, word: &[u8]| {
        pdf[from..].windows(word.len()).position(|window| window == word).map(|at| from + at)
    };
    let (mut told, mut from) = (String::new(), 0);
    while let Some(start) = find(from, b"stream\n") {
        let end = find(start, b"endstream").expect("an end");
        let mut text = Vec::new();
        let mut inflated = flate2::read::ZlibDecoder::new(&pdf[start + 7..end]);
        if inflated.read_to_end(&mut text).is_ok() {
            told += &String::from_utf8_lossy(&text);
        } else {
            told += &String::from_utf8_lossy(&pdf[start + 7..end]);
        }
        from = end + 9;
    }
    told
}

#[test]
fn nothing_is_drawn_along_the_contour() {
    // What is printed, and how many lines are drawn: of cut, score and perforation none.
    let rectangle =
        "rectangle: {paper: chalk, size: 2 x 1, score: [{across: 1/2}], perforate: [{down: 1}]";
    for (print, lines) in [
        ("ground: '#204060'", 0),
        ("rule: {}", 1),
        // The lines at the top and the bottom edge of the piece are left out.
        ("hatch: {gap: 1/16}", 1),
    ] {
        let spec = one(&format!("{rectangle}, print: {{{print}}}}}")) + "marks: {kind: none}\n";
        let layout = layout_of(&spec).expect("a good spec");
        let record = plan::record(&layout).expect("enough paper");
        let font = FontBook::default().find("text").expect("built in");
        let pdf = in_register_pdf(&record, &layout.fonts, &[], &font).expect("drawn");
        let told = operators(&pdf);
        let strokes =
            told.split_whitespace().filter(|word| ["S", "s", "B", "b", "B*"].contains(word));
        assert_eq!(strokes.count(), lines, "{print}: {told}");
        assert!(told.contains("BT"), "the note is there: {told}");
        for line in record.pieces[0].print.iter().flat_map(|print| &print.lines) {
            let path = readable(&line.path).expect("a line");
            let along = path.segments().filter(|segment| {
                let middle = kurbo::ParamCurve::eval(segment, 0.5);
                [middle.x, middle.y, 2.0 - middle.x, 1.0 - middle.y]
                    .iter()
                    .any(|apart| apart.abs() < 1.0 / 32.0)
            });
            assert_eq!(along.count(), 0, "{print}");
        }
    }
}

#[test]
fn a_redo_prints_the_piece_again() {
    let spec = one("circle: {id: sun, paper: chalk, diameter: 3, print: {ground: '#e9a93c'}}");
    let first = record_of(&spec).expect("a good spec");
    let wanted = [Redo::Piece("single.sun".into())];
    let fonts = FontBook::default();
    let layout =
        redo_layout(&Chain::of(first.clone()), &wanted, &fonts).expect("a piece of the record");
    let again = plan::record(&layout).expect("paper is left");
    let sheet = printed(&again);
    assert_ne!(sheet.id, printed(&first).id);
    assert_eq!(again.pieces[0].print, first.pieces[0].print);
    assert_eq!(sheet.marks.len(), 4);
}

#[test]
fn the_letters_of_a_title_show_one_picture() {
    let record = record_of(
        "name: Title
papers: {white: {color: '#ffffff', sheets: {8.5 x 11: 2}}}
single: {pieces: []}
title: [{words: WIND, height: 2, paper: white, print: {picture: kite-day/crest.jpg, allow low resolution: true}}]
",
    )
    .expect("a good spec");
    let areas: Vec<[f64; 2]> = record
        .pieces
        .iter()
        .map(|piece| {
            let shown = piece.print.as_ref().and_then(|print| print.picture.as_ref());
            let area = shown.expect("a picture").area;
            // Where the picture begins on the page is the same for every letter.
            [0, 1].map(|axis| piece.at[axis] + area.at[axis])
        })
        .collect();
    assert_eq!(areas.len(), 4);
    for area in &areas {
        assert!((0..2).all(|axis| (area[axis] - areas[0][axis]).abs() < 1e-6), "{areas:?}");
    }
}

#[test]
fn what_can_not_be_printed_and_cut_is_told() {
    let rectangle = |more: &str| one(&format!("rectangle: {{paper: chalk, size: 2 x 1, {more}}}"));
    for (more, told) in [
        ("tool: trimmer, print: {ground: '#204060'}", "cut by the machine"),
        ("print: {}", "nothing to print"),
        ("print: {text: so long a word asnocardofthissizecouldeverhold}", "wider than"),
        ("print: {text: one, size: 60 pt}", "room"),
        ("print: {rule: {inset: 1}}", "no printed line fits"),
        ("print: {hatch: {gap: 0}}", "no printed line fits"),
        ("print: {rule: {inset: 0}}", "on the cut of"),
        ("print: {rule: {inset: 1/16, weight: 1/8}}", "on the cut of"),
        ("print: {picture: nowhere.jpg}", "nowhere.jpg"),
        ("print: {ground: '#204060', focus: [0.1, 0.1]}", "the print has none"),
        ("print: {text: 'a **b', size: 8 pt}", "does not end"),
        ("print: {text: a, font: nowhere}", "nowhere"),
    ] {
        let message = refused(&rectangle(more));
        assert!(message.contains(told), "{more}: {message}");
    }
    let words = one("heart: {paper: chalk, size: 1 x 1, print: {text: by the sea, size: 16 pt}}");
    assert!(refused(&words).contains("too near to the edge"), "{}", refused(&words));
    let no_sheet = HEAD.replace("8.5 x 11: 4, 12 x 12: 4", "8 x 12: 4");
    let no_sheet =
        format!("{no_sheet}    - circle: {{paper: chalk, diameter: 2, print: {{rule: {{}}}}}}\n");
    assert!(refused(&no_sheet).contains("that the printer takes"));
    let too_large = one("circle: {paper: chalk, diameter: 8, print: {rule: {}}}");
    assert!(refused(&too_large).contains("fits no sheet"), "{}", refused(&too_large));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Colour of one piece never reaches another, nor a mark, nor the rim the printer leaves white.
    #[test]
    fn bleeds_keep_off_everything_else(
        kinds in prop::collection::vec((0_u8..4, 1.0_f64..3.0), 1..12),
        marks in prop::sample::select(vec!["cross", "corner", "ring"]),
    ) {
        let lines: Vec<String> = kinds.iter().enumerate().map(|(number, (kind, size))| {
            let measures = match kind {
                0 => format!("circle: {{diameter: {size:.3}"),
                1 => format!("star: {{diameter: {size:.3}"),
                2 => format!("tag: {{size: {:.3} x {size:.3}", size * 0.6),
                _ => format!("rectangle: {{size: {size:.3} x {:.3}", size * 0.7),
            };
            format!("{measures}, id: p{number}, paper: chalk, print: {{ground: '#204060'}}}}")
        }).collect();
        let spec = format!("{}marks: {{kind: {marks}}}\n", pieces(&lines));
        let record = record_of(&spec).expect("four sheets are enough");
        let mut found = 0;
        for sheet in record.printed_before_cut() {
            prop_assert_eq!(sheet.marks.len(), 4);
            let laid = laid(&record, sheet);
            found += laid.len();
            for (index, (id, _, field)) in laid.iter().enumerate() {
                for (other, outline, _) in laid.iter().enumerate().filter(|(at, _)| *at != index).map(|(_, one)| one) {
                    prop_assert!(shared(field, outline) < 1e-5, "{id} bleeds onto {other}");
                }
                let bounds = kurbo::Shape::bounding_box(field);
                let margin = record.rules.printer_margin;
                prop_assert!(bounds.x0 >= margin - 1e-6 && bounds.y0 >= margin - 1e-6, "{id}");
                prop_assert!(bounds.x1 <= 8.5 - margin + 1e-6 && bounds.y1 <= 11.0 - margin + 1e-6, "{id}");
                for mark in &sheet.marks {
                    let reach = mark.arm + mark.weight / 2.0;
                    let clear = |axis: usize, low: f64, high: f64| {
                        mark.at[axis] + reach <= low || mark.at[axis] - reach >= high
                    };
                    let clear = clear(0, bounds.x0, bounds.x1) || clear(1, bounds.y0, bounds.y1);
                    prop_assert!(clear, "{id} bleeds into a mark");
                }
            }
        }
        prop_assert_eq!(found, kinds.len());
    }
}
