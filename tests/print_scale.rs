//! The printer's factor: measured, stored, and taken back out of the pages that follow.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use cutleaf::model::printer::Scale;
use proptest::prelude::*;
use serde_json::Value;
use tempfile::TempDir;

fn cutleaf(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder).env("NO_COLOR", "1").env("CUTLEAF_SETTINGS", folder.join("own"));
    command
}

fn said(folder: &Path, arguments: &[&str]) -> String {
    let output = cutleaf(folder).args(arguments).assert().success();
    String::from_utf8_lossy(&output.get_output().stdout).into_owned()
}

fn refused(folder: &Path, arguments: &[&str]) -> String {
    let output = cutleaf(folder).args(arguments).assert().code(1);
    String::from_utf8_lossy(&output.get_output().stderr).into_owned()
}

const SPREAD: &str = "name: Kites
papers: {chalk: {color: '#f4f1e8', sheets: {8.5 x 11: 3}}}
single: {}
journaling:
  text: Up it went.
  paper: chalk
  strip: {height: 5/16, widest: 3}
";

fn spread(more: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("kites.yaml"), format!("{SPREAD}{more}")).expect("written");
    folder
}

fn record(folder: &Path, run: &str) -> Value {
    let text = fs::read_to_string(folder.join("out").join(run).join("record.json"));
    serde_json::from_str(&text.expect("a record")).expect("sound")
}

#[test]
fn a_factor_is_stored_shown_used_and_removed() {
    let folder = spread("");
    let folder = folder.path();
    assert!(said(folder, &["print-scale"]).contains("No factor is stored"));
    said(folder, &["build", "kites.yaml"]);
    assert!(record(folder, "kites").get("print_scale").is_none());
    let plain = fs::read(folder.join("out/kites/print/strips.pdf")).expect("a file");

    assert!(said(folder, &["print-scale", "5.97", "x", "5.99"]).contains("5.97 in across"));
    assert!(said(folder, &["print-scale"]).contains("5.99 in down"));
    said(folder, &["build", "kites.yaml"]);
    let scale = &record(folder, "kites")["print_scale"];
    assert_eq!(scale["across"], 0.995);
    assert_eq!(scale["from"], "printer");
    assert_ne!(plain, fs::read(folder.join("out/kites/print/strips.pdf")).expect("a file"));

    said(folder, &["print-scale", "5.96"]);
    said(folder, &["redo", "out/kites", "--piece", "journaling.1"]);
    let scale = &record(folder, "kites/redo-1")["print_scale"];
    assert!((scale["down"].as_f64().expect("a number") - 5.96 / 6.0).abs() < 1e-8);

    for off in ["off", "6"] {
        said(folder, &["print-scale", "5.97"]);
        said(folder, &["print-scale", off]);
        assert!(said(folder, &["print-scale"]).contains("No factor is stored"), "{off}");
    }
    said(folder, &["build", "kites.yaml"]);
    assert_eq!(plain, fs::read(folder.join("out/kites/print/strips.pdf")).expect("a file"));
}

#[test]
fn the_spec_has_the_last_word() {
    let folder = spread("printer: {scale: 6.02}\n");
    let folder = folder.path();
    said(folder, &["print-scale", "5.97"]);
    said(folder, &["build", "kites.yaml"]);
    said(folder, &["redo", "out/kites", "--piece", "journaling.1"]);
    for run in ["kites", "kites/redo-1"] {
        let scale = &record(folder, run)["print_scale"];
        assert_eq!(scale["from"], "spec");
        assert!((scale["across"].as_f64().expect("a number") - 6.02 / 6.0).abs() < 1e-8);
    }
}

#[test]
fn what_no_ruler_measures_is_refused() {
    let folder = spread("");
    let folder = folder.path();
    for (measured, phrase) in [
        ("5.81", "off by more than 3 %"),
        ("6 x 6.19", "off by more than 3 %"),
        ("60", "off by more than 3 %"),
        ("-6", "off by more than 3 %"),
        ("0", "off by more than 3 %"),
        ("five", "not what a ruler measures"),
        ("5.9 x 5.9 x 5.9", "not what a ruler measures"),
        ("NaN", "not what a ruler measures"),
        ("1e400", "a ruler"),
    ] {
        let told = refused(folder, &["print-scale", measured]);
        assert!(told.contains(phrase), "{measured}: {told}");
    }
    fs::create_dir_all(folder.join("own")).expect("made");
    for broken in ["{}", "{\"across\": 9, \"down\": 1}", "\u{0}", "[[[["] {
        fs::write(folder.join("own/printer.json"), broken).expect("written");
        let told = refused(folder, &["build", "kites.yaml"]);
        assert!(told.contains("print-scale off"), "{broken}: {told}");
    }
    said(folder, &["print-scale", "off"]);
    said(folder, &["build", "kites.yaml"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What is measured is kept, whether in inches or millimetres.
    #[test]
    fn a_measure_is_read_as_it_is_meant(across in 5820_u32..=6180, down in 5820_u32..=6180) {
        let [across, down] = [across, down].map(|mils| f64::from(mils) / 1000.0);
        let scale = Scale::measured(&format!("{across} x {down}")).expect("sound");
        prop_assert!((scale.across - across / 6.0).abs() < 1e-8);
        prop_assert!((scale.down - down / 6.0).abs() < 1e-8);
        let millimetres = across * 25.0;
        let scale = Scale::measured(&format!("{millimetres:.3} mm")).expect("sound");
        prop_assert!((scale.down - across / 6.0).abs() < 1e-5);
        prop_assert!(scale.is_sound());
    }

    #[test]
    fn no_text_brings_it_down(text in "\\PC{0,24}") {
        let _ = Scale::measured(&text);
    }
}
