//! Where the paper on hand does not do: everything is planned and written with sheets to buy, which are
//! marked and listed, and come last; with `--strict` it is refused.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use assert_cmd::Command;
use cutleaf::record::{Record, Sheet};
use serde_json::Value;

use crate::support::spreads;
use crate::support::spreads::{record_of, strict_record_of};

struct Case {
    name: &'static str,
    papers: &'static str,
    /// Pages, title, story.
    rest: &'static str,
    /// What has to be bought: paper, size, sheets, their price (0 where nobody knows it).
    buy: &'static [(&'static str, [f64; 2], u32, f64)],
    /// Sheets and leftovers on hand that are used.
    on_hand: usize,
}

const TWO_PANELS: &str = "single:
  pieces:
    - panel: {id: sea, paper: chalk, size: 8 x 10}
    - panel: {id: sand, paper: chalk, size: 8 x 10}";

const CASES: &[Case] = &[
    Case {
        name: "the cheapest size that is listed",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 1, price: 1.1}, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: TWO_PANELS,
        buy: &[("chalk", [8.5, 11.0], 1, 0.6)],
        on_hand: 1,
    },
    Case {
        name: "what is on hand is used first, however dear it was",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 1, price: 9}, 8.5 x 11: {count: 0, price: 0.1}}}",
        rest: TWO_PANELS,
        buy: &[("chalk", [8.5, 11.0], 1, 0.1)],
        on_hand: 1,
    },
    Case {
        name: "what is on hand is used first where no price is known",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: 1, 8.5 x 11: 0}}",
        rest: TWO_PANELS,
        buy: &[("chalk", [8.5, 11.0], 1, 0.0)],
        on_hand: 1,
    },
    Case {
        name: "one large sheet is cheaper than two small ones",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 18: {count: 0, price: 1}, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "single:\n  pieces:\n    - panel: {id: sea, paper: chalk, size: 8 x 9}\n    - panel: {id: sand, paper: chalk, size: 8 x 9}",
        buy: &[("chalk", [12.0, 18.0], 1, 1.0)],
        on_hand: 0,
    },
    Case {
        name: "a size whose price nobody knows, where no other holds the piece",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: 0, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "single:\n  base: chalk",
        buy: &[("chalk", [12.0, 12.0], 1, 0.0)],
        on_hand: 0,
    },
    Case {
        name: "a paper that lists no sizes: the usual sheet and the printer's",
        papers: "chalk: {color: '#f4efe6'}\n  harbour: {color: '#2b5673', offcuts: [{size: 5 x 7}]}",
        rest: "single:
  base: chalk
  pieces:
    - panel: {id: sea, paper: harbour, size: 5 x 7}
    - panel: {id: sand, paper: harbour, size: 8 x 10}",
        buy: &[("chalk", [12.0, 12.0], 1, 0.0), ("harbour", [8.5, 11.0], 1, 0.0)],
        on_hand: 1,
    },
    Case {
        name: "pieces for the machine",
        papers: "chalk: {color: '#f4efe6', sheets: {5 x 5: {count: 1, price: 0.4}}}",
        rest: "single:
  pieces:
    - circle: {id: sun, paper: chalk, diameter: 4}
    - circle: {id: moon, paper: chalk, diameter: 4}",
        buy: &[("chalk", [5.0, 5.0], 1, 0.4)],
        on_hand: 1,
    },
    Case {
        name: "a strip over both pages comes from one sheet",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 2: {count: 1, price: 0.2}, 12 x 12: {count: 0, price: 1}}}",
        rest: "left:\n  pieces:\n    - strip: {id: tide, paper: chalk, width: 2, across: spread}\nright: {}",
        buy: &[("chalk", [12.0, 12.0], 1, 1.0)],
        on_hand: 0,
    },
    Case {
        name: "a story without a sheet that the printer takes",
        papers: "chalk: {color: '#f4efe6', sheets: {8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "single: {}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [8.5, 11.0], 1, 0.6)],
        on_hand: 0,
    },
    Case {
        name: "pieces that are printed first",
        papers: "chalk: {color: '#f4efe6', sheets: {11 x 8.5: {count: 0, price: 0.6}}}",
        rest: "single:
  pieces:
    - rectangle: {id: label, paper: chalk, size: 3 x 2, print: {text: tern}}",
        buy: &[("chalk", [11.0, 8.5], 1, 0.6)],
        on_hand: 0,
    },
    Case {
        name: "a sheet for the story costs less than another 12 x 12 in place of the one cut down for it",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 1, price: 1.1}, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "single: {base: chalk}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [8.5, 11.0], 1, 0.6)],
        on_hand: 1,
    },
    Case {
        name: "the same where no price is known: less paper",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: 1, 8.5 x 11: 0}}",
        rest: "single: {base: chalk}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [8.5, 11.0], 1, 0.0)],
        on_hand: 1,
    },
    Case {
        name: "the same for pieces that are printed first, and a story that stays on what is on hand",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 2, price: 1.1}, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "left: {base: chalk}
