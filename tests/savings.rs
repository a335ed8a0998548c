//! What limits the sheets of a paper, and the smallest change that would save paper: whatever is advised
//! comes true when it is written in the spec.

use cutleaf::model::AdviceKind;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Rules, Stock, Tool, Turns, bounds, nest};
use cutleaf::record::Record;

use crate::support::spreads::record_of;

/// What a piece of advice says is to be written: the element's id on its page, the key, its place among keys
/// of that name on the element's line, and the value.
struct Advice {
    note: String,
    element: String,
    key: String,
    number: usize,
    value: String,
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> Option<&'a str> {
    text.split_once(start)?.1.split_once(end).map(|(inside, _)| inside)
}

/// The advice of a record that saves a sheet.
fn advice(record: &Record) -> Vec<Advice> {
    let advice = record.advice.iter().filter(|one| one.kind == AdviceKind::SavesASheet);
    advice
        .filter_map(|one| {
            let note = &one.message;
            let (key, value) = one.write.as_deref()?.split_once(": ")?;
            let id = between(note, " of `", "`")?;
            assert_eq!(one.piece.as_deref(), Some(id));
            assert!(one.line.is_some() && !one.reason.is_empty(), "{one:?}");
            let number = if note.contains("the second mat") { 1 } else { 0 };
            Some(Advice {
                note: note.clone(),
                element: id.split_once('.')?.1.to_owned(),
                key: key.to_owned(),
                number,
                value: value.to_owned(),
            })
        })
        .collect()
}

/// A spec, an element a line, with exactly what was advised written into it.
fn with(spec: &str, advice: &Advice) -> String {
    let id = format!("id: {},", advice.element);
    let key = format!("{}: ", advice.key);
    let lines = spec.lines().map(|line| {
        if !line.contains(&id) {
            return line.to_owned();
        }
        let (at, _) = line.match_indices(&key).nth(advice.number).expect("the key stands there");
        let start = at + key.len();
        let rest = &line[start..];
        let length = match rest.strip_prefix('{') {
            Some(inside) => inside.find('}').expect("it closes") + 2,
            None => rest.find([',', '}']).expect("it ends"),
        };
        format!("{}{}{}", &line[..start], advice.value, &rest[length..])
    });
    lines.map(|line| line + "\n").collect()
}

/// What is paid for new sheets, how much paper they are, and how many there are.
fn spent(record: &Record) -> (f64, f64, u32) {
    let lines = &record.totals.shopping;
    let area = lines.iter().map(|line| line.size[0] * line.size[1] * f64::from(line.uses)).sum();
    (record.totals.price.unwrap_or(0.0), area, record.totals.new_sheets)
}

/// The prices that a note says are saved.
fn told_price(note: &str) -> f64 {
    let words = note.split([',', ' ']).filter(|word| word.contains('.'));
    words.filter_map(|word| word.parse::<f64>().ok()).sum()
}

/// Follows the advice of a record; what it says is saved is saved.
fn comes_true(spec: &str, before: &Record, advice: &Advice) {
    let changed = with(spec, advice);
    assert_ne!(changed, spec, "{}", advice.note);
    let after = record_of(&changed).expect("it can be cut");
    let ((price, area, sheets), (less, less_area, fewer)) = (spent(before), spent(&after));
    let note = &advice.note;
    let told = told_price(note);
    assert!((price - less - told).abs() < 0.005, "{note}: {price} became {less}\n{changed}");
    assert!(told > 0.0 || less_area < area, "{note}: no paper is saved\n{changed}");
    assert!(told > 0.0 || !note.contains("saves one") || fewer < sheets, "{note}\n{changed}");
    // Every piece that becomes smaller is named.
    for (piece, smaller) in before.pieces.iter().zip(&after.pieces) {
        assert_eq!(piece.id, smaller.id);
        let named = note.contains(&format!("`{}`", piece.id))
            || (note.contains("of the mat of") && piece.id.ends_with(".mat"));
        assert!(piece.size == smaller.size || named, "{note}: {} changes too", piece.id);
    }
}

struct Case {
    name: &'static str,
    papers: &'static str,
    pieces: &'static str,
    /// What the advice says; nothing where none may be given.
    told: Option<(&'static str, &'static str)>,
}

