//! Which fonts a story may be printed in (OpenType specification, OS/2, fsType).

use std::io::Read;
use std::sync::Arc;

use cutleaf::draw::display_list::{Item, Text};
use cutleaf::draw::pdf::Document;
use cutleaf::lettering::fonts::{Font, FontBook, Permission};

/// The built-in font with other permissions.
fn with_permission(bits: u16) -> Vec<u8> {
    let font = FontBook::default().find("text").expect("built in");
    let mut data = font.data.as_ref().clone();
    let tables = usize::from(u16::from_be_bytes([data[4], data[5]]));
    let entry = (0..tables).map(|table| 12 + 16 * table).find(|at| &data[*at..at + 4] == b"OS/2");
    let entry = entry.expect("an OS/2 table");
    let offset = u32::from_be_bytes(data[entry + 8..entry + 12].try_into().expect("four bytes"));
    let at = usize::try_from(offset).expect("small") + 8;
    data[at..at + 2].copy_from_slice(&bits.to_be_bytes());
    data
}

#[test]
fn permissions_are_read_and_kept() {
    for (bits, permission, allowed) in [
        (0, Permission::Installable, true),
        (2, Permission::Restricted, false),
        (4, Permission::PreviewAndPrint, true),
        (8, Permission::Editable, true),
        (0x104, Permission::PreviewAndPrint, true),
        (0x204, Permission::PreviewAndPrint, false),
    ] {
        let font = Font::read(with_permission(bits), "locked.ttf", None).expect("a font");
        assert_eq!(font.embedding.permission, permission, "{bits:#x}");
        assert_eq!(font.embedding.allows_pdf(), allowed, "{bits:#x}");
    }
}

/// A line of words in a type size in points.
fn line<'a>(words: &str, points: f64) -> Item<'a> {
    Text::new(words, (0.5, 1.0), points / 72.0, "#000000").into()
}

/// A page of a document in a font with these permissions.
fn page_in(bits: u16) -> (usize, String) {
    let font = Font::read(with_permission(bits), "locked.ttf", None).expect("a font");
    let length = font.data.len();
    let mut document = Document::new("Locked", &[Arc::new(font)], [0, 0]);
    document.page([4.0, 2.0], "Page", &[line("Up it went", 12.0)]);
    (length, String::from_utf8_lossy(&document.finish().expect("drawn")).into_owned())
}

#[test]
fn a_font_that_may_not_be_parted_is_embedded_whole() {
    let (length, whole) = page_in(0x104);
    assert!(whole.contains(&format!("/Length1 {length}")), "not the whole file");
    let name = "/BaseFont /";
    let named = whole.split(name).nth(1).and_then(|rest| rest.split_whitespace().next());
    assert!(named.is_some_and(|named| !named.contains('+')), "{named:?} is a subset's name");
    let (length, part) = page_in(4);
    assert!(!part.contains(&format!("/Length1 {length}")) && part.len() < whole.len() / 4);
}

/// The content of a page that says `words` in a font, inflated.
fn content(font: Font, words: &str) -> String {
    let mut document = Document::new("Axes", &[Arc::new(font)], [0, 0]);
    document.page([4.0, 2.0], "Page", &[line(words, 24.0)]);
    let pdf = document.finish().expect("drawn");
    let streams = pdf.windows(7).enumerate().filter(|(_, at)| at == b"stream\n");
    let contents = streams.filter_map(|(at, _)| {
        let mut text = Vec::new();
        let read = flate2::read::ZlibDecoder::new(&pdf[at + 7..]).read_to_end(&mut text);
        read.ok().and_then(|_| String::from_utf8(text).ok())
    });
    contents.filter(|text| text.contains(" Tf")).collect()
}

/// A PDF embeds the font as it comes: what its axes make of it is drawn, and the words can still be found.
#[test]
fn what_axes_make_of_a_font_is_drawn() {
    let data = include_bytes!("data/fonts/sample-variable.ttf").to_vec();
    let font = Font::read(data, "sample-variable.ttf", None).expect("a font");
    let plain = content(font.clone(), "HI");
    assert!(!plain.contains("3 Tr") && !plain.contains("\nf\n"), "{plain}");
    let set = |weight: f64| {
        let axes = [("wght".to_owned(), weight)].into();
        content(font.used_with(&axes, &std::collections::BTreeMap::new()).expect("in range"), "HI")
    };
    let [light, bold] = [300.0, 650.0].map(set);
    for drawn in [&light, &bold] {
        assert_eq!(drawn.matches("\nf\n").count(), 2, "{drawn}");
        assert!(drawn.contains("3 Tr"), "{drawn}");
    }
    let outlines = |text: &str| text.split("BT").next().map(str::to_owned);
    assert_ne!(outlines(&light), outlines(&bold));
}

/// A font whose outlines have no place in a PDF is refused where it would be printed.
#[test]
fn outlines_of_the_form_cff2_are_not_printed() {
    let mut data = with_permission(0);
    let tables = usize::from(u16::from_be_bytes([data[4], data[5]]));
    let entry = (0..tables).map(|table| 12 + 16 * table).find(|at| &data[*at..at + 4] == b"name");
    let entry = entry.expect("a table of names");
    data[entry..entry + 4].copy_from_slice(b"CFF2");
    let font = Font::read(data, "new.otf", None).expect("a font");
    assert!(font.barred_from_pdf().is_some_and(|why| why.contains("CFF2")));
}
