//! The placement guide: every tile says what it is, tiles cover the page, all is readable again.

use cutleaf::emit::placement::placement_pdfs;
use cutleaf::lettering::fonts::FontBook;

use crate::support::kite_spread::kite_spread;

/// The page sizes of a file, in points, as written.
fn media_boxes(pdf: &[u8]) -> Vec<String> {
    let text = String::from_utf8_lossy(pdf);
    let boxes = text.split("/MediaBox").skip(1);
    boxes
        .filter_map(|rest| Some(rest.split(']').next()?.trim_matches([' ', '[']).to_owned()))
        .collect()
}

#[test]
fn each_page_is_tiled_on_the_printer_s_paper() {
    let mut record = kite_spread();
    let font = FontBook::default().find("text").expect("built in");
    // A 12 x 12 in page takes two by two sheets of 8.5 x 11 in, and a list goes before.
    let tiled = media_boxes(&placement_pdfs(&record, &font).expect("a guide")[0]);
    assert_eq!(tiled.len(), 2 * (1 + 4), "{tiled:?}");
    assert!(tiled.iter().all(|one| one == "0 0 612 792"), "{tiled:?}");
    // A larger printer takes each page whole.
    record.printer = Some([13.0, 19.0]);
    record.rules.printer_margin = 0.25;
    let large = media_boxes(&placement_pdfs(&record, &font).expect("a guide")[0]);
    assert_eq!(large.len(), 2 * (1 + 1), "{large:?}");
    let whole = media_boxes(&placement_pdfs(&record, &font).expect("a guide")[1]);
    assert_eq!(whole, ["0 0 864 864"; 2]);
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    let record = kite_spread();
    let font = FontBook::default().find("text").expect("built in");
    let guide = || placement_pdfs(&record, &font).expect("a guide");
    assert_eq!(guide(), guide());
}
