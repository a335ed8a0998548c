//! Torn edges: what is cut is larger by what is torn off, what lies on the page is as large as the spec says.

use crate::support::spreads::{layout_of, record_of};
use cutleaf::description::Problems;
use cutleaf::layout::{Layout, PlacedPiece};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Tool;
use cutleaf::plan::{Chain, Redo, redo_layout};
use kurbo::{Rect, Shape};

const HEAD: &str = "name: Marsh
papers:
  reed: {color: '#7c8f5a', sheets: {12 x 12: 9}}
  tall: {color: '#d8bf93', sheets: {8.5 x 11: 9}}
  mud: {color: '#6b5a45', offcuts: [{size: 3 x 3}]}
photos: {heron: {size: 6 x 8}}
single:
  pieces:
";

fn laid(element: &str) -> Result<Layout, Problems> {
    layout_of(&format!("{HEAD}    - {element}\n"))
}

fn it(layout: &Layout) -> &PlacedPiece {
    layout.pieces.iter().find(|piece| piece.id == "single.it").expect("the piece")
}

fn near(one: [f64; 4], other: [f64; 4]) -> bool {
    one.iter().zip(other).all(|(one, other)| (one - other).abs() < 1e-6)
}

/// The element, how large it is cut, where it lies on its page (left, top, width, height), and a word of the
/// warning if there is one.
const TORN: [(&str, [f64; 2], [f64; 4], &str); 13] = [
    (
        "panel: {id: it, paper: reed, size: 1 page x 1 3/4, at: {bottom: 0}, torn: [top]}",
        [12.0, 2.0],
        [0.0, 10.25, 12.0, 1.75],
        "",
    ),
    (
        "panel: {id: it, paper: reed, size: 3 x 2, at: [1, 1], torn: {edges: [top, left], allowance: 3/8}}",
        [3.375, 2.375],
        [1.0, 1.0, 3.0, 2.0],
        "",
    ),
    (
        "rectangle: {id: it, paper: reed, size: 3 x 2, at: {right: 0}, torn: {edges: [right], allowance: 0}}",
        [3.0, 2.0],
        [9.0, 0.0, 3.0, 2.0],
        "",
    ),
    (
        "strip: {id: it, paper: reed, width: 1, at: {middle: 6}, torn: [top, bottom]}",
        [12.0, 1.5],
        [0.0, 5.5, 12.0, 1.0],
        "",
    ),
    (
        "panel: {id: it, paper: reed, size: 3 x 2, turn: 90, at: {right: 0, top: 1}, torn: [top]}",
        [3.0, 2.25],
        [10.0, 1.0, 2.0, 3.0],
        "",
    ),
    (
        "rectangle: {id: it, paper: reed, size: 3 x 2, at: [1, 1], tool: machine, torn: [bottom]}",
        [3.0, 2.25],
        [1.0, 1.0, 3.0, 2.0],
        "",
    ),
    // No sheet is larger.
    (
        "panel: {id: it, paper: reed, size: 12 x 12, torn: [top]}",
        [12.0, 12.0],
        [0.0, 0.0, 12.0, 12.0],
        "no paper to tear off at the top",
    ),
    (
        "panel: {id: it, paper: reed, size: 12 x 11 7/8, torn: [top]}",
        [12.0, 12.0],
        [0.0, 0.0, 12.0, 11.875],
        "has 1/8 in to tear off at the top instead of 1/4 in",
    ),
    (
        "panel: {id: it, paper: reed, size: 11 3/4 x 12, torn: [left, right]}",
        [12.0, 12.0],
        [0.0, 0.0, 11.75, 12.0],
        "has 1/8 in to tear off at the right and the left",
    ),
    // What is too long across its sheet is cut along it.
    (
        "panel: {id: it, paper: tall, size: 10 1/2 x 6, torn: [left]}",
        [10.75, 6.0],
        [0.0, 0.0, 10.5, 6.0],
        "",
    ),
    (
        "panel: {id: it, paper: tall, size: 10 1/2 x 8 3/8, torn: [left, top]}",
        [10.75, 8.5],
        [0.0, 0.0, 10.5, 8.375],
        "1/8 in to tear off at the top instead",
    ),
    // Of a paper without sheets, the usual ones can be bought.
    (
        "panel: {id: it, paper: mud, size: 11 7/8 x 2, torn: [left]}",
        [12.0, 2.0],
        [0.0, 0.0, 11.875, 2.0],
        "1/8 in to tear off at the left instead",
    ),
    (
        "panel: {id: it, paper: mud, size: 9 x 2, torn: [left]}",
        [9.25, 2.0],
        [0.0, 0.0, 9.0, 2.0],
        "",
    ),
];

