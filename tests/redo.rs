//! Redo: what is named, from which paper, one after the other; what of a spec has changed since.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::process::Command;

use proptest::prelude::*;
use tempfile::TempDir;

use crate::support::folders::files;
use crate::support::spreads::{layout_of, record_of};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{OffcutId, SheetId};
use cutleaf::plan::{self, Chain, Redo, redo_layout, select};
use cutleaf::record::Record;

/// A spread with a title in which letters come twice, strips, and a panel.
const POND: &str = "name: Pond
papers:
  reed: {color: '#2b5673', sheets: {12 x 12: 3}}
  chalk: {color: '#f4f1ea', sheets: {8.5 x 11: 3}}
cutting: {effort: quick}
single:
  base: reed
  pieces:
    - panel: {id: bank, paper: reed, size: 4 x 5, at: {left: 1, top: 6}}
    - circle: {id: sun, paper: chalk, diameter: 2, at: {left: 8, top: 1}}
title:
  - {words: pool, height: 3/4, paper: chalk, at: {left: 6, top: 4}}
journaling:
  paper: chalk
  at: {left: 6, top: 6}
  strip: {height: 5/16, widest: 3 1/4}
  size: 9 pt
  text: >
    The heron came down at the far side of the pond and stood.
    We stood too, as long as we could, and then the wind turned.
";

fn folder_with(text: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("pond.yaml"), text).expect("written");
    told(folder.path(), &["build", "pond.yaml"], 0);
    folder
}

/// What a command said, once it has left with `code`.
fn told(folder: &Path, arguments: &[&str], code: i32) -> String {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
    let output = command.current_dir(folder).env("NO_COLOR", "1").args(arguments).output();
    let output = output.expect("it runs");
    let text = [&output.stderr[..], &output.stdout[..]].concat();
    let text = String::from_utf8_lossy(&text).replace("\n  │", "").replace("\n        ", " ");
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {text}");
    text
}

fn record_in(folder: &Path) -> Record {
    let text = fs::read_to_string(folder.join("record.json")).expect("a record");
    serde_json::from_str(&text).expect("JSON")
}

#[test]
fn words_name_pieces_groups_letters_and_strips() {
    let record = record_of(POND).expect("enough paper");
    let ids: Vec<&str> = record.pieces.iter().map(|piece| piece.id.as_str()).collect();
    let of = |end: &str| ids.iter().find(|id| id.ends_with(end)).map(|id| (*id).to_owned());
    let first_o = of(".o").expect("a letter");
    let second_o = of(".o-2").expect("the same letter again");
    let word = first_o.trim_end_matches(".o").to_owned();
    let letters = ids.iter().filter(|id| id.starts_with(&format!("{word}."))).count();
    assert!(record.strips.len() >= 3, "{} strips", record.strips.len());
    let chain = Chain::of(record);
    let words = |text: &str| select(&chain, &[text.to_owned()]);
    let cases: [(&str, Vec<String>); 7] = [
        ("journaling:1,3", vec!["journaling.1".to_owned(), "journaling.3".to_owned()]),
        ("single.bank", vec!["single.bank".to_owned()]),
        (&format!("{word}.o:1"), vec![first_o.clone()]),
        (&format!("{word}.o:2"), vec![second_o.clone()]),
        (&format!("{word}.o:all"), vec![first_o, second_o]),
        ("1,3", vec!["journaling.1".to_owned(), "journaling.3".to_owned()]),
        ("journaling.2-3", vec!["journaling.2".to_owned(), "journaling.3".to_owned()]),
    ];
    for (text, expected) in cases {
        assert_eq!(words(text).unwrap_or_else(|problem| panic!("{text}: {problem:?}")), expected);
    }
    assert_eq!(words(&word).expect("a word").len(), letters);
    assert_eq!(words("single").expect("a page").len(), 3);
    // One id, however often it is named.
    let twice = ["single.bank", "single"].map(str::to_owned);
    assert_eq!(select(&chain, &twice).expect("both").len(), 3);
    for (text, says) in [
        ("single.bnak", "did you mean `single.bank`"),
        ("bank", "did you mean `single.bank`"),
        ("99", "there is no `journaling` number 99"),
        ("3-1", "there is no `journaling` number 3-1"),
        (&format!("{word}.o:3"), "number `3`"),
        ("single.bank:2", "number `2`"),
        ("", "no piece ``"),
        ("0", "number 0"),
        (".", "no piece `.`"),
    ] {
        let problem = words(text).expect_err(text);
        let told = format!("{}; {}", problem.message, problem.help);
        assert!(told.contains(says), "{text}: {told}");
    }
}

