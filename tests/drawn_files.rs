//! Foreign drawings come in true to size, in our processes, and what can not be cut is refused.

use std::time::{Duration, Instant};

use cutleaf::geometry::boolean::contours;
use cutleaf::model::Process;
use cutleaf::svg_import::{Fit, read_svg};
use kurbo::Shape;

use crate::outlines::close_to;

const PI: f64 = std::f64::consts::PI;

fn svg(inside: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="4in" height="2in" viewBox="0 0 400 200">{inside}</svg>"#
    )
}

#[test]
fn the_kite_comes_in_true_to_size() {
    let text = include_str!("../templates/kite-day/kite.svg");
    let kite = read_svg(text, Fit::RealSize).unwrap();
    assert!(close_to(kite.size()[0], 3.0, 1e-4) && close_to(kite.size()[1], 4.9, 1e-4));
    let nested: Vec<usize> = contours(&kite.outline).iter().map(|one| one.depth).collect();
    assert_eq!(nested.iter().filter(|depth| **depth == 0).count(), 1, "loose parts: {nested:?}");
    assert!(nested.iter().filter(|depth| **depth == 1).count() >= 2, "no windows: {nested:?}");
    assert_eq!(kite.lines.len(), 2);
    assert!(kite.lines.iter().all(|line| line.process == Process::Score));
    let spine = kite.lines[0].path.bounding_box();
    assert!(close_to(spine.x0, 1.5, 1e-4) && close_to(spine.y0, 0.14, 1e-4));
}

#[test]
fn shapes_are_united_and_keep_their_holes() {
    let text = svg(
        r#"<g transform="translate(50 50) scale(.5)"><rect width="200" height="200"/><circle cx="200" cy="100" r="100"/></g>
           <path fill-rule="evenodd" d="M200 0H400V200H200Z M250 50H350V150H250Z"/>"#,
    );
    let drawing = read_svg(&text, Fit::RealSize).unwrap();
    let wanted = 1.0 + PI / 8.0 + 3.0;
    assert!(close_to(drawing.outline.area(), wanted, 2e-3), "{}", drawing.outline.area());
    assert_eq!(contours(&drawing.outline).iter().filter(|one| one.depth == 1).count(), 1);
}

#[test]
fn an_unfilled_shape_in_paper_is_a_window() {
    let text = svg(
        r#"<g fill="none" stroke="black"><circle cx="100" cy="100" r="50"/><rect width="200" height="200"/>
           <circle cx="100" cy="100" r="20"/></g>"#,
    );
    let drawing = read_svg(&text, Fit::RealSize).unwrap();
    assert!(close_to(drawing.outline.area(), 4.0 - PI * 0.25 + PI * 0.04, 1e-3));
}

#[test]
fn drawings_are_made_as_large_as_asked() {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 0H40V20H0Z"/></svg>"#;
    for (fit, size) in [
        (Fit::Width(3.0), [3.0, 1.5]),
        (Fit::Height(3.0), [6.0, 3.0]),
        (Fit::Within([2.0, 2.0]), [2.0, 1.0]),
        (Fit::Within([8.0, 1.0]), [2.0, 1.0]),
    ] {
        let found = read_svg(text, fit).unwrap().size();
        assert!(
            close_to(found[0], size[0], 1e-5) && close_to(found[1], size[1], 1e-5),
            "{found:?}"
        );
    }
}

#[test]
fn millimetres_are_true() {
    let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="50.8mm" height="2.54cm"><rect width="100%" height="100%"/></svg>"#;
    let found = read_svg(text, Fit::RealSize).unwrap().size();
    assert!(close_to(found[0], 2.0, 1e-5) && close_to(found[1], 1.0, 1e-5), "{found:?}");
}

#[test]
fn lines_take_their_process_from_id_class_or_label() {
    let text = svg(
        r##"<rect width="400" height="200"/><path id="fold" d="M0 0L9 9Z" style="display:none"/>
           <g fill="none" stroke="red"><path class="my score-line" d="M0 100H400"/>
           <g id="pen-2"><path d="M10 10H90"/><circle r="9" cx="50" cy="50"/></g>
           <g xmlns:x="urn:x" x:label="perforate"><line id="tear" x1="200" y1="0" x2="200" y2="200"/></g>
           <g id="score"><use href="#stem"/></g></g>
           <defs><path id="stem" d="M300 0V200"/></defs>"##,
    );
    let drawing = read_svg(&text, Fit::RealSize).unwrap();
    let processes: Vec<&str> = drawing.lines.iter().map(|line| line.process.name()).collect();
    assert_eq!(processes, ["score", "pen", "pen", "perforate", "score"]);
    assert!(close_to(drawing.outline.area(), 8.0, 1e-6));
}

