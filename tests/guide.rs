//! The guide beside the trimmer: few pages, numbers that can be told apart, names in any script.

use crate::support::spreads;

use std::sync::Arc;

use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::sheet_picture::sheet_svg;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::lettering::label::{lacking, shape_label};
use cutleaf::record::{Cut, Fall, Falls, Record, Rect, Sheet};

fn label() -> Arc<Font> {
    FontBook::default().find("text").expect("built in")
}

/// Pages of a PDF: its page objects are written in clear.
fn pages(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let objects = text.split("/Type /Page").skip(1);
    objects.filter(|rest| !rest.starts_with(|next: char| next.is_ascii_alphabetic())).count()
}

/// The starters by file, and how many pages a page a sheet took.
const STARTERS: [(&str, &str, usize); 7] = [
    ("kite-day", include_str!("../templates/kite-day.yaml"), 19),
    ("beach-walk", include_str!("../templates/beach-walk.yaml"), 8),
    ("folded", include_str!("../templates/folded.yaml"), 7),
    ("printed", include_str!("../templates/printed.yaml"), 4),
    ("shapes", include_str!("../templates/shapes.yaml"), 6),
    ("tide-pool", include_str!("../templates/tide-pool.yaml"), 9),
    ("titles", include_str!("../templates/titles.yaml"), 6),
];

#[test]
fn every_starter_s_guide_has_half_the_pages_of_a_page_a_sheet() {
    for (name, yaml, before) in STARTERS {
        let record = spreads::record_of(yaml).expect("enough paper");
        let pages = pages(&guide_pdf(&record, &label()).expect("drawn"));
        assert!(pages >= 1 && 2 * pages <= before, "{name}: {pages} pages, {before} before");
    }
}

/// A sheet of `count` strips of one height, and the record it stands in.
fn strips(count: u32, height: f64) -> Record {
    let strip = |number: u32| {
        let y = height * f64::from(number);
        let rest = Rect { at: [0.0, y], size: [12.0, 12.0 - y] };
        let [piece, more] = [
            Rect { at: [0.0, y], size: [12.0, height] },
            Rect { at: [0.0, y + height], size: [12.0, 12.0 - y - height] },
        ];
        let falls = |what: Fall, area: Rect| Falls { what, area };
        Cut {
            number: number + 1,
            in_hand: rest,
            from: [0.0, y + height],
            to: [12.0, y + height],
            fence: height,
            keeps: falls(Fall::Piece(format!("strip.{number}").into()), piece),
            drops: falls(Fall::More, more),
        }
    };
    let sheet = Sheet {
        id: "chalk-1".into(),
        paper: "chalk".into(),
        size: [12.0, 12.0],
        cuts: (0..count).map(strip).collect(),
        ..Sheet::default()
    };
    Record { name: "Strips".into(), sheets: vec![sheet], ..Record::default() }
}

#[test]
fn cut_numbers_never_lie_on_each_other() {
    for (count, height) in [(8, 1.0), (30, 0.375), (60, 0.1875), (90, 0.125)] {
        let record = strips(count, height);
        let svg = sheet_svg(&record, &record.sheets[0], &label()).document();
        let document = roxmltree::Document::parse(&svg).expect("an SVG");
        let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).and_then(|text| text.parse().ok()).expect("a number")
        };
        let discs: Vec<[f64; 3]> = document
            .descendants()
            .filter(|node| node.has_tag_name("circle"))
            .map(|node| ["cx", "cy", "r"].map(|name| number(node, name)))
            .collect();
        assert_eq!(discs.len(), usize::try_from(count).expect("small"));
        for (place, [x, y, r]) in discs.iter().enumerate() {
            for [x1, y1, r1] in &discs[place + 1..] {
                assert!((x - x1).hypot(y - y1) >= r + r1, "{count} cuts: two numbers at {x}, {y}");
            }
        }
    }
}

#[test]
fn cuts_at_one_setting_take_one_step() {
    // Ninety single steps would take more than six pages.
    let pages = pages(&guide_pdf(&strips(90, 0.125), &label()).expect("drawn"));
    assert!(pages <= 3, "{pages} pages");
}

/// Rows of one height that are cut again afterwards are told together, with the cuts that take them up.
#[test]
fn rows_that_are_cut_on_are_told_in_one_line() {
    let record = spreads::record_of(include_str!("outside/specs/low-tide.yaml")).expect("paper");
    let pages = pages(&guide_pdf(&record, &label()).expect("drawn"));
    // A line for each of the 26 rows took a page more.
    assert!(pages <= 4, "{pages} pages");
}

#[test]
fn a_letter_that_no_font_has_is_shown_as_its_code_point() {
    let text = label();
    let known = |name: &str| shape_label(&[&text], name).0;
    assert_eq!(known("left.sky"), "left.sky");
    assert_eq!(known("\u{628}\u{62d}"), "[U+0628][U+062D]");
    assert_eq!(lacking(&[&text], "a\u{628}b\u{628}"), ['\u{628}']);
}

#[test]
fn names_stand_in_the_order_of_an_english_line() {
    // Hebrew is in no built-in font either, so the order is looked at with marks of code points; Latin stays.
    let text = label();
    let (_, glyphs) = shape_label(&[&text], "12 (4 x 6)");
    let clusters: Vec<usize> = glyphs.iter().map(|(_, glyph)| glyph.cluster).collect();
    assert!(clusters.is_sorted(), "{clusters:?}");
}
