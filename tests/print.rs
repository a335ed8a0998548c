//! Printed pages as bytes: the same every time, with what a printer's software looks for.

use crate::support::line_number;
use crate::support::spreads;

use std::sync::Arc;

use cutleaf::draw::Layer;
use cutleaf::draw::display_list::Group;
use cutleaf::draw::pdf::{Document, PageSetup};
use cutleaf::emit::SmallCopies;
use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::spread::spread_svg;
use cutleaf::emit::strips::strips_pdf;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::record::{Record, Rect};

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
    let mut document = Document::new("Test", &[], [0, 0]);
    let trim = Rect { at: [1.0, 2.0], size: [4.0, 6.0] };
    let page = |number: u32| {
        PageSetup::new([8.5, 11.0], &format!("Page {number}"))
            .labelled(&format!("card {number}"))
            .under("Cards")
            .trimmed(trim.at, trim.size, 0.125)
    };
    document.add(page(1), &[]);
    document.add(page(2), &[]);
    document.page([12.0, 12.0], "Whole", &[Group::on(Layer::Marks, Vec::new()).into()]);
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
    let mut document = Document::new("Test", &[], [0, 0]).corrected([0.995, 1.0]);
    let trim = Rect { at: [1.0, 2.0], size: [4.0, 6.0] };
    document.add(PageSetup::new([8.5, 11.0], "Page").trimmed(trim.at, trim.size, 0.0), &[]);
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
fn the_guide_leads_to_every_sheet_on_which_something_is_done() {
    let (record, _, label) = demo();
    let pdf = guide_pdf(&record, &label).expect("drawn");
    assert_eq!(pdf, guide_pdf(&record, &label).expect("drawn again"));
    for sheet in record.sheets.iter().filter(|sheet| sheet.placed.len() > 1) {
        assert!(holds(&pdf, &format!("({}: ", sheet.id)), "no bookmark for {}", sheet.id);
    }
    assert!(holds(&pdf, "(Whole sheets)"), "no bookmark for whole sheets");
}

/// A page of things printed on one paper: a ground with words, a picture, lines, a title, strips.
fn printed_on(color: &str) -> String {
    format!(
        "name: Night
page: 10 x 8
papers:
  paper: {{color: '{color}', sheets: {{8.5 x 11: 9}}}}
single:
  pieces:
    - rectangle: {{id: card, paper: paper, size: 3 x 2, at: [0, 0], print: {{ground: '#f2c230', text: a *moth* on the lamp, ink: '#ffffff', rule: {{ink: '#b2402d'}}}}}}
    - rectangle: {{id: wing, paper: paper, size: 3 x 2, at: [4, 0], print: {{picture: kite-day/gull.jpg, allow low resolution: true, hatch: {{ink: '#9fd0ee'}}}}}}
title: [{{words: HI, height: 2, paper: paper, print: {{picture: kite-day/crest.jpg, allow low resolution: true}}, at: [7, 0]}}]
journaling:
  paper: paper
  at: [0, 5]
  background: '#2b5673'
  ink: '#ffffff'
  strip: {{height: 1/2, widest: 4}}
  size: 20 pt
  text: A lamp in the window, and the whole night came to look at it.
"
    )
}

/// The spread as dots, 50 to the inch, and its record.
fn drawn(yaml: &str) -> (image::RgbaImage, Record) {
    let layout = spreads::layout_of(yaml).expect("a good spec");
    let record = cutleaf::plan::record(&layout).expect("enough paper");
    let label = FontBook::default().find("text").expect("built in");
    let files: Vec<_> = layout.pictures.iter().map(|framed| Arc::clone(&framed.file)).collect();
    let copies = SmallCopies::of(&record, &files).expect("read");
    let svg = spread_svg(&record, &layout.fonts, &label, &copies).document();
    let png = cutleaf::emit::raster::png(&svg, 50.0).expect("drawn");
    (image::load_from_memory(&png).expect("a picture").into_rgba8(), record)
}

/// The dots well inside the rectangles of an unturned page; its top left lies half an inch into the picture.
fn inside(record: &Record) -> Vec<(u32, u32)> {
    let mut dots = Vec::new();
    for piece in record.pieces.iter().filter(|piece| piece.outline[0].len() <= 5) {
        let ends = [0, 1].map(|axis| {
            [piece.at[axis] + 0.55, piece.at[axis] + piece.size[axis] + 0.45].map(|at| at * 50.0)
        });
        let whole = |[from, to]: [f64; 2]| {
            (0..2000_u32).filter(move |dot| (from..to).contains(&f64::from(*dot)))
        };
        for x in whole(ends[0]) {
            dots.extend(whole(ends[1]).map(|y| (x, y)));
        }
    }
    dots
}

