//! Paper that the printer doesn't take is cut down for it first, and what falls off is used or kept.

use std::path::Path;

use crate::support::spreads::{record_of, strict_record_of};
use cutleaf::description;
use cutleaf::draw::svg::Svg;
use cutleaf::emit::guide::guide_pdf;
use cutleaf::emit::proof::proof_html;
use cutleaf::emit::{SmallCopies, cut_svg::cut_svg};
use cutleaf::layout::lay_out;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::SheetSource;
use cutleaf::plan::{self, Chain, Redo, redo_layout};
use cutleaf::record::{Fall, Record, Rect, Sheet};

const SAME: f64 = 2e-6;

/// A story of `strips` strips.
fn story(papers: &str, more: &str, strips: usize) -> String {
    let words = vec!["the tide came in and took the castle"; strips].join("\n    ");
    format!(
        "name: Tide\n{more}\npapers: {papers}\nsingle: {{pieces: []}}\njournaling:\n  paper: chalk\n  \
         strip: {{height: 8 mm, widest: 100 mm}}\n  text: |\n    {words}\n"
    )
}

fn same(one: &Rect, other: &Rect) -> bool {
    (0..2).all(|axis| {
        (one.at[axis] - other.at[axis]).abs() < SAME
            && (one.size[axis] - other.size[axis]).abs() < SAME
    })
}

/// Cuts a sheet as its record says; what lies on the table at the end.
fn replay(record: &Record, sheet: &Sheet) -> Vec<Rect> {
    let mut table = vec![Rect { at: [0.0; 2], size: sheet.size }];
    for cut in &sheet.cuts {
        let place = table.iter().position(|area| same(area, &cut.in_hand)).expect("in hand");
        let hand = table.remove(place);
        let axis = usize::from((cut.from[0] - cut.to[0]).abs() > SAME);
        let length = cut.to[1 - axis] - cut.from[1 - axis];
        assert!((length - hand.size[1 - axis]).abs() < SAME, "edge to edge: {cut:?}");
        assert!((cut.fence - cut.keeps.area.size[axis]).abs() < SAME, "{cut:?}");
        let halves = cut.keeps.area.size[axis] + cut.drops.area.size[axis];
        let lost = hand.size[axis] - halves;
        assert!(lost > -SAME && lost <= record.rules.kerf + SAME, "{cut:?}");
        table.extend([cut.keeps.area, cut.drops.area]);
    }
    table
}

/// Every sheet that is a part of another comes free there, whole, and once; offcuts do as well.
fn check(record: &Record) {
    let mut parts = 0;
    for (place, sheet) in
        record.sheets.iter().enumerate().filter(|(_, sheet)| !sheet.parts.is_empty())
    {
        let table = replay(record, sheet);
        let named = sheet.parts.iter().map(|part| (part.id.as_str(), part.area()));
        let offcuts = sheet.offcuts.iter().map(|rest| (rest.id.as_str(), rest.area()));
        for (id, area) in named.chain(offcuts) {
            assert!(table.iter().any(|free| same(free, &area)), "{id} in {table:?}");
        }
        for part in &sheet.parts {
            let became = record.sheets.iter().position(|sheet| sheet.id == part.id);
            let became = became.unwrap_or_else(|| panic!("{} is a sheet", part.id));
            assert!(became > place, "{} is cut before {}", sheet.id, part.id);
            let child = &record.sheets[became];
            let [width, height] = child.size;
            assert!(part.size == [width, height] || part.size == [height, width], "{part:?}");
            assert_eq!(child.from.as_deref(), Some(sheet.id.as_str()));
            let source =
                SheetSource::Part { whole: sheet.id.clone(), part: part.id.as_str().into() };
            assert_eq!(record.source(child), source);
            let told = sheet.cuts.iter().flat_map(|cut| [&cut.keeps, &cut.drops]);
            let told = told.filter(|falls| falls.what == Fall::Part(part.id.clone())).count();
            assert_eq!(told, 1, "{} falls once", part.id);
            parts += 1;
        }
    }
    let is_part = |sheet: &&Sheet| matches!(record.source(sheet), SheetSource::Part { .. });
    let from_others = record.sheets.iter().filter(is_part).count();
    assert_eq!(parts, from_others);
    for page in &record.printed {
        let sheet = record.sheets.iter().find(|sheet| sheet.id == page.sheet).expect("its sheet");
        assert_eq!((sheet.size, page.size), (record.printer_paper(), record.printer_paper()));
    }
    let shopping = &record.totals.shopping;
    assert!(shopping.iter().all(|line| line.uses <= line.on_hand), "{shopping:?}");
    let on_shelf = record.papers.iter().flat_map(|paper| &paper.offcuts_left);
    for left in on_shelf {
        let kept = record.sheets.iter().flat_map(|sheet| &sheet.offcuts);
        assert!(kept.clone().all(|offcut| offcut.id != left.id), "{} is kept twice", left.id);
    }
}

