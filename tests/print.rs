//! Printed pages as bytes: the same every time, with what a printer's software looks for.

#[path = "support/spreads.rs"]
mod spreads;

use std::sync::Arc;

use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::pdf::{Document, Layer, PageSetup};
use cutleaf::emit::strips::strips_pdf;
use cutleaf::outline::fonts::{Font, FontBook};
use cutleaf::record::{Area, Record};

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

/// ISO 32000-1: boxes (14.11.2), bookmarks (12.3.3), page labels (12.4.2).
#[test]
fn pages_have_labels_boxes_and_bookmarks_under_parts() {
    let mut document = Document::new("Test", &[]);
    let trim = Area { at: [1.0, 2.0], size: [4.0, 6.0] };
    let page = |number: u32| {
        PageSetup::new([8.5, 11.0], &format!("Page {number}"))
            .labelled(&format!("card {number}"))
            .under("Cards")
            .trimmed(trim, 0.125)
    };
    document.add(page(1), |_| ());
    document.add(page(2), |_| ());
    document.page([12.0, 12.0], "Whole", |canvas| canvas.layer(Layer::Marks, |_| ()));
    let pdf = document.finish().expect("written");
    for mark in [
        "/P (card 2)",
        "/Title (Cards)",
        "/Title (Page 2)",
        "/TrimBox [72 216 360 648]",
        "/BleedBox [63 207 369 657]",
        "/TrimBox [0 0 864 864]",
        "/GTS_ProcStepsGroup /Dimensions",
    ] {
        assert!(holds(&pdf, mark), "{mark} in {}", String::from_utf8_lossy(&pdf));
    }
    assert!(!holds(&pdf, "/Cutting"), "a layer that nothing lies on");
}

/// A printer that prints 5.97 in of 6 gets everything 6/5.97 as large, about the page's middle.
#[test]
fn pages_are_corrected_for_a_printer_that_shrinks() {
    let mut document = Document::new("Test", &[]).corrected([0.995, 1.0]);
    let trim = Area { at: [1.0, 2.0], size: [4.0, 6.0] };
    document.add(PageSetup::new([8.5, 11.0], "Page").trimmed(trim, 0.0), |_| ());
    let pdf = document.finish().expect("written");
    let text = String::from_utf8_lossy(&pdf);
    let (_, rest) = text.split_once("/TrimBox [").expect("a trim box");
    let numbers: Vec<f64> =
        rest.split([' ', ']']).take(4).map(|number| number.parse().expect("a number")).collect();
    let wanted = [306.0 - 234.0 / 0.995, 216.0, 306.0 + 54.0 / 0.995, 648.0];
    assert!(numbers.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-3), "{numbers:?}");
    assert!(text.contains("/MediaBox [0 0 612 792]"));
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
