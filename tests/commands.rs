//! The command line, as its user meets it.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

use crate::support::folders::files;

fn cutleaf(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

/// A folder with the demo spread in it.
fn with_demo() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    cutleaf(folder.path()).args(["new", "kite-day"]).assert().success();
    folder
}

fn record(folder: &Path) -> Value {
    let text = fs::read_to_string(folder.join("record.json")).expect("a record");
    serde_json::from_str(&text).expect("JSON")
}

fn told(command: &mut Command, code: i32) -> String {
    let output = command.assert().code(code).get_output().clone();
    String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout)
}

#[test]
fn starters_are_listed_copied_and_not_overwritten() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = told(cutleaf(folder.path()).arg("new"), 0);
    for name in ["kite-day", "tide-pool", "beach-walk", "shapes", "folded"] {
        assert!(list.contains(name));
        cutleaf(folder.path()).args(["new", name]).assert().success();
        cutleaf(folder.path()).args(["check", &format!("{name}.yaml")]).assert().success();
    }
    assert!(
        told(cutleaf(folder.path()).args(["new", "kite-day"]), 1).contains("stands there already")
    );
    assert!(told(cutleaf(folder.path()).args(["new", "kite-dya"]), 1).contains("`kite-day`?"));
}

#[test]
fn starters_share_pictures_that_are_the_same() {
    let folder = with_demo();
    let told = told(cutleaf(folder.path()).args(["new", "printed"]), 0);
    assert!(told.contains("gull.jpg (there already)"), "{told}");
    assert!(folder.path().join("printed.yaml").exists());
    // Another picture of that name is not written over.
    let other = tempfile::tempdir().expect("a folder");
    fs::create_dir(other.path().join("kite-day")).expect("a folder");
    let picture = other.path().join("kite-day/gull.jpg");
    fs::write(&picture, b"mine").expect("written");
    let refused = self::told(cutleaf(other.path()).args(["new", "printed"]), 1);
    assert!(refused.contains("gull.jpg") && refused.contains("stands there already"), "{refused}");
    assert_eq!(fs::read(&picture).expect("there"), b"mine");
    assert!(!other.path().join("printed.yaml").exists());
}

#[test]
fn a_build_hands_out_everything_and_repeats_byte_for_byte() {
    let folder = with_demo();
    cutleaf(folder.path()).args(["build", "kite-day.yaml"]).assert().success();
    let first = files(&folder.path().join("out/kite-day"));
    for name in
        ["record.json", "proof.html", "spread.svg", "spread.png", "guide.pdf", "print/strips.pdf"]
    {
        assert!(first.contains_key(name), "{name} is missing");
    }
    assert!(first.keys().any(|name| name.starts_with("cut/")));
    for starter in ["tide-pool", "beach-walk"] {
        let spec = format!("{starter}.yaml");
        cutleaf(folder.path()).args(["new", starter]).assert().success();
        for (out, threads) in [("one", "1"), ("eight", "8")] {
            cutleaf(folder.path())
                .args(["build", &spec, "--out", out])
                .env("RAYON_NUM_THREADS", threads)
                .assert()
                .success();
        }
        let built = |out: &str| files(&folder.path().join(out).join(starter));
        assert!(built("one") == built("eight"), "{starter} differs");
    }
    for threads in ["1", "2", "8"] {
        let out = format!("threads-{threads}");
        cutleaf(folder.path())
            .args(["build", "kite-day.yaml", "--out", &out])
            .env("RAYON_NUM_THREADS", threads)
            .assert()
            .success();
        assert!(
            files(&folder.path().join(out).join("kite-day")) == first,
            "{threads} threads differ"
        );
    }
    assert_eq!(fs::read_dir(folder.path().join("out")).expect("a folder").count(), 1);
}

#[test]
fn a_failed_build_leaves_what_stood_there() {
    let folder = with_demo();
    let spec = folder.path().join("kite-day.yaml");
    cutleaf(folder.path()).args(["build", "kite-day.yaml"]).assert().success();
    let before = files(&folder.path().join("out/kite-day"));
    let text = fs::read_to_string(&spec).expect("a spec").replace("1/4 page x 12", "1/4 page x 13");
    fs::write(&spec, text).expect("written");
    let message = told(cutleaf(folder.path()).args(["build", "kite-day.yaml"]), 3);
    assert!(message.contains("fits no sheet of harbour"), "{message}");
    assert!(files(&folder.path().join("out/kite-day")) == before);
}

