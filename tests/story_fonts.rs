//! Which fonts a story may be printed in (OpenType specification, OS/2, fsType).

use std::sync::Arc;

use cutleaf::emit::pdf::{Anchor, Document};
use cutleaf::outline::fonts::{Font, FontBook, Permission};

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

/// A page of a document in a font with these permissions.
fn page_in(bits: u16) -> (usize, String) {
    let font = Font::read(with_permission(bits), "locked.ttf", None).expect("a font");
    let length = font.data.len();
    let mut document = Document::new("Locked", &[Arc::new(font)]);
    document.page([4.0, 2.0], "Page", |canvas| {
        canvas.text(0, 12.0, [0.5, 1.0], Anchor::Start, "Up it went");
    });
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
