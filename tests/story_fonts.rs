//! Which fonts a story may be printed in (OpenType specification, OS/2, fsType).

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
        (0x104, Permission::PreviewAndPrint, false),
        (0x204, Permission::PreviewAndPrint, false),
    ] {
        let font = Font::read(with_permission(bits), "locked.ttf", None).expect("a font");
        assert_eq!(font.embedding.permission, permission, "{bits:#x}");
        assert_eq!(font.embedding.allows_pdf(), allowed, "{bits:#x}");
    }
}