#[test]
fn a_folder_of_something_else_is_left_alone() {
    let folder = with_demo();
    let other = folder.path().join("out/kite-day");
    fs::create_dir_all(&other).expect("made");
    fs::write(other.join("letter.txt"), "mine").expect("written");
    let message = told(cutleaf(folder.path()).args(["build", "kite-day.yaml"]), 1);
    assert!(message.contains("is no spread's folder"), "{message}");
    assert_eq!(fs::read_to_string(other.join("letter.txt")).expect("still there"), "mine");
}

#[test]
fn redo_cuts_only_what_is_asked_from_what_is_left() {
    let folder = with_demo();
    cutleaf(folder.path()).args(["build", "kite-day.yaml"]).assert().success();
    let spread = folder.path().join("out/kite-day");
    let first = record(&spread);
    let redo = |what: &[&str]| {
        let mut arguments = vec!["redo", "out/kite-day"];
        arguments.extend(what);
        cutleaf(folder.path()).args(arguments).assert().success();
    };
    redo(&["--piece", "title.tight.g"]);
    let one = record(&spread.join("redo-1"));
    assert_eq!(one["pieces"].as_array().map(Vec::len), Some(1));
    assert_eq!(one["pieces"][0]["path"], piece(&first, "title.tight.g")["path"]);
    let from = one["sheets"][0]["from"].as_str().expect("a source");
    assert!(from.contains("offcut"), "a new sheet is used though offcuts are left");
    // A sheet again: the same pieces, and the offcut that the first redo used is gone.
    redo(&["--sheet", "marigold-1", "--piece", "journaling.2"]);
    let two = record(&spread.join("redo-2"));
    let names = |record: &Value, sheet: &str| -> Vec<String> {
        let sheets = record["sheets"].as_array().expect("sheets").iter();
        let mut names: Vec<String> = sheets
            .filter(|one| one["id"].as_str().is_some_and(|id| id.starts_with(sheet)))
            .flat_map(|one| one["placed"].as_array().expect("placed").clone())
            .map(|placed| placed["piece"].as_str().expect("an id").to_owned())
            .collect();
        names.sort();
        names
    };
    assert_eq!(names(&two, "marigold"), names(&first, "marigold-1"));
    assert_eq!(names(&two, "chalk"), ["journaling.2"]);
    assert!(two["sheets"].as_array().expect("sheets").iter().all(|sheet| sheet["from"] != from));
    assert!(spread.join("redo-2/print/strips.pdf").is_file());
    let message =
        told(cutleaf(folder.path()).args(["redo", "out/kite-day", "--piece", "left.skyy"]), 1);
    assert!(message.contains("did you mean `left.sky`?"), "{message}");
    // Bases take whole sheets, and one is left.
    redo(&["--piece", "left.base"]);
    let mut short = cutleaf(folder.path());
    short.args(["redo", "out/kite-day", "--piece", "left.base"]);
    assert!(
        told(
            cutleaf(folder.path()).args([
                "redo",
                "out/kite-day",
                "--piece",
                "left.base",
                "--strict"
            ]),
            3
        )
        .contains("not enough chalk")
    );
    assert!(!spread.join("redo-4").exists());
    let message = told(&mut short, 3);
    assert!(
        message.contains("Short of paper") && message.contains("1 sheet of 12 x 12 in"),
        "{message}"
    );
    let four = record(&spread.join("redo-4"));
    assert_eq!(four["sheets"][0]["to_buy"], true);
    // What was to be bought is taken to be bought and used: another base needs another sheet.
    redo_short(&folder, "left.base");
    assert_eq!(record(&spread.join("redo-5"))["totals"]["buy"], 1);
}

fn redo_short(folder: &TempDir, piece: &str) {
    cutleaf(folder.path()).args(["redo", "out/kite-day", "--piece", piece]).assert().code(3);
}

fn piece<'a>(record: &'a Value, id: &str) -> &'a Value {
    let pieces = record["pieces"].as_array().expect("pieces");
    pieces.iter().find(|piece| piece["id"] == id).expect("the piece")
}

