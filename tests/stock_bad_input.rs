//! A stock or a ledger with a fault is told with its line and what to write.

use cutleaf::model::Count;
use cutleaf::stock::{CutSheet, Shelf, Source};

use crate::stock::{WAYS, inches, read};
use crate::support::line_number;

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
        assert_eq!(
            problem.place.map(|place| line_number(place.line)),
            Some(line),
            "{text}: {problem}"
        );
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
        count: Count::default(),
        pieces: 100.0,
        offcuts: vec![],
    };
    shelf.cut("dunes.yaml", &[sheet]).expect("cut");
    let ledger = shelf.ledger_text().expect("a ledger");
    let lines: Vec<&str> = ledger.lines().collect();
    let without_second = [lines[0], lines[2]].join("\n");
    for (damaged, line, told) in [
        (
            ledger.replace("\"count\":2}}}],\"edit", "\"count\":two}}}],\"edit"),
            Some(2),
            "no entry of a ledger",
        ),
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
        assert_eq!(problem.place.map(|place| line_number(place.line)), line, "{problem}");
        assert!(problem.message.contains(told), "{problem}");
    }
}
