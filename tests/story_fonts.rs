//! Fonts that a story may not be printed in (OpenType specification, OS/2, fsType).

use std::fs;

use assert_cmd::Command;
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

#[test]
fn a_font_that_may_not_be_embedded_is_named_with_its_place() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::create_dir(folder.path().join("fonts")).expect("made");
    fs::write(folder.path().join("fonts/locked.ttf"), with_permission(2)).expect("written");
    for (key, line) in [("  font: fonts/locked.ttf", 7), ("  strong: fonts/locked.ttf", 7)] {
        let spec = format!(
            "name: Kites\npapers: {{chalk: {{color: '#ffffff', sheets: {{8.5 x 11: 1}}}}}}\nsingle: {{}}\n\
             journaling:\n  text: Up it **went**.\n  paper: chalk\n{key}\n  \
             strip: {{height: 5/16, widest: 3}}\n"
        );
        fs::write(folder.path().join("kites.yaml"), spec).expect("written");
        let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
        command.current_dir(folder.path()).env("NO_COLOR", "1").args(["check", "kites.yaml"]);
        let output = command.assert().code(1);
        let told = String::from_utf8_lossy(&output.get_output().stderr).into_owned();
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(told.contains("may not be embedded in a print file (restricted)"), "{told}");
        assert!(told.contains(&format!("kites.yaml:{line}")), "{key}: {told}");
    }
}