#[test]
fn the_schema_knows_every_element() {
    let folder = tempfile::tempdir().expect("a folder");
    let schema = told(cutleaf(folder.path()).arg("schema"), 0);
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    let text = schema.to_string();
    for word in [
        "panel",
        "strip",
        "photo",
        "bank",
        "circle",
        "ellipse",
        "rectangle",
        "tag",
        "banner",
        "ring",
        "polygon",
        "star",
        "heart",
        "scallop",
        "frame",
        "shape",
        "right of",
        "machine margin",
        "stagger",
        "backing",
    ] {
        assert!(text.contains(&format!("\"{word}\"")), "the schema lacks {word}");
    }
}

/// An editor can only complete and refuse what the schema says: choices are listed with what they mean, and
/// what is read from a text has its pattern, both with the key's own description.
#[test]
fn the_schema_offers_choices_and_patterns() {
    let folder = tempfile::tempdir().expect("a folder");
    let schema = told(cutleaf(folder.path()).arg("schema"), 0);
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    let choices = [
        ("Spec", "units", "mm"),
        ("PaperSpec", "turn", "half"),
        ("PhotoSpec", "facing", "left"),
        ("CuttingSpec", "effort", "long"),
        ("GuttingSpec", "when", "saves-a-sheet"),
        ("MarksSpec", "on", "every sheet"),
        ("Panel", "tool", "trimmer"),
        ("Panel", "torn", "bottom"),
        ("Panel", "cut turn", "any"),
        ("Strip", "across", "spread"),
        ("Bank", "run", "grid"),
        ("Banner", "left", "dovetail"),
        ("StitchSpec", "as", "holes"),
        ("Where", "align", "end"),
        ("TitleSpec", "joined", "auto"),
        ("BackingSpec", "placement", "pen"),
        ("JournalingSpec", "page", "single"),
        ("Shape", "processes", "perforate"),
    ];
    for (of, key, word) in choices {
        let said = said_of(&schema, of, key);
        let offered =
            |value: &Value| value["enum"].as_array().is_some_and(|all| all.contains(&word.into()));
        let offer = said.iter().find(|value| offered(value));
        let offer = offer.unwrap_or_else(|| panic!("{of}: {key} doesn't offer {word}: {said:?}"));
        assert!(offer["enumDescriptions"][0].is_string(), "{of}: {key}: {offer}");
    }
    let patterns = [
        ("Spec", "page"),
        ("PaperSpec", "color"),
        ("PaperSpec", "thinnest"),
        ("PaperSpec", "sheets"),
        ("CuttingSpec", "kerf"),
        ("Panel", "size"),
        ("Strip", "width"),
        ("Where", "left"),
        ("MatSpec", "reveal"),
        ("TitleSpec", "lift"),
        ("PrinterSpec", "scale"),
        ("RuleSpec", "ink"),
    ];
    for (of, key) in patterns {
        let said = said_of(&schema, of, key);
        let whole =
            |value: &&Value| value["pattern"].is_string() && value["examples"][0].is_string();
        assert!(said.iter().any(whole), "{of}: {key}: {said:?}");
    }
}

/// All that a schema says of a key's value.
fn said_of<'a>(schema: &'a Value, of: &str, key: &str) -> Vec<&'a Value> {
    let holder = if of == "Spec" { schema } else { &schema["$defs"][of] };
    let property = &holder["properties"][key];
    assert!(property["description"].is_string(), "{of}: {key}: {property}");
    let (mut open, mut said) = (vec![property], Vec::new());
    while let Some(value) = open.pop() {
        if let Some(name) = value["$ref"].as_str().and_then(|name| name.strip_prefix("#/$defs/")) {
            open.push(&schema["$defs"][name]);
        }
        open.extend(value["anyOf"].as_array().into_iter().flatten());
        let parts = ["items", "additionalProperties", "propertyNames"].map(|part| value.get(part));
        open.extend(parts.into_iter().flatten());
        said.push(value);
    }
    said
}