right:
  pieces:
    - rectangle: {id: label, paper: chalk, size: 3 x 2, print: {text: tern}}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [8.5, 11.0], 1, 0.6)],
        on_hand: 3,
    },
    Case {
        name: "what is cut down stays cut down where that costs no more",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 1, price: 0.9}, 8.5 x 11: {count: 0, price: 1}}}",
        rest: "single: {base: chalk}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [12.0, 12.0], 1, 0.9)],
        on_hand: 2,
    },
    Case {
        name: "one large sheet, cut down, costs less than two small ones",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 0, price: 0.9}, 8.5 x 11: {count: 0, price: 0.6}}}",
        rest: "single:
  pieces:
    - panel: {id: reeds, paper: chalk, size: 3 x 11}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [12.0, 12.0], 1, 0.9)],
        on_hand: 0,
    },
    Case {
        name: "two of the printer's sheets from one that is bought",
        papers: "chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 0, price: 0.5}, 5.83 x 8.27: {count: 0, price: 0.3}}}",
        rest: "printer: {paper: 5.83 x 8.27}
single:
  pieces:
    - rectangle: {id: label, paper: chalk, size: 3 x 2, print: {text: tern}}
journaling:
  {text: One day the terns came back., paper: chalk, strip: {height: 5/16, widest: 4}}",
        buy: &[("chalk", [12.0, 12.0], 1, 0.5)],
        on_hand: 0,
    },
];

fn spec(case: &Case) -> String {
    format!("name: Tern colony\npapers:\n  {}\n{}\n", case.papers, case.rest)
}

#[test]
fn what_is_lacking_is_planned_marked_and_listed() {
    for case in CASES {
        let spec = spec(case);
        let record = record_of(&spec).expect(case.name);
        let bought: Vec<_> = record
            .totals
            .shopping
            .iter()
            .filter(|line| line.buy > 0)
            .map(|line| (line.paper.as_str(), line.size, line.buy, line.buy_price.unwrap_or(0.0)))
            .collect();
        assert_eq!(bought, case.buy, "{}", case.name);
        let on_hand = record.sheets.iter().filter(|sheet| !waits(&record, sheet)).count();
        assert_eq!(on_hand, case.on_hand, "{}", case.name);
        sound(&record, case.name);
        assert_eq!(record, record_of(&spec).expect(case.name), "{} repeats", case.name);
        let refused = strict_record_of(&spec).expect_err(case.name);
        assert_eq!(refused.exit_code(), 3, "{}", case.name);
        // A price that nobody knows is told nowhere.
        if case.buy.iter().all(|(.., price)| *price == 0.0) && !case.papers.contains("price") {
            let text = serde_json::to_string(&record).expect("JSON");
            assert!(!text.contains("price"), "{}", case.name);
        }
    }
}

/// Whether a sheet has to be bought, or is a part of one that has.
fn waits(record: &Record, sheet: &Sheet) -> bool {
    let is_waiting_whole =
        |whole: &Sheet| sheet.from.as_deref() == Some(whole.id.as_str()) && waits(record, whole);
    sheet.to_buy || record.sheets.iter().any(is_waiting_whole)
}

