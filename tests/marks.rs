//! Registration marks: where the spec wants them, clear of every piece, the same in every file.

use cutleaf::emit::cut_svg::cut_svg;
use cutleaf::emit::marks::lines;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan::{self, Chain, Redo, redo_layout};
use cutleaf::record::{Mark, MarkKind, Record, Sheet};
use kurbo::{BezPath, Shape};

use crate::support::spreads::record_of;

const SUN: &str = "name: Sun
papers:
  coral: {color: '#e2725b', sheets: {8.5 x 11: 3}}
single:
  pieces:
    - circle: {id: sun, paper: coral, diameter: 5}
    - panel: {id: sky, paper: coral, size: 8 x 3}
";

fn marked(more: &str) -> Record {
    let more = match more.contains("marks: {") {
        true => more.replace("marks: {", "marks: {on: every sheet, "),
        false => format!("{more}marks: {{on: every sheet}}\n"),
    };
    record_of(&format!("{SUN}{more}")).expect("a good spec")
}

fn sheet(record: &Record) -> &Sheet {
    let holds = |sheet: &&Sheet| sheet.placed.iter().any(|placed| placed.piece == "single.sun");
    record.sheets.iter().find(holds).expect("a sheet")
}

fn corners(sheet: &Sheet) -> [[f64; 2]; 4] {
    let part = sheet.machine.expect("a part for the machine");
    let ends = [0, 1].map(|axis| [part.at[axis], part.at[axis] + part.size[axis]]);
    let [[left, right], [top, bottom]] = ends;
    [[left, top], [right, top], [right, bottom], [left, bottom]]
}

fn inset(mark: &Mark, corner: [f64; 2]) -> [f64; 2] {
    [0, 1].map(|axis| (mark.at[axis] - corner[axis]) * f64::from(mark.toward[axis]))
}

#[test]
fn marks_sit_in_the_corners_of_the_machine_s_part() {
    let record = marked("");
    let sheet = sheet(&record);
    assert_eq!(sheet.marks.len(), 4);
    for (mark, corner) in sheet.marks.iter().zip(corners(sheet)) {
        let [across, down] = inset(mark, corner);
        assert!((across - down).abs() < 1e-9 && (0.06..=0.25).contains(&across), "{mark:?}");
        assert_eq!(mark.kind, MarkKind::Cross);
    }
    // A sheet of which nothing goes to the machine has none.
    let trimmed = record_of(
        &SUN.replace("circle", "rectangle").replace("diameter: 5", "size: 5 x 5, tool: trimmer"),
    );
    let trimmed = trimmed.expect("a good spec");
    assert!(trimmed.sheets.iter().all(|sheet| sheet.marks.is_empty()));
}

#[test]
fn a_sheet_bears_marks_only_if_its_print_does_or_the_spec_asks() {
    let printed = SUN.replace("diameter: 5", "diameter: 5, print: {ground: '#204060'}");
    for (spec, more, marks) in [
        (SUN, "", 0),
        (SUN, "marks: {kind: ring}\n", 0),
        (SUN, "marks: {on: printed sheets}\n", 0),
        (SUN, "marks: {on: every sheet}\n", 4),
        (SUN, "marks: {on: every sheet, kind: none}\n", 0),
        (&printed, "", 4),
        (&printed, "marks: {kind: none}\n", 0),
    ] {
        let record = record_of(&format!("{spec}{more}")).expect("a good spec");
        let sheet = sheet(&record);
        assert_eq!(sheet.marks.len(), marks, "{more}");
        let svg = cut_svg(&record, sheet).expect("a cut file");
        assert_eq!(svg.contains("register"), marks > 0, "{more}");
    }
}

