//! Drawings, letters, folders of fonts and words from outside that no table could hold are refused before any
//! work is done on them. Bounds are counts, so what is asserted is the message; a hang is seen all the same.

use std::fs;
use std::path::Path;

use crate::bad_input_limits::HEAD;
use crate::support::font_tables::{font, tables, without};
use assert_cmd::Command;
use cutleaf::description::{self, Problems};
use cutleaf::layout::lay_out;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::svg_import::{Fit, read_svg};

/// Drawings by what makes them large, and what is said.
#[test]
fn drawings_beyond_a_table_are_refused() {
    let part = "<path d=\"M0 0L10 0L10 10z\"/>";
    let many =
        |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<String>();
    let weave = |count| many(count, &|at| format!("M{at} 0h.2v200h-.2zM0 {at}v.2h200v-.2z"));
    let rows = [
        (format!("<path d=\"M0 0L9 0L9 9{}\"/>", "z".repeat(100_000)), "again and again"),
        (
            format!("<path d=\"M0 0L9 0L9 9a{}z\"/>", " 0 0 0 0 0 0 0".repeat(20_000)),
            "again and again",
        ),
        (format!("<style>{}</style>{part}", ".a{fill:#000}".repeat(80_000)), "style sheet"),
        (format!("<style>{}path{{fill:#000}}</style>{part}", "g ".repeat(30)), "too involved"),
        (
            format!("<path style=\"{}\" d=\"M0 0L9 0L9 9z\"/>", "fill:#000;".repeat(90_000)),
            "a style of more than",
        ),
        (
            format!("<path {} d=\"M0 0z\"/>", many(100_000, &|at| format!("a{at}=\"1\" "))),
            "attributes",
        ),
        (many(16_000, &|at| format!("<g xmlns:n=\"u{at}\"/>")) + part, "namespaces"),
        (
            format!(
                "<path fill=\"none\" stroke=\"#000\" d=\"M0 0{}\"/>",
                "L1 2L3 1".repeat(100_000)
            ),
            "segments",
        ),
        (format!("<polygon points=\"{}\"/>", "1,2 3,1 ".repeat(80_000)), "segments"),
        (
            format!(
                "<defs><path id=\"p\" d=\"M0 0{}z\"/></defs>{}",
                "L1 2L3 1".repeat(9_000),
                "<use href=\"#p\"/>".repeat(900)
            ),
            "segments once copies are made",
        ),
        (
            format!(
                "<defs><pattern id=\"p\">{}</pattern></defs>{}",
                part.repeat(900),
                "<path fill=\"url(#p)\" d=\"M0 0L9 0L9 9z\"/>".repeat(900)
            ),
            "elements once copies are made",
        ),
        (format!("<path d=\"{}\"/>", weave(200)), "cross each other too often"),
    ];
    for (body, phrase) in rows {
        let text =
            format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{body}</svg>");
        let error = read_svg(&text, Fit::Width(3.0)).expect_err(phrase);
        assert!(error.message.contains(phrase), "{phrase}: {error}");
    }
    // A weave of a few strips, a lace of many windows and a drawn sun are none of these.
    let sun = many(180, &|at| {
        let (sine, cosine) = f64::to_radians(2.0 * at as f64).sin_cos();
        format!(
            "<path d=\"M100 100L{} {}L{} {}z\"/>",
            100.0 + 90.0 * cosine,
            100.0 + 90.0 * sine,
            100.0 + 90.0 * cosine + sine,
            100.0 + 90.0 * sine - cosine
        )
    });
    for body in [sun, format!("<path d=\"{}\"/>", weave(8))] {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 200 200\">{body}</svg>"
        );
        read_svg(&text, Fit::Width(3.0)).unwrap_or_else(|error| panic!("{error}"));
    }
}

/// The glyph of H, as simple outlines of points (OpenType specification, `glyf`).
fn glyph(contours: &[Vec<[i16; 2]>]) -> Vec<u8> {
    let count = i16::try_from(contours.len()).expect("few");
    let mut data: Vec<u8> =
        [count, 0, 0, 1000, 1000].iter().flat_map(|n| n.to_be_bytes()).collect();
    let mut points = 0_u16;
    for contour in contours {
        points += u16::try_from(contour.len()).expect("few");
        data.extend((points - 1).to_be_bytes());
    }
    data.extend([0, 0]);
    data.resize(data.len() + usize::from(points), 1);
    for axis in [0, 1] {
        let mut last = 0;
        for point in contours.iter().flatten() {
            data.extend((point[axis] - last).to_be_bytes());
            last = point[axis];
        }
    }
    data
}