/// Ink lets the paper through: what shows on a paper is what shows on white, times the paper, dot by dot.
#[test]
fn print_is_shown_multiplied_by_its_paper() {
    let (white, record) = drawn(&printed_on("#ffffff"));
    let dots = inside(&record);
    assert!(dots.len() > 20_000, "{} dots", dots.len());
    for (color, paper) in [("#1c2b4a", [28, 43, 74]), ("#c9a26b", [201, 162, 107])] {
        let (shown, _) = drawn(&printed_on(color));
        for &(x, y) in &dots {
            let [on_white, found] = [&white, &shown].map(|picture| picture.get_pixel(x, y).0);
            for channel in 0..3 {
                let wanted = f64::from(on_white[channel]) * f64::from(paper[channel]) / 255.0;
                let off = (f64::from(found[channel]) - wanted).abs();
                assert!(off <= 2.0, "{color} at {x}, {y}: {found:?} where white has {on_white:?}");
            }
        }
    }
}

/// On navy, white type is the paper: nothing of it shows.
#[test]
fn white_type_on_dark_paper_vanishes() {
    let yaml = printed_on("#1c2b4a").replace("  background: '#2b5673'\n", "");
    let (shown, record) = drawn(&yaml);
    let record = Record {
        pieces: record.pieces.into_iter().filter(|piece| piece.kind == "journaling").collect(),
        ..Record::default()
    };
    let dots = inside(&record);
    assert!(!dots.is_empty());
    for (x, y) in dots {
        assert_eq!(shown.get_pixel(x, y).0, [28, 43, 74, 255]);
    }
}

/// Printed files keep the plain inks: the paper does the rest.
#[test]
fn printed_files_know_nothing_of_the_paper() {
    let pdf = |color: &str| {
        let layout = spreads::layout_of(&printed_on(color)).expect("a good spec");
        let record = cutleaf::plan::record(&layout).expect("enough paper");
        let label = FontBook::default().find("text").expect("built in");
        strips_pdf(&record, &layout.fonts, &label).expect("drawn")
    };
    assert_eq!(pdf("#1c2b4a"), pdf("#ffffff"));
}

