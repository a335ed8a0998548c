//! A spread that is cut from the stock: reserved when it is built, entered when it is cut, redone from what
//! is there then.

use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

use proptest::prelude::*;
use tempfile::TempDir;

use crate::support::folders::files;
use cutleaf::record::Record;
use cutleaf::stock::{Shelf, Spot};

/// A box of paper with comments that stay.
const STOCK: &str = "# what is in the drawer
papers:
  - {name: reed, color: \"#2b5673\", price: 0.65, sheets: [{size: 12 x 12, count: 3}]} # the blue one
  - name: chalk
    color: \"#f4f1ea\"
    sheets:
      - {size: 8.5 x 11, count: 3}
  - {name: moss, color: \"#3d6b35\", sheets: [{size: 12 x 12, count: 5}]}
offcuts:
  - {label: C4, paper: reed, size: 5 x 6, from: an earlier card}
";
/// A spread that says nothing of its papers but one colour.
const POND: &str = "name: Pond
papers: {reed: {color: '#204060'}}
cutting: {effort: quick}
single:
  base: reed
  pieces:
    - panel: {id: bank, paper: reed, size: 4 x 5, at: {left: 1, top: 6}}
    - panel: {id: far, paper: reed, size: 7 x 3, at: {left: 1, top: 2}}
    - circle: {id: sun, paper: chalk, diameter: 2, at: {left: 8, top: 1}}
";

struct Table(TempDir);

impl Table {
    /// A folder with a stock above that of the specs.
    fn laid() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        fs::create_dir(folder.path().join("album")).expect("made");
        let table = Self(folder);
        table.write("stock.yaml", STOCK);
        table.write("album/pond.yaml", POND);
        table
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).expect("written");
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).expect("a file")
    }

    /// What a command said, run in the album, once it has left with `code`.
    fn told(&self, arguments: &[&str], code: i32) -> String {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
        let album = self.0.path().join("album");
        let output = command.current_dir(album).env("NO_COLOR", "1").args(arguments).output();
        let output = output.expect("it runs");
        let text = [&output.stderr[..], &output.stdout[..]].concat();
        let text = String::from_utf8_lossy(&text).replace("\n  │", "").replace("\n        ", " ");
        assert_eq!(output.status.code(), Some(code), "{arguments:?}: {text}");
        text
    }

    /// How a command ended.
    fn code(&self, arguments: &[&str]) -> i32 {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
        let output = command.current_dir(self.0.path().join("album")).args(arguments).output();
        output.expect("it runs").status.code().unwrap_or(-1)
    }

    /// What a command printed as a result.
    fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
        let output = command.current_dir(self.0.path().join("album")).args(arguments).output();
        serde_json::from_slice(&output.expect("it runs").stdout).expect("JSON and nothing else")
    }

    fn record(&self, run: &str) -> Record {
        let text = self.read(&format!("album/out/{run}/record.json"));
        serde_json::from_str(&text).expect("JSON")
    }

    fn shelf(&self) -> Shelf {
        let ledger = fs::read_to_string(self.0.path().join("stock-ledger.jsonl")).ok();
        Shelf::read(&self.read("stock.yaml"), ledger.as_deref()).expect("a stock")
    }

    /// Sheets of reed and chalk on hand, and the labels of the offcuts.
    fn on_hand(&self) -> (u32, u32, Vec<String>) {
        let shelf = self.shelf();
        let sheets = |name: &str| shelf.stock().paper(name).expect("listed").sheets[0].count;
        let labels = shelf.stock().offcuts.iter().map(|offcut| offcut.label.clone()).collect();
        (sheets("reed"), sheets("chalk"), labels)
    }
}

