//! `cutleaf stock` and `cutleaf undo`, as their user meets them.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use cutleaf::stock::Shelf;
use serde_json::Value;
use tempfile::TempDir;

fn cutleaf(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1").args(arguments);
    command
}

/// What a command says, with the exit code that it must have.
fn told(folder: &Path, arguments: &[&str], code: i32) -> String {
    let output = cutleaf(folder, arguments).assert().code(code).get_output().clone();
    String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout)
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder").flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// A folder with the starter, and the starter's text.
fn with_stock() -> (TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    told(folder.path(), &["stock", "init"], 0);
    let text = fs::read_to_string(folder.path().join("stock.yaml")).expect("a stock");
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
        "6.30",
        "5 sheets of them have no price",
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
    let changed = fs::read_to_string(folder.join("stock.yaml")).expect("a stock");
    assert!(
        changed.contains("count: 8, price: 0.45") && changed.contains("name: sage"),
        "{changed}"
    );
    assert!(changed.contains("# of a sheet, if you want shopping lists with sums"));
    let by_hand = changed.replace("count: 8", "count: 7");
    fs::write(folder.join("stock.yaml"), by_hand).expect("written");
    let shown = told(folder, &["stock", "history"], 0);
    assert!(
        shown.contains("Changed by hand in stock.yaml: 1 sheet of oat 8 1/2 x 11 in fewer."),
        "{shown}"
    );
    let first = shown.lines().nth(1).expect("an entry");
    assert!(first.starts_with("6  count by hand: 1 sheet of oat"), "{shown}");
    assert!(!told(folder, &["stock", "history"], 0).contains("Changed by hand in"), "told once");
    let data: Value = serde_json::from_str(&told(folder, &["stock", "--json"], 0)).expect("JSON");
    assert_eq!(data["papers"][0]["sheets"][1]["count"], 7);
    assert_eq!(data["offcuts"][0]["label"], "A2");
    let entries: Value =
        serde_json::from_str(&told(folder, &["stock", "history", "--json"], 0)).expect("JSON");
    assert_eq!(entries[0]["by_hand"], true);
    assert!(told(folder, &["undo"], 0).contains("Took back entry 6: count by hand"));
    for _ in 0..5 {
        told(folder, &["undo"], 0);
    }
    assert_eq!(fs::read_to_string(folder.join("stock.yaml")).expect("a stock"), text);
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
    let data: Value = serde_json::from_str(&data).expect("JSON");
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
    assert_eq!(told(folder, &["stock", "--stock", "."], 0), told(folder, &["stock"], 0));
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
    assert_eq!(fs::read_to_string(folder.join("stock.yaml")).expect("a stock"), text);
    fs::write(folder.join("stock.yaml"), text.replace("count: 3", "count: three"))
        .expect("written");
    let said = told(folder, &["stock"], 1);
    assert!(
        said.contains("stock.yaml:18") && said.contains("three") && said.contains("━━━━━"),
        "{said}"
    );
    assert_eq!(names(folder), ["stock.yaml"]);
}

#[test]
fn a_stock_is_drawn_to_scale_with_every_label() {
    let (folder, _) = with_stock();
    let folder = folder.path();
    told(folder, &["stock", "--html", "stock.html"], 0);
    let page = fs::read_to_string(folder.join("stock.html")).expect("a page");
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
        fs::copy(folder.join("stock.html"), Path::new(&look).join("stock.html")).expect("copied");
    }
}

#[test]
fn a_command_that_was_killed_is_finished_or_cleared_by_the_next() {
    let (folder, text) = with_stock();
    let folder = folder.path();
    let stock = folder.join("stock.yaml");
    told(folder, &["stock", "add", "oat 8.5 x 11", "2"], 0);
    let after = fs::read_to_string(&stock).expect("a stock");
    let ledger = fs::read(folder.join("stock-ledger.jsonl")).expect("a ledger");
    let next = folder.join(format!(".stock.yaml.cutleaf-next-{}", Shelf::text_name(&text)));
    // Killed after the ledger was written, before the text took its place.
    fs::write(&stock, &text).expect("written");
    fs::write(&next, &after).expect("written");
    let said = told(folder, &["stock"], 0);
    assert!(!said.contains("Changed by hand"), "{said}");
    assert_eq!(fs::read_to_string(&stock).expect("a stock"), after);
    assert_eq!(names(folder), ["stock-ledger.jsonl", "stock.yaml"]);
    // Killed before the ledger was written.
    fs::remove_file(folder.join("stock-ledger.jsonl")).expect("removed");
    fs::write(&stock, &text).expect("written");
    fs::write(&next, &after).expect("written");
    fs::write(folder.join(".stock.yaml.cutleaf-new-ledger"), &ledger[..40]).expect("written");
    told(folder, &["stock"], 0);
    assert_eq!(fs::read_to_string(&stock).expect("a stock"), text);
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
    let changed = fs::read_to_string(folder.join("stock.yaml")).expect("a stock");
    assert_eq!(changed, text.replace("{size: 12 x 12, count: 4}", "{size: 12 x 12, count: 28}"));
    assert_eq!(names(folder), ["stock-ledger.jsonl", "stock.yaml"]);
    let ledger = fs::read_to_string(folder.join("stock-ledger.jsonl")).expect("a ledger");
    assert_eq!(ledger.lines().count(), 9);
}

