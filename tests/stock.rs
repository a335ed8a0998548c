//! Paper on hand over time: the user's `stock.yaml`, which keeps its comments and order, and the ledger.

use cutleaf::model::Count;
use cutleaf::model::Turns;
use cutleaf::model::length::{Length, Size};
use cutleaf::stock::{Ask, CutSheet, EntryKind, Shape, Shelf, Source, Stock, Use, find_file};

/// Stocks written in many ways, all with oat 12 x 12 and 8.5 x 11, navy 12 x 12 and the offcut B7.
pub(crate) const WAYS: [&str; 9] = [
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

pub(crate) fn read(text: &str) -> Shelf {
    Shelf::read(text, None).unwrap_or_else(|fault| panic!("{}\n{text}", fault.problems))
}

pub(crate) fn inches(width: f64, height: f64) -> Size {
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
            count: Count::default(),
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
        count: Count::default(),
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
        count: Count::default(),
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
fn a_first_offcut_finds_its_list() {
    let papers = "papers:\n  - {name: oat, sheets: [{size: 12 x 12, count: 3}]}\n";
    for text in [
        papers.to_owned(),
        papers.trim_end().to_owned(),
        format!("{papers}offcuts:\n"),
        format!("{papers}offcuts: [] # none yet\n"),
        format!("offcuts: # none yet\n{papers}"),
        format!("{papers}offcuts: ~\n# end"),
        "{papers: {oat: {sheets: {12 x 12: 3}}}}".to_owned(),
        papers.replace('\n', "\r\n"),
    ] {
        let mut shelf = read(&text);
        let rest = |width| Shape::rectangle(inches(width, 12.0));
        let sheet = |id: &str, offcuts: Vec<Shape>| CutSheet {
            id: id.into(),
            paper: "oat".into(),
            source: Source::Sheet(inches(12.0, 12.0)),
            count: Count::default(),
            pieces: 20.0,
            offcuts,
        };
        let sheets = [sheet("oat-1", vec![rest(4.0), rest(2.25)]), sheet("oat-2", vec![rest(3.0)])];
        let kept =
            shelf.cut("dunes.yaml", &sheets).unwrap_or_else(|fault| panic!("{fault}\n{text}"));
        assert_eq!(kept.len(), 3);
        let labels: Vec<&str> =
            shelf.stock().offcuts.iter().map(|one| one.label.as_str()).collect();
        assert_eq!(labels, ["A1", "A2", "A3"], "{}", shelf.text());
        assert_eq!(kept[2].from, "dunes oat-2");
        assert_eq!(
            text.contains("none yet"),
            shelf.text().contains("none yet"),
            "{}",
            shelf.text()
        );
        shelf.undo().expect("taken back");
        assert_eq!(shelf.text(), text);
    }
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
