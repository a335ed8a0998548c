//! Slips of the pen are told where they were made, and what no table could hold is refused before any work
//! is done on it. Bounds are counts, so what is asserted is the message; a hang is seen all the same.

use std::fmt::Write;

use crate::support::line_number;
use crate::support::spreads::{layout_of, record_of};
use cutleaf::description::{self};

/// What most specs here begin with; the next line is the fourth.
pub(crate) const HEAD: &str =
    "name: a\npapers:\n  chalk: {color: '#ffffff', sheets: {12 x 12: 5}}\n";

/// The rest of a spec, what its message must hold, and the line and column it points at.
type Slip = (&'static str, &'static [&'static str], &'static str);

const SLIPS: &[Slip] = &[
    // YAML itself.
    ("left:\n\tpieces: []\n", &["a tab is used to indent", "two of them"], "5:1"),
    ("left: {}\nunits:in\n", &["no space after the colon", "`units: in`"], "5:6"),
    ("left: {pieces: [panel: {paper:chalk, size: 1 x 1}]}\n", &["`paper: chalk`"], "4:25"),
    ("left:\n  pieces:\n    -panel: {paper: chalk}\n", &["no space after the dash"], "6:5"),
    ("left: {}\ntitle:\n  - words: *so* long\n", &["`*`", "in quotes"], "6:12"),
    (
        "left: {}\ntitle:\n  - words: Up: we went\n",
        &["`: ` within a value", "\"Up: we went\""],
        "6:14",
    ),
    ("left: {}\ntitle:\n  - words: \"Up\" there\n", &["ends at its closing quote"], "6:17"),
    ("left: {}\ntitle:\n  - words: 'It's up'\n", &["this apostrophe ends"], "6:15"),
    (
        "left: {}\ntitle:\n  - words: \"Up there\n    height: 1\n",
        &["quote is never closed"],
        "6:12",
    ),
    ("left: {pieces: [panel: {paper: chalk]}\n", &["`{` is closed by `]`", "write `}`"], "4:37"),
    ("left:\n  pieces:\n    - panel: {paper: chalk\nright: {}\n", &["`{` is never closed"], "6:14"),
    ("left: {}\ninks: {cut: #ffffff}\n", &["`#` begins a comment", "in quotes"], "5:13"),
    (
        "left:\n  pieces:\n    - panel:\n        size: 1 x 1\n        paper: #ffffff\n",
        &["`paper` has no value", "paper: \"#ffffff\""],
        "8:16",
    ),
    ("left:\n  base: chalk\n   pieces: []\n", &["indented deeper"], "6:1"),
    ("left:\n    base: chalk\n  pieces: []\n", &["like none of the lines"], "6:1"),
    ("left: {}\ntitle:\n  - {words: Up, up and away, height: 1}\n", &["stands alone"], "6:17"),
    // A list where keys are meant, and the reverse.
    (
        "left:\n  pieces: {panel: {paper: chalk}}\n",
        &["`pieces` is a list", "`pieces: [{…}]`"],
        "5:11",
    ),
    ("left:\n  pieces:\n    panel: {}\n", &["`pieces` is a list", "`- panel: …`"], "6:5"),
    ("left:\n  - panel: {}\n", &["`left` takes keys", "`panel: …`"], "5:3"),
    ("left: {}\nphotos: {sea: 4 x 6}\n", &["`sea` takes keys", "`sea: {size: 4 x 6}`"], "5:15"),
    ("left: {}\nstamps: [1]\n", &["takes keys"], "5:10"),
    (
        "left: {pieces: [panel: {torn: top}]}\n",
        &["`torn` is a list of edges: write `torn: [top]`"],
        "4:31",
    ),
    ("left:\n  pieces:\n    - panel\n", &["nothing follows `panel`"], "6:7"),
    ("left: {base: [chalk]}\n", &["`base` is one value, and this is a list"], "4:14"),
    ("left: {}\ncutting: {stages: many}\n", &["`many` is not a whole number"], "5:19"),
    // Lengths and sizes.
    (
        "left: {pieces: [strip: {paper: chalk, width: '4,5'}]}\n",
        &["has a comma", "write 4.5"],
        "4:46",
    ),
    ("left: {pieces: [strip: {paper: chalk, width: 4.5*3}]}\n", &["comes to: 13.5"], "4:46"),
    ("left: {pieces: [strip: {paper: chalk, width: 4.5/3}]}\n", &["comes to: 1.5"], "4:46"),
    ("left: {pieces: [panel: {paper: chalk, size: 4.5*3}]}\n", &["write 4.5 x 3"], "4:45"),
    (
        "left: {pieces: [strip: {paper: chalk, width: 4 inchs}]}\n",
        &["did you mean `inch`?"],
        "4:46",
    ),
    // Names.
    (
        "left: {pieces: [shape: {paper: chalk, file: kite-day/kit.svg, width: 1}]}\n",
        &["did you mean `kite-day/kite.svg`?"],
        "4:45",
    ),
    (
        "left: {}\nphotos: {sea: {size: 4 x 6, file: kite-day/gul.jpg}}\n",
        &["did you mean `kite-day/gull.jpg`?"],
        "5:35",
    ),
    (
        "left: {}\ntitle: [{words: Up, height: 1, paper: chalk, font: text itlic}]\n",
        &["did you mean `text italic`?"],
        "5:52",
    ),
    (
        "left: {pieces: [panel: {id: sky, paper: chalk, size: 1 x 1}]}\nright: {pieces: [panel: {paper: chalk, size: 1 x 1, at: {below: sky}}]}\n",
        &["it lies on the left page"],
        "5:65",
    ),
    // What no table could hold.
    ("page: 1000 x 1000\nleft: {}\n", &["can't be made", "units: mm"], "4:7"),
    ("page: 1/2 x 12\nleft: {}\n", &["can't be made"], "4:7"),
    (
        "left: {pieces: [panel: {id: sky, paper: chalk, size: 0.001 x 3}]}\n",
        &["`left.sky` is too small to cut"],
        "4:29",
    ),
    (
        "left: {pieces: [photo: {photo: sea}]}\nphotos: {sea: {size: 4 x 6, border: 0.0000001}}\n",
        &["can't be seen"],
        "5:37",
    ),
    (
        "left: {}\ntitle: [{words: Up, height: 1, paper: chalk, embolden: 1000}]\n",
        &["makes other letters"],
        "5:56",
    ),
    ("left: {}\ntitle: [{words: Up, height: 900, paper: chalk}]\n", &["fit on no table"], "5:29"),
    (
        "left: {}\ntitle: [{words: Up, height: 0.001, paper: chalk}]\n",
        &["too small to cut"],
        "5:29",
    ),
    (
        "left: {}\ntitle: [{words: Up, height: 1, paper: chalk, backing: {paper: chalk, margin: 1000}}]\n",
        &["wider all round"],
        "5:78",
    ),
];

#[test]
fn slips_are_told_where_they_were_made() {
    for (rest, says, at) in SLIPS {
        let yaml = format!("{HEAD}{rest}");
        let problems = layout_of(&yaml).expect_err(rest);
        let told = problems.render("a.yaml", &yaml, false);
        assert!(told.contains(&format!(" a.yaml:{at}\n")), "{rest}: not at {at}:\n{told}");
        for phrase in *says {
            assert!(told.contains(phrase), "{rest}: `{phrase}` is not in\n{told}");
        }
        assert_eq!(problems.exit_code(), 1, "{told}");
    }
}

/// What has one meaning only is read.
#[test]
fn sizes_are_read_as_people_write_them() {
    for size in ["4 1⁄2 x 6", "4¹⁄₂ × 6", "4 1/2 by 6", "4.5by6", "4½ X 6", "4 1∕2 x 6.0"]
    {
        let yaml = format!("{HEAD}left: {{pieces: [panel: {{paper: chalk, size: {size}}}]}}\n");
        let layout = layout_of(&yaml).unwrap_or_else(|told| panic!("{size}: {told:?}"));
        assert_eq!(layout.pieces[0].size, cutleaf::model::length::Size::inches(4.5, 6.0), "{size}");
    }
    let yaml = format!("{HEAD}left: {{pieces: [panel: {{paper: chalk, size: .5 x 1}}]}}\n");
    assert!(layout_of(&yaml).is_ok());
}

/// A row for each warning: the rest of a spec, the kind, the line; none where the kind is empty.
#[test]
fn doubts_are_asked_about() {
    for (rest, kind, line) in [
        (
            "left: {}\ntitle:\n  - words: We are #1\n    height: 1/2\n    paper: chalk\n",
            "value cut by a comment",
            6,
        ),
        (
            "left: {}\ntitle:\n  - words: We are one  # of a kind\n    height: 1/2\n    paper: chalk\n",
            "",
            0,
        ),
        ("left: {pieces: [panel: {paper: chalk, size: 1 x 1}]}  # a comment\n", "", 0),
        ("left: {}\ncutting: {kerf: 0}  #none\n", "", 0),
        ("left: {}\ninks:\n  cut: #ffffff\n", "value cut by a comment", 6),
        ("page: 2 x 3\nleft: {}\n", "odd page size", 4),
        ("page: 45 x 12\nleft: {}\n", "odd page size", 4),
        ("page: 3 x 4\nleft: {}\n", "", 0),
    ] {
        let record = record_of(&format!("{HEAD}{rest}")).unwrap_or_else(|told| panic!("{told:?}"));
        let asked = ["value cut by a comment", "odd page size"];
        let found = record.warnings.iter().find(|warning| asked.contains(&&*warning.kind));
        assert_eq!(
            found.map_or(("", 0), |one| (&*one.kind, line_number(one.line))),
            (kind, line),
            "{rest}"
        );
    }
}

/// Ids are found without their page where only one fits, and named where several do.
#[test]
fn ids_are_found_by_their_ends() {
    let pieces = "left:\n  pieces:\n    - strip: {id: rim, paper: chalk, width: 1, across: spread}\n    - panel: {id: sky, paper: chalk, size: 2 x 2}\n    - panel: {paper: chalk, size: 1 x 1, at: {below: left.sky}}\nright: {}\n";
    let layout =
        layout_of(&format!("{HEAD}{pieces}stamps: [{{along: sky, stamp: 1/2, count: 2}}]\n"));
    assert_eq!(layout.expect("sky is one").stamps[0].along, "left.sky");
    let two = format!("{HEAD}{pieces}stamps: [{{along: rim, stamp: 1/2, count: 2}}]\n");
    let told = layout_of(&two).expect_err("rim is two").0[0].help.clone();
    assert_eq!(told, "did you mean `left.rim` or `right.rim`?");
}

/// Counts beyond what a table holds, made by the thousand.
/// Faults of every kind of value are told together, beside those that only the whole spec shows.
#[test]
fn faults_of_all_kinds_are_told_together() {
    let yaml = "name: a
papers:
  chalk: {color: '#12345g', turn: sideways, sheets: {12 x: 5, 8.5 x 11: some}}
photos: {sea: {size: 4 by six, looks: up, focus: [0.5, 2]}}
inks: {cut: green}
cutting: {kerf: 1//2, effort: much}
left:
  pieces:
    - panel: {paper: chalkk, size: 2 x 3, tool: knife, torn: [topp]}
    - circle: {paper: chalk, diameter: 2 fourlongs, at: {left: 1, align: strat, below: panel}}
    - bank: {photos: [see], run: around}
";
    let problems = layout_of(yaml).expect_err("nothing is right");
    let told = problems.render("a.yaml", yaml, false);
    for message in [
        "`#12345g` is not a colour",
        "`sideways` is not a way to turn on a sheet",
        "`12 x` is not a size",
        "`some` is not a number of sheets",
        "`six` is not a length",
        "`up` is not a way to look",
        "`green` is not a colour",
        "`1//2` is not a length",
        "`much` is not a way to search",
        "there is no paper `chalkk`",
        "`knife` is not a tool",
        "`topp` is not an edge",
        "`fourlongs` is not a unit",
        "`around` is not a way to run",
        "there is no photo `see`",
    ] {
        assert!(told.contains(message), "{message}: {told}");
    }
}

/// A value is read where nothing comes of it, too.
#[test]
fn values_that_nothing_comes_of_are_read() {
    let rows = [
        ("left: {}\nphotos: {sea: {size: 4 x fuor}}\n", "`fuor` is not a length"),
        ("left: {}\nphotos: {sea: {size: 4 x 6, looks: up}}\n", "`up` is not a way to look"),
        ("left: {}\nmarks: {kind: none, on: some}\n", "`some` is not a place of marks"),
        (
            "left: {pieces: [panel: {paper: chalk, size: 2 x 2, print: {ground: '#aabbcc', align: centre}}]}\n",
            "`centre` is not an alignment",
        ),
    ];
    for (rest, message) in rows {
        let yaml = format!("{HEAD}{rest}");
        let problems = layout_of(&yaml).expect_err(message);
        let told = problems.render("a.yaml", &yaml, false);
        assert!(told.contains(message), "{message}: {told}");
    }
}

#[test]
fn counts_beyond_a_table_are_refused() {
    let many = |count: usize, one: &str| {
        (0..count).fold(String::new(), |mut all, number| {
            let _ = writeln!(all, "{}", one.replace("NUMBER", &number.to_string()));
            all
        })
    };
    let story = |words: &str, way: &str| {
        format!(
            "{HEAD}left: {{}}\njournaling:\n  text: {words}\n  paper: chalk\n  strip: {{height: 5/16, {way}}}\n"
        )
    };
    let rows: [(String, &str); 7] = [
        (story(&"wind ".repeat(9000), "one word: true"), "the story makes 9000 strips"),
        (story(&"a ".repeat(20_000), "widest: 1/2"), "the story makes"),
        (
            format!(
                "{HEAD}left:\n  pieces:\n{}",
                many(600, "    - panel: {paper: chalk, size: 1 x 1}")
            ),
            "more than 500 elements",
        ),
        (
            format!(
                "{HEAD}photos: {{sea: {{size: 4 x 6}}}}\nleft:\n  pieces:\n    - photo:\n        photo: sea\n        mats:\n{}",
                many(2000, "          - {paper: chalk, reveal: 1/64}")
            ),
            "more than 1500 pieces and photos",
        ),
        (
            format!("name: a\nleft: {{}}\npapers:\n{}", many(600, "  pNUMBER: {color: '#ffffff'}")),
            "more than 500 papers",
        ),
        (
            format!(
                "{HEAD}left: {{}}\ntitle:\n{}",
                many(700, "  - {words: a, height: 1/4, paper: chalk}")
            ),
            "more than 600 letters in all",
        ),
        (
            format!(
                "{HEAD}left: {{pieces: [panel: {{paper: {}, size: 1 x 1}}]}}\n",
                "x".repeat(500_000)
            ),
            "there is no paper",
        ),
    ];
    for (yaml, phrase) in rows {
        let problems = layout_of(&yaml).expect_err(phrase);
        let told = problems.render("a.yaml", &yaml, false);
        assert!(told.contains(phrase), "{phrase}: {told}");
        assert!(told.len() < 20_000, "{phrase}: {} bytes", told.len());
    }
}

/// A spec on one line of more columns than a printer of messages may count is shown in part.
#[test]
fn long_lines_are_shown_round_the_place() {
    let long = format!("{{name: a, left: {{}}, {}papers: {{}}, unitz: in}}\n", " ".repeat(70_000));
    let problems = description::parse(&long).expect_err("unknown key");
    let told = problems.render("a.yaml", &long, false);
    assert!(told.contains("a.yaml:1:70033\n"), "{told}");
    assert!(told.contains("unitz") && told.contains("…") && told.len() < 2000, "{told}");
}
