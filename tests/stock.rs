//! Paper on hand over time: the user's `stock.yaml`, which keeps its comments and order, and the ledger.

use std::collections::BTreeMap;

use cutleaf::model::Turns;
use cutleaf::model::length::{Length, Size};
use cutleaf::stock::{
    Ask, CutSheet, Entry, EntryKind, Lot, Shape, Shelf, Source, Spot, Stock, Use, find_file,
};
use proptest::prelude::*;

/// Stocks written in many ways, all with oat 12 x 12 and 8.5 x 11, navy 12 x 12 and the offcut B7.
const WAYS: [&str; 9] = [
    "# What I have\npapers:\n  - name: oat   # the good one\n    color: \"#e9d8a6\"\n    price: 0.9\n    sheets:\n      - {size: 12 x 12, count: 3}  # big\n      - size: 8.5 x 11\n        count: 5 # for the printer\n  - {name: navy, color: \"#1d3557\", grain: down, sheets: [{size: 12 x 12, count: 2}]}\n\n# The box\noffcuts:\n  - {label: B7, paper: navy, size: 4 x 6, from: kite-day navy-2}  # by the window\n# end\n",
    "papers:\n- name: oat\n  sheets: [{size: 12 x 12, count: 3}, {size: 8.5 x 11, count: 5}]\n- name: navy\n  sheets: [{size: 12 x 12, count: 2}]\noffcuts:\n- label: B7\n  paper: navy\n  corners: [[0, 0], [6, 0], [6, 2], [2, 2], [2, 5], [0, 5]]",
    "papers: {oat: {sheets: {12 x 12: 3, 8.5 x 11: {count: 5, price: 0.5}}}, navy: {sheets: {12 x 12: 2}}}\noffcuts: [{label: B7, paper: navy, size: 4 x 6}] # one\n",
    "{papers: [{name: oat, sheets: [{size: 12 x 12, count: 3}, {size: 8.5 x 11, count: 5}]}, {name: navy, sheets: [{size: 12 x 12, count: 2}]}], offcuts: [{label: 'B7', paper: \"navy\", size: 4 x 6}]}",
    "papers:\r\n  oat:\r\n    sheets:\r\n      12 x 12: 3   # half of them bent\r\n      8.5 x 11: 5\r\n  navy:\r\n    sheets: {12 x 12: 2}\r\n\r\noffcuts:\r\n  - label: B7\r\n    paper: navy\r\n    size: 4 x 6\r\n    # behind the door\r\n",
    "units: mm\npapers:\n  - name: oat\n    sheets:\n      - size: 304.8 x 304.8\n        count: 3\n      - {size: 8.5 x 11 in, count: 5}\n  - name: navy\n    sheets: [{size: 12 x 12 in, count: 2}]\noffcuts:\n  - {label: B7, paper: navy, size: 100 x 150}\n",
    "offcuts:\n  - {label: B7, paper: navy, size: 4 x 6}\npapers:\n  - name: \"oat\"\n    sheets: [\n      {size: 12 x 12, count: 3}, # ünder the bed\n      {size: 8.5 x 11, count: '5'},\n    ]\n  - name: 'navy'\n    pattern: \"# dots\"\n    sheets:\n      - {size: 12 x 12, count: 2}\n# Schluß 🪁",
    "papers:\n    -   name: oat\n        sheets:\n        -   size: 12 x 12\n            count: 3\n\n        -   size: 8.5 x 11\n            count: 5\n    -   name: navy\n        sheets:\n        -   size: 12 x 12\n            count: 2\n\n\noffcuts:\n    -   label: B7\n        paper: navy\n        size: >-\n            4 x 6\n\n\n",
    "papers:\n  - name: oat\n    sheets: [{size: 12 x 12, count: 3}, {size: 8.5 x 11, count: 5}]\n  - name: navy\n    sheets: [{size: 12 x 12, count: 2}]\noffcuts: [{label: B7,\n    paper: navy, size: 4 x 6}, # the only one\n  ]\n",
];

fn read(text: &str) -> Shelf {
    Shelf::read(text, None).unwrap_or_else(|fault| panic!("{}\n{text}", fault.problems))
}

fn inches(width: f64, height: f64) -> Size {
    Size::inches(width, height)
}

fn shape(corners: &[[f64; 2]]) -> Shape {
    let corners = corners.iter().map(|at| at.map(Length::inches)).collect();
    Shape::new(corners, vec![]).expect("a shape")
}

/// Lines of a text that hold a comment, and the others without numbers.
fn comments(text: &str) -> Vec<String> {
    let lines = text.lines().filter_map(|line| {
        line.find(" #")
            .or_else(|| line.starts_with('#').then_some(0))
            .map(|at| line[at..].trim().to_owned())
    });
    lines.filter(|comment| !comment.starts_with("# dots")).collect()
}