/// `docs/spec.md` is what the types say today, and every type has its place in it.
#[test]
fn the_manual_is_made_from_the_types() {
    let folder = tempfile::tempdir().expect("a folder");
    let manual = told(cutleaf(folder.path()).args(["schema", "--markdown"]), 0);
    let renew = "run `cutleaf schema --markdown > docs/spec.md`";
    assert!(manual == include_str!("../docs/spec.md"), "docs/spec.md is behind: {renew}");
    let template = include_str!("../src/description/manual/template.md");
    let schema = cutleaf::description::schema();
    let elements = schema["$defs"]["Element"].to_string();
    for (name, kind) in schema["$defs"].as_object().expect("types") {
        let has_keys = !kind["properties"].is_null();
        let is_element = elements.contains(&format!("/{name}\""));
        // One length, or one for each side: the text tells it.
        let is_told = template.contains(&format!("{{keys {name}}}")) || name == "FourSides";
        assert!(!has_keys || is_element || is_told, "the keys of {name} have no table");
        for key in kind["properties"].as_object().into_iter().flatten() {
            assert!(manual.contains(&format!("`{}`", key.0)), "{name} has no row for {}", key.0);
        }
    }
}

#[test]
fn misuse_and_help() {
    let folder = tempfile::tempdir().expect("a folder");
    told(cutleaf(folder.path()).arg("build"), 2);
    told(cutleaf(folder.path()).arg("redo"), 2);
    assert!(told(cutleaf(folder.path()).args(["check", "gone.yaml"]), 1).contains("can't be read"));
    for command in ["new", "check", "build", "redo", "fonts", "schema"] {
        let help = told(cutleaf(folder.path()).args([command, "--help"]), 0);
        assert!(help.contains("Example"), "{command} --help has no example");
    }
    let fonts = told(cutleaf(folder.path()).args(["fonts", "display", "--json"]), 0);
    let fonts: Value = serde_json::from_str(&fonts).expect("JSON");
    assert_eq!(fonts[0]["family"], "display");
}

#[test]
fn names_on_the_command_line_are_shown_never_obeyed() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases: [&[&str]; 5] = [
        &["check", "--sky\u{1b}[2J\u{202e}"],
        &["sky\u{1b}[2J\u{202e}"],
        &["check", "kite.yaml", "sky\u{1b}[2J\u{202e}"],
        &["build", "kite.yaml", "--effort", "sky\u{1b}[2J\u{202e}"],
        &["redo", "out/kite-day", "--pieces=sky\u{1b}[2J\u{202e}", "--piece"],
    ];
    for arguments in cases {
        let told = told(cutleaf(folder.path()).args(arguments), 2);
        assert!(!told.contains(['\u{1b}', '\u{202e}']), "{arguments:?}: {told:?}");
    }
    let told = told(cutleaf(folder.path()).args(cases[1]), 2);
    assert!(told.contains("sky\\u{1b}[2J\\u{202e}"), "{told}");
}

#[cfg(unix)]
#[test]
fn an_interrupted_search_keeps_the_best_so_far_and_says_so() {
    use std::process::{Command as Process, Stdio};
    let folder = with_demo();
    let program = assert_cmd::cargo::cargo_bin("cutleaf");
    let mut building = Process::new(program)
        .current_dir(folder.path())
        .args(["build", "kite-day.yaml", "--effort", "long"])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    // Long effort takes far longer than this, so the signal falls into the search.
    std::thread::sleep(std::time::Duration::from_secs(2));
    let sent = Process::new("kill").args(["-INT", &building.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
    assert!(building.wait().expect("it ends").success());
    let mut told = String::new();
    let stderr = building.stderr.as_mut().expect("piped");
    std::io::Read::read_to_string(stderr, &mut told).expect("text");
    assert!(told.contains("keeping the best found so far"), "{told}");
    let record = record(&folder.path().join("out/kite-day"));
    let notes: Vec<&str> = record["papers"]
        .as_array()
        .expect("papers")
        .iter()
        .flat_map(|paper| paper["notes"].as_array().expect("notes"))
        .filter_map(Value::as_str)
        .collect();
    let stopped = notes.iter().any(|note| note.starts_with("the search was stopped early"));
    assert!(stopped, "{notes:?}");
    assert_eq!(record["pieces"].as_array().map(Vec::len), Some(35));
}