#[test]
fn what_is_torn_is_cut_larger_and_lies_as_large_as_it_is_written() {
    for (element, cut, on_page, warning) in TORN {
        let layout = laid(element).unwrap_or_else(|problems| panic!("{element}: {problems:?}"));
        let piece = it(&layout);
        assert_eq!(piece.size.to_inches(), cut, "{element}");
        let found = piece.on_page().bounding_box();
        let found = [found.x0, found.y0, found.width(), found.height()];
        assert!(near(found, on_page), "{element}: {found:?}");
        let told = layout.warnings.iter().filter(|one| one.kind == "little to tear off");
        let told: Vec<&str> = told.map(|one| one.message.as_str()).collect();
        match warning {
            "" => assert!(told.is_empty(), "{element}: {told:?}"),
            warning => assert!(told.len() == 1 && told[0].contains(warning), "{element}: {told:?}"),
        }
        let record = cutleaf::plan::record(&layout)
            .unwrap_or_else(|problems| panic!("{element}: {problems:?}"));
        let kept = record.pieces.iter().find(|piece| piece.id == "single.it").expect("kept");
        assert_eq!(kept.size, cut, "{element}");
        assert!((kept.area - cut[0] * cut[1]).abs() < 1e-6, "{element}: {}", kept.area);
        let torn = kept.torn.as_ref().expect("torn");
        let off = [torn.allowance.left, torn.allowance.right].into_iter().flatten().sum::<f64>();
        assert!((torn.finished.size[0] + off - cut[0]).abs() < 1e-6, "{element}");
        let off = [torn.allowance.top, torn.allowance.bottom].into_iter().flatten().sum::<f64>();
        assert!((torn.finished.size[1] + off - cut[1]).abs() < 1e-6, "{element}");
        // Nothing is torn deeper than 1/8 in.
        let [width, height] = torn.finished.size;
        let seen = kept.seen();
        assert!(seen.area() > (width - 0.26) * (height - 0.26) && seen.area() < width * height);
        // It comes back from the record as it was.
        let again = Redo::Piece("single.it".into());
        let again =
            redo_layout(&Chain::of(record), &[again], &FontBook::new(vec![])).expect("redone");
        let (again, built) = (it(&again), it(&layout));
        assert_eq!(
            (again.size, again.at, again.tool),
            (built.size, built.at, built.tool),
            "{element}"
        );
        let off = |piece: &PlacedPiece| piece.finished.as_ref().and_then(|one| one.torn.clone());
        assert_eq!(off(again), off(built), "{element}");
    }
}

#[test]
fn notes_tell_what_to_tear_off_and_which_way() {
    for (torn, told) in [
        ("[top]", "cut 3 x 2 1/4 in, tear 1/4 in off the top edge, towards you: 3 x 2 in is left"),
        (
            "[top, left]",
            "cut 3 1/4 x 2 1/4 in, tear 1/4 in off the top and left edges, towards you: 3 x 2 in is left",
        ),
        (
            "{edges: [left], allowance: 0}",
            "cut 3 x 2 in, tear along the left edge, towards you: up to 1/8 in deep",
        ),
    ] {
        let element = format!("panel: {{id: it, paper: reed, size: 3 x 2, torn: {torn}}}");
        let layout = laid(&element).expect("sound");
        let notes = &it(&layout).notes;
        assert_eq!(notes[0], told);
        assert!(notes[1].contains("towards you") && notes[1].contains("core shows"), "{notes:?}");
    }
}

/// Score lines are written from the edges of what lies on the page, and pressed before anything is torn.
#[test]
fn score_lines_are_moved_by_what_is_torn_off() {
    let layout = laid("panel: {id: it, paper: reed, size: 3 x 2, torn: [top, left], score: [{across: 1}], perforate: [{down: 1/2}]}").expect("sound");
    let piece = it(&layout);
    let lines: Vec<Rect> =
        piece.drawing.lines.iter().map(|line| line.path.bounding_box()).collect();
    let wanted = [[0.0, 1.25, 3.25, 1.25], [0.75, 0.0, 0.75, 2.25]];
    for (line, wanted) in lines.iter().zip(wanted) {
        assert!(near([line.x0, line.y0, line.x1, line.y1], wanted), "{lines:?}");
    }
    assert!(
        piece.notes.iter().any(|note| note.contains("from the top: 1 1/4 in")),
        "{:?}",
        piece.notes
    );
}

/// The print runs to the cut and beyond; words stand where they aren't torn off.
#[test]
fn what_is_torn_can_be_printed() {
    let layout = laid("rectangle: {id: it, paper: tall, size: 3 x 1, at: [1, 1], torn: {edges: [left], allowance: 3/4}, print: {ground: '#204060', text: reeds, size: 14 pt}}").expect("sound");
    let piece = it(&layout);
    assert_eq!(piece.tool, Tool::Machine);
    let print = piece.print.as_ref().expect("printed");
    let field = print.field.bounding_box();
    assert!(
        near([field.x0, field.y0, field.x1, field.y1], [-0.0625, -0.0625, 3.8125, 1.0625]),
        "{field:?}"
    );
    let text = print.text.as_ref().expect("words");
    let first = &text.runs[0].glyphs[0];
    assert!(first.x > 0.75 + 0.125, "{}", first.x);
    let record = cutleaf::plan::record(&layout).expect("enough paper");
    assert!(record.sheets.iter().any(|sheet| sheet.in_register.is_some()));
}