#[test]
fn every_way_to_write_a_stock_is_read_changed_and_taken_back() {
    for text in WAYS {
        let mut shelf = read(text);
        let before = comments(text);
        let count = |shelf: &Shelf, paper: &str, size| shelf.on_hand().sheets(paper, size);
        assert_eq!(count(&shelf, "oat", inches(12.0, 12.0)), 3, "{text}");
        assert_eq!(count(&shelf, "oat", inches(8.5, 11.0)), 5, "{text}");
        shelf.add("oat 8.5 x 11 in", 2, None).expect("added");
        shelf.add("navy 9 x 12 in", 4, None).expect("a new size");
        shelf.spoil("navy 12 x 12 in", 1).expect("spoiled");
        let cut = |id: &str, source, offcuts| CutSheet {
            id: id.into(),
            paper: "oat".into(),
            source,
            pieces: 30.0,
            offcuts,
        };
        let kept = shelf
            .cut(
                "tide-pool.yaml",
                &[
                    cut(
                        "oat-1",
                        Source::Sheet(inches(12.0, 12.0)),
                        vec![
                            Shape::rectangle(inches(4.5, 12.0)),
                            shape(&[
                                [0.0, 0.0],
                                [6.0, 0.0],
                                [6.0, 1.0],
                                [1.0, 1.0],
                                [1.0, 3.25],
                                [0.0, 3.25],
                            ]),
                        ],
                    ),
                    cut("oat-2", Source::Sheet(inches(12.0, 12.0)), vec![]),
                ],
            )
            .expect("cut");
        assert_eq!(kept.iter().map(|one| one.label.as_str()).collect::<Vec<_>>(), ["A1", "A2"]);
        shelf.take("b7", 1).expect("taken");
        let now = Stock::parse(shelf.text())
            .unwrap_or_else(|problems| panic!("{problems}\n{}", shelf.text()));
        assert_eq!(&now, shelf.stock(), "{}", shelf.text());
        let labels: Vec<&str> = now.offcuts.iter().map(|one| one.label.as_str()).collect();
        assert_eq!(labels, ["A1", "A2"], "{}", shelf.text());
        assert_eq!(now.offcuts[1].shape.area(), 8.25);
        assert_eq!(count(&shelf, "oat", inches(8.5, 11.0)), 7);
        assert_eq!(count(&shelf, "navy", inches(9.0, 12.0)), 4);
        // Comments stay, but for one at the end of a line that went.
        let after = comments(shelf.text());
        let gone = |comment: &&String| !after.contains(comment);
        let gone: Vec<&String> = before.iter().filter(gone).collect();
        assert!(
            gone.iter().all(|one| ["# by the window", "# behind the door", "# the only one"]
                .contains(&one.as_str())),
            "{gone:?} of\n{}",
            shelf.text()
        );
        assert_eq!(text.contains("\r\n"), shelf.text().contains("\r\n"));
        assert!(!text.contains("\r\n") || !shelf.text().replace("\r\n", "").contains('\n'));
        // The ledger is read back to the same.
        let ledger = shelf.ledger_text().expect("a ledger");
        let again = Shelf::read(shelf.text(), Some(&ledger)).expect("read again");
        assert!(again.noticed().is_none());
        assert_eq!(again.on_hand(), shelf.on_hand());
        for _ in 0..5 {
            shelf.undo().expect("taken back");
        }
        assert_eq!(shelf.text(), text);
        assert_eq!(shelf.ledger_text(), None);
        assert!(shelf.undo().is_err());
    }
}

#[test]
fn what_was_changed_by_hand_becomes_an_entry() {
    let text = WAYS[0];
    let mut shelf = read(text);
    shelf.add("oat 8.5 x 11", 2, None).expect("added");
    let ledger = shelf.ledger_text().expect("a ledger");
    let by_hand = shelf
        .text()
        .replace("count: 7", "count: 6")
        .replace("# What I have", "# What I have in the drawer")
        .replace("offcuts:\n", "offcuts:\n  - {label: K3, paper: oat, size: 3 x 9}\n");
    let mut again = Shelf::read(&by_hand, Some(&ledger)).expect("read");
    let noticed = again.noticed().expect("noticed").clone();
    assert_eq!((noticed.kind, noticed.by_hand, noticed.moves.len()), (EntryKind::Count, true, 2));
    assert_eq!(again.on_hand().sheets("oat", inches(8.5, 11.0)), 6);
    // Written down, it is noticed once.
    let ledger = again.ledger_text().expect("a ledger");
    assert!(Shelf::read(&by_hand, Some(&ledger)).expect("read").noticed().is_none());
    // Taken back, it is as the ledger knew it; her comment stays.
    again.undo().expect("taken back");
    assert!(again.text().contains("count: 7") && !again.text().contains("K3"));
    assert!(again.text().contains("in the drawer"));
    again.undo().expect("taken back");
    assert_eq!(again.text(), text.replace("# What I have", "# What I have in the drawer"));
}

#[test]
fn an_entry_is_taken_back_though_other_lines_have_changed() {
    let mut shelf = read(WAYS[0]);
    shelf.take("B7", 1).expect("taken");
    let ledger = shelf.ledger_text().expect("a ledger");
    let changed = format!("# A line more\n{}", shelf.text());
    let mut again = Shelf::read(&changed, Some(&ledger)).expect("read");
    assert!(again.noticed().is_none(), "comments are no paper");
    again.undo().expect("taken back");
    assert_eq!(again.text(), format!("# A line more\n{}", WAYS[0]));
}

#[test]
fn two_spreads_that_reserve_the_same_sheet_are_told() {
    let mut shelf = read(WAYS[0]);
    let two = |count| vec![Use::Sheets { paper: "oat".into(), size: inches(12.0, 12.0), count }];
    let b7 = Use::Offcut { label: "B7".into() };
    assert!(shelf.reserve("kites.yaml", two(2)).expect("reserved").is_empty());
    let mut uses = two(2);
    uses.push(b7.clone());
    let conflicts = shelf.reserve("dunes.yaml", uses).expect("reserved");
    assert_eq!(conflicts.len(), 1);
    assert_eq!(conflicts[0].on_hand, 3);
    assert_eq!(conflicts[0].specs, [("dunes.yaml".to_owned(), 2), ("kites.yaml".to_owned(), 2)]);
    assert_eq!(shelf.stock_for("kites.yaml").paper("oat").expect("oat").sheets[0].count, 1);
    assert!(shelf.stock_for("kites.yaml").offcuts.is_empty());
    // A rebuild takes the place of what was reserved before; the same again is no entry.
    let entries = shelf.entries().len();
    assert!(shelf.reserve("kites.yaml", two(1)).expect("reserved").is_empty());
    shelf.reserve("kites.yaml", two(1)).expect("reserved");
    assert_eq!(shelf.entries().len(), entries + 1);
    assert_eq!(shelf.text(), WAYS[0], "what is reserved is still on hand");
    // What is cut is no longer reserved, and what another had reserved is then told.
    let sheet = |id: &str| CutSheet {
        id: id.into(),
        paper: "oat".into(),
        source: Source::Sheet(inches(12.0, 12.0)),
        pieces: 144.0,
        offcuts: vec![],
    };
    shelf.cut("kites.yaml", &[sheet("oat-1")]).expect("cut");
    assert_eq!(shelf.on_hand().reserved_by("kites.yaml"), []);
    shelf.spoil("B7", 1).expect("spoiled");
    let conflicts = shelf.conflicts();
    assert_eq!(conflicts.len(), 1);
    assert_eq!((&conflicts[0].what, conflicts[0].on_hand), (&b7, 0));
    shelf.release("dunes.yaml").expect("released");
    assert!(shelf.conflicts().is_empty());
    assert!(shelf.reserve("dunes.yaml", vec![Use::Offcut { label: "B8".into() }]).is_err());
}

