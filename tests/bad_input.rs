//! Every kind of bad input ends in a message that says what, where and what to do, and ends soon.

use std::time::{Duration, Instant};

use crate::support::line_number;
use crate::support::spreads::{record_of, strict_record_of};

/// A name, a spec, the exit code it calls for, what its messages must hold, and the line they point at
/// (0 where the fault has no place).
struct Case {
    name: &'static str,
    yaml: &'static str,
    exit: u8,
    says: &'static [&'static str],
    line: u64,
}

const CASES: &[Case] = &[
    Case {
        name: "turns that contradict each other",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff', sheets: {12 x 12: 2}, turn: never}}\nleft:\n  pieces:\n    - panel: {id: sky, paper: chalk, size: 2 x 3, cut turn: any}\n",
        exit: 1,
        says: &["`sky` may be turned `any` on its sheet, but chalk only `never`", "`cut turn`"],
        line: 5,
    },
    Case {
        name: "a letter that the font lacks",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: HIW, font: tests/data/fonts/sample-variable.ttf, paper: chalk, height: 1}\n",
        exit: 1,
        says: &["the font Sample Variable has no `W` (U+0057)", "`fallback: display`"],
        line: 5,
    },
    Case {
        name: "a font of bitmaps",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: HI, font: tests/data/fonts/sample-bitmap.ttf, paper: chalk, height: 1}\n",
        exit: 1,
        says: &["`sample-bitmap.ttf` has no outlines to cut"],
        line: 5,
    },
    Case {
        name: "an axis that is none, a value beyond, a feature that is none",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - words: HI\n    font: tests/data/fonts/sample-variable.ttf\n    axes: {wdth: 80, wght: 1000}\n    features: {ss09: 1}\n    paper: chalk\n    height: 1\n",
        exit: 1,
        says: &[
            "the font Sample Variable has no axis `wdth`",
            "wght (100 to 900)",
            "`wght: 1000` is beyond",
            "has no feature `ss09`",
            "did you mean `ss01`",
        ],
        line: 7,
    },
    Case {
        name: "words too long for their circle",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Round and round, paper: chalk, height: 1, arc: {radius: 1}}\n",
        exit: 1,
        says: &["in long, and the circle only", "write a larger radius"],
        line: 5,
    },
    Case {
        name: "an arc of no size",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - words: Up\n    paper: chalk\n    height: 1\n    arc: {side: over}\n",
        exit: 1,
        says: &["nothing says how large the circle is", "`radius`"],
        line: 8,
    },
    Case {
        name: "thinning that eats the letters",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, paper: chalk, height: 1/2, embolden: -1/8}\n",
        exit: 1,
        says: &["thinning by that much eats `U`"],
        line: 5,
    },
    Case {
        name: "a stencil with a paper for its letters, and too small a panel",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - words: Up\n    paper: chalk\n    height: 1\n    stencil: {paper: chalk, size: 1 x 1}\n",
        exit: 1,
        says: &["the letters of a stencil are cut away", "the words don't fit into the panel"],
        line: 8,
    },
    Case {
        name: "letters of no paper",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, height: 1}\n",
        exit: 1,
        says: &["nothing says which paper the letters are cut from"],
        line: 5,
    },
    Case {
        name: "a key of a span that is none",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - words:\n      - {words: Up, papr: chalk}\n    height: 1\n",
        exit: 1,
        says: &["unknown key `papr`", "did you mean `paper`?"],
        line: 6,
    },
    Case {
        name: "layers without end",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - words: Up\n    paper: chalk\n    height: 1\n    backing: {paper: chalk, margin: 1/8, layers: 900}\n",
        exit: 1,
        says: &["a backing can't have 900 layers"],
        line: 8,
    },
    Case {
        name: "words of no size",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, paper: chalk}\n",
        exit: 1,
        says: &["nothing says how large the words are", "`total height`"],
        line: 5,
    },
    Case {
        name: "words of two sizes",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, paper: chalk, height: 1, width: 3}\n",
        exit: 1,
        says: &["`height` and `width` both say how large the words are"],
        line: 5,
    },
    Case {
        name: "a way to turn that is none",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff', turn: sideways}}\nleft: {}\n",
        exit: 1,
        says: &["`sideways` is not a way to turn on a sheet", "never, half, quarter, any"],
        line: 2,
    },
    Case {
        name: "a price below nothing",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff', sheets: {12 x 12: {count: 1, price: -2}}}}\nleft: {}\n",
        exit: 1,
        says: &["`-2` is not a price"],
        line: 2,
    },
    Case {
        name: "a sheet smaller than its margins",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff', sheets: {3 x 3: 1}}}\ncutting: {machine margin: 1 1/2}\nleft:\n  pieces:\n    - circle: {id: sun, paper: chalk, diameter: 1}\n",
        exit: 3,
        says: &["`left.sun` is 1 x 1 in and fits no sheet of chalk", "less a rim of 1 1/2 in"],
        line: 6,
    },
    Case {
        name: "a piece larger than any sheet",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff', sheets: {8.5 x 11: 2}}}\nleft:\n  pieces:\n    - panel: {id: big, paper: chalk, size: 12 x 12}\n",
        exit: 3,
        says: &["`left.big` is 12 x 12 in and fits no sheet of chalk", "on hand: 8 1/2 x 11 in"],
        line: 5,
    },
    Case {
        name: "too few sheets",
        yaml: "name: a\npapers:\n  chalk: {color: '#ffffff', sheets: {12 x 12: 1}}\nleft:\n  base: chalk\n  pieces:\n    - panel: {paper: chalk, size: 8 x 12}\n",
        exit: 3,
        says: &["there is not enough chalk", "add a sheet"],
        line: 3,
    },
    Case {
        name: "no sheet to print on",
        yaml: "name: a\npapers:\n  chalk: {color: '#ffffff', sheets: {8 x 8: 1}}\nleft: {}\njournaling:\n  {text: One day, paper: chalk, strip: {height: 5/16, widest: 4}}\n",
        exit: 3,
        says: &["no sheet of chalk left to print", "8 1/2 x 11 in"],
        line: 3,
    },
    Case {
        name: "a missing font",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, height: 1, paper: chalk, font: dispaly}\n",
        exit: 1,
        says: &["there is no font `dispaly`", "did you mean `display`?"],
        line: 5,
    },
    Case {
        name: "a missing font file",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, height: 1, paper: chalk, font: dune.ttf}\n",
        exit: 1,
        says: &["there is no font file `dune.ttf`"],
        line: 5,
    },
    Case {
        name: "a font that is no font",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: Up, height: 1, paper: chalk, font: tests/support/not-a-font.ttf}\n",
        exit: 1,
        says: &["is not a font"],
        line: 5,
    },
    Case {
        name: "a missing glyph",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: \"Up \u{1FA81}\", height: 1, paper: chalk}\n",
        exit: 1,
        says: &["U+1FA81"],
        line: 5,
    },
    Case {
        name: "a missing SVG file",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - shape: {file: kite-day/gull.svg, paper: chalk}\n",
        exit: 1,
        says: &["there is no file `kite-day/gull.svg`", "did you mean `kite-day/gull.jpg`?"],
        line: 5,
    },
    Case {
        name: "an SVG file outside the folder",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - shape: {file: ../Cargo.toml, paper: chalk}\n",
        exit: 1,
        says: &["leads out of the spec's folder"],
        line: 5,
    },
    Case {
        name: "an unknown photo",
        yaml: "name: a\nphotos: {launch: {size: 4 x 6}}\nleft:\n  pieces:\n    - bank: {photos: [lanch]}\n",
        exit: 1,
        says: &["there is no photo `lanch`", "did you mean `launch`?"],
        line: 5,
    },
    Case {
        name: "an unknown paper",
        yaml: "name: a\npapers: {marigold: {color: '#ffffff'}}\nleft:\n  base: marigld\n",
        exit: 1,
        says: &["there is no paper `marigld`", "did you mean `marigold`?"],
        line: 4,
    },
    Case {
        name: "a broken line",
        yaml: "name: a\nleft:\n  pieces:\n    - panel: {paper: chalk, size: 3 x 4\nright: {}\n",
        exit: 1,
        says: &["this `{` is never closed", "write `}`"],
        line: 4,
    },
    Case {
        name: "a duplicate key",
        yaml: "name: a\nleft: {}\nname: b\n",
        exit: 1,
        says: &["the key `name` is written twice"],
        line: 3,
    },
    Case {
        name: "a negative size",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - panel: {paper: chalk, size: -3 x 4}\n",
        exit: 1,
        says: &["not more than 0"],
        line: 5,
    },
    Case {
        name: "a division by zero",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - strip: {paper: chalk, width: 1/0}\n",
        exit: 1,
        says: &["`1/0` divides by zero"],
        line: 5,
    },
    Case {
        name: "an absurd size",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - strip: {paper: chalk, width: 99999999}\n",
        exit: 1,
        says: &["longer than 1000 inches"],
        line: 5,
    },
    Case {
        name: "an unknown key",
        yaml: "name: a\nleft:\n  pieces:\n    - circle: {paper: chalk, diametre: 2}\n",
        exit: 1,
        says: &["unknown key `diametre`", "did you mean `diameter`?"],
        line: 4,
    },
    Case {
        name: "an unknown element",
        yaml: "name: a\nleft:\n  pieces:\n    - pannel: {paper: chalk, size: 2 x 2}\n",
        exit: 1,
        says: &["unknown kind of element `pannel`", "did you mean `panel`?"],
        line: 4,
    },
    Case {
        name: "a circular position",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - panel: {id: one, paper: chalk, size: 2 x 2, at: {below: two}}\n    - panel: {id: two, paper: chalk, size: 2 x 2, at: {below: one}}\n",
        exit: 1,
        says: &["depends on itself"],
        line: 5,
    },
    Case {
        name: "a position against nothing",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - panel: {id: dune, paper: chalk, size: 2 x 2}\n    - panel: {paper: chalk, size: 2 x 2, at: {below: dunes}}\n",
        exit: 1,
        says: &["there is no piece `dunes`", "did you mean `dune`?"],
        line: 6,
    },
    Case {
        name: "two positions along one direction",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - panel: {paper: chalk, size: 2 x 2, at: {left: 1, right: 1}}\n",
        exit: 1,
        says: &["two positions along the same direction"],
        line: 5,
    },
    Case {
        name: "a name taken twice",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft:\n  pieces:\n    - panel: {id: sky, paper: chalk, size: 2 x 2}\n    - panel: {id: sky, paper: chalk, size: 2 x 2}\n",
        exit: 1,
        says: &["the id `sky` is taken twice", "here and before (line "],
        line: 6,
    },
    Case {
        name: "an empty title",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\ntitle:\n  - {words: '  ', height: 1, paper: chalk}\n",
        exit: 1,
        says: &["the title has no words"],
        line: 5,
    },
    Case {
        name: "a story too long for its strips",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: We had the whole beach to ourselves and a wind that would not wait\n  paper: chalk\n  most: 1\n  strip: {height: 5/16, widest: 2}\n",
        exit: 1,
        says: &["too long for its strips", "raise `most`"],
        line: 5,
    },
    Case {
        name: "a word wider than its strip",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: Sandcastlebuilders\n  paper: chalk\n  strip: {height: 5/16, widest: 3/4}\n",
        exit: 1,
        says: &["`Sandcastlebuilders` is wider than the widest strip"],
        line: 5,
    },
    Case {
        name: "a picture sign in the story",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: Up it went \u{1FA81}\n  paper: chalk\n  strip: {height: 5/16, widest: 4}\n",
        line: 5,
        says: &["has no", "U+1FA81"],
        exit: 1,
    },
    Case {
        name: "a story that is read from right to left",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: \u{5e9}\u{5dc}\u{5d5}\u{5dd}\n  paper: chalk\n  strip: {height: 5/16, widest: 4}\n",
        line: 5,
        says: &["read from right to left"],
        exit: 1,
    },
    Case {
        name: "a mark in the story that is never closed",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: Up it *went\n  paper: chalk\n  strip: {height: 5/16, widest: 4}\n",
        line: 5,
        says: &["`*` begins"],
        exit: 1,
    },
    Case {
        name: "a printer that is far off",
        yaml: "name: a\nleft: {}\nprinter: {scale: 3}\n",
        line: 3,
        says: &["off by more than 3 %", "100 %"],
        exit: 1,
    },
    Case {
        name: "a ruler's measure that is none",
        yaml: "name: a\nleft: {}\nprinter: {scale: large}\n",
        line: 3,
        says: &["`large` is not what a ruler measures"],
        exit: 1,
    },
    Case {
        name: "type too tall for its strip",
        yaml: "name: a\npapers: {chalk: {color: '#ffffff'}}\nleft: {}\njournaling:\n  text: Up it went\n  paper: chalk\n  size: 40 pt\n  strip: {height: 5/16, widest: 4}\n",
        exit: 1,
        says: &["too tall for the strip", "the largest size that fits is"],
        line: 5,
    },
    Case {
        name: "a colour that is none",
        yaml: "name: a\npapers: {chalk: {color: '#12345'}}\nleft: {}\n",
        exit: 1,
        says: &["`#12345` is not a colour"],
        line: 2,
    },
    Case { name: "no page", yaml: "name: a\n", exit: 1, says: &["the spec has no page"], line: 1 },
    Case {
        name: "a cut-off key",
        yaml: "name: a\nleft:\n  pieces:\n    - panel: {paper: chalk}\n",
        exit: 1,
        says: &["the key `size` is missing"],
        line: 4,
    },
    Case {
        name: "a price below 0",
        yaml: "name: a\npapers:\n  chalk: {color: '#ffffff', sheets: {12 x 12: {count: 1, price: -2}}}\nleft: {}\n",
        exit: 1,
        says: &["`-2` is not a price"],
        line: 3,
    },
];

