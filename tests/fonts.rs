//! The list of fonts: where they are looked for, how thin their strokes are, the sheet of samples.

use std::fs;
use std::path::Path;

use crate::support::font_tables::{changed, font, tables};
use assert_cmd::Command;
use cutleaf::lettering::fonts::{Font, FontBook};
use serde_json::Value;

fn cutleaf(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

fn sample() -> Vec<u8> {
    fs::read("tests/data/fonts/sample-variable.ttf").expect("it lies there")
}

/// `tests/data/fonts/make.py` draws its bars 60 units wide where capitals are 700 high.
#[test]
fn the_thinnest_stroke_is_measured_at_capitals_of_an_inch() {
    let font = Font::read(sample(), "sample-variable.ttf", None).expect("a font");
    let thinnest = font.thinnest_stroke().expect("it has letters");
    assert!((thinnest - 60.0 / 700.0).abs() < 2e-3, "{thinnest}");
    let book = FontBook::default();
    let stroke =
        |name: &str| book.find(name).expect("built in").thinnest_stroke().expect("it has letters");
    assert!(stroke("text") < stroke("text bold") && stroke("text bold") < stroke("display"));
}

#[test]
fn fonts_beside_the_spec_come_before_the_projects_and_both_before_the_systems() {
    let folder = tempfile::tempdir().expect("a folder");
    let (beside, project) = (folder.path().join("albums/fonts"), folder.path().join("fonts"));
    for place in [&beside, &project] {
        fs::create_dir_all(place).expect("made");
    }
    fs::write(project.join("one.ttf"), sample()).expect("written");
    let book = || FontBook::new(vec![beside.clone(), project.clone()]);
    assert_eq!(book().find("sample variable").expect("found").source, "one.ttf");
    fs::write(beside.join("two.ttf"), sample()).expect("written");
    assert_eq!(book().find("sample variable").expect("found").source, "two.ttf");
    // Named by its file, from the spec's folder.
    assert_eq!(book().find("fonts/two.ttf").expect("found").source, "two.ttf");
    let twice = FontBook::new(vec![beside.clone(), beside.join("../fonts")]);
    assert_eq!(twice.list("sample variable").len(), 1);
}

/// Files are told apart by their names alone: large ones that are no fonts, or other fonts, keep none from
/// being found.
#[test]
fn a_font_is_found_however_much_lies_before_it() {
    let folder = tempfile::tempdir().expect("a folder");
    for number in 1..=6 {
        let large = fs::File::create(folder.path().join(format!("a{number}.ttf"))).expect("made");
        large.set_len(60_000_000).expect("drawn out, without taking room");
    }
    fs::write(folder.path().join("z.ttf"), sample()).expect("written");
    let book = FontBook::new(vec![folder.path().to_owned()]);
    assert_eq!(book.find("Sample Variable").expect("found").source, "z.ttf");
    assert_eq!(book.list("sample variable").len(), 1);
}

/// A font whose names are sound and whose outlines are not is passed by, and never proposed.
#[test]
fn a_broken_font_is_neither_found_nor_proposed() {
    let folder = tempfile::tempdir().expect("a folder");
    let broken = font(changed(tables(), *b"glyf", |table| table.fill(0)));
    fs::write(folder.path().join("a.ttf"), broken).expect("written");
    let book = FontBook::new(vec![folder.path().to_owned()]);
    for name in ["Sample Variable", "Sample Varable"] {
        let error = book.find(name).expect_err("it is broken");
        assert!(!error.help.contains("Sample"), "{}", error.help);
    }
    fs::write(folder.path().join("b.ttf"), sample()).expect("written");
    let book = FontBook::new(vec![folder.path().to_owned()]);
    assert_eq!(book.find("Sample Variable").expect("found").source, "b.ttf");
    let error = book.find("Sample Varable").expect_err("no font");
    assert!(error.help.contains("`Sample Variable`"), "{}", error.help);
}

#[test]
fn a_sheet_of_samples_is_drawn_and_listed() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("fonts")).expect("made");
    fs::write(folder.path().join("fonts/sample.ttf"), sample()).expect("written");
    fs::write(folder.path().join("fonts/broken.ttf"), b"no font at all").expect("written");
    let done = cutleaf(folder.path())
        .args(["fonts", "sample var", "--sample", "sheet.svg", "--json"])
        .assert()
        .success();
    let rows: Value = serde_json::from_slice(&done.get_output().stdout).expect("JSON");
    assert_eq!(rows.as_array().expect("a list").len(), 1);
    assert_eq!(rows[0]["axes"][0]["tag"], "wght");
    assert_eq!(rows[0]["style"], "Regular");
    assert!(rows[0]["thinnest"].as_f64().is_some_and(|width| (0.08..0.09).contains(&width)));
    let sheet = fs::read_to_string(folder.path().join("sheet.svg")).expect("written");
    let document = roxmltree::Document::parse(&sheet).expect("XML");
    assert_eq!(document.root_element().attribute("width"), Some("8.5in"));
    assert!(document.descendants().all(|node| !node.has_tag_name("text")));
    assert!(document.descendants().filter(|node| node.has_tag_name("path")).count() > 10);
    let failed = cutleaf(folder.path()).args(["fonts", "no such family"]).assert().code(1);
    let said = String::from_utf8_lossy(&failed.get_output().stderr).into_owned();
    assert!(said.contains("there is no font `no such family`"), "{said}");
    let list = cutleaf(folder.path()).args(["fonts", "display"]).assert().success();
    let list = String::from_utf8_lossy(&list.get_output().stdout).into_owned();
    assert!(list.contains("thinnest") && list.contains("built in"), "{list}");
}