#[test]
fn no_more_leaves_than_is_there_and_no_more_is_cut_than_a_sheet_has() {
    let mut shelf = read(WAYS[0]);
    let sheet = |id: &str, pieces, offcuts| CutSheet {
        id: id.into(),
        paper: "navy".into(),
        source: Source::Sheet(inches(12.0, 12.0)),
        pieces,
        offcuts,
    };
    let three: Vec<CutSheet> =
        (1..4).map(|one| sheet(&format!("navy-{one}"), 9.0, vec![])).collect();
    let fault = shelf.cut("dunes.yaml", &three).expect_err("two on hand");
    assert!(fault.message.contains("3 of navy 12 x 12 in should leave, and 2"), "{fault}");
    assert!(fault.help.contains("stock add \"navy 12 x 12 in\" 1"), "{fault}");
    let rest = Shape::rectangle(inches(6.0, 12.0));
    let too_much = [sheet("navy-1", 72.001, vec![rest.clone()])];
    assert!(
        shelf
            .cut("dunes.yaml", &too_much)
            .expect_err("too much")
            .message
            .contains("more than the sheet")
    );
    let whole = Source::Offcut("B7".into());
    let twice = || CutSheet { source: whole.clone(), ..sheet("B7", 24.0, vec![]) };
    assert!(shelf.cut("dunes.yaml", &[twice(), twice()]).is_err(), "one offcut, cut twice");
    assert!(shelf.take("navy 12 x 12", 3).is_err());
    assert!(shelf.take("B7", 2).is_err());
    assert!(shelf.entries().is_empty());
    assert_eq!(shelf.text(), WAYS[0]);
    shelf.cut("dunes.yaml", &[sheet("navy-1", 72.0, vec![rest])]).expect("just so");
}

#[test]
fn names_are_found_or_the_nearest_is_told() {
    let stock = Stock::parse(WAYS[0]).expect("a stock");
    let sheets = |paper: &str, size| Ask::Sheets { paper: paper.into(), size };
    assert_eq!(Ask::parse("Oat 11 x 8.5", &stock), Ok(sheets("oat", inches(8.5, 11.0))));
    assert_eq!(Ask::parse("navy", &stock), Ok(sheets("navy", inches(12.0, 12.0))));
    assert_eq!(Ask::parse(" b7 ", &stock), Ok(Ask::Offcut { label: "B7".into() }));
    for (asked, told) in [
        ("nayv 12 x 12", "did you mean `navy`?"),
        ("oat", "\"oat 12 x 12\" or \"oat 8 1/2 x 11\""),
        ("oat large", "8.5 x 11"),
        ("C9", "B7"),
        ("sage", "there are: oat, navy"),
    ] {
        let fault = Ask::parse(asked, &stock).expect_err(asked);
        assert!(fault.help.contains(told), "{asked}: {fault}");
    }
}

#[test]
fn a_new_paper_comes_with_its_colour() {
    let color = cutleaf::model::Color::parse("#a3b18a");
    for text in WAYS.into_iter().chain(["papers:\n", "papers: []\n", "units: in\n"]) {
        let mut shelf = read(text);
        assert!(
            shelf.add("sage 12 x 12 in", 5, None).expect_err("no colour").help.contains("--color")
        );
        shelf.add("sage 12 x 12 in", 5, color).unwrap_or_else(|fault| panic!("{fault}\n{text}"));
        let sage = shelf.stock().paper("sage").expect("sage");
        assert_eq!((sage.color, sage.sheets[0].count), (color, 5), "{}", shelf.text());
        shelf.undo().expect("taken back");
        assert_eq!(shelf.text(), text);
    }
}

#[test]
fn what_holds_a_piece_is_found_with_the_least_left_over_first() {
    let stock = Stock::parse(
        "papers:\n  - {name: navy, sheets: [{size: 12 x 12, count: 1}, {size: 8.5 x 11, count: 0}]}\n  - {name: fern, grain: down, sheets: [{size: 8.5 x 11, count: 2}]}\noffcuts:\n\
         - {label: A1, paper: navy, size: 6 x 6, added: 9}\n- {label: A2, paper: navy, size: 6 x 4, added: 8}\n\
         - {label: A3, paper: navy, size: 6 x 6, added: 2}\n- {label: A4, paper: navy, size: 5 x 3}\n\
         - {label: A5, paper: navy, corners: [[0, 0], [9, 0], [9, 1], [4, 1], [4, 6], [0, 6]]}\n- {label: A6, paper: fern, size: 6 x 4}\n",
    )
    .expect("a stock");
    let labels = |paper| -> Vec<(String, bool)> {
        let found = stock.holding(inches(4.0, 6.0), paper).expect("known");
        found
            .into_iter()
            .map(|one| match one.source {
                Source::Offcut(label) => (label, one.turned),
                Source::Sheet(size) => {
                    (format!("{} {}", one.paper, size.width.to_inches()), one.turned)
                }
            })
            .collect()
    };
    let expected = [("A2", true), ("A5", false), ("A3", false), ("A1", false), ("navy 12", false)];
    assert_eq!(labels(Some("navy")), expected.map(|(label, turned)| (label.to_owned(), turned)));
    // With a grain the piece isn't turned.
    assert_eq!(labels(Some("fern")), [("fern 8.5".to_owned(), false)]);
    assert_eq!(stock.paper("fern").expect("fern").turns(), Turns::Half);
    assert!(
        stock.holding(inches(1.0, 1.0), Some("nvay")).expect_err("unknown").help.contains("navy")
    );
}