/// What is said of a title in a font whose H is this glyph.
fn told_of(folder: &Path, contours: &[Vec<[i16; 2]>]) -> Problems {
    let mut tables = without(&[b"gvar", b"fvar"]);
    let count = tables.iter().find(|(tag, _)| tag == b"maxp").expect("has one").1[5];
    let mut drawn = glyph(contours);
    drawn.resize(drawn.len().next_multiple_of(4), 0);
    let end = u32::try_from(drawn.len()).expect("small");
    for (tag, data) in &mut tables {
        match &*tag {
            b"glyf" => *data = drawn.clone(),
            // Long offsets: nothing before the third glyph, nothing after it.
            b"loca" => {
                let offset = |glyph: u8| if glyph <= 2 { 0 } else { end };
                *data = (0..=count).flat_map(|glyph| offset(glyph).to_be_bytes()).collect();
            }
            b"head" => data[51] = 1,
            _ => {}
        }
    }
    fs::write(folder.join("mine.ttf"), font(tables)).expect("written");
    let yaml = format!(
        "{HEAD}left: {{}}\ntitle: [{{words: H, font: mine.ttf, paper: chalk, height: 1}}]\n"
    );
    let spec = description::parse(&yaml).expect("sound");
    match lay_out(&spec, folder, &FontBook::new(vec![folder.join("fonts")])) {
        Err(problems) => problems,
        Ok(_) => Problems::default(),
    }
}

#[test]
fn letters_that_no_blade_follows_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let square = |at: i16, wide: i16| {
        let (x, y) = (at % 90 * 10, at / 90 * 10);
        vec![[x, y], [x, y + wide], [x + wide, y + wide], [x + wide, y]]
    };
    let squares = |count: i16, wide| (0..count).map(|at| square(at, wide)).collect::<Vec<_>>();
    let ring = |count: i16| (0..count).map(|at| [at % 700, at / 20]).collect::<Vec<_>>();
    let scribble = (0..1500).map(|at: i16| [at % 2 * 900, at * 7 % 997]).collect::<Vec<_>>();
    let strokes = (0..700).map(|at: i16| vec![[at, 0], [at + 1, 0], [900 - at, 900]]).collect();
    for (contours, phrase) in [
        (squares(8000, 4), "points"),
        (squares(1000, 4), "contours"),
        (vec![ring(20_000)], "more than 6000 points"),
        (vec![scribble], "lines that cross each other"),
        (strokes, "lines that cross each other"),
    ] {
        let problems = told_of(folder.path(), &contours);
        let message = &problems.0.first().unwrap_or_else(|| panic!("{phrase}")).message;
        assert!(
            message.contains("draws `H` with") && message.contains(phrase),
            "{phrase}: {message}"
        );
    }
    let bar = vec![[0, 0], [0, 700], [100, 700], [100, 0]];
    assert_eq!(told_of(folder.path(), &[bar]).0, []);
}

/// Pipes and links that lead round in circles are passed by.
#[cfg(unix)]
#[test]
fn folders_of_fonts_without_end_are_left() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    fs::write(path.join("mine.ttf"), font(tables())).expect("written");
    for name in ["one", "two", "three", "four", "five", "six", "seven", "eight"] {
        std::os::unix::fs::symlink(path, path.join(name)).expect("linked");
    }
    let pipe = std::process::Command::new("mkfifo").arg(path.join("pipe.ttf")).status();
    assert!(pipe.expect("mkfifo is there").success());
    let book = FontBook::new(vec![path.to_owned()]);
    assert_eq!(book.list("Sample Variable").len(), 1);
    assert!(book.find("sample varible").expect_err("no font").help.contains("`Sample Variable`"));
}

/// What names hold reaches a terminal as signs to read, whatever they would have it do.
#[test]
fn nothing_from_outside_commands_the_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let odd = "x\u{202e}y\u{9b}2J.yaml";
    let spec = "name: \"kite\\e[31m \\u202Eday\"\nleft:\n  pieces: [panel: {id: a, paper: \"sea\\e[2J\", size: 1 x 1}]\n";
    fs::write(path.join("faulty.yaml"), spec).expect("written");
    let sound = spec.replace(
        "left:",
        "papers: {\"sea\\e[2J\": {color: '#ffffff', sheets: {12 x 12: 1}}}\nleft:",
    );
    fs::write(path.join(odd), sound).expect("written");
    fs::create_dir(path.join("fonts")).expect("made");
    fs::write(path.join("fonts/re\u{202e}ftt.ttf"), font(tables())).expect("written");
    for arguments in [
        vec!["check", "faulty.yaml"],
        vec!["check", "gone\u{1b}[2J.yaml"],
        vec!["check", odd],
        vec!["check", odd, "--json"],
        vec!["build", odd],
        vec!["fonts", "Sample"],
        vec!["fonts", "Sample", "--json"],
        vec!["fonts", "x\u{202e}y"],
    ] {
        let mut command = Command::cargo_bin("cutleaf").expect("the binary is built");
        let done =
            command.current_dir(path).env("NO_COLOR", "1").args(&arguments).output().expect("ran");
        for said in [&done.stdout, &done.stderr] {
            let said = String::from_utf8_lossy(said);
            let raw = |letter: char| letter.is_control() && letter != '\n' || letter == '\u{202e}';
            assert!(!said.contains(raw), "{arguments:?}: {said:?}");
        }
        let said = String::from_utf8_lossy(&[done.stdout, done.stderr].concat()).into_owned();
        assert!(said.contains("1b") || said.contains("202e"), "{arguments:?}: {said}");
    }
}
