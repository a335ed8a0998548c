//! Fonts that can't be cut: colour or bitmaps only, tables cut short, no font at all. Each is told with
//! its place in the spec.

use std::fs;

use crate::support::font_tables::{Table, changed, font, tables, without};
use assert_cmd::Command;

/// Version 0 of `COLR` and `CPAL`: glyph 2, the H, is one layer of glyph 4 in the one colour there is.
fn colour() -> [Table; 2] {
    let words =
        |words: &[u16]| words.iter().flat_map(|word| word.to_be_bytes()).collect::<Vec<_>>();
    let layers = words(&[0, 1, 0, 14, 0, 20, 1, 2, 0, 1, 4, 0]);
    let mut palette = words(&[0, 1, 1, 1, 0, 14, 0]);
    palette.extend([0x4b, 0x62, 0xd9, 0xff]);
    [(*b"COLR", layers), (*b"CPAL", palette)]
}

/// What `cutleaf check` says of a title in a font with these bytes; it has to fail, on the title's line.
fn told(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("mine.ttf"), bytes).expect("written");
    let spec = "name: a\npapers: {chalk: {color: '#ffffff', sheets: {12 x 12: 1}}}\nsingle: {}\ntitle:\n  - {words: HIO, font: mine.ttf, paper: chalk, height: 1}\n";
    fs::write(folder.path().join("a.yaml"), spec).expect("written");
    let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
    command.current_dir(folder.path()).env("NO_COLOR", "1").args(["check", "a.yaml"]);
    let done = command.assert().code(1);
    let said = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(said.contains("a.yaml:5:"), "{said}");
    // The message may be broken over lines.
    said.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ")
}

const SHAPES: [&[u8; 4]; 4] = [b"glyf", b"loca", b"gvar", b"fvar"];

#[test]
fn the_sample_put_together_again_is_sound() {
    assert!(cutleaf::lettering::fonts::Font::read(font(tables()), "whole.ttf", None).is_ok());
}

#[test]
fn colours_alone_can_t_be_cut() {
    let only = without(&SHAPES).into_iter().chain(colour()).collect();
    let said = told(&font(only));
    assert!(said.contains("`mine.ttf` has no outlines to cut"), "{said}");
    assert!(said.contains("use an outline font"), "{said}");
}

/// An H that is nothing but layers, in a font whose other letters have outlines.
#[test]
fn a_letter_of_colour_layers_is_named() {
    let layered = without(&[b"gvar", b"fvar"]).into_iter().chain(colour()).collect();
    let empty = |loca: &mut Vec<u8>| loca.copy_within(4..6, 6);
    let said = told(&font(changed(layered, *b"loca", empty)));
    assert!(said.contains("Sample Variable has no outline for `H`"), "{said}");
    assert!(said.contains("colour layers"), "{said}");
}

/// `CBDT`, `CBLC` (their headers alone) in place of outlines.
#[test]
fn bitmaps_alone_can_t_be_cut() {
    let header = |rest: &[u8]| [&[0, 3, 0, 0], rest].concat();
    let bitmaps = [(*b"CBDT", header(&[])), (*b"CBLC", header(&[0; 4]))];
    let said = told(&font(without(&SHAPES).into_iter().chain(bitmaps).collect()));
    assert!(said.contains("`mine.ttf` has no outlines to cut"), "{said}");
}

#[test]
fn tables_cut_short_are_told() {
    let half = |data: &mut Vec<u8>| data.truncate(data.len() / 2);
    let none = Vec::clear;
    let short = |tag: &[u8; 4], change: &dyn Fn(&mut Vec<u8>)| {
        told(&font(changed(without(&[b"gvar", b"fvar"]), *tag, change)))
    };
    for tag in [b"glyf", b"loca"] {
        let said = short(tag, &none);
        assert!(said.contains("`mine.ttf` has no outlines to cut"), "{said}");
        let said = short(tag, &half);
        assert!(said.contains("has no outline for"), "{said}");
    }
    let said = short(b"cmap", &none);
    assert!(said.contains("has no `H` (U+0048)") || said.contains("is not a font"), "{said}");
    let said = short(b"maxp", &none);
    assert!(said.contains("`mine.ttf`"), "{said}");
    // The file itself cut off at every table, and within each.
    let whole = font(without(&[b"gvar", b"fvar"]));
    for length in (0..whole.len()).step_by(97) {
        if let Ok(font) =
            cutleaf::lettering::fonts::Font::read(whole[..length].to_vec(), "cut.ttf", None)
        {
            let style = cutleaf::lettering::words::WordStyle::default();
            let _ = cutleaf::lettering::words::set_word(&font, "HIO", &style);
        }
    }
}

#[test]
fn no_font_at_all_is_told() {
    for bytes in [&b""[..], b"no font at all", &[0; 400], b"%PDF-1.7\n", b"\x89PNG\r\n\x1a\n"] {
        let said = told(bytes);
        assert!(said.contains("`mine.ttf` is not a font"), "{said}");
        assert!(said.contains("use a .ttf or .otf file"), "{said}");
    }
}