#[test]
fn what_a_spec_does_not_say_of_its_papers_comes_from_the_stock() {
    let table = Table::laid();
    table.told(&["build", "pond.yaml"], 0);
    let record = table.record("pond");
    let names: Vec<&str> = record.papers.iter().map(|paper| paper.name.as_str()).collect();
    assert_eq!(names, ["reed", "chalk"], "moss is no part of the spread");
    assert_eq!(record.papers[0].color.to_string(), "#204060", "the spec's colour wins");
    assert_eq!(record.papers[1].color.to_string(), "#f4f1ea");
    assert!(record.papers.iter().all(|paper| paper.from_stock));
    // The leftover is used first: it holds one of the two panels.
    assert!(record.sheets.iter().any(|sheet| sheet.from.as_deref() == Some("C4")));
    assert!(record.totals.price.is_some(), "prices come from the stock");
    // Without it, the paper has no colour or no sheet.
    let message = table.told(&["build", "pond.yaml", "--no-stock"], 1);
    assert!(message.contains("there is no paper `chalk`"), "{message}");
    // What the spec lists is all there is of that paper.
    let own = POND.replace("{color: '#204060'}", "{sheets: {12 x 12: 9}}");
    table.write("album/own.yaml", &own.replace("Pond", "Own"));
    table.told(&["build", "own.yaml"], 0);
    let own = table.record("own");
    assert!(!own.papers[0].from_stock && own.papers[0].left[0].count >= 7, "{:?}", own.papers[0]);
    assert_eq!(own.papers[0].color.to_string(), "#2b5673", "its colour is that of the stock");
}

#[test]
fn a_build_reserves_and_what_is_cut_leaves_the_stock() {
    let table = Table::laid();
    let message = table.told(&["cut", "pond.yaml"], 1);
    assert!(message.contains("has no build in `out`"), "{message}");
    table.told(&["build", "pond.yaml"], 0);
    let data = table.json(&["build", "pond.yaml", "--json"]);
    assert!(data["totals"]["sheets"].as_u64() > Some(1), "{data}");
    let (built, sheets) = (files(&table.0.path().join("album/out")), table.on_hand());
    assert_eq!((sheets.0, sheets.1), (3, 3), "what is reserved is still on hand");
    assert!(table.told(&["stock"], 0).contains("pond.yaml"), "and it is said who reserved it");
    // The same build reserves the same: nothing is entered.
    let ledger = table.read("stock-ledger.jsonl");
    table.told(&["build", "pond.yaml"], 0);
    assert!(table.read("stock-ledger.jsonl") == ledger);
    // One sheet first, then the rest.
    let first = table.record("pond").sheets[0].id.clone();
    let message = table.told(&["cut", "pond.yaml", "--sheet", "reed-9"], 1);
    assert!(message.contains("no sheet from the stock `reed-9`"), "{message}");
    let message = table.told(&["cut", "pond.yaml", "--sheet", &first], 0);
    assert!(message.contains(&format!("Cut: {first}.")), "{message}");
    let message = table.told(&["cut", "out/pond"], 0);
    assert!(
        !message.contains(&format!("Cut: {first}")) && message.contains("Pencil "),
        "{message}"
    );
    assert!(table.told(&["cut", "pond.yaml"], 0).contains("Nothing is left to enter"));
    let (reed, chalk, labels) = table.on_hand();
    let record = table.record("pond");
    let new = |paper: &str| {
        let new = record.sheets.iter().filter(|sheet| sheet.from.is_none() && sheet.paper == paper);
        u32::try_from(new.count()).expect("few")
    };
    assert_eq!((reed, chalk), (3 - new("reed"), 3 - new("chalk")));
    assert!(!labels.contains(&"C4".to_owned()), "the leftover is used up");
    let offcuts = record.sheets.iter().map(|sheet| sheet.offcuts.len()).sum::<usize>();
    assert_eq!(labels.len(), offcuts);
    assert!(table.read("stock.yaml").contains("# the blue one"));
    // The same spec builds the same, whatever was entered; the paper is not spent again.
    table.told(&["build", "pond.yaml"], 0);
    assert!(files(&table.0.path().join("album/out")) == built);
    assert_eq!(table.on_hand(), (reed, chalk, labels));
    assert!(table.shelf().on_hand().specs().next().is_none());
    // A build that cuts otherwise does not take its place unasked.
    table.write("album/pond.yaml", &POND.replace("size: 7 x 3", "size: 9 x 4"));
    let message = table.told(&["build", "pond.yaml"], 1);
    assert!(message.contains("are entered as cut") && message.contains("--changed"), "{message}");
    // Entry by entry back to the first text.
    table.write("album/pond.yaml", POND);
    while fs::exists(table.0.path().join("stock-ledger.jsonl")).expect("a folder") {
        table.told(&["undo"], 0);
    }
    assert_eq!(table.read("stock.yaml"), STOCK);
}