#[test]
fn every_fault_is_told() {
    for case in CASES {
        let begun = Instant::now();
        let problems = strict_record_of(case.yaml).expect_err(case.name);
        assert!(begun.elapsed() < Duration::from_secs(5), "{} took too long", case.name);
        let told = problems.render("spread.yaml", case.yaml, false);
        let flat = told.split(['│', '\n']).map(str::trim).collect::<Vec<_>>().join(" ");
        assert_eq!(problems.exit_code(), case.exit, "{}: {told}", case.name);
        for phrase in case.says {
            assert!(flat.contains(phrase), "{}: `{phrase}` is not in\n{told}", case.name);
        }
        let lines: Vec<u64> = problems
            .0
            .iter()
            .map(|problem| problem.place.map_or(0, |place| line_number(place.line)))
            .collect();
        assert!(
            lines.contains(&case.line),
            "{}: points at {lines:?}, not {}",
            case.name,
            case.line
        );
    }
}

/// Aliases that multiply, and nesting without end, end in a message.
#[test]
fn hostile_yaml_ends_soon() {
    let mut bomb = String::from("name: a\na: &a [x, x, x, x, x, x, x, x, x]\n");
    for (one, other) in
        ["ab", "bc", "cd", "de", "ef", "fg", "gh", "hi"].map(|pair| pair.split_at(1))
    {
        bomb += &format!(
            "{other}: &{other} [*{one}, *{one}, *{one}, *{one}, *{one}, *{one}, *{one}]\n"
        );
    }
    let deep = format!("name: {}", "[".repeat(100_000));
    let long = format!("name: a\nleft: {{}}\n# {}\n", "x".repeat(2_000_000));
    for yaml in [bomb, deep, long] {
        let begun = Instant::now();
        let problems = record_of(&yaml).expect_err("hostile");
        assert_eq!(problems.exit_code(), 1);
        assert!(begun.elapsed() < Duration::from_secs(5));
    }
}