#[test]
fn the_spec_the_build_and_any_redo_name_the_same_chain() {
    let folder = folder_with(POND);
    let path = folder.path();
    told(path, &["redo", "pond.yaml", "--piece", "bank"], 1);
    told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 0);
    let mut made = Vec::new();
    for name in ["pond.yaml", "out/pond", "out/pond/redo-1"] {
        told(path, &["redo", name, "--piece", "single.bank"], 0);
        made.push(files(&path.join("out/pond/redo-2")));
        told(path, &["redo", name, "--undo"], 0);
    }
    assert!(made.windows(2).all(|pair| pair[0] == pair[1]), "the name makes a difference");
    let first = record_in(&path.join("out/pond/redo-1"));
    assert_eq!(first.follows, Some(record_in(&path.join("out/pond")).paper_digest()));
    // A spec that was never built, and one whose builds are elsewhere.
    fs::write(path.join("other.yaml"), POND).expect("written");
    let message = told(path, &["redo", "other.yaml", "--piece", "single.bank"], 1);
    assert!(message.contains("has no build in `out`") && message.contains("--out"), "{message}");
    fs::rename(path.join("out"), path.join("albums")).expect("moved");
    told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 1);
    told(path, &["redo", "pond.yaml", "--out", "albums", "--piece", "single.bank"], 0);
}

#[test]
fn a_link_that_is_missing_or_damaged_is_named() {
    let folder = folder_with(POND);
    let (path, run) = (folder.path(), folder.path().join("out/pond"));
    for _ in 0..2 {
        told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 0);
    }
    let again = |says: &str| {
        let message = told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 1);
        assert!(message.contains(says), "{says}: {message}");
    };
    let record = run.join("redo-1/record.json");
    let sound = fs::read_to_string(&record).expect("a record");
    fs::write(&record, &sound[..sound.len() / 2]).expect("written");
    again("redo-1/record.json` can't be read as a record");
    let mut changed: Record = serde_json::from_str(&sound).expect("JSON");
    changed.papers[0].left[0].count += 1;
    fs::write(&record, serde_json::to_string(&changed).expect("JSON")).expect("written");
    again("`redo-2` doesn't follow redo-1");
    fs::write(&record, &sound).expect("written");
    fs::rename(run.join("redo-1"), path.join("elsewhere")).expect("moved");
    again("redo-1` is missing");
    fs::rename(path.join("elsewhere"), run.join("redo-1")).expect("moved back");
    told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 0);
}

#[test]
fn a_damaged_build_is_named_where_the_spec_is_named() {
    let folder = folder_with(POND);
    let path = folder.path();
    let record = path.join("out/pond/record.json");
    let sound = fs::read_to_string(&record).expect("a record");
    fs::write(&record, &sound[..sound.len() / 2]).expect("written");
    for command in [&["redo", "pond.yaml", "--piece", "single.bank"][..], &["cut", "pond.yaml"]] {
        let message = told(path, command, 1);
        assert!(message.contains("out/pond/record.json` can't be read as a record"), "{message}");
    }
    fs::remove_dir_all(path.join("out/pond")).expect("removed");
    let message = told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 1);
    assert!(message.contains("has no build in `out`"), "{message}");
}