#[test]
fn the_spec_says_how_marks_look() {
    let record = marked(
        "marks: {kind: corner, inset: 3/16, arm: 1/8, weight: 1/50}\ncutting: {machine margin: 1/2}\n",
    );
    let sheet = sheet(&record);
    assert_eq!(sheet.marks.len(), 4);
    for (mark, corner) in sheet.marks.iter().zip(corners(sheet)) {
        assert_eq!(inset(mark, corner), [0.1875, 0.1875]);
        assert_eq!((mark.kind, mark.arm, mark.weight), (MarkKind::Corner, 0.125, 0.02));
        // The arms run towards the middle.
        let bounds = lines(mark).bounding_box();
        let middle = |axis: usize, low: f64, high: f64| (low + high) / 2.0 - mark.at[axis];
        assert!(middle(0, bounds.x0, bounds.x1) * f64::from(mark.toward[0]) > 0.0);
        assert!(middle(1, bounds.y0, bounds.y1) * f64::from(mark.toward[1]) > 0.0);
    }
    let rings = marked("marks: {kind: ring}\n");
    let ring = &self::sheet(&rings).marks[0];
    assert!((lines(ring).area().abs() - std::f64::consts::PI * ring.arm * ring.arm).abs() < 1e-4);
    let none = marked("marks: {kind: none}\n");
    assert!(none.sheets.iter().all(|sheet| sheet.marks.is_empty()));
    let svg = cut_svg(&none, self::sheet(&none)).expect("a cut file");
    assert!(!svg.contains("register"), "{svg}");
}

#[test]
fn the_cut_file_draws_the_record_s_marks() {
    let record = marked("marks: {kind: ring, weight: 1/50}\n");
    let sheet = sheet(&record);
    let svg = cut_svg(&record, sheet).expect("a cut file");
    let document = roxmltree::Document::parse(&svg).expect("well-formed");
    let group = document.descendants().find(|node| node.attribute("id") == Some("register"));
    let drawn: Vec<_> =
        group.expect("a group").children().filter(|node| node.is_element()).collect();
    assert_eq!(drawn.len(), sheet.marks.len());
    for (path, mark) in drawn.iter().zip(&sheet.marks) {
        let there = BezPath::from_svg(path.attribute("d").expect("a path")).expect("path data");
        let (there, here) = (there.bounding_box(), lines(mark).bounding_box());
        assert!((there.x0 - here.x0).abs() + (there.y1 - here.y1).abs() < 1e-4);
        assert_eq!(path.attribute("stroke-width"), Some("0.02"));
    }
}

#[test]
fn a_mark_that_would_lie_on_a_piece_is_left_out_and_told() {
    let record = marked("marks: {inset: 1, arm: 3/4}\n");
    let sheet = sheet(&record);
    assert!(sheet.marks.len() < 4);
    let told: Vec<_> =
        record.warnings.iter().filter(|warning| warning.kind == "mark left out").collect();
    assert_eq!(told.len(), 4 - sheet.marks.len());
    assert!(told[0].message.contains("`single.sun`") && told[0].help.contains("machine margin"));
}

#[test]
fn bad_marks_are_told() {
    for (more, what) in [
        ("marks: {kind: dot}\n", "`dot`"),
        ("marks: {inset: 0}\n", "inset"),
        ("marks: {arm: -1}\n", "arm"),
        ("marks: {size: 1}\n", "size"),
        ("marks: {on: some}\n", "`some`"),
    ] {
        let problems = record_of(&format!("{SUN}{more}")).expect_err("bad input");
        assert!(problems.0.iter().any(|one| one.message.contains(what)), "{more}: {problems:?}");
    }
}

#[test]
fn a_redo_marks_its_sheets_alike() {
    let record = marked("marks: {kind: corner, inset: 1/8, arm: 1/16}\n");
    let again = [Redo::Piece("single.sun".into())];
    let layout =
        redo_layout(&Chain::of(record.clone()), &again, &FontBook::new(vec![])).expect("a redo");
    let redone = plan::record(&layout).expect("enough paper");
    assert_eq!(redone.mark_style, record.mark_style);
    assert!(redone.sheets[0].marks.iter().all(|mark| mark.kind == MarkKind::Corner));
    assert_eq!(redone.sheets[0].marks.len(), 4);
}