#[test]
fn a_shape_has_square_sides() {
    let inches = |corners: &[[f64; 2]]| -> Vec<[Length; 2]> {
        corners.iter().map(|at| at.map(Length::inches)).collect()
    };
    let square = inches(&[[0., 0.], [8., 0.], [8., 8.], [0., 8.]]);
    let frame = Shape::new(square.clone(), vec![inches(&[[2., 1.], [6., 1.], [6., 7.], [2., 7.]])]);
    let frame = frame.expect("a frame");
    assert_eq!(frame.area(), 40.0);
    assert!(frame.place_for(Size::inches(8.0, 1.0)).is_some());
    assert!(frame.place_for(Size::inches(2.0, 8.0)).is_some());
    assert!(frame.place_for(Size::inches(2.1, 2.0)).is_none());
    assert_eq!(frame.largest_rectangles().len(), 4);
    for (corners, holes) in [
        (vec![[0., 0.], [4., 0.], [4., 4.]], vec![]),
        (vec![[0., 0.], [4., 0.], [5., 4.], [0., 4.]], vec![]),
        (vec![[0., 0.], [4., 0.], [4., 4.], [2., 4.], [2., -1.], [0., -1.]], vec![]),
        (
            vec![[0., 0.], [4., 0.], [4., 4.], [0., 4.]],
            vec![vec![[5., 5.], [6., 5.], [6., 6.], [5., 6.]]],
        ),
        (
            vec![[0., 0.], [4., 0.], [4., 4.], [0., 4.]],
            vec![vec![[0., 1.], [2., 1.], [2., 2.], [0., 2.]]],
        ),
    ] {
        let holes = holes.iter().map(|hole: &Vec<[f64; 2]>| inches(hole)).collect();
        assert!(Shape::new(inches(&corners), holes).is_err(), "{corners:?}");
    }
}

#[test]
fn a_bad_stock_is_told_with_its_line_and_what_to_write() {
    for (text, line, told, help) in [
        ("", 1, "the stock file is empty", "stock init"),
        ("paper: []\n", 1, "unknown key `paper`", "did you mean `papers`?"),
        ("papers:\n  - {name: oat, colour: \"#e9d8a6\"}\n", 2, "unknown key `colour`", "`color`"),
        ("papers:\n  - {name: oat, color: oatmeal}\n", 2, "`oatmeal` is not a colour", "#rrggbb"),
        ("papers:\n  - {color: \"#e9d8a6\"}\n", 2, "a paper has no name", "name: …"),
        (
            "papers:\n  - {name: oat}\n  - {name: Oat}\n",
            3,
            "the paper `Oat` stands here twice",
            "line 2",
        ),
        (
            "papers:\n  - {name: oat, sheets: [{size: 12 x 12}]}\n",
            2,
            "the key `count` is missing",
            "docs/stock.md",
        ),
        (
            "papers:\n  - name: oat\n    sheets:\n      - {size: 12 x 12, count: many}\n",
            4,
            "many",
            "whole number",
        ),
        (
            "papers:\n  - name: oat\n    sheets:\n      - {size: 12 x 12, count: -2}\n",
            4,
            "-2",
            "whole number",
        ),
        (
            "papers:\n  - name: oat\n    sheets:\n      - {size: 12, count: 2}\n",
            4,
            "`12` is not a size",
            "width x height",
        ),
        (
            "papers:\n  - name: oat\n    sheets:\n      - {size: 1/2 page x 12, count: 2}\n",
            4,
            "share of a page",
            "lengths",
        ),
        (
            "papers:\n  - name: oat\n    sheets:\n      - {size: 0 x 12, count: 2}\n",
            4,
            "no size of paper",
            "more than 0",
        ),
        (
            "papers:\n  - name: oat\n    sheets: [{size: 12 x 12, count: 2},\n      {size: 12 in x 12 in, count: 1}]\n",
            4,
            "twice",
            "add the counts up",
        ),
        (
            "papers:\n  - {name: oat, kind: velum}\n",
            2,
            "`velum` is not a kind of paper",
            "`vellum`",
        ),
        ("papers:\n  - {name: oat, grain: long}\n", 2, "`long` is not a way", "down, across, none"),
        ("papers:\n  - {name: oat, caliper: 12 pt}\n", 2, "", "0.012"),
        ("papers:\n  - {name: oat, price: dear}\n", 2, "`dear` is not a price", "number"),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {paper: oat, size: 4 x 6}\n",
            3,
            "an offcut has no label",
            "label: A1",
        ),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {label: B7, paper: oatt, size: 4 x 6}\n",
            3,
            "there is no paper `oatt`",
            "`oat`",
        ),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {label: B7, paper: oat, size: 4 x 6}\n  - {label: b7, paper: oat, size: 4 x 6}\n",
            4,
            "two offcuts are labelled `b7`",
            "line 3",
        ),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {label: B7, paper: oat}\n",
            3,
            "the offcut has no size",
            "corners",
        ),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {label: B7, paper: oat, corners: [[0, 0], [4, 0], [3, 5]]}\n",
            3,
            "no shape with square sides",
            "corner to corner",
        ),
        (
            "papers: [{name: oat}]\noffcuts:\n  - {label: B7, paper: oat, corners: [[0, 0, 1], [4, 0]]}\n",
            3,
            "a corner is two lengths",
            "[across, down]",
        ),
        ("papers:\n  - {name: oat\n", 2, "", ""),
        ("papers: oat\n", 1, "", ""),
    ] {
        let fault = Shelf::read(text, None).expect_err(text);
        let problem = &fault.problems.0[0];
        assert_eq!(fault.file, "stock.yaml");
        assert_eq!(problem.place.map(|place| place.line), Some(line), "{text}: {problem}");
        assert!(problem.message.contains(told), "{text}: {problem}");
        assert!(problem.help.contains(help), "{text}: {problem}");
    }
}