#[test]
fn a_redo_is_cut_from_what_the_stock_has_then() {
    let table = Table::laid();
    table.told(&["build", "pond.yaml"], 0);
    table.told(&["cut", "pond.yaml"], 0);
    let (reed, _, labels) = table.on_hand();
    assert_eq!(reed, 1);
    // From an offcut that was entered, by its label.
    table.told(&["redo", "pond.yaml", "--piece", "single.far"], 0);
    let redo = table.record("pond/redo-1");
    let from = redo.sheets[0].from.clone().expect("an offcut");
    assert!(labels.contains(&from), "{from} of {labels:?}");
    table.told(&["cut", "pond.yaml"], 0);
    assert!(!table.on_hand().2.contains(&from));
    // A redo whose sheet is entered stays.
    let message = table.told(&["redo", "pond.yaml", "--undo"], 1);
    assert!(message.contains("is entered as cut"), "{message}");
    // The page: the last whole sheet, then one to buy, then one that was bought.
    table.told(&["redo", "pond.yaml", "--piece", "single.base"], 0);
    assert_eq!(table.record("pond/redo-2").sheets[0].from, None);
    table.told(&["redo", "pond.yaml", "--piece", "single.base"], 3);
    table.told(&["redo", "pond.yaml", "--undo"], 0);
    table.told(&["stock", "add", "reed 12 x 12", "1"], 0);
    table.told(&["redo", "pond.yaml", "--piece", "single.base"], 0);
    table.told(&["cut", "pond.yaml"], 0);
    assert_eq!(table.on_hand().0, 0);
}

#[test]
fn two_spreads_that_want_the_same_sheet_are_told() {
    let table = Table::laid();
    table.told(&["build", "pond.yaml"], 0);
    let other = POND.replace("name: Pond", "name: Lake");
    table.write("album/lake.yaml", &other);
    let message = table.told(&["build", "lake.yaml"], 3);
    assert!(message.contains("album/pond.yaml has reserved 2 of reed 12 x 12"), "{message}");
    assert_eq!(table.record("lake").totals.buy, 1);
    // Paper that goes while it is reserved.
    let message = table.told(&["stock", "take", "reed 12 x 12", "2"], 0);
    assert!(message.contains("pond.yaml"), "{message}");
}

#[test]
fn a_build_says_what_each_offcut_saves() {
    let table = Table::laid();
    let offcuts = "  - {label: C5, paper: reed, size: 4 x 5}
  - {label: C6, paper: chalk, size: 3 x 3}
";
    table.write("stock.yaml", &format!("{STOCK}{offcuts}"));
    let message = table.told(&["build", "pond.yaml"], 0);
    // The bank fits C5 just so; C4 is kept, and what would have come from it is said.
    for told in [
        "offcut C5 (4 x 5 in): takes 20.0 in² that would have come from C4",
        "offcut C6 (3 x 3 in): saves 1 new sheet of 8 1/2 x 11 in",
    ] {
        assert!(message.contains(told), "{told} in\n{message}");
    }
    let record = table.record("pond");
    let used: Vec<_> = record.papers.iter().flat_map(|paper| &paper.offcuts_used).collect();
    assert_eq!((used[0].cut, used[0].instead_of[0].area), (20.0, 20.0));
    assert_eq!((used[1].saves[0].count, used[1].saves[0].size), (1, [8.5, 11.0]));
    assert!(record.papers[0].offcuts_left.iter().any(|left| left.id.as_str() == "C4"));
    // A spread without offcuts has nothing of the kind.
    table.write("stock.yaml", STOCK.split("offcuts:").next().expect("papers"));
    table.told(&["build", "pond.yaml"], 0);
    assert!(!table.read("album/out/pond/record.json").contains("offcuts_used"));
}

#[test]
fn a_check_lacks_nothing_that_the_spread_has_cut_itself() {
    let table = Table::laid();
    table.write(
        "stock.yaml",
        &STOCK.replace("{size: 12 x 12, count: 3}", "{size: 12 x 12, count: 2}"),
    );
    table.told(&["build", "pond.yaml"], 0);
    table.told(&["cut", "pond.yaml"], 0);
    assert_eq!(table.on_hand().0, 0, "a second pond would lack a sheet");
    let told = table.told(&["check", "pond.yaml"], 0);
    assert!(!told.contains("to buy") && told.contains("offcut C4"), "{told}");
    // A folder where no run stands knows nothing of it; a redo's paper counts as taken.
    table.told(&["check", "pond.yaml", "--out", "elsewhere"], 3);
    table.told(&["stock", "add", "reed 12 x 12", "1"], 0);
    table.told(&["redo", "pond.yaml", "--piece", "single.base"], 0);
    table.told(&["cut", "pond.yaml"], 0);
    table.told(&["check", "pond.yaml"], 0);
}