const CASES: &[Case] = &[
    Case {
        name: "the reveal of a mat",
        papers: "marigold: {color: '#e9a93c', sheets: {12 x 12: {count: 4, price: 0.9}}}",
        pieces: "single:
  pieces:
    - photo: {id: fence, photo: wide, mats: [{paper: marigold, reveal: 3/16}], at: [1, 1]}
    - panel: {id: sky, paper: marigold, size: 12 x 6, at: {bottom: 0}}
    - panel: {id: grass, paper: marigold, size: 7 1/2 x 6, at: {bottom: 0}}
gutting: {when: never}",
        told: Some((
            "1/16 in less reveal of the mat of `single.fence` saves one 12 x 12 in sheet of marigold, 0.90",
            "reveal: 1/8",
        )),
    },
    Case {
        name: "a width, at a price that nobody knows",
        papers: "marigold: {color: '#e9a93c', sheets: {12 x 12: 4}}",
        pieces: "single:
  pieces:
    - panel: {id: sea, paper: marigold, size: 7 x 11, at: [0, 0]}
    - panel: {id: sand, paper: marigold, size: 5 1/16 x 11, at: {right: 0}}",
        told: Some((
            "1/16 in less width of `single.sea` saves one 12 x 12 in sheet of marigold",
            "size: 6 15/16 x 11",
        )),
    },
    Case {
        name: "a share of the page",
        papers: "marigold: {color: '#e9a93c', sheets: {12 x 12: 4}}",
        pieces: "single:
  pieces:
    - panel: {id: sea, paper: marigold, size: 1/3 page x 11, at: [0, 0]}
    - panel: {id: sand, paper: marigold, size: 8 1/8 x 11, at: {right: 0}}",
        told: Some((
            ", a share of the page, saves one 12 x 12 in sheet",
            "size: 1/3 page - 1/8 x 11",
        )),
    },
    Case {
        name: "the inner one of two mats takes the outer one with it",
        papers: "coral: {color: '#e2725b', sheets: {12 x 12: 1}}
  harbour: {color: '#2b5673', sheets: {12 x 12: {count: 3, price: 1.1}}}",
        pieces: "single:
  pieces:
    - photo: {id: gull, photo: wide, mats: [{paper: coral, reveal: 1/8}, {paper: harbour, reveal: 1/4}], at: [1, 1]}
    - panel: {id: sky, paper: harbour, size: 7 5/16 x 12, at: {right: 0}}",
        told: Some((
            "1/16 in less reveal of the first mat of `single.gull` (`single.gull.mat-2` and `single.gull.mat` become smaller) saves one 12 x 12 in sheet of harbour, 1.10",
            "reveal: 1/16",
        )),
    },
    Case {
        name: "a strip over both pages is narrower on both",
        papers: "coral: {color: '#e2725b', sheets: {12 x 12: {count: 3, price: 1}}}",
        pieces: "left:
  pieces:
    - strip: {id: tide, paper: coral, width: 1, across: spread, at: {bottom: 1}}
    - panel: {id: sky, paper: coral, size: 12 x 10 1/16}
right: {}",
        told: Some((
            "1/16 in less width of `left.tide` (`left.tide` and `right.tide` become smaller) saves one 12 x 12 in sheet of coral, 1.00",
            "width: 15/16",
        )),
    },
    Case {
        name: "a dear sheet becomes a cheap one",
        papers: "coral: {color: '#e2725b', sheets: {12 x 12: {count: 3, price: 1.1}, 8.5 x 11: {count: 2, price: 0.6}}}",
        pieces: "single:
  pieces:
    - panel: {id: sky, paper: coral, size: 8 9/16 x 10, at: [1, 1]}",
        told: Some((
            "1/16 in less width of `single.sky` takes one 8 1/2 x 11 in sheet instead of one 12 x 12 in sheet of coral, which saves 0.50",
            "size: 8 1/2 x 10",
        )),
    },
    Case {
        name: "a sheet that need not be bought",
        papers: "coral: {color: '#e2725b', sheets: {12 x 12: {count: 1, price: 1.1}}}",
        pieces: "single:
  pieces:
    - panel: {id: sea, paper: coral, size: 7 x 11, at: [0, 0]}
    - panel: {id: sand, paper: coral, size: 5 1/16 x 11, at: {right: 0}}",
        told: Some((
            "saves buying one 12 x 12 in sheet of coral, 1.10",
            "",
        )),
    },
    Case {
        name: "millimetres",
        papers: "coral: {color: '#e2725b', sheets: {305 x 305: 3}}",
        pieces: "units: mm
single:
  pieces:
    - panel: {id: sea, paper: coral, size: 180 x 300, at: [0, 0]}
    - panel: {id: sand, paper: coral, size: 126 x 300, at: {right: 0}}",
        told: Some((
            "1 mm less width of `single.sea` saves one 305 x 305 mm sheet",
            "size: 179 x 300",
        )),
    },
    Case {
        name: "a reveal that is not the same on every side",
        papers: "coral: {color: '#e2725b', turn: never, sheets: {12 x 12: 3}}",
        pieces: "single:
  pieces:
    - photo: {id: gull, photo: tall, mats: [{paper: coral, reveal: {top: 1/8, right: 1/8, bottom: 3/8, left: 1/8}}], at: [1, 1]}
    - panel: {id: sky, paper: coral, size: 12 x 6 9/16}",
        told: Some((
            "less reveal",
            "reveal: {top: 1/16, right: 1/16, bottom: 5/16, left: 1/16}",
        )),
    },
    Case {
        name: "never the page itself",
        papers: "coral: {color: '#e2725b', sheets: {12 x 12: {count: 3, price: 1.1}, 8.5 x 11: {count: 2, price: 0.6}}}",
        pieces: "page: 8 9/16 x 10
single:
  base: coral
  pieces:
    - panel: {id: sky, paper: coral, size: 8 9/16 x 10}
    - panel: {id: sea, paper: coral, size: 1 page x 1 page}",
        told: None,
    },
    Case {
        name: "never more than the reveal there is",
        papers: "marigold: {color: '#e9a93c', sheets: {12 x 12: 4}}",
        pieces: "single:
  pieces:
    - photo: {id: fence, photo: wide, mats: [{paper: marigold, reveal: 1/16}], at: [1, 1]}
    - panel: {id: sky, paper: marigold, size: 12 x 6, torn: {edges: [top], allowance: 0}, at: {bottom: 0}}
    - panel: {id: grass, paper: marigold, size: 7 15/16 x 6, torn: {edges: [top], allowance: 0}, at: {bottom: 0}}",
        told: None,
    },
    Case {
        name: "no change helps",
        papers: "marigold: {color: '#e9a93c', sheets: {12 x 12: 4}}",
        pieces: "single:
  pieces:
    - panel: {id: sky, paper: marigold, size: 12 x 6, at: {bottom: 0}}
    - panel: {id: grass, paper: marigold, size: 10 x 11, at: {bottom: 0}}",
        told: None,
    },
];

