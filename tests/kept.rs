//! What is worked out once in a process is known the next time, by what it follows from and nothing else.

use crate::support::pictures;

use std::fs;
use std::path::Path;

use cutleaf::description;
use cutleaf::emit::SmallCopies;
use cutleaf::emit::kept_sheets::kept_sheet_svg;
use cutleaf::emit::sheet_picture::sheet_svg;
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Color;
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
fn a_sheet_that_looks_the_same_is_drawn_once_and_with_the_bytes_of_a_drawing_anew() {
    let folder = folder();
    let font = FontBook::default().find("text").expect("built in");
    let record = plan::record(&laid(folder.path(), "")).expect("planned");
    let drawn = |record: &cutleaf::record::Record| -> Vec<_> {
        let sheets = record.sheets.iter();
        sheets.map(|sheet| kept_sheet_svg(record, sheet, &font)).collect()
    };
    let first = drawn(&record);
    assert!(first.len() > 1, "several sheets");
    for (sheet, kept) in record.sheets.iter().zip(&first) {
        assert_eq!(**kept, *sheet_svg(&record, sheet, &font).document(), "{}", sheet.id);
    }
    // What is not seen of a sheet has nothing drawn anew: where its pieces lie on the pages, what they cost.
    let mut moved = record.clone();
    for piece in &mut moved.pieces {
        piece.at[0] += 0.25;
        piece.notes.push("moved".to_owned());
    }
    moved.papers[0].new_sheets += 1;
    for (one, other) in first.iter().zip(drawn(&moved)) {
        assert!(std::sync::Arc::ptr_eq(one, &other), "the same picture");
    }
    // What is seen has: each of these changes some sheets, and just those that show it.
    type Change = fn(&mut cutleaf::record::Record);
    let changes: [(&str, Change); 7] = [
        ("its place on the sheet", |record| record.sheets[1].placed[0].at[0] += 0.25),
        ("an outline", |record| {
            let id = record.sheets[1].placed[0].piece.clone();
            let piece = record.pieces.iter_mut().find(|piece| piece.id == id).expect("a piece");
            (piece.path, piece.outline) = ("M0 0H1V1H0Z".to_owned(), Vec::new());
        }),
        ("a colour", |record| record.papers[1].color = Color::parse("#123456").expect("a colour")),
        ("a pattern", |record| record.papers[1].directional = true),
        ("numbers", |record| record.pieces.insert(0, cutleaf::record::Piece::default())),
        ("the name", |record| record.name = "Reeds".to_owned()),
        ("an ink", |record| record.inks.cut = Color::parse("#123456").expect("a colour")),
    ];
    for (what, change) in changes {
        let mut changed = record.clone();
        change(&mut changed);
        let mut different = 0;
        for ((sheet, kept), before) in changed.sheets.iter().zip(drawn(&changed)).zip(&first) {
            let anew = sheet_svg(&changed, sheet, &font).document();
            assert_eq!(*kept, *anew, "{what}: {}", sheet.id);
            different += usize::from(*kept != **before);
            // An ink is all sheets', whether it shows or not.
            let is_kept = std::sync::Arc::ptr_eq(&kept, before);
            assert!(is_kept == (*kept == **before) || what == "an ink", "{what}: {}", sheet.id);
        }
        assert!(different > 0, "{what} shows");
    }
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

#[test]
fn a_nest_is_searched_for_once_and_one_that_was_stopped_anew() {
    let folder = folder();
    let layout = laid(folder.path(), "");
    let stopped = cutleaf::nest::Search::new();
    stopped.stop();
    let hurried = plan::record_in(&layout, &stopped).expect("planned");
    let told = |record: &cutleaf::record::Record| {
        record.papers.iter().flat_map(|paper| &paper.notes).any(|note| note.contains("stopped"))
    };
    let first = plan::record(&layout).expect("planned");
    let again = plan::record(&layout).expect("planned");
    assert!(told(&hurried) && !told(&first), "{:?}", hurried.papers);
    assert_eq!(serde_json::to_string(&first).ok(), serde_json::to_string(&again).ok());
    // Another order of the same pieces is another job: nothing of it is mixed up.
    let mut turned = layout.clone();
    turned.pieces.reverse();
    let other = plan::record(&turned).expect("planned");
    for (one, sheets) in [(&first, first.sheets.len()), (&other, other.sheets.len())] {
        let placed: usize = one.sheets.iter().map(|sheet| sheet.placed.len()).sum();
        assert_eq!((placed, sheets), (layout.pieces.len(), first.sheets.len()));
    }
}