/// What is cut down, what the printed pages are from, and what is kept, largest first.
#[test]
fn a_printer_s_sheet_comes_from_the_best_paper_there_is() {
    struct Row {
        papers: &'static str,
        more: &'static str,
        strips: usize,
        from: &'static [&'static str],
        cuts: &'static [usize],
        kept: &'static [[f64; 2]],
    }
    let mm = |side: f64| side / 25.4;
    let row = |papers, strips, from, cuts, kept| Row { papers, more: "", strips, from, cuts, kept };
    let rows = [
        // One of the printer's size is taken as it is, whatever else there is.
        row(
            "{chalk: {color: '#ffffff', sheets: {12 x 12: 1, 8.5 x 11: 1}}}",
            3,
            &["new"],
            &[],
            &[],
        ),
        // A 12 x 12 loses a strip of its whole height and one below.
        row(
            "{chalk: {color: '#ffffff', sheets: {12 x 12: 1}}}",
            3,
            &["chalk-1"],
            &[2],
            &[[3.5, 12.0], [8.5, 1.0]],
        ),
        // A leftover that is large enough comes before a new sheet, the smallest first.
        row(
            "{chalk: {color: '#ffffff', sheets: {12 x 12: 1}, offcuts: [{size: 11 x 12, id: b}, {size: 9 x 11, id: a}]}}",
            3,
            &["chalk-1"],
            &[1],
            &[],
        ),
        // Cheaper first: one 10 x 13 at 0.4 rather than a 12 x 12 at 0.9.
        row(
            "{chalk: {color: '#ffffff', sheets: {12 x 12: {count: 1, price: 0.9}, 10 x 13: {count: 1, price: 0.4}}}}",
            3,
            &["chalk-1"],
            &[2],
            &[[10.0, 2.0], [1.5, 11.0]],
        ),
        // Half of an 11 x 17 is the next page, whichever way it lies.
        row(
            "{chalk: {color: '#ffffff', sheets: {11 x 17: 1}}}",
            120,
            &["chalk-1", "chalk-1"],
            &[1],
            &[],
        ),
        // Two pages from two sheets.
        row(
            "{chalk: {color: '#ffffff', sheets: {12 x 12: 2}}}",
            120,
            &["chalk-1", "chalk-2"],
            &[2, 2],
            &[[3.5, 12.0], [8.5, 1.0], [3.5, 12.0], [8.5, 1.0]],
        ),
        // A direction: the sheet may not be turned, and from 13 x 17 there is just one.
        row(
            "{chalk: {color: '#ffffff', turn: never, sheets: {13 x 17: 1}}}",
            3,
            &["chalk-1"],
            &[2],
            &[[13.0, 6.0], [4.5, 11.0]],
        ),
    ];
    let a4 = Row {
        papers: "{chalk: {color: '#ffffff', sheets: {305 x 305: 1}}}",
        more: "units: mm\npage: 305 x 305\ncutting: {kerf: 0.5}",
        strips: 3,
        from: &["chalk-1"],
        cuts: &[2],
        kept: &[],
    };
    for Row { papers, more, strips, from, cuts, kept } in rows.iter().chain([&a4]) {
        let record = record_of(&story(papers, more, *strips)).expect(papers);
        check(&record);
        let printed = record.sheets.iter().filter(|sheet| sheet.printed.is_some());
        let found: Vec<&str> =
            printed.map(|sheet| sheet.from.as_deref().unwrap_or("new")).collect();
        assert_eq!(found, *from, "{papers}");
        let cut = record.sheets.iter().filter(|sheet| !sheet.parts.is_empty());
        let found: Vec<usize> = cut.clone().map(|sheet| sheet.cuts.len()).collect();
        assert_eq!(found, *cuts, "{papers}");
        let mut found: Vec<[f64; 2]> =
            cut.flat_map(|sheet| &sheet.offcuts).map(|offcut| offcut.size).collect();
        if more.contains("mm") {
            let wanted = [mm(305.0 - 210.0 - 0.5), mm(305.0)];
            let off = (0..2).map(|axis| (found[0][axis] - wanted[axis]).abs());
            assert!(found.len() == 1 && off.fold(0.0, f64::max) < SAME, "{found:?}");
            found.clear();
        }
        assert_eq!(found, *kept, "{papers}");
    }
}