#[test]
fn papers_with_a_picture_or_a_pattern_show_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let stock = "papers:
  - {name: meadow, picture: papers/meadow.png, sheets: [{size: 12 x 12, count: 2}]}
  - {name: lost, picture: papers/none.png, sheets: [{size: 12 x 12, count: 1}]}
  - {name: dots, color: \"#c0a080\", pattern: small dots, sheets: [{size: 12 x 12, count: 1}]}
  - {name: plain, color: \"#405060\", sheets: [{size: 12 x 12, count: 1}]}
offcuts: [{label: B1, paper: meadow, size: 3 x 6}]
";
    fs::create_dir(folder.join("papers")).expect("made");
    fs::write(folder.join("stock.yaml"), stock).expect("written");
    let meadow = crate::support::pictures::drawn(1800, 1200);
    meadow.save(folder.join("papers/meadow.png")).expect("written");
    let message = told(folder, &["stock", "--html", "stock.html"], 0);
    assert!(message.contains("lost: the picture `papers/none.png` can't be read"), "{message}");
    let page = fs::read_to_string(folder.join("stock.html")).expect("a page");
    // A copy in each of the two drawings, small, and nothing that has to be fetched.
    let copies: Vec<&str> =
        page.match_indices("data:image/jpeg;base64,").map(|(_, one)| one).collect();
    assert_eq!(copies.len(), 2);
    assert!(page.len() < 400_000 && !page.contains("http:") && !page.contains("meadow.png\""));
    assert_eq!(page.matches("<pattern").count(), 1);
    // The offcut shows its part of the sheet at the same scale: 3 of 12 in, cut off by its own outline.
    let data = page.split("data:image/jpeg;base64,").nth(1).and_then(|rest| rest.split('"').next());
    let jpeg =
        base64::Engine::decode(&base64::engine::general_purpose::STANDARD, data.expect("data"));
    let copy = image::load_from_memory(&jpeg.expect("base64")).expect("a picture");
    assert_eq!(
        (copy.width(), copy.height()),
        (480, 480),
        "the middle of the picture, square as the sheet"
    );
    assert!(page.contains("matrix(12 0 0 12 ") && page.contains("clip-path"), "12 in wide on both");
    if let Ok(look) = std::env::var("CUTLEAF_LOOK") {
        fs::copy(folder.join("stock.html"), Path::new(&look).join("papers.html")).expect("copied");
    }
}

#[test]
fn one_shopping_list_serves_several_spreads() {
    let (folder, _) = with_stock();
    let folder = folder.path();
    let spec = |name: &str, sheets: u32| {
        let text = format!(
            "name: {name}\npapers: {{oat: {{color: \"#e9d8a6\", sheets: {{12 x 12: {sheets}}}}}}}\nsingle:\n  base: oat\n  pieces:\n    - panel: {{id: one, paper: oat, size: 12 x 8, at: {{left: 0, top: 0}}}}\n"
        );
        fs::write(folder.join(format!("{name}.yaml")), text).expect("written");
    };
    spec("dunes", 9);
    spec("ponds", 9);
    let told_for_two = told(folder, &["stock", "buy", "dunes.yaml", "ponds.yaml"], 0);
    assert!(told_for_two.contains("There is paper for all of them."), "{told_for_two}");
    let arguments = ["stock", "buy", "dunes.yaml", "ponds.yaml", "dunes.yaml", "--json"];
    let output = cutleaf(folder, &arguments).assert().code(3).get_output().stdout.clone();
    let lines: Value = serde_json::from_slice(&output).expect("JSON");
    let line = &lines[0];
    assert_eq!((&line["uses"], &line["on_hand"], &line["buy"]), (&6.into(), &4.into(), &2.into()));
    assert!((line["price"].as_f64().expect("a price") - 1.8).abs() < 1e-9);
    fs::remove_file(folder.join("stock.yaml")).expect("removed");
    told(folder, &["stock", "buy", "dunes.yaml", "ponds.yaml", "dunes.yaml"], 0);
}

#[test]
fn the_schema_of_a_stock_names_its_keys() {
    let folder = tempfile::tempdir().expect("a folder");
    let schema = told(folder.path(), &["schema", "--stock"], 0);
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    assert_eq!(schema["title"], "A Cutleaf stock");
    for key in ["label", "corners", "grain", "caliper", "photo paper"] {
        assert!(schema.to_string().contains(key), "{key}");
    }
}