#[test]
fn the_last_redo_is_taken_back_whole_or_not_at_all() {
    let folder = folder_with(POND);
    let (path, run) = (folder.path(), folder.path().join("out/pond"));
    let built = files(&run);
    told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 0);
    let with_one = files(&run);
    told(path, &["redo", "pond.yaml", "--piece", "single.sun"], 0);
    fs::write(run.join("redo-2/note.txt"), "the second try").expect("written");
    let message = told(path, &["redo", "pond.yaml", "--undo"], 1);
    assert!(message.contains("note.txt` was not written by Cutleaf"), "{message}");
    assert!(run.join("redo-2/record.json").is_file() && run.join("redo-2/guide.pdf").is_file());
    fs::remove_file(run.join("redo-2/note.txt")).expect("removed");
    told(path, &["redo", "pond.yaml", "--undo"], 0);
    assert!(files(&run) == with_one);
    told(path, &["redo", "out/pond/redo-1", "--undo"], 0);
    assert!(files(&run) == built);
    assert!(told(path, &["redo", "pond.yaml", "--undo"], 1).contains("no redo to take back"));
    told(path, &["redo", "pond.yaml", "--undo", "--piece", "single.bank"], 2);
}

#[test]
fn a_try_shows_every_piece_and_writes_nothing() {
    let folder = folder_with(POND);
    let before = files(folder.path());
    let shown = told(
        folder.path(),
        &["redo", "pond.yaml", "--piece", "single", "--piece", "1-3", "--try"],
        0,
    );
    assert!(files(folder.path()) == before);
    // Each piece has its letter in the legend and in a picture of its sheet.
    let mut letters: BTreeMap<char, bool> = BTreeMap::new();
    let mut sheets = 0;
    for line in shown.lines() {
        if line.starts_with('┌') {
            sheets += 1;
            letters.clear();
        }
        if let Some(row) = line.strip_prefix('│') {
            row.chars().filter(char::is_ascii_alphabetic).for_each(|letter| {
                letters.insert(letter, true);
            });
        }
        let legend = line.strip_prefix("  ").and_then(|line| line.split_once("  "));
        if let Some((letter, piece)) = legend
            && (piece.starts_with("single.") || piece.starts_with("journaling."))
        {
            let letter = letter.chars().next().expect("a letter");
            assert!(letters.contains_key(&letter), "{piece} is not seen: {shown}");
        }
    }
    assert!(sheets >= 2, "{shown}");
    assert!(shown.contains("Nothing was written"), "{shown}");
}