/// The middle below a photo is cut out within what is left of a torn panel.
#[test]
fn what_is_torn_can_be_gutted() {
    let yaml = format!(
        "{HEAD}    - panel: {{id: it, paper: reed, size: 8 x 10, at: [1, 1], torn: {{edges: [top, left], allowance: 1}}}}\n    - photo: {{photo: heron, at: {{on: it}}}}\n"
    );
    let layout = layout_of(&yaml).expect("sound");
    let middle = it(&layout).middles.first().expect("a middle").to_inches();
    // The photo covers 2 to 8 and 2 to 10 of the page; the panel's sheet begins 1 in left of and above it.
    assert_eq!((middle.at, middle.size), ([2.5, 2.5], [5.0, 7.0]));
}

#[test]
fn what_can_not_be_torn_is_told() {
    for (element, told) in [
        ("circle: {paper: reed, diameter: 2, torn: [top]}", "only panels, strips and rectangles"),
        ("panel: {paper: reed, size: 2 x 2, torn: {edges: [top], allowance: -1/4}}", "less than 0"),
        ("panel: {paper: reed, size: 2 x 2, torn: {edges: [topp]}}", "`topp` is not an edge"),
        ("panel: {paper: reed, size: 2 x 2, torn: {allowance: 1/4}}", "edges"),
        ("panel: {paper: reed, size: 2 x 2, torn: {edges: [top], depth: 1}}", "depth"),
        ("panel: {paper: reed, size: 2 x 2, torn: top}", "`torn: [top]`"),
        ("photo: {photo: heron, torn: [top]}", "a photo without a mat"),
    ] {
        let problems = laid(element).err().unwrap_or_else(|| panic!("{element} went through"));
        assert!(problems.0[0].to_string().contains(told), "{element}: {problems:?}");
    }
    let yaml = HEAD.replace("single:", "right: {}\nleft:");
    let yaml = format!(
        "{yaml}    - strip: {{paper: reed, width: 1, across: spread, torn: [top, left]}}\n"
    );
    let problems = layout_of(&yaml).expect_err("torn at the gutter");
    assert!(problems.0[0].message.contains("at the gutter"), "{problems:?}");
    assert!(record_of(&yaml.replace("[top, left]", "[top]")).is_ok());
}

/// The core shows within the outline, along the torn edge alone, at most as wide as a tear is deep.
#[test]
fn the_core_shows_along_torn_edges() {
    let core = |written: &str| {
        let head = HEAD.replace("{color: '#7c8f5a',", &format!("{{color: '#7c8f5a', {written}"));
        let panel = "panel: {id: it, paper: reed, size: 6 x 4, at: [1, 1], torn: [bottom]}";
        record_of(&format!("{head}    - {panel}\n"))
    };
    for (written, color) in
        [("", None), ("core: white,", Some("#ffffff")), ("core: '#e8e2d4',", Some("#e8e2d4"))]
    {
        let record = core(written).expect("sound");
        let piece = record.pieces.iter().find(|piece| piece.id == "single.it").expect("there");
        let torn = piece.torn.as_ref().expect("torn");
        assert_eq!(torn.core.as_ref().map(|core| core.as_str()), color, "{written}");
        let outline = piece.seen();
        let face = kurbo::BezPath::from_svg(&torn.finished.faces[0].path).expect("a path");
        let bare = outline.area() - face.area();
        let font = FontBook::new(vec![]).find("text").expect("built in");
        let picture =
            cutleaf::emit::spread::spread_svg(&record, &[], &font, &Default::default()).document();
        let Some(color) = color else {
            assert!(bare.abs() < 1e-6, "{bare}");
            continue;
        };
        // 6 in of tear, the core between 0.2 and 1 times 3/32 in wide.
        assert!(bare > 6.0 * 0.019 && bare < 6.0 * 0.094, "{bare}");
        let [outline, face] = [outline, face].map(|path| path.bounding_box());
        assert!(near([face.x0, face.y0, face.x1, 0.0], [0.0, 0.0, outline.x1, 0.0]), "{face:?}");
        assert!(face.y1 < outline.y1 - 0.015, "{face:?}");
        assert!(picture.contains(&format!("fill=\"{color}\"")), "{written}");
    }
    let problems = core("core: snow,").expect_err("no colour");
    assert!(problems.0[0].message.contains("`snow` is no colour of a core"), "{problems:?}");
}
