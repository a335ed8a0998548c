//! Lines of an imported drawing told apart by their colour, and cut off where they leave the paper.

use std::fs;

use cutleaf::description;
use cutleaf::geometry::clip::Paper;
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{Color, Process};
use cutleaf::svg_import::{Fit, read_svg, read_svg_by_color};
use kurbo::{BezPath, PathEl, Shape};

use crate::support::line_number;

const KITE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="4in" viewBox="0 0 4 4">
<path d="M2 0L4 2L2 4L0 2Z" fill="#e2725b"/>
<path d="M2 0L2 4" fill="none" stroke="#ff0000" stroke-width="0.02"/>
<g id="pen"><path d="M1 2L3 2" fill="none" stroke="#ff0000" stroke-width="0.02"/></g>
<path d="M1.5 2A.5 .5 0 1 0 2.5 2A.5 .5 0 1 0 1.5 2Z" fill="none" stroke="#0000FF" stroke-width="0.02"/>
</svg>"##;

fn of(colors: &[(&str, Process)]) -> Result<cutleaf::geometry::Drawing, String> {
    let colors: Vec<_> = colors
        .iter()
        .map(|(color, process)| (Color::parse(color).expect(color), *process))
        .collect();
    read_svg_by_color(KITE, Fit::RealSize, &colors).map_err(|error| error.to_string())
}

#[test]
fn colors_tell_the_process_and_ids_have_the_last_word() {
    // An open line that is nothing but cut is refused.
    let refused = read_svg(KITE, Fit::RealSize).expect_err("an open path");
    assert!(refused.help.contains("processes"), "{refused}");
    let drawing = of(&[("#FF0000", Process::Score)]).expect("sound");
    let processes: Vec<Process> = drawing.lines.iter().map(|line| line.process).collect();
    assert_eq!(processes, [Process::Score, Process::Pen]);
    // The ring is still a window.
    let window = std::f64::consts::PI * 0.25;
    assert!((drawing.outline.area().abs() - (8.0 - window)).abs() < 1e-3);
    let perforated = of(&[("#ff0000", Process::Score), ("#0000ff", Process::Perforate)]);
    let perforated = perforated.expect("sound");
    assert_eq!(perforated.lines.len(), 3);
    assert!((perforated.outline.area().abs() - 8.0).abs() < 1e-6);
}

#[test]
fn a_color_that_no_line_has_is_told() {
    let told = of(&[("#ff0000", Process::Score), ("#00ff00", Process::Pen)]).expect_err("no green");
    assert!(told.contains("#00ff00") && told.contains("#0000ff"), "{told}");
}

/// A 2 in square with a window of 1/2 in in its middle, and lines on it, laid out as a spec asks.
fn laid(lines: &str) -> Layout {
    let folder = tempfile::tempdir().expect("a folder");
    let drawing = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="2in" height="2in" viewBox="0 0 2 2">
<path d="M0 0H2V2H0ZM.75 .75V1.25H1.25V.75Z" fill="#e2725b"/><g fill="none" stroke="#000000" stroke-width="0.01">{lines}</g></svg>"##
    );
    fs::write(folder.path().join("tile.svg"), drawing).expect("written");
    let yaml = "name: Tile\npapers: {coral: {color: '#e2725b', sheets: {12 x 12: 1}}}\nsingle:\n  pieces:\n    - shape: {id: tile, paper: coral, file: tile.svg}\n";
    let spec = description::parse(yaml).expect("a spec");
    lay_out(&spec, folder.path(), &FontBook::new(vec![])).expect("sound")
}

#[test]
fn lines_end_where_their_paper_ends_and_that_is_told() {
    // Lines, lengths of what is left of each stretch, and what the warnings say.
    let half_moon = std::f64::consts::PI * 0.25;
    let cases: [(&str, &[f64], &[&str]); 7] = [
        (
            r#"<path id="perforate" d="M-.5 .5H9"/>"#,
            &[2.0],
            &["`tile.svg`: 7 1/2 in of its lines to perforate lie off the paper and are left out"],
        ),
        (
            r#"<path id="pen" d="M0 1H2"/>"#,
            &[0.75, 0.75],
            &["`tile.svg`: 1/2 in of its lines to draw with a pen"],
        ),
        (
            r#"<path id="score" d="M.5 3H1.5"/><path id="score-2" d="M.5 .5H1.5"/>"#,
            &[1.0],
            &[
                "1 in of its lines to score lie off the paper and are left out; 1 line lies off it as a whole",
            ],
        ),
        // A circle of radius 1/4 round a corner keeps its inner quarter, one on the edge its half.
        (
            r#"<path id="pen" d="M.25 0A.25 .25 0 1 1 -.25 0A.25 .25 0 1 1 .25 0Z"/>"#,
            &[half_moon / 2.0],
            &["pen"],
        ),
        (r#"<path id="pen" d="M0 .5A.5 .5 0 0 0 0 1.5"/>"#, &[], &["1 line lies off it"]),
        // What lies on the edge, or ends there, is as it was.
        (r#"<path id="score" d="M0 0H2V2"/><path id="score-2" d="M0 .5L2 .5"/>"#, &[4.0, 2.0], &[]),
        (
            r#"<path id="pen" d="M.1 .1L3 3"/><path id="score" d="M.1 .1L.1 3"/>"#,
            &[0.65 * 2.0_f64.sqrt(), 0.75 * 2.0_f64.sqrt(), 1.9],
            &["to draw with a pen", "to score"],
        ),
    ];
    for (lines, left, says) in cases {
        let layout = laid(lines);
        let mut lengths: Vec<f64> = Vec::new();
        for line in &layout.pieces[0].drawing.lines {
            for part in cutleaf::geometry::boolean::subpaths(&line.path) {
                lengths.push(
                    part.segments().map(|one| kurbo::ParamCurveArclen::arclen(&one, 1e-9)).sum(),
                );
            }
        }
        assert_eq!(lengths.len(), left.len(), "{lines}: {lengths:?}");
        for (length, wanted) in lengths.iter().zip(left) {
            assert!((length - wanted).abs() < 1e-4, "{lines}: {length} is not {wanted}");
        }
        let told: Vec<&str> = layout.warnings.iter().map(|one| one.message.as_str()).collect();
        assert_eq!(told.len(), says.len(), "{lines}: {told:?}");
        for (message, says) in told.iter().zip(says) {
            assert!(message.contains(says), "{message} has no `{says}`");
        }
        assert!(
            layout
                .warnings
                .iter()
                .all(|one| one.kind == "line off the paper" && line_number(one.line) == 5)
        );
    }
}

#[test]
fn clipped_curves_stay_curves() {
    let square = BezPath::from_svg("M0 0H2V2H0Z").expect("a path");
    let wave = BezPath::from_svg("M-1 1C0 -1 1 3 3 1").expect("a path");
    let clipped = Paper::of(&square).clip(&wave).expect("few segments");
    let curves = clipped.kept.elements().iter().filter(|one| matches!(one, PathEl::CurveTo(..)));
    assert_eq!(curves.count(), 1);
    let bounds = clipped.kept.bounding_box();
    assert!(bounds.x0.abs() < 1e-6 && (bounds.x1 - 2.0).abs() < 1e-6, "{bounds:?}");
    let [whole, kept] = [&wave, &clipped.kept].map(|path| path.perimeter(1e-9));
    assert!((whole - kept - clipped.cut_off).abs() < 1e-4);
}