/// What is printed on which paper, and what is told of it: piece, line, what shows, the way out.
#[test]
fn what_can_not_show_on_its_paper_is_told_once() {
    let spec = |paper: &str, pieces: &str, rest: &str| {
        format!(
            "name: Night\npapers:\n  sheet: {{color: '{paper}', sheets: {{8.5 x 11: 9}}}}\n  chalk: {{color: '#f4efe3', \
             sheets: {{8.5 x 11: 9}}}}\nsingle:\n  pieces:\n{pieces}\n{rest}"
        )
    };
    let piece = |print: &str| {
        format!("    - rectangle: {{id: a, paper: sheet, size: 3 x 2, print: {{{print}}}}}")
    };
    let story = |more: &str| {
        format!(
            "journaling:\n  paper: sheet\n  strip: {{height: 5/16, widest: 2}}\n  text: one two three four five six seven eight\n{more}"
        )
    };
    let none = "    []".to_owned();
    let (navy, kraft, cream) = ("#1c2b4a", "#c9a26b", "#f4efe3");
    let two = format!(
        "{}\n{}",
        piece("text: a, ink: '#ffffff'"),
        piece("text: b, ink: '#ffffff'").replace("id: a", "id: b")
    );
    let title =
        "title: [{words: HI, height: 1, paper: sheet, print: {ground: '#f2c230'}}]".to_owned();
    let picture = "picture: kite-day/gull.jpg, allow low resolution: true";
    // Paper, pieces, the rest; then the piece, its line, and words of the message and of the help, or
    // nothing.
    type Told = Option<(&'static str, u64, Vec<&'static str>, &'static str)>;
    let rows: Vec<(&str, String, String, Told)> = vec![
        (cream, piece("text: a"), String::new(), None),
        (cream, piece("ground: '#2b5673', text: a"), story("  background: '#2b5673'\n"), None),
        (cream, piece("hatch: {ink: '#9db4bf'}, rule: {}"), story(""), None),
        (cream, piece(picture), String::new(), None),
        (kraft, piece("text: a, rule: {}"), story(""), None),
        // Ink that is only badly chosen.
        (
            cream,
            piece("text: a, ink: '#e9c46a'"),
            String::new(),
            Some(("single.a", 7, vec!["type in #e9c46a", "to 1"], "darker `ink`")),
        ),
        (
            cream,
            piece("ground: '#2b5673', text: a, ink: '#3a6583'"),
            String::new(),
            Some(("single.a", 7, vec!["type in #3a6583"], "lighter `ink`")),
        ),
        (
            cream,
            none.clone(),
            story("  ink: '#ffffff'\n"),
            Some((
                "journaling.1",
                11,
                vec!["white type shows the bare paper, #f4efe3"],
                "darker `ink`",
            )),
        ),
        // Paper on which no ink shows.
        (
            navy,
            none.clone(),
            story("  ink: '#ffffff'\n"),
            Some((
                "journaling.1",
                11,
                vec!["on sheet", "bare paper, #1c2b4a", "1.0 to 1"],
                "dark `background`",
            )),
        ),
        (
            navy,
            none.clone(),
            story("  background: '#1c2b4a'\n"),
            Some(("journaling.1", 11, vec!["on #030715", "a contrast of"], "light paper")),
        ),
        (
            navy,
            none.clone(),
            story("  ink: '#f2c230'\n"),
            Some(("journaling.1", 11, vec!["type in #f2c230 shows as #1b210e"], "light pen")),
        ),
        (
            navy,
            piece("ground: '#f2c230'"),
            String::new(),
            Some((
                "single.a",
                7,
                vec!["the ground #f2c230 shows as #1b210e", "black marks hardly show"],
                "light paper",
            )),
        ),
        (
            navy,
            piece("rule: {ink: '#ffffff'}"),
            String::new(),
            Some((
                "single.a",
                7,
                vec!["white rule shows the bare paper"],
                "(the piece's own `hatch`)",
            )),
        ),
        (
            navy,
            piece("hatch: {ink: '#f2c230'}"),
            String::new(),
            Some(("single.a", 7, vec!["hatch in #f2c230"], "(the piece's own `hatch`)")),
        ),
        (
            navy,
            piece("text: a, ink: '#ffffff', size: 24 pt"),
            String::new(),
            Some(("single.a", 7, vec!["white type"], "dark `ground`")),
        ),
        (
            kraft,
            piece(picture),
            String::new(),
            Some((
                "single.a",
                7,
                vec!["white in the picture shows as the paper, #c9a26b"],
                "light paper",
            )),
        ),
        (
            navy,
            none,
            title,
            Some(("title.hi", 8, vec!["`title.hi` on sheet: the ground #f2c230"], "light paper")),
        ),
        // Two pieces with one fault.
        (
            navy,
            two,
            String::new(),
            Some((
                "single.a",
                7,
                vec!["`single.a`, `single.b` on sheet: white type"],
                "dark `ground`",
            )),
        ),
    ];
    for (paper, pieces, rest, told) in rows {
        let yaml = spec(paper, &pieces, &rest);
        let record =
            spreads::record_of(&yaml).unwrap_or_else(|problems| panic!("{yaml}{problems:?}"));
        let of_print = |kind: &str| matches!(kind, "low contrast" | "print and paper");
        let found: Vec<_> =
            record.warnings.iter().filter(|warning| of_print(&warning.kind)).collect();
        let Some((piece, line, words, help)) = told else {
            assert!(found.is_empty(), "{yaml}{found:?}");
            continue;
        };
        assert_eq!(found.len(), 1, "{yaml}{found:?}");
        assert_eq!(
            (found[0].piece.as_deref().unwrap_or_default(), line_number(found[0].line)),
            (piece, line),
            "{yaml}{found:?}"
        );
        for word in words {
            assert!(found[0].message.contains(word), "{word}: {found:?}");
        }
        assert!(found[0].help.contains(help), "{help}: {found:?}");
    }
}

/// Prints of one cause share a warning, whatever they are called; others keep their own.
#[test]
fn warnings_of_print_are_grouped_by_what_is_the_matter() {
    let yaml = "name: Tide\npapers: {sand on sea: {color: '#1c2b4a', sheets: {12 x 12: 9}}}\nsingle:\n  pieces:\n"
        .to_owned()
        + &[
            ("tern on rock", "text: a, ink: '#ffffff'"),
            ("gull on rock", "text: a, ink: '#ffffff', size: 12 pt"),
            ("knot", "text: a, ink: '#f2c230'"),
            ("crab on sand", "rule: {ink: '#ffffff'}"),
            ("shrimp on sand", "rule: {ink: '#ffffff'}"),
        ]
        .map(|(id, print)| {
            format!("    - rectangle: {{id: {id}, paper: sand on sea, size: 2 x 1, print: {{{print}}}}}\n")
        })
        .concat();
    let record = spreads::record_of(&yaml).expect("a good spec");
    let of_print = |kind: &str| matches!(kind, "low contrast" | "print and paper");
    let found: Vec<&str> = record
        .warnings
        .iter()
        .filter(|warning| of_print(&warning.kind))
        .map(|warning| warning.message.split(':').next().unwrap_or_default())
        .collect();
    assert_eq!(
        found,
        [
            "`single.tern-on-rock`, `single.gull-on-rock` on sand on sea",
            "`single.knot` on sand on sea",
            "`single.crab-on-sand`, `single.shrimp-on-sand` on sand on sea",
        ]
    );
}

#[test]
fn no_starter_prints_what_can_not_show() {
    for starter in ["kite-day", "titles", "tide-pool", "beach-walk", "shapes", "folded", "printed"]
    {
        let yaml = std::fs::read_to_string(format!("templates/{starter}.yaml")).expect("there");
        let layout = spreads::layout_of(&yaml).expect("a good spec");
        let of_print = |kind: &str| matches!(kind, "low contrast" | "print and paper");
        let told: Vec<_> =
            layout.warnings.iter().filter(|warning| of_print(&warning.kind)).collect();
        assert!(told.is_empty(), "{starter}: {told:?}");
    }
}