#[test]
fn a_damaged_ledger_is_told_by_its_line() {
    let mut shelf = read(WAYS[0]);
    shelf.add("oat 8.5 x 11", 2, None).expect("added");
    let sheet = CutSheet {
        id: "oat-1".into(),
        paper: "oat".into(),
        source: Source::Sheet(inches(12.0, 12.0)),
        pieces: 100.0,
        offcuts: vec![],
    };
    shelf.cut("dunes.yaml", &[sheet]).expect("cut");
    let ledger = shelf.ledger_text().expect("a ledger");
    let lines: Vec<&str> = ledger.lines().collect();
    let without_second = [lines[0], lines[2]].join("\n");
    for (damaged, line, told) in [
        (ledger.replace("\"count\":2", "\"count\":two"), Some(2), "no entry of a ledger"),
        (ledger[..ledger.len() - 20].to_owned(), Some(3), "no entry of a ledger"),
        (without_second, Some(2), "entry 1 should stand here, not 2"),
        (ledger.replace("\"area\":100.0", "\"area\":101.0"), Some(3), "left on the table"),
        (ledger.replace("\"count\":1}", "\"count\":9}"), Some(3), "left on the table"),
        (String::new(), None, "the ledger is empty"),
    ] {
        assert_ne!(damaged, ledger);
        let fault = Shelf::read(shelf.text(), Some(&damaged)).expect_err("damaged");
        let problem = &fault.problems.0[0];
        assert_eq!(fault.file, "stock-ledger.jsonl");
        assert_eq!(problem.place.map(|place| place.line), line, "{problem}");
        assert!(problem.message.contains(told), "{problem}");
    }
}

#[test]
fn anchors_are_not_broken() {
    let text = "papers:\n  - {name: oat, sheets: [{size: 12 x 12, count: &n 3}]}\n  - {name: navy, sheets: [{size: 12 x 12, count: *n}]}\n";
    let mut shelf = read(text);
    let fault = shelf.add("oat 12 x 12", 1, None).expect_err("both would change");
    assert!(fault.message.contains("without harm"), "{fault}");
    assert_eq!(shelf.text(), text);
    // The other can be changed by itself.
    shelf.add("navy 12 x 12", 1, None).expect("added");
    assert!(shelf.text().contains("count: &n 3") && shelf.text().contains("count: 4"));
}

#[test]
fn the_file_is_found_in_the_folder_or_above() {
    let folder = tempfile::tempdir().expect("a folder");
    let deep = folder.path().join("albums/2026");
    std::fs::create_dir_all(&deep).expect("folders");
    std::fs::write(deep.join("dunes.yaml"), "").expect("a file");
    assert_eq!(
        find_file(&deep.join("dunes.yaml")).filter(|file| file.starts_with(folder.path())),
        None
    );
    std::fs::write(folder.path().join("stock.yaml"), "papers: []\n").expect("a file");
    assert_eq!(find_file(&deep.join("dunes.yaml")), Some(folder.path().join("stock.yaml")));
    std::fs::write(deep.join("stock.yaml"), "papers: []\n").expect("a file");
    assert_eq!(find_file(&deep), Some(deep.join("stock.yaml")));
}

/// Something that is done to a stock; numbers choose among what there is.
#[derive(Clone, Debug)]
enum Step {
    Add(usize, u32),
    Take(usize, u32),
    Spoil(usize, u32),
    TakeOffcut(usize),
    SpoilOffcut(usize),
    Count(usize, u32),
    Reserve(usize, usize, u32),
    Cut(usize, usize, f64, f64, bool),
    CutOffcut(usize, f64),
    ByHand(usize, u32),
    Undo,
    Reopen,
}

fn step() -> impl Strategy<Value = Step> {
    let any = 0_usize..5;
    prop_oneof![
        (any.clone(), 1_u32..5).prop_map(|(kind, count)| Step::Add(kind, count)),
        (any.clone(), 1_u32..4).prop_map(|(kind, count)| Step::Take(kind, count)),
        (any.clone(), 1_u32..4).prop_map(|(kind, count)| Step::Spoil(kind, count)),
        any.clone().prop_map(Step::TakeOffcut),
        any.clone().prop_map(Step::SpoilOffcut),
        (any.clone(), 0_u32..9).prop_map(|(kind, count)| Step::Count(kind, count)),
        (0_usize..3, any.clone(), 0_u32..4)
            .prop_map(|(spec, kind, count)| Step::Reserve(spec, kind, count)),
        (0_usize..3, any.clone(), 0.0..1.0_f64, 0.0..1.0_f64, any_bool())
            .prop_map(|(spec, kind, part, used, el)| Step::Cut(spec, kind, part, used, el)),
        (any.clone(), 0.0..1.0_f64).prop_map(|(which, used)| Step::CutOffcut(which, used)),
        (any, 0_u32..9).prop_map(|(kind, count)| Step::ByHand(kind, count)),
        Just(Step::Undo),
        Just(Step::Reopen),
    ]
}

fn any_bool() -> impl Strategy<Value = bool> {
    prop_oneof![Just(true), Just(false)]
}

const KINDS: [(&str, [f64; 2]); 5] = [
    ("oat", [12.0, 12.0]),
    ("oat", [8.5, 11.0]),
    ("navy", [12.0, 12.0]),
    ("navy", [9.0, 12.0]),
    ("oat", [5.25, 8.125]),
];
const SPECS: [&str; 3] = ["kites.yaml", "albums/dunes.yaml", "tide pool.yaml"];

/// What is on hand, told by the test itself from the entries: area by paper, none below nothing.
fn area_on_hand(entries: &[Entry], first: f64) -> f64 {
    let on_hand = entries.iter().flat_map(|entry| &entry.moves).fold(first, |sum, one| {
        sum + match (one.from, one.to) {
            (Spot::OnHand, Spot::OnHand) => 0.0,
            (Spot::OnHand, _) => -one.lot.area(),
            (_, Spot::OnHand) => one.lot.area(),
            _ => 0.0,
        }
    });
    assert!(on_hand > -1e-6);
    on_hand
}