fn spec(case: &Case) -> String {
    let photos = "photos: {wide: {size: 4 x 5 3/4}, tall: {size: 4 x 5}}";
    format!("name: Dune fence\npapers:\n  {}\n{photos}\n{}\n", case.papers, case.pieces)
}

#[test]
fn what_is_advised_is_told_in_full_and_comes_true() {
    for case in CASES {
        let spec = spec(case);
        let record = record_of(&spec).expect("enough paper");
        let advice = advice(&record);
        let notes: Vec<&String> = record.papers.iter().flat_map(|paper| &paper.notes).collect();
        match case.told {
            None => assert!(advice.is_empty(), "{}: {:?}", case.name, record.advice),
            Some((told, write)) => {
                let is_told = |one: &Advice| {
                    one.note.contains(told) && format!("{}: {}", one.key, one.value).contains(write)
                };
                assert!(advice.iter().any(is_told), "{}: {:?}", case.name, record.advice);
                assert!(notes.iter().all(|note| !note.contains(" of `")), "told twice: {notes:?}");
                let off = record_of(&format!("{spec}advice: {{without: [saves a sheet]}}\n"));
                assert!(off.expect("enough paper").advice.is_empty(), "{}", case.name);
            }
        }
        advice.iter().for_each(|advice| comes_true(&spec, &record, advice));
    }
}