#[test]
fn a_shopping_list_gives_each_offcut_to_one_spread() {
    let table = Table::laid();
    let stock =
        STOCK.replace("{size: 12 x 12, count: 3}]} # the blue one", "{size: 12 x 12, count: 0}]}");
    table.write("stock.yaml", &stock);
    for name in ["quay", "lock", "weir"] {
        let spec = format!(
            "name: {name}\nsingle:\n  pieces: [panel: {{id: bank, paper: reed, size: 4 x 5, at: {{left: 1, top: 6}}}}]\n"
        );
        table.write(&format!("album/{name}.yaml"), &spec);
    }
    let alone = table.told(&["stock", "buy", "quay.yaml"], 0);
    assert!(alone.contains("There is paper for all of them."), "{alone}");
    let told = table.told(&["stock", "buy", "lock.yaml", "quay.yaml"], 3);
    for part in ["each from what those before it leave", "album/lock.yaml takes the offcuts C4."] {
        assert!(told.contains(part), "{part} in\n{told}");
    }
    assert!(!told.contains("quay.yaml takes"), "{told}");
    let buy = |table: &Table, specs: &[&str]| {
        let arguments: Vec<&str> =
            ["stock", "buy", "--json"].iter().chain(specs).copied().collect();
        let lines = table.json(&arguments);
        let lines = lines.as_array().expect("a list").clone();
        lines.iter().map(|line| line["buy"].as_u64().expect("a number")).sum::<u64>()
    };
    assert_eq!(buy(&table, &["quay.yaml", "lock.yaml", "weir.yaml"]), 2);
    // What another spread has reserved is not there for those on the list; what is cut is not counted again.
    table.told(&["build", "weir.yaml"], 0);
    assert_eq!(buy(&table, &["quay.yaml", "lock.yaml"]), 2);
    table.told(&["cut", "weir.yaml"], 0);
    assert_eq!(buy(&table, &["weir.yaml", "lock.yaml"]), 1);
}