fn area_shown(stock: &Stock) -> f64 {
    let sheets = stock.papers.iter().flat_map(|paper| &paper.sheets);
    let sheets: f64 = sheets.map(|sheets| sheets.size.area() * f64::from(sheets.count)).sum();
    sheets + stock.offcuts.iter().map(|offcut| offcut.shape.area()).sum::<f64>()
}

/// Cuts a sheet: a strip off its width is kept as a rectangle, or as an L of a strip and a foot.
fn cut_of(size: Size, part: f64, used: f64, el: bool) -> (f64, Vec<Shape>) {
    let [width, height] = size.to_inches();
    let grid = |inches: f64| (inches * 32.0).floor() / 32.0;
    let keep = grid(width * part);
    if keep < 1.0 || height < 3.0 {
        return (size.area() * used, vec![]);
    }
    let (kept, foot) = (Length::inches(keep), size.height - Length::inches(1.0));
    let shape = if el && keep + 1.0 < width {
        let (zero, wide) = (Length::ZERO, size.width);
        Shape::new(
            vec![
                [zero, zero],
                [kept, zero],
                [kept, foot],
                [wide, foot],
                [wide, size.height],
                [zero, size.height],
            ],
            vec![],
        )
        .expect("an L")
    } else {
        Shape::rectangle(Size::new(kept, size.height))
    };
    ((size.area() - shape.area()) * used, vec![shape])
}

fn walk(text: &str, steps: &[Step]) {
    let mut shelf = read(text);
    let first = area_shown(shelf.stock());
    let mut by_hand = false;
    // What was cut, by the number of its entry: no paper twice.
    for step in steps {
        let ask = |kind: usize| {
            let (paper, [width, height]) = KINDS[kind];
            format!("{paper} {width} x {height} in")
        };
        let size = |kind: usize| Size::of_inches(KINDS[kind].1);
        let offcut = |shelf: &Shelf, which: usize| {
            let offcuts = &shelf.stock().offcuts;
            offcuts.get(which % offcuts.len().max(1)).cloned()
        };
        let before = (shelf.text().to_owned(), shelf.on_hand().clone());
        let entries = shelf.entries().len();
        let done = match step {
            Step::Add(kind, count) => shelf.add(&ask(*kind), *count, None).map(|_| ()),
            Step::Take(kind, count) => shelf.take(&ask(*kind), *count).map(|_| ()),
            Step::Spoil(kind, count) => shelf.spoil(&ask(*kind), *count).map(|_| ()),
            Step::TakeOffcut(which) | Step::SpoilOffcut(which) => {
                let Some(offcut) = offcut(&shelf, *which) else { continue };
                let taken = matches!(step, Step::TakeOffcut(_));
                if taken { shelf.take(&offcut.label, 1) } else { shelf.spoil(&offcut.label, 1) }
                    .map(|_| ())
            }
            Step::Count(kind, count) => shelf.count(&ask(*kind), *count).map(|_| ()),
            Step::Reserve(spec, kind, count) => {
                let (paper, size) = (KINDS[*kind].0.to_owned(), size(*kind));
                shelf
                    .reserve(SPECS[*spec], vec![Use::Sheets { paper, size, count: *count }])
                    .map(|_| ())
            }
            Step::Cut(spec, kind, part, used, el) => {
                let (pieces, offcuts) = cut_of(size(*kind), *part, *used, *el);
                let paper = KINDS[*kind].0.to_owned();
                let source = Source::Sheet(size(*kind));
                shelf
                    .cut(
                        SPECS[*spec],
                        &[CutSheet { id: format!("{paper}-1"), paper, source, pieces, offcuts }],
                    )
                    .map(|_| ())
            }
            Step::CutOffcut(which, used) => {
                let Some(offcut) = offcut(&shelf, *which) else { continue };
                let (pieces, source) =
                    (offcut.shape.area() * used, Source::Offcut(offcut.label.clone()));
                shelf
                    .redo(
                        "kites.yaml",
                        &[CutSheet {
                            id: "redo-1".into(),
                            paper: offcut.paper,
                            source,
                            pieces,
                            offcuts: vec![],
                        }],
                    )
                    .map(|_| ())
            }
            Step::ByHand(kind, count) => {
                let known = shelf.on_hand().sheets(KINDS[*kind].0, size(*kind));
                if known == *count {
                    continue;
                }
                let text = shelf.text().replacen(
                    &format!("count: {known}"),
                    &format!("count: {count}"),
                    1,
                );
                by_hand |= text != shelf.text();
                let ledger = shelf.ledger_text();
                shelf = Shelf::read(&text, ledger.as_deref())
                    .unwrap_or_else(|fault| panic!("{}\n{text}", fault.problems));
                if shelf.ledger_text().is_none() {
                    // Before the first entry it is the beginning.
                    return;
                }
                continue;
            }
            Step::Undo => shelf.undo().map(|_| ()),
            Step::Reopen => {
                let ledger = shelf.ledger_text();
                let again = Shelf::read(shelf.text(), ledger.as_deref()).expect("read again");
                assert!(again.noticed().is_none());
                assert_eq!(again.on_hand(), shelf.on_hand());
                assert_eq!(again.ledger_text(), ledger);
                shelf = again;
                continue;
            }
        };
        if done.is_err() {
            assert_eq!(
                (shelf.text(), shelf.on_hand()),
                (&*before.0, &before.1),
                "a fault changes nothing"
            );
            assert_eq!(shelf.entries().len(), entries);
        }
        let stock = Stock::parse(shelf.text()).expect("sound");
        assert_eq!(&stock, shelf.stock());
        let sums = area_on_hand(shelf.entries(), first);
        assert!((area_shown(&stock) - sums).abs() < 1e-6, "{} against {sums}", area_shown(&stock));
        for entry in shelf.entries() {
            let on = |spot| {
                entry.area(move |one| one.to == spot) - entry.area(move |one| one.from == spot)
            };
            let all = [
                Spot::Before,
                Spot::Shop,
                Spot::OnHand,
                Spot::Table,
                Spot::Pieces,
                Spot::Waste,
                Spot::Spoiled,
                Spot::Taken,
                Spot::Counted,
            ];
            assert!(all.map(on).iter().sum::<f64>().abs() < 1e-6);
            assert!(on(Spot::Table).abs() < 1e-6, "sheets in are pieces, offcuts and waste");
        }
        // No offcut leaves twice, nor comes twice with one label while it is there.
        let mut there: BTreeMap<&str, i32> = BTreeMap::new();
        for one in shelf.entries().iter().flat_map(|entry| &entry.moves) {
            let Lot::Offcut(offcut) = &one.lot else { continue };
            let count = there.entry(&offcut.label).or_insert(i32::from(offcut.label == "B7"));
            *count += i32::from(one.to == Spot::OnHand) - i32::from(one.from == Spot::OnHand);
        }
        assert!(there.values().all(|count| (0..=1).contains(count)), "{there:?}");
    }
    while !shelf.entries().is_empty() {
        shelf.undo().expect("taken back");
    }
    if !by_hand {
        assert_eq!(shelf.text(), text);
        assert_eq!(shelf.ledger_text(), None);
    }
    assert!((area_shown(shelf.stock()) - first).abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_sequence_keeps_area_and_is_taken_back_byte_for_byte(
        way in 0..WAYS.len(),
        steps in proptest::collection::vec(step(), 1..24),
    ) {
        walk(WAYS[way], &steps);
    }
}

fn cutleaf(folder: &std::path::Path, arguments: &[&str]) -> assert_cmd::Command {
    let mut command = assert_cmd::Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1").args(arguments);
    command
}

/// What a command says, with the exit code that it must have.
fn told(folder: &std::path::Path, arguments: &[&str], code: i32) -> String {
    let output = cutleaf(folder, arguments).assert().code(code).get_output().clone();
    String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout)
}