#[test]
fn what_cannot_be_cut_is_refused_by_name() {
    let many = r#"<rect width="9" height="9"/>"#.repeat(2_001);
    let deep = "<g>".repeat(5_000) + "<rect/>" + &"</g>".repeat(5_000);
    let cases = [
        (
            r#"<path id="lace" d="M0 0L9 9L9 0" fill="none" stroke="black"/>"#,
            "`lace` is an open path",
        ),
        ("\n<path d='M0 0L9 9L9 0'/>", "the <path> in line 2 is an open path"),
        (r#"<rect width="9" height="9"/><text id="name">dunes</text>"#, "`name` is text"),
        (r#"<image id="sky" href="/etc/hostname"/>"#, "`sky` is a picture"),
        (r#"<image href="data:image/png;base64,AAAA"/>"#, "is a picture"),
        (
            r##"<clipPath id="c"><rect width="5" height="5"/></clipPath><g id="sail" clip-path="url(#c)"><rect width="9" height="9"/></g>"##,
            "`sail` is clipped",
        ),
        (
            r##"<mask id="m"><rect width="5" height="5" fill="white"/></mask><g id="sail" mask="url(#m)"><rect width="9" height="9"/></g>"##,
            "`sail` is masked",
        ),
        (r##"<use id="far" href="other.svg#kite"/>"##, "`far` names an outside file"),
        (
            r##"<use id="far" xlink:href="http://localhost/kite.svg#a"/>"##,
            "`far` names an outside file",
        ),
        (
            r##"<rect id="far" width="9" height="9" style="fill:url(file:///etc/passwd)"/>"##,
            "`far` names an outside file",
        ),
        ("<style>@import 'a.css';</style>", "names an outside file"),
        ("<script>alert(1)</script>", "is a script"),
        (
            r#"<rect id="ghost" width="9" height="9" fill="none"/>"#,
            "`ghost` has neither a fill nor a stroke",
        ),
        (
            r#"<rect id="huge" width="1e30" height="9"/>"#,
            "`huge`|would be|no closed shape|no place on paper",
        ),
        ("", "no closed shape"),
        (many.as_str(), "more than 2000 paths"),
        (deep.as_str(), "nested more than"),
        ("<g>", "is no SVG"),
    ];
    for (inside, named) in cases {
        let error = read_svg(&svg(inside), Fit::RealSize).expect_err(named);
        assert!(
            named.split('|').any(|name| error.message.contains(name)),
            "`{}` doesn't say `{named}`",
            error.message
        );
        assert!(!error.help.is_empty());
    }
}

#[test]
fn a_drawing_without_a_real_size_asks_for_one() {
    for size in [
        "",
        r#"width="100%" height="100%""#,
        r#"width="300" height="200""#,
        r#"width="300px" height="2in""#,
        r#"width="-3in" height="2in""#,
    ] {
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 9 9"><rect width="9" height="9"/></svg>"#
        );
        let error = read_svg(&text, Fit::RealSize).expect_err(size);
        assert!(error.message.contains("real size"), "{size}: {}", error.message);
    }
}

#[test]
fn sizes_that_cannot_be_cut_are_refused() {
    let text = svg(r#"<rect width="9" height="9"/>"#);
    for fit in [Fit::Width(0.0), Fit::Height(-1.0), Fit::Width(f64::NAN), Fit::Within([1.0, 1e9])] {
        assert!(read_svg(&text, fit).is_err(), "{fit:?}");
    }
}

#[test]
fn hostile_files_end_in_a_message_at_once() {
    let mut bomb = String::from("<defs><rect id='a0' width='9' height='9'/>");
    for level in 1..40 {
        let below = level - 1;
        let copies = format!("<use href='#a{below}'/>").repeat(10);
        bomb += &format!("<g id='a{level}'>{copies}</g>");
    }
    bomb += "</defs><use href='#a39'/>";
    let mut chain = String::from("<rect id='c0' width='9' height='9'/>");
    for level in 1..9_000 {
        chain += &format!("<use id='c{level}' href='#c{}'/>", level - 1);
    }
    let scribble: String = (0..50_000_u32)
        .map(|step| format!("L{} {}", step * 7_919 % 400, step * 104_729 % 200))
        .collect();
    let texts = [
        svg(&bomb),
        svg(&chain),
        svg("<use id='x' href='#y'/><g id='y'><use href='#x'/></g>"),
        svg("<g id='x'><use href='#x'/></g>"),
        svg(&format!("<path d='M0 0{scribble}Z'/>")),
        svg(&"<g>".repeat(200_000)),
        svg(&("<g>".repeat(200_000) + &"</g>".repeat(200_000))),
        "<!DOCTYPE s [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]><svg xmlns='http://www.w3.org/2000/svg'>&b;</svg>".to_owned(),
        "<?xml-stylesheet href='a.css'?><svg xmlns='http://www.w3.org/2000/svg'/>".to_owned(),
        "x".repeat(6_000_000),
        "\u{0}\u{1}<svg".to_owned(),
        String::new(),
    ];
    for (index, text) in texts.iter().enumerate() {
        let begin = Instant::now();
        let error = read_svg(text, Fit::RealSize).expect_err(&format!("file {index}"));
        let taken = begin.elapsed();
        println!("{index}: {taken:?} {}", error.message);
        assert!(taken < Duration::from_secs(2), "file {index} took {taken:?}: {error}");
    }
}