/// Every piece is cut once, sheets to buy come last, and the list agrees with the sheets.
fn sound(record: &Record, name: &str) {
    let mut placed: Vec<&str> = record
        .sheets
        .iter()
        .flat_map(|sheet| &sheet.placed)
        .map(|placed| placed.piece.as_str())
        .collect();
    placed.sort_unstable();
    let mut pieces: Vec<&str> = record.pieces.iter().map(|piece| piece.id.as_str()).collect();
    pieces.sort_unstable();
    assert_eq!(placed, pieces, "{name}");
    let bought: Vec<bool> = record.sheets.iter().map(|sheet| waits(record, sheet)).collect();
    assert!(bought.is_sorted(), "{name}: {bought:?}");
    let mut new: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    for sheet in &record.sheets {
        assert!(!sheet.to_buy || sheet.from.is_none(), "{name}");
        let counts = new.entry(&sheet.paper).or_default();
        counts.0 += u32::from(sheet.from.is_none());
        counts.1 += u32::from(sheet.to_buy);
    }
    let mut listed: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    for line in &record.totals.shopping {
        let counts = listed.entry(&line.paper).or_default();
        (counts.0, counts.1) = (counts.0 + line.uses, counts.1 + line.buy);
        assert!(line.uses <= line.on_hand + line.buy, "{name}");
    }
    listed.retain(|_, counts| counts.0 > 0);
    new.retain(|_, counts| counts.0 > 0);
    assert_eq!(listed, new, "{name}");
    assert_eq!(record.totals.buy, new.values().map(|counts| counts.1).sum::<u32>(), "{name}");
}

#[test]
fn what_fits_no_sheet_at_all_stays_an_error() {
    for (papers, size, says) in [
        ("{8.5 x 11: 1}", "9 x 9", "on hand or to buy: 8 1/2 x 11 in"),
        ("{}", "13 x 9", "on hand or to buy: 8 1/2 x 11 in, 12 x 12 in"),
    ] {
        let spec = format!(
            "name: a\npapers: {{chalk: {{color: '#ffffff', sheets: {papers}}}}}\nsingle:\n  pieces:\n    - panel: {{id: big, paper: chalk, size: {size}}}\n"
        );
        let problems = record_of(&spec).expect_err("too large");
        assert_eq!(problems.exit_code(), 3);
        let problem = &problems.0[0];
        assert!(problem.message.contains("fits no sheet of chalk"), "{}", problem.message);
        assert!(problem.help.contains(says), "{}", problem.help);
    }
}