fn names(folder: &std::path::Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder").flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// A folder with the starter, and the starter's text.
fn with_stock() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    told(folder.path(), &["stock", "init"], 0);
    let text = std::fs::read_to_string(folder.path().join("stock.yaml")).expect("a stock");
    (folder, text)
}

#[test]
fn a_stock_is_begun_shown_changed_and_taken_back_from_the_command_line() {
    let (folder, text) = with_stock();
    let folder = folder.path();
    assert!(told(folder, &["stock", "init"], 1).contains("stands there already"));
    let shown = told(folder, &["stock"], 0);
    for part in [
        "oat",
        "12 x 12 in",
        "8 1/2 x 11 in",
        "3.60",
        "6.30 and those without a price",
        "A2",
        "6 corners",
    ] {
        assert!(shown.contains(part), "{part} in\n{shown}");
    }
    assert_eq!(names(folder), ["stock.yaml"], "looking writes nothing");
    assert!(
        told(folder, &["stock", "add", "oat 8.5 x 11", "2"], 0)
            .contains("Entry 1: add: 2 sheets of oat 8 1/2 x 11 in.")
    );
    assert!(
        told(folder, &["stock", "add", "sage 12 x 12", "5", "--color", "#a3b18a"], 0)
            .contains("Entry 2")
    );
    assert!(told(folder, &["stock", "spoil", "a1"], 0).contains("offcut A1 (oat 5 x 7 in)"));
    assert!(told(folder, &["stock", "take", "harbour"], 0).contains("1 sheet of harbour"));
    assert!(told(folder, &["stock", "count", "clover", "2"], 0).contains("nothing is entered"));
    assert!(
        told(folder, &["stock", "count", "clover", "1"], 0)
            .contains("1 sheet of clover 12 x 12 in fewer")
    );
    let changed = std::fs::read_to_string(folder.join("stock.yaml")).expect("a stock");
    assert!(
        changed.contains("count: 8, price: 0.45") && changed.contains("name: sage"),
        "{changed}"
    );
    assert!(changed.contains("# of a sheet, if you want shopping lists with sums"));
    let by_hand = changed.replace("count: 8", "count: 7");
    std::fs::write(folder.join("stock.yaml"), by_hand).expect("written");
    let shown = told(folder, &["stock", "history"], 0);
    assert!(
        shown.contains("Changed by hand in stock.yaml: 1 sheet of oat 8 1/2 x 11 in fewer."),
        "{shown}"
    );
    let first = shown.lines().nth(1).expect("an entry");
    assert!(first.starts_with("6  count by hand: 1 sheet of oat"), "{shown}");
    assert!(!told(folder, &["stock", "history"], 0).contains("Changed by hand in"), "told once");
    let data: serde_json::Value =
        serde_json::from_str(&told(folder, &["stock", "--json"], 0)).expect("JSON");
    assert_eq!(data["papers"][0]["sheets"][1]["count"], 7);
    assert_eq!(data["offcuts"][0]["label"], "A2");
    let entries: serde_json::Value =
        serde_json::from_str(&told(folder, &["stock", "history", "--json"], 0)).expect("JSON");
    assert_eq!(entries[0]["by_hand"], true);
    assert!(told(folder, &["undo"], 0).contains("Took back entry 6: count by hand"));
    for _ in 0..5 {
        told(folder, &["undo"], 0);
    }
    assert_eq!(std::fs::read_to_string(folder.join("stock.yaml")).expect("a stock"), text);
    assert_eq!(names(folder), ["stock.yaml"]);
    assert!(told(folder, &["undo"], 1).contains("there is nothing to take back"));
}

