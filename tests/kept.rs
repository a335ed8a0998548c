//! What is worked out once in a process is known the next time, by what it follows from and nothing else.

use crate::support::pictures;

use std::fs;
use std::path::Path;

use cutleaf::description;
use cutleaf::emit::SmallCopies;
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan;
use kurbo::Shape;
use tempfile::TempDir;

/// A folder with a drawing, a font and a photo.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("own")).expect("made");
    draw_tile(folder.path(), 2.0);
    take_font(folder.path(), "display");
    pictures::jpeg(folder.path(), "ridge.jpg", [900, 600], 1);
    folder
}

fn draw_tile(folder: &Path, side: f64) {
    let drawing = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{side}in" height="{side}in" viewBox="0 0 2 2"><path d="M0 0H2V2H0Z"/></svg>"##
    );
    fs::write(folder.join("tile.svg"), drawing).expect("written");
}

fn take_font(folder: &Path, name: &str) {
    let font = FontBook::default().find(name).expect("built in");
    fs::write(folder.join("own/face.ttf"), &*font.data).expect("written");
}

/// A spread that shows all of them, the photo on a mat under which paper may be taken out.
fn laid(folder: &Path, gutting: &str) -> Layout {
    let yaml = format!(
        "name: Dunes\npage: 12 x 12\n{gutting}\n\
         papers:\n  sand: {{color: '#d8c49a', sheets: {{12 x 12: 6}}}}\n  sea: {{color: '#3f6f8a', sheets: {{12 x 12: 6}}}}\n\
         photos:\n  ridge: {{size: 6 x 4, file: ridge.jpg}}\n\
         left:\n  base: sand\n  pieces:\n\
         \x20   - photo: {{id: top, photo: ridge, mats: [{{paper: sea, reveal: 1/4}}], at: {{left: 1, top: 1}}}}\n\
         \x20   - shape: {{id: tile, file: tile.svg, paper: sea, at: {{left: 8, top: 1}}}}\n\
         title:\n  - {{words: Dune, font: own/face.ttf, height: 2, paper: sea, page: left, at: {{left: 2, top: 8}}}}\n"
    );
    let spec = description::parse(&yaml).unwrap_or_else(|problems| panic!("{problems:?}"));
    let fonts = FontBook::new(vec![folder.join("own")]);
    lay_out(&spec, folder, &fonts).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn area_of(layout: &Layout, kind: &str) -> f64 {
    let of_kind = layout.pieces.iter().filter(|piece| piece.kind == kind);
    of_kind.map(|piece| piece.drawing.outline.area().abs()).sum()
}

#[test]
fn files_that_change_under_their_names_are_read_anew() {
    let folder = folder();
    let first = laid(folder.path(), "");
    draw_tile(folder.path(), 3.0);
    take_font(folder.path(), "text");
    pictures::jpeg(folder.path(), "ridge.jpg", [600, 400], 1);
    let second = laid(folder.path(), "");
    assert!((area_of(&first, "shape") - 4.0).abs() < 1e-6);
    assert!((area_of(&second, "shape") - 9.0).abs() < 1e-6);
    assert!((area_of(&first, "letter") - area_of(&second, "letter")).abs() > 0.1);
    assert_ne!(first.fonts[0].sha256, second.fonts[0].sha256);
    let copy = |layout: &Layout| {
        let record = plan::record(layout).expect("a plan");
        let copies = SmallCopies::of(&record, &layout.picture_files()).expect("sound");
        copies.get(&record.photos[0].id).expect("shown").to_owned()
    };
    // The files stand as the second saw them.
    assert!(plan::record(&first).is_ok());
    assert!(copy(&second).starts_with("data:image/jpeg;base64,"));
}

#[test]
fn a_layout_is_the_same_whatever_was_laid_out_before() {
    let folder = folder();
    let first = laid(folder.path(), "gutting: {glue: 1/4}");
    let wide = laid(folder.path(), "gutting: {glue: 1}");
    let again = laid(folder.path(), "gutting: {glue: 1/4}");
    let middles = |layout: &Layout| -> Vec<_> {
        layout.pieces.iter().map(|piece| (piece.id.clone(), piece.middles.clone())).collect()
    };
    assert_ne!(middles(&first), middles(&wide), "other settings, other middles");
    assert_eq!(middles(&first), middles(&again));
    let written = |layout: &Layout| {
        serde_json::to_string(&plan::record(layout).expect("a plan")).expect("written")
    };
    assert_eq!(written(&first), written(&again));
}

#[test]
fn the_pictures_that_a_record_will_show_are_known_before_it() {
    let folder = folder();
    let layout = laid(folder.path(), "");
    let known = plan::pictures(&layout);
    let record = plan::record(&layout).expect("a plan");
    let shown =
        record.photos.iter().filter_map(|photo| Some((photo.picture.clone()?, photo.field().size)));
    assert_eq!(known, shown.collect::<Vec<_>>());
    SmallCopies::ahead(&known, &layout.picture_files());
    // Made already: the file is not read a second time.
    fs::remove_file(folder.path().join("ridge.jpg")).expect("gone");
    let copies = SmallCopies::of(&record, &layout.picture_files()).expect("made ahead");
    assert!(copies.get(&record.photos[0].id).is_some());
}