fn cutleaf(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

/// Standard output and standard error of a command that leaves with a code.
fn told(folder: &Path, arguments: &[&str], code: i32) -> [String; 2] {
    let output = cutleaf(folder).args(arguments).assert().code(code).get_output().clone();
    [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
}

const SHORT: &str = "name: Tern colony
papers:
  chalk: {color: '#f4efe6', sheets: {12 x 12: {count: 1, price: 1.1}}}
  harbour: {color: '#2b5673'}
left: {base: chalk}
right:
  base: chalk
  pieces:
    - panel: {id: sea, paper: harbour, size: 4 x 12}
    - panel: {id: sky, paper: harbour, size: 9 x 9}
";

#[test]
fn the_commands_write_everything_list_what_to_buy_and_leave_with_3() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    fs::write(path.join("terns.yaml"), SHORT).expect("written");
    let list = "Short of paper. To buy before everything can be cut:
  chalk    1 sheet of 12 x 12 in, 1.10
  harbour  2 sheets of 12 x 12 in
  in all   3 sheets, 1.10 and what the unpriced ones cost
";
    for command in ["check", "build"] {
        let [out, err] = told(path, &[command, "terns.yaml"], 3);
        assert!(err.starts_with(list), "{err}");
        assert!(out.contains("Tern colony: 4 pieces on 4 sheets\n"), "{out}");
        assert!(out.contains("  chalk    12 x 12 in: 1 of 1 on hand, 1 to buy (1.10); "), "{out}");
        assert!(out.contains("  harbour  12 x 12 in: 2 to buy; "), "{out}");
        assert!(!out.contains("0.00") && !err.contains("0.00"), "{out}{err}");
        let [_, err] = told(path, &[command, "terns.yaml", "--strict"], 3);
        assert!(err.contains("there is not enough chalk"), "{err}");
        assert!(!err.contains("To buy"), "{err}");
    }
    for name in ["record.json", "guide.pdf", "proof.html", "spread.png"] {
        assert!(path.join("out/tern-colony").join(name).is_file(), "{name}");
    }
    let [out, _] = told(path, &["build", "terns.yaml", "--json"], 3);
    let told_as_data: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(told_as_data["to_buy"].as_array().map(Vec::len), Some(2));
    assert_eq!(told_as_data["to_buy"][0]["buy_price"], 1.1);
    assert_eq!(told_as_data["totals"]["buy"], 3);
    let [_, err] = told(path, &["build", "terns.yaml", "--strict", "--out", "strict"], 3);
    assert!(!path.join("strict").exists(), "{err}");
    // A redo takes the paper as bought and used: what is cut again has to be bought again.
    let [_, err] = told(path, &["redo", "out/tern-colony", "--piece", "right.base"], 3);
    assert!(err.contains("chalk   1 sheet of 12 x 12 in, 1.10"), "{err}");
    assert!(path.join("out/tern-colony/redo-1/record.json").is_file());
    told(path, &["redo", "out/tern-colony", "--piece", "right.base", "--strict"], 3);
    assert!(!path.join("out/tern-colony/redo-2").exists());
    // The panel's own sheet left a piece that is large enough for the other one.
    let [_, err] = told(path, &["redo", "out/tern-colony", "--piece", "right.sea"], 0);
    assert!(err.is_empty() || !err.contains("Short of paper"), "{err}");
}

/// The mark of a sheet to buy is seen, whatever lies at its edge: over the pieces in the proof, on white in
/// the guide, which says it in words as well.
#[test]
fn proof_and_guide_mark_what_is_to_buy() {
    let spec = "name: Terns
papers: {harbour: {color: '#2b5673'}}
single: {pieces: [{panel: {id: sea, paper: harbour, size: 12 x 7}}, {panel: {id: sky, paper: harbour, size: 5 x 5}}]}
";
    let layout = spreads::layout_of(spec).expect("a good spec");
    let record = cutleaf::plan::record(&layout).expect("planned");
    let label = cutleaf::lettering::fonts::FontBook::default().find("text").expect("built in");
    let picture =
        cutleaf::emit::sheet_picture::sheet_svg(&record, &record.sheets[0], &label).document();
    let at = |text: &str| picture.rfind(text).unwrap_or_else(|| panic!("{text} in {picture}"));
    assert!(at("class=\"to-buy\"") > at("single.sea").max(at("single.sky")), "{picture}");
    let guide = cutleaf::emit::guide::guide_pdf(&record, &label).expect("drawn");
    let guide = String::from_utf8_lossy(&guide);
    assert!(guide.contains("to buy"), "in the bookmark");
    // Where there is enough, nothing is marked.
    let enough = spec.replace("'#2b5673'", "'#2b5673', sheets: {12 x 12: 1}");
    let record = record_of(&enough).expect("planned");
    let picture =
        cutleaf::emit::sheet_picture::sheet_svg(&record, &record.sheets[0], &label).document();
    assert!(!picture.contains("to-buy"));
}

/// Photos on photo paper of which some is on hand.
const PRINTS: &str = "name: Kites
papers: {chalk: {color: '#f4efe6', sheets: {12 x 12: 2}}}
photos:
  launch: {size: 4 x 6, border: 1/4, file: kite-day/launch.jpg}
  crest: {size: 6 x 4, border: 1/4, file: kite-day/crest.jpg}
  gull: {size: 2 x 2, file: kite-day/gull.jpg}
printer: {photo paper: 4 x 6, photo sheets: SHEETS}
single:
  base: chalk
  pieces:
    - bank: {photos: [launch, crest, gull]}
";

#[test]
fn photo_paper_runs_short_like_any_other() {
    // What is written, sheets of it to buy, their price, the price of all that is used.
    for (sheets, on_hand, buy, buy_price, price) in [
        ("3", 3, 0, 0.0, 0.0),
        ("9", 9, 0, 0.0, 0.0),
        ("{count: 1, price: 0.25}", 1, 2, 0.5, 0.75),
        ("0", 0, 3, 0.0, 0.0),
    ] {
        let spec = PRINTS.replace("SHEETS", sheets);
        let record = record_of(&spec).expect(sheets);
        let marked: Vec<bool> = record.prints.iter().map(|sheet| sheet.to_buy).collect();
        assert!(marked.len() == 3 && marked.is_sorted(), "{sheets}: {marked:?}");
        assert_eq!(marked.iter().filter(|marked| **marked).count(), buy, "{sheets}");
        let line = record.totals.shopping.last().expect("a line");
        let [to_pay, all] = [line.buy_price, line.price].map(|price| price.unwrap_or(0.0));
        let found = (line.uses, line.on_hand, line.buy as usize, to_pay, all);
        assert_eq!(found, (3, on_hand, buy, buy_price, price), "{sheets}");
        assert_eq!(line.paper, record.prints[0].paper);
        let totals = &record.totals;
        assert_eq!((totals.buy as usize, totals.buy_price), (buy, line.buy_price), "{sheets}");
        let left = record.photo_paper.and_then(|paper| paper.left).expect("known");
        assert_eq!(left.count, on_hand.saturating_sub(3), "{sheets}");
        match strict_record_of(&spec) {
            Ok(_) => assert_eq!(buy, 0, "{sheets}"),
            Err(problems) => {
                assert!(buy > 0, "{sheets}: {problems:?}");
                assert_eq!(problems.exit_code(), 3);
                assert!(problems.0[0].message.contains("not enough photo paper"), "{problems:?}");
            }
        }
    }
    // Where nobody says how much there is, there is enough, as ever.
    let record = record_of(&PRINTS.replace(", photo sheets: SHEETS", "")).expect("enough");
    assert!(record.prints.iter().all(|sheet| !sheet.to_buy));
    assert!(record.totals.shopping.iter().all(|line| line.paper == "chalk"));
    for (wrong, told) in [("-1", "a number of sheets"), ("{count: 2, price: dear}", "a price")] {
        let problems = record_of(&PRINTS.replace("SHEETS", wrong)).expect_err(wrong);
        assert!(problems.0[0].message.contains(told), "{problems:?}");
    }
}

#[test]
fn the_commands_list_photo_paper_to_buy_and_a_redo_knows_what_is_left() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    fs::create_dir(path.join("kite-day")).expect("made");
    for picture in ["launch.jpg", "crest.jpg", "gull.jpg"] {
        let from = Path::new("templates/kite-day").join(picture);
        fs::copy(from, path.join("kite-day").join(picture)).expect("copied");
    }
    let spec = PRINTS.replace("SHEETS", "{count: 2, price: 0.25}");
    fs::write(path.join("kites.yaml"), &spec).expect("written");
    let [out, err] = told(path, &["build", "kites.yaml"], 3);
    assert!(err.contains("  photo paper  1 sheet of 4 x 6 in, 0.25\n"), "{err}");
    assert!(out.contains("4 x 6 in: 2 of 2 on hand, 1 to buy (0.25)\n"), "{out}");
    let proof = fs::read_to_string(path.join("out/kites/proof.html")).expect("written");
    assert_eq!(proof.matches(">to buy</strong>").count(), 1, "the sheet is marked");
    assert_eq!(proof.matches("class=\"to-buy\"").count(), 1, "and its edge");
    told(path, &["check", "kites.yaml", "--strict"], 3);
    // Two prints were bought and used: none is left for a print made again, and then none again.
    for redo in ["redo-1", "redo-2"] {
        let arguments = ["redo", "out/kites", "--piece", "single.gull"];
        let [_, err] = told(path, &arguments, 3);
        assert!(err.contains("  photo paper  1 sheet of 4 x 6 in, 0.25\n"), "{err}");
        assert!(path.join("out/kites").join(redo).join("print/photos.pdf").is_file());
    }
    fs::write(path.join("kites.yaml"), spec.replace("count: 2", "count: 4")).expect("written");
    told(path, &["build", "kites.yaml", "--out", "more"], 0);
    // A redo without a print keeps the sheet that is left for the next.
    told(path, &["redo", "more/kites", "--piece", "single.base"], 0);
    told(path, &["redo", "more/kites", "--piece", "single.gull"], 0);
    told(path, &["redo", "more/kites", "--piece", "single.gull"], 3);
}

#[test]
fn a_spread_with_paper_enough_buys_nothing_and_leaves_with_0() {
    let folder = tempfile::tempdir().expect("a folder");
    let enough = SHORT.replace("count: 1", "count: 2").replace(
        "harbour: {color: '#2b5673'}",
        "harbour: {color: '#2b5673', sheets: {12 x 12: 2}}",
    );
    fs::write(folder.path().join("terns.yaml"), enough).expect("written");
    let [_, err] = told(folder.path(), &["check", "terns.yaml", "--strict"], 0);
    assert!(!err.contains("buy"), "{err}");
    let [out, _] = told(folder.path(), &["check", "terns.yaml", "--json"], 0);
    assert!(!out.contains("to_buy"), "no sheet has to be bought");
}