#[test]
fn offcuts_that_are_no_rectangles_are_taken_apart_where_that_holds_more() {
    let table = Table::laid();
    // An L, a frame and a comb with two teeth; no new sheet is on hand.
    let stock = "papers: [{name: reed, color: \"#2b5673\", price: 0.65, sheets: [{size: 12 x 12, count: 0}]}]
offcuts:
  - {label: L1, paper: reed, corners: [[0, 0], [6, 0], [6, 2], [2, 2], [2, 5], [0, 5]]}
  - {label: L2, paper: reed, corners: [[0, 0], [9, 0], [9, 8], [0, 8]], holes: [[[2, 2], [6, 2], [6, 6], [2, 6]]]}
  - {label: L3, paper: reed, corners: [[0, 0], [2, 0], [2, 4], [5, 4], [5, 0], [7, 0], [7, 6], [0, 6]]}
";
    table.write("stock.yaml", stock);
    let spread = |pieces: &[(&str, &str)]| {
        let line = |(id, size): &(&str, &str)| {
            format!(
                "    - panel: {{id: {id}, paper: reed, size: {size}, at: {{left: 1, top: 1}}}}\n"
            )
        };
        let pieces: String = pieces.iter().map(line).collect();
        let spec = format!("name: Pond\ncutting: {{effort: quick}}\nsingle:\n  pieces:\n{pieces}");
        table.write("album/pond.yaml", &spec);
    };
    for (pieces, from) in [
        // Both arms of the L, which no one rectangle of it holds.
        (&[("tread", "6 x 2"), ("riser", "2 x 3")][..], &["L1"][..]),
        (&[("tread", "4 x 2"), ("riser", "2 x 5")], &["L1"]),
        // All four sides of the frame.
        (&[("a", "9 x 2"), ("b", "2 x 6"), ("c", "7 x 2"), ("d", "3 x 4")], &["L2"]),
        // The comb leaves nothing over for these, and neither do the two that are older.
        (&[("a", "2 x 6"), ("b", "2 x 6"), ("c", "3 x 2")], &["L1"]),
    ] {
        spread(pieces);
        let message = table.told(&["build", "pond.yaml"], 0);
        assert!(message.contains(&format!("offcut {} (", from[0])), "{message}");
        let record = table.record("pond");
        let offcuts: Vec<&str> = record
            .sheets
            .iter()
            .filter(|one| !one.outline.is_empty())
            .filter_map(|one| one.from.as_deref())
            .collect();
        assert!(offcuts.contains(&from[0]), "{pieces:?} from {offcuts:?}");
        let whole = record.sheets.iter().find(|one| !one.outline.is_empty()).expect("one");
        // What the cuts leave of it lies on its paper, and nothing lies on anything else.
        let areas: Vec<_> = whole
            .parts
            .iter()
            .map(|one| (one.at, one.size))
            .chain(whole.offcuts.iter().map(|one| (one.at, one.size)))
            .collect();
        for (number, (at, size)) in areas.iter().enumerate() {
            for (other, of) in &areas[..number] {
                let apart = (0..2).any(|axis| {
                    at[axis] + size[axis] <= other[axis] + 1e-9
                        || other[axis] + of[axis] <= at[axis] + 1e-9
                });
                assert!(apart, "{areas:?}");
            }
        }
        // The ledger refuses an entry that loses paper, and what isn't used comes back.
        table.told(&["cut", "pond.yaml"], 0);
        let shelf = table.shelf();
        assert!(shelf.stock().offcut(from[0]).is_none());
        table.told(&["undo"], 0);
        assert_eq!(table.read("stock.yaml"), stock);
        table.told(&["undo"], 0);
    }
    // What no shape holds is bought; a redo is cut from a shape as a build is.
    spread(&[("big", "5 x 5")]);
    table.told(&["build", "pond.yaml"], 3);
    spread(&[("small", "2 x 2")]);
    table.told(&["build", "pond.yaml"], 0);
    table.told(&["cut", "pond.yaml"], 0);
    table.told(&["redo", "pond.yaml", "--piece", "single.small"], 0);
    assert!(table.record("pond/redo-1").sheets.iter().all(|sheet| sheet.from.is_some()));
    table.told(&["cut", "pond.yaml"], 0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    /// Any sequence of build, cut, redo, spoil, add and undo keeps the area of paper, spends no sheet twice,
    /// and is taken back to the first state, byte for byte; with offcuts of any shape in the box.
    #[test]
    fn any_sequence_keeps_the_paper_and_is_taken_back(steps in prop::collection::vec(0_usize..9, 2..9)) {
        let table = Table::laid();
        let stock = format!("{STOCK}  - {{label: C5, paper: reed, corners: [[0, 0], [8, 0], [8, 4], [5, 4], [5, 9], [0, 9]]}}\n");
        table.write("stock.yaml", &stock);
        for step in steps {
            let labels = table.on_hand().2;
            let label = labels.first().cloned().unwrap_or_else(|| "none".to_owned());
            let command: Vec<&str> = match step {
                0 => vec!["build", "pond.yaml"],
                1 => vec!["cut", "pond.yaml"],
                2 => vec!["redo", "pond.yaml", "--piece", "single.far"],
                3 => vec!["redo", "pond.yaml", "--sheet", "reed-1"],
                4 => vec!["redo", "pond.yaml", "--undo"],
                5 => vec!["stock", "spoil", &label],
                6 => vec!["stock", "add", "reed 12 x 12", "1"],
                7 => vec!["cut", "pond.yaml", "--sheet", "chalk-1"],
                _ => vec!["undo"],
            };
            let code = table.code(&command);
            prop_assert!([0, 1, 3].contains(&code), "{command:?} ended with {code}");
            // The ledger is sound: reading it adds up every entry and refuses one that loses paper.
            let shelf = table.shelf();
            let mut entered = BTreeSet::new();
            for entry in shelf.entries() {
                let on_table = entry.area(|one| one.to == Spot::Table);
                let off_table = entry.area(|one| one.from == Spot::Table);
                prop_assert!((on_table - off_table).abs() < 1e-6, "{entry:?}");
                for sheet in &entry.sheets {
                    let of_run = (sheet.run.clone(), sheet.id.clone());
                    prop_assert!(entered.insert(of_run), "{} is spent twice", sheet.id);
                }
            }
        }
        while fs::exists(table.0.path().join("stock-ledger.jsonl")).expect("a folder") {
            prop_assert_eq!(table.code(&["undo"]), 0);
        }
        prop_assert_eq!(table.read("stock.yaml"), stock);
    }
}
