//! Printed pages as bytes: the same every time, with what a printer's software looks for.

#[path = "support/spreads.rs"]
mod spreads;

use std::sync::Arc;

use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::strips::strips_pdf;
use cutleaf::outline::fonts::{Font, FontBook};
use cutleaf::record::Record;

fn demo() -> (Record, Vec<Arc<Font>>, Arc<Font>) {
    let yaml = include_str!("../templates/kite-day.yaml");
    let layout = spreads::layout_of(yaml).expect("the demo is sound");
    let record = spreads::record_of(yaml).expect("enough paper");
    (record, layout.fonts, FontBook::default().find("text").expect("built in"))
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|window| window == text.as_bytes())
}

#[test]
fn strips_are_the_same_bytes_and_ask_not_to_be_scaled() {
    let (record, fonts, label) = demo();
    let pdf = strips_pdf(&record, &fonts, &label).expect("drawn");
    assert_eq!(pdf, strips_pdf(&record, &fonts, &label).expect("drawn again"));
    assert!(pdf.starts_with(b"%PDF-1.7"));
    for mark in ["/PrintScaling /None", "/GTS_ProcStepsType /Cutting", "/TrimBox", "/BleedBox"] {
        assert!(holds(&pdf, mark), "{mark}");
    }
    assert!(!holds(&pdf, "/CreationDate"));
    assert!(pdf.len() < 60_000, "{} bytes", pdf.len());
}

#[test]
fn the_guide_has_a_page_for_every_sheet() {
    let (record, _, label) = demo();
    let pdf = guide_pdf(&record, &label).expect("drawn");
    assert_eq!(pdf, guide_pdf(&record, &label).expect("drawn again"));
    for sheet in &record.sheets {
        assert!(holds(&pdf, &format!("({}: ", sheet.id)), "no bookmark for {}", sheet.id);
    }
}