#[test]
fn what_has_changed_in_the_spec_is_listed_and_only_that_is_cut() {
    let folder = folder_with(POND);
    let path = folder.path();
    let list = |says: &[&str]| {
        let message = told(path, &["redo", "pond.yaml"], 0);
        for one in says {
            assert!(message.contains(one), "{one}: {message}");
        }
        message
    };
    list(&["Nothing has changed since the build"]);
    let message = told(path, &["redo", "pond.yaml", "--changed"], 1);
    assert!(message.contains("nothing that has not been cut"), "{message}");
    // The panel grows, the circle moves, a tag is new, two words of the story are others.
    let now = POND
        .replace("size: 4 x 5", "size: 4 x 5 1/2")
        .replace("diameter: 2, at: {left: 8", "diameter: 2, at: {left: 9")
        .replace(
            "title:\n",
            "    - panel: {id: sign, paper: chalk, size: 1 x 2, at: {left: 6, top: 8}}\ntitle:\n",
        )
        .replace("then the wind turned", "then it rained");
    fs::write(path.join("pond.yaml"), &now).expect("written");
    let message = list(&[
        "changed  single.bank: was 4 x 5 in of reed, is 4 x 5 1/2 in of reed",
        "moved    single.sun",
        "new      single.sign",
        "changed  journaling.",
        "`--changed` cuts",
    ]);
    assert!(!message.contains("single.base") && !message.contains("journaling.1"), "{message}");
    // What is named is cut as it was built, and that is said.
    let said = told(path, &["redo", "pond.yaml", "--piece", "single.bank", "--try"], 0);
    assert!(said.contains("The spec has changed since for journaling.3, single.bank"), "{said}");
    assert!(said.contains("single.bank, 4 x 5 in"), "{said}");
    told(path, &["redo", "pond.yaml", "--changed"], 0);
    let redo = record_in(&path.join("out/pond/redo-1"));
    let cut: BTreeSet<&str> = redo.pieces.iter().map(|piece| piece.id.as_str()).collect();
    assert!(cut.contains("single.bank") && cut.contains("single.sign"), "{cut:?}");
    assert!(!cut.contains("single.sun") && !cut.contains("single.base"), "{cut:?}");
    let bank = redo.pieces.iter().find(|piece| piece.id == "single.bank").expect("the panel");
    assert_eq!(bank.size, [4.0, 5.5]);
    // Now it is built as it reads, and a redo cuts the panel as it is now.
    list(&["Nothing has to be cut for that", "moved    single.sun"]);
    told(path, &["redo", "pond.yaml", "--piece", "single.bank"], 0);
    let again = record_in(&path.join("out/pond/redo-2"));
    assert_eq!(again.pieces[0].size, [4.0, 5.5]);
    fs::write(path.join("pond.yaml"), now.replace("circle: {id: sun", "circle: {id: moon"))
        .expect("written");
    list(&["gone     single.sun", "new      single.moon"]);
}

/// A sheet that the spec has got since the build is on hand for a redo, and counted once.
#[test]
fn paper_bought_since_the_build_counts_once() {
    let tight = POND.replace(
        "reed: {color: '#2b5673', sheets: {12 x 12: 3}}",
        "reed: {color: '#2b5673', sheets: {12 x 12: 2}}",
    );
    let folder = folder_with(&tight);
    let path = folder.path();
    told(path, &["redo", "pond.yaml", "--piece", "single.base"], 3);
    told(path, &["redo", "pond.yaml", "--undo"], 0);
    let more = tight.replace("12 x 12: 2", "12 x 12: 3");
    fs::write(path.join("pond.yaml"), more).expect("written");
    told(path, &["redo", "pond.yaml", "--piece", "single.base"], 0);
    // It is spent now.
    told(path, &["redo", "pond.yaml", "--piece", "single.base"], 3);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// Redo after redo: no paper is spent twice, nothing that was cut is touched, and what is spoiled is no
    /// paper any more.
    #[test]
    fn no_redo_spends_paper_twice(picks in prop::collection::vec((0_usize..9, any::<bool>()), 1..5)) {
        let build = record_of(POND).expect("enough paper");
        let mut chain = Chain::of(build.clone());
        let mut spoiled: BTreeSet<OffcutId> = BTreeSet::new();
        let mut sheets = build.sheets.clone();
        for (pick, whole_sheet) in picks {
            let wanted = if whole_sheet {
                Redo::Sheet(sheets[pick % sheets.len()].id.clone())
            } else {
                Redo::Piece(build.pieces[pick % build.pieces.len()].id.clone())
            };
            let layout = redo_layout(&chain, std::slice::from_ref(&wanted), &FontBook::default()).expect("a redo");
            let redo = plan::record(&layout).expect("paper can be bought");
            if let Redo::Sheet(id) = &wanted {
                let sheet = sheets.iter().find(|sheet| sheet.id == *id).expect("it was picked");
                spoiled.extend(sheet.offcuts.iter().map(|offcut| offcut.id.clone()));
            }
            for sheet in &redo.sheets {
                prop_assert!(sheet.from.as_ref().is_none_or(|from| !spoiled.contains(from.as_str())), "{} comes from spoiled paper", sheet.id);
                prop_assert!(sheets.iter().all(|known| known.id != sheet.id), "{} twice", sheet.id);
                for placed in &sheet.placed {
                    for [x, y] in placed.rings.iter().flatten() {
                        prop_assert!(*x > -1e-6 && *x < sheet.size[0] + 1e-6, "{} leaves its sheet", placed.piece);
                        prop_assert!(*y > -1e-6 && *y < sheet.size[1] + 1e-6, "{} leaves its sheet", placed.piece);
                    }
                }
            }
            sheets.extend(redo.sheets.iter().cloned());
            // An offcut is used once, and has just the size that it was left with.
            let mut used: BTreeMap<&str, usize> = BTreeMap::new();
            for (sheet, from) in sheets.iter().filter_map(|sheet| Some((sheet, sheet.from.as_deref()?))) {
                if !from.contains("-offcut-") {
                    continue;
                }
                *used.entry(from).or_default() += 1;
                let offcuts = sheets.iter().flat_map(|sheet| &sheet.offcuts);
                let left = offcuts.clone().find(|offcut| offcut.id == from);
                prop_assert_eq!(left.map(|left| left.size), Some(sheet.size));
            }
            prop_assert!(used.values().all(|times| *times == 1), "{:?}", used);
            let new = |sheets: &[cutleaf::record::Sheet]| {
                sheets.iter().filter(|sheet| sheet.from.is_none() && !sheet.to_buy).count()
            };
            prop_assert!(new(&sheets) <= 6, "more sheets than there were");
            chain = chain.then(redo).expect("it follows");
        }
    }
}