/// Random spreads of panels and matted photos: all advice comes true.
#[test]
fn advice_on_random_spreads_comes_true() {
    let mut state = 12_u64;
    let mut below = move |end: u64| {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % end
    };
    let mut given = 0;
    for _ in 0..64 {
        let mut lines = String::new();
        for number in 0..3 + below(3) {
            let mut side = |least: u64, most: u64| {
                let sixteenths = least * 16 + below((most - least) * 16);
                format!("{} {}/16", sixteenths / 16, sixteenths % 16)
            };
            let (wide, high, left) = (side(3, 8), side(4, 11), side(0, 4));
            let paper = ["coral", "harbour"][usize::try_from(below(2)).expect("small")];
            let reveal = 1 + below(4);
            lines += &if below(3) == 0 {
                format!(
                    "    - photo: {{id: e{number}, photo: wide, mats: [{{paper: coral, reveal: {reveal}/16}}, {{paper: {paper}, reveal: 1/4}}], at: [1, {number}]}}\n"
                )
            } else {
                format!(
                    "    - panel: {{id: e{number}, paper: {paper}, size: {wide} x {high}, at: [{left}, 1]}}\n"
                )
            };
        }
        let papers = format!(
            "  coral: {{color: '#e2725b', sheets: {{12 x 12: {{count: {}, price: 1}}, 8.5 x 11: {{count: 2, price: 0.6}}}}}}\n  \
             harbour: {{color: '#2b5673', sheets: {{12 x 12: {{count: 3, price: 1.2}}}}}}",
            1 + below(3)
        );
        let spec = format!(
            "name: Tide pool\npapers:\n{papers}\nphotos: {{wide: {{size: 4 x 6}}}}\nsingle:\n  pieces:\n{lines}"
        );
        let record = record_of(&spec).expect("paper can be bought");
        for advice in advice(&record) {
            comes_true(&spec, &record, &advice);
            given += 1;
        }
    }
    assert!(given >= 4, "advice was given {given} times");
}

#[test]
fn pieces_that_cannot_share_a_sheet_are_named() {
    let told = |offcuts: &str, more: &str| {
        let record = record_of(&format!(
            "name: Two skies
papers:
  harbour: {{color: '#2b5673', sheets: {{12 x 12: 4}}, offcuts: [{offcuts}]}}
single:
  pieces:
    - panel: {{id: sky, paper: harbour, size: 8 x 8, at: [0, 0]}}
    - panel: {{id: sea, paper: harbour, size: 4 1/2 x 9, at: [0, 0]}}
    - panel: {{id: shore, paper: harbour, size: 2 x 2, at: [0, 0]}}
{more}"
        ))
        .expect("enough paper");
        record.papers[0].notes.join("; ")
    };
    let pair = "`single.sky` and `single.sea` can't share a sheet";
    assert!(
        told("", "").contains(&format!("{pair}, so one sheet less can't do")),
        "{}",
        told("", "")
    );
    // The reason is said once.
    assert_eq!(told("", "").matches("sheet less").count(), 1, "{}", told("", ""));
    assert_eq!(told("", "").matches("share a sheet").count(), 1, "{}", told("", ""));
    let covers = told("", "    - panel: {id: moor, paper: harbour, size: 11 x 11, at: [0, 0]}");
    assert_eq!(covers.matches("sheet less").count(), 1, "{covers}");
    // Two of three fit a leftover, so that they can't share a new sheet proves nothing.
    let third = "    - panel: {id: moor, paper: harbour, size: 9 x 9, at: [0, 0]}";
    let with_leftover = told("{size: 8 x 9}", third);
    assert!(with_leftover.contains("can't share a sheet"), "{with_leftover}");
    assert!(!with_leftover.contains("so one sheet less can't do"), "{with_leftover}");
}

/// Every pair that is said not to share a sheet really needs two, by the nester itself.
#[test]
fn what_cannot_share_needs_a_sheet_each() {
    let sides = [3_i64, 5, 6, 7, 8, 9, 11];
    let item = |width: i64, height: i64, copies: u32| Item {
        id: format!("{width} x {height}"),
        form: Form::Rectangle(Size::new(Length::part(width, 1), Length::part(height, 1))),
        copies,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    };
    let sheet = Size::new(Length::part(12, 1), Length::part(12, 1));
    let job = |items: Vec<Item>| Job {
        stock: vec![Stock { size: sheet, count: 9, price: None, ..Stock::default() }],
        items,
        rules: Rules::default(),
        effort: Effort::Quick,
    };
    let mut apart = 0;
    for width in sides {
        for height in sides {
            for other in sides {
                let pair = job(vec![item(width, height, 1), item(other, 7, 1)]);
                let alone = bounds::cannot_share(&pair);
                let sheets = nest(&pair).sheets.len();
                assert_eq!(alone.len() == 2, sheets == 2, "{width} x {height} and {other} x 7");
                apart += usize::from(sheets == 2);
            }
        }
    }
    assert!(apart > 10, "the cases hold both kinds");
    assert_eq!(bounds::cannot_share(&job(vec![item(8, 8, 3)])), [0]);
}