/// A story's page and pieces that are printed before they are cut share what one sheet gives.
#[test]
fn a_second_sheet_is_cut_down_only_where_one_does_not_serve() {
    // The printer's paper, the sheets, pieces a page each beside the story's page, sheets cut down.
    for (printer, sheets, pieces, wholes) in [
        ("5.83 x 8.27", "12 x 12: 2", 1, 1),
        ("5.83 x 8.27", "12 x 12: 3", 2, 2),
        ("6 x 8.5", "12 x 12: 2", 1, 1),
        // Six, whose cuts have to be looked for.
        ("4 x 6", "11 x 17: 2", 5, 1),
        // Of the usual paper a 12 x 12 gives one.
        ("8.5 x 11", "12 x 12: 3", 1, 2),
        ("8.5 x 11", "11 x 17: 2", 1, 1),
    ] {
        // One only fits on a page of its own, clear of the marks.
        let [wide, high] = match printer {
            "4 x 6" => ["2 1/2", "3"],
            "8.5 x 11" => ["6 1/2", "7"],
            _ => ["4", "5"],
        };
        let lines: String = (0..pieces)
            .map(|number| {
                format!(
                    "{{rectangle: {{id: card{number}, paper: chalk, size: {wide} x {high}, corners: {{round: 1/4}}, print: {{ground: '#e9a93c'}}}}}},"
                )
            })
            .collect();
        let papers = format!("{{chalk: {{color: '#ffffff', sheets: {{{sheets}}}}}}}");
        let spec = story(&papers, &format!("printer: {{paper: {printer}}}"), 1)
            .replace("pieces: []", &format!("pieces: [{lines}]"))
            .replace("100 mm", if printer == "4 x 6" { "60 mm" } else { "80 mm" });
        let record = record_of(&spec).unwrap_or_else(|problems| panic!("{spec}{problems:?}"));
        check(&record);
        assert_eq!(
            (record.printed.len(), record.printed_before_cut().len()),
            (1, pieces),
            "{printer}"
        );
        let cut_down = record.sheets.iter().filter(|sheet| sheet.from.is_none()).count();
        assert_eq!(cut_down, wholes, "{printer} from {sheets}");
        assert_eq!(record.totals.new_sheets as usize, wholes, "{printer} from {sheets}");
    }
}

#[test]
fn what_falls_off_is_used_for_other_pieces() {
    let spec = story("{chalk: {color: '#ffffff', sheets: {12 x 12: 2}}}", "", 3)
        .replace("pieces: []", "pieces: [{panel: {id: tall, paper: chalk, size: 3 x 11}}, {circle: {paper: chalk, diameter: 3/8}}]");
    let record = record_of(&spec).expect("one sheet is enough");
    check(&record);
    assert_eq!(record.totals.new_sheets, 1);
    assert_eq!(record.papers[0].new_sheets, 1);
    assert!((record.totals.sheet_area - 144.0).abs() < 1e-6, "{}", record.totals.sheet_area);
    let ids: Vec<(&str, Option<&str>)> =
        record.sheets.iter().map(|sheet| (sheet.id.as_str(), sheet.from.as_deref())).collect();
    assert_eq!(ids[..2], [("chalk-1", None), ("chalk-2", Some("chalk-1"))]);
    assert!(record.sheets[0].parts.len() >= 2, "{:?}", record.sheets[0].parts);
    assert!(record.sheets[0].used > 0.2);
}