#[test]
fn what_holds_a_piece_is_found_from_the_command_line() {
    let (folder, _) = with_stock();
    let found = told(folder.path(), &["stock", "find", "4", "x", "6", "--paper", "oat"], 0);
    let lines: Vec<&str> = found.lines().collect();
    assert!(lines[1].starts_with("offcut A1") && lines[1].ends_with("11.0 in²"), "{found}");
    assert!(lines[2].contains("8 1/2 x 11 in"), "{found}");
    let data = told(folder.path(), &["stock", "find", "2 x 5", "--json"], 0);
    let data: serde_json::Value = serde_json::from_str(&data).expect("JSON");
    assert_eq!((&data[0]["offcut"], &data[0]["left"]), (&"A2".into(), &8.0.into()));
    assert!(told(folder.path(), &["stock", "find", "40 x 6"], 0).contains("Nothing on hand holds"));
    assert!(
        told(folder.path(), &["stock", "find", "4 x 6", "--paper", "otas"], 1)
            .contains("did you mean `oat`")
    );
    assert!(told(folder.path(), &["stock", "find", "4"], 1).contains("not a size"));
}

#[test]
fn without_a_stock_it_is_said_what_to_do_and_faults_change_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let said = told(folder.path(), &["stock", "history", "--stock", "nowhere.yaml"], 1);
    assert!(said.contains("`nowhere.yaml` can't be read") && said.contains("stock init"), "{said}");
    let (folder, text) = with_stock();
    let folder = folder.path();
    for (arguments, said) in [
        (&["stock", "take", "oatt 12 x 12"][..], "did you mean `oat`?"),
        (
            &["stock", "take", "oat 12 x 12", "9"],
            "9 of oat 12 x 12 in should leave, and 4 are on hand",
        ),
        (&["stock", "add", "sage 12 x 12", "2"], "--color"),
        (&["stock", "add", "sage 12 x 12", "2", "--color", "green"], "not a colour"),
        (&["stock", "spoil", "oat"], "several sizes"),
    ] {
        let code = if said.contains("should leave") { 3 } else { 1 };
        let told = told(folder, arguments, code);
        assert!(told.contains(said), "{told}");
    }
    assert_eq!(std::fs::read_to_string(folder.join("stock.yaml")).expect("a stock"), text);
    std::fs::write(folder.join("stock.yaml"), text.replace("count: 3", "count: three"))
        .expect("written");
    let said = told(folder, &["stock"], 1);
    assert!(
        said.contains("stock.yaml:18") && said.contains("three") && said.contains("^^^^^"),
        "{said}"
    );
    assert_eq!(names(folder), ["stock.yaml"]);
}

#[test]
fn a_stock_is_drawn_to_scale_with_every_label() {
    let (folder, _) = with_stock();
    let folder = folder.path();
    told(folder, &["stock", "--html", "stock.html"], 0);
    let page = std::fs::read_to_string(folder.join("stock.html")).expect("a page");
    for part in [
        "A2: harbour, 6 x 5 in",
        "A1: oat, 5 x 7 in",
        "oat: 12 x 12 in, 4 sheets",
        "small clover",
        "15 sheets",
        "#1f4e5f",
    ] {
        assert!(page.contains(part), "{part}");
    }
    if let Some(look) = std::env::var_os("CUTLEAF_LOOK") {
        std::fs::copy(folder.join("stock.html"), std::path::Path::new(&look).join("stock.html"))
            .expect("copied");
    }
}

#[test]
fn a_command_that_was_killed_is_finished_or_cleared_by_the_next() {
    let (folder, text) = with_stock();
    let folder = folder.path();
    let stock = folder.join("stock.yaml");
    told(folder, &["stock", "add", "oat 8.5 x 11", "2"], 0);
    let after = std::fs::read_to_string(&stock).expect("a stock");
    let ledger = std::fs::read(folder.join("stock-ledger.jsonl")).expect("a ledger");
    let next = folder.join(format!(".stock.yaml.cutleaf-next-{}", Shelf::text_name(&text)));
    // Killed after the ledger was written, before the text took its place.
    std::fs::write(&stock, &text).expect("written");
    std::fs::write(&next, &after).expect("written");
    let said = told(folder, &["stock"], 0);
    assert!(!said.contains("Changed by hand"), "{said}");
    assert_eq!(std::fs::read_to_string(&stock).expect("a stock"), after);
    assert_eq!(names(folder), ["stock-ledger.jsonl", "stock.yaml"]);
    // Killed before the ledger was written.
    std::fs::remove_file(folder.join("stock-ledger.jsonl")).expect("removed");
    std::fs::write(&stock, &text).expect("written");
    std::fs::write(&next, &after).expect("written");
    std::fs::write(folder.join(".stock.yaml.cutleaf-new-ledger"), &ledger[..40]).expect("written");
    told(folder, &["stock"], 0);
    assert_eq!(std::fs::read_to_string(&stock).expect("a stock"), text);
    assert_eq!(names(folder), ["stock.yaml"]);
}

#[test]
fn commands_at_once_wait_for_each_other() {
    let (folder, text) = with_stock();
    let folder = folder.path();
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| told(folder, &["stock", "add", "oat 12 x 12", "3"], 0));
        }
    });
    let changed = std::fs::read_to_string(folder.join("stock.yaml")).expect("a stock");
    assert_eq!(changed, text.replace("{size: 12 x 12, count: 4}", "{size: 12 x 12, count: 28}"));
    assert_eq!(names(folder), ["stock-ledger.jsonl", "stock.yaml"]);
    let ledger = std::fs::read_to_string(folder.join("stock-ledger.jsonl")).expect("a ledger");
    assert_eq!(ledger.lines().count(), 9);
}

#[test]
fn the_schema_of_a_stock_names_its_keys() {
    let folder = tempfile::tempdir().expect("a folder");
    let schema = told(folder.path(), &["schema", "--stock"], 0);
    let schema: serde_json::Value = serde_json::from_str(&schema).expect("JSON");
    assert_eq!(schema["title"], "A Cutleaf stock");
    for key in ["label", "corners", "grain", "caliper", "photo paper"] {
        assert!(schema.to_string().contains(key), "{key}");
    }
}