/// What has changed by the library: the same spread has no changes, whatever was redone since.
#[test]
fn a_spread_that_is_the_same_has_no_changes() {
    let layout = layout_of(POND).expect("a layout");
    let mut chain = Chain::of(plan::record(&layout).expect("enough paper"));
    assert_eq!(plan::changes(&chain, &layout).expect("read"), plan::Changes::default());
    let wanted = [Redo::Piece("journaling.2".into()), Redo::Piece("single.sun".into())];
    let redo = redo_layout(&chain, &wanted, &FontBook::default()).expect("a redo");
    chain = chain.then(plan::record(&redo).expect("enough paper")).expect("it follows");
    assert_eq!(plan::changes(&chain, &layout).expect("read"), plan::Changes::default());
}

/// A sheet again is the same sheet: its cut file is byte for byte the same but for its name.
#[test]
fn a_sheet_that_is_cut_again_is_cut_as_it_was() {
    let folder = folder_with(POND);
    let (path, run) = (folder.path(), folder.path().join("out/pond"));
    let build = record_in(&run);
    let ids: Vec<SheetId> = build.sheets.iter().map(|sheet| sheet.id.clone()).collect();
    for id in &ids {
        told(path, &["redo", "pond.yaml", "--sheet", id], 0);
        let redo = record_in(&run.join("redo-1"));
        let was = build.sheets.iter().find(|sheet| sheet.id == *id).expect("a sheet");
        if was.printed.is_none() {
            let [again] = redo.sheets.as_slice() else { panic!("{id}: {:?}", redo.sheets) };
            let placed = |sheet: &cutleaf::record::Sheet| {
                let placed = sheet.placed.iter();
                placed.map(|one| (one.piece.clone(), one.at, one.turn)).collect::<Vec<_>>()
            };
            assert_eq!(placed(again), placed(was), "{id}");
            assert_eq!((again.size, again.cuts.len()), (was.size, was.cuts.len()), "{id}");
            assert_eq!(again.strokes, was.strokes, "{id}");
            let cut = |folder: &Path, id: &str| {
                fs::read_to_string(folder.join(format!("cut/{id}.svg"))).ok()
            };
            let (before, after) = (cut(&run, id), cut(&run.join("redo-1"), &again.id));
            assert_eq!(before.map(|text| text.replace(id.as_str(), &again.id)), after, "{id}");
        }
        told(path, &["redo", "pond.yaml", "--undo"], 0);
    }
}