#[test]
fn pieces_printed_before_they_are_cut_come_from_larger_paper_too() {
    let spec = "name: Tags\npapers: {chalk: {color: '#ffffff', sheets: {12 x 12: 3}}}\nsingle:\n  pieces:\n    \
                - circle: {id: sun, paper: chalk, diameter: 3, print: {ground: '#e9a93c'}}\n    \
                - circle: {id: moon, paper: chalk, diameter: 5, print: {ground: '#b0c0d0'}}\n";
    let record = record_of(spec).expect("a good spec");
    check(&record);
    let sheets = record.printed_before_cut();
    assert_eq!(sheets.len(), 1);
    assert_eq!((sheets[0].size, sheets[0].marks.len()), ([8.5, 11.0], 4));
    assert_eq!(record.papers[0].new_sheets, 1);
    assert!(cut_svg(&record, sheets[0]).is_some());
    // Cut again, it needs another sheet cut down.
    let fonts = FontBook::default();
    let wanted = [Redo::Piece("single.sun".into())];
    let layout =
        redo_layout(&Chain::of(record.clone()), &wanted, &fonts).expect("a piece of the record");
    let again = plan::record(&layout).expect("paper is left");
    check(&again);
    assert_eq!(again.sheets[0].from, None);
    assert_eq!(again.papers[0].left[0].count, 1);
}

#[test]
fn a_redo_of_the_whole_sheet_does_its_parts_again() {
    let spec = story("{chalk: {color: '#ffffff', sheets: {12 x 12: 3}}}", "", 3);
    let first = record_of(&spec).expect("a good spec");
    let fonts = FontBook::default();
    for (sheet, offcuts) in [("chalk-1", 0), ("chalk-2", 2)] {
        let wanted = [Redo::Sheet(sheet.into())];
        let layout =
            redo_layout(&Chain::of(first.clone()), &wanted, &fonts).expect("a sheet of the record");
        assert_eq!(layout.strips.len(), 3, "{sheet}");
        let kept = layout.papers[0].stock.iter().filter(|stock| stock.offcut.is_some()).count();
        assert_eq!(kept, offcuts, "{sheet}: what fell off a sound sheet is on hand");
        check(&plan::record(&layout).expect("paper is left"));
    }
}

#[test]
fn without_any_such_paper_it_is_said() {
    for (papers, told) in [
        ("{chalk: {color: '#ffffff', sheets: {8 x 12: 9}}}", "or a larger one to cut it from"),
        (
            "{chalk: {color: '#ffffff', turn: never, sheets: {11 x 8.5: 9}}}",
            "its direction forbids",
        ),
    ] {
        let problems = strict_record_of(&story(papers, "", 3)).expect_err("refused").0;
        assert!(problems[0].message.contains("to print the story on"), "{problems:?}");
        assert!(problems[0].help.contains(told), "{problems:?}");
    }
}

/// Guide and proof name the sheet that a part becomes, and the page that is printed on it.
#[test]
fn guide_and_proof_say_to_cut_first() {
    let yaml = story("{chalk: {color: '#ffffff', sheets: {12 x 12: 1}}}", "", 3);
    let layout =
        lay_out(&description::parse(&yaml).expect("read"), Path::new("."), &FontBook::default());
    let layout = layout.expect("a good spec");
    let record = plan::record(&layout).expect("enough paper");
    let label = FontBook::default().find("text").expect("built in");
    let html = proof_html(&record, &Svg::default(), &label, &SmallCopies::default());
    assert!(html.contains("sheet chalk-2, for page 1 of print/strips.pdf"));
    assert!(html.contains("cut from sheet chalk-1"));
    let pdf = guide_pdf(&record, &label).expect("drawn");
    let (cut, printed) = ("(chalk-1: chalk", "(chalk-2: chalk, cut from chalk-1");
    let at = |text: &str| pdf.windows(text.len()).position(|window| window == text.as_bytes());
    assert!(at(cut).expect(cut) < at(printed).expect(printed));
}
