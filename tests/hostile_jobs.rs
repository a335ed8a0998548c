//! Jobs that nobody should send: an answer or a note, soon, and nothing lost.

use std::time::{Duration, Instant};

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Nested, Note, Rules, Stock, Tool, Turns, nest};
use kurbo::BezPath;

/// Far more than any of these takes; a hang takes longer.
const PATIENCE: Duration = Duration::from_secs(60);

fn sheet(width: f64, height: f64, count: u32) -> Stock {
    Stock { size: Size::inches(width, height), count, price: Price::new(1.0), ..Stock::default() }
}

fn item(form: Form, copies: u32, tool: Tool) -> Item {
    Item { id: "kite".to_owned(), form, copies, tool, turns: Turns::Quarter, together: None }
}

fn rectangle(width: f64, height: f64) -> Form {
    Form::Rectangle(Size::inches(width, height))
}

/// Nests in time; every copy is placed or left out.
fn nested(job: &Job) -> Nested {
    let begun = Instant::now();
    let nested = nest(job);
    assert!(begun.elapsed() < PATIENCE, "{:?}", begun.elapsed());
    let mut copies: Vec<u32> = job.items.iter().map(|item| item.copies).collect();
    for sheet in &nested.sheets {
        for placed in &sheet.placed {
            copies[placed.item] -= sheet.count;
        }
    }
    for left in &nested.left_out {
        copies[left.item] -= left.copies;
    }
    assert!(copies.iter().all(|&left| left == 0), "a copy is lost");
    nested
}

fn job(stock: Vec<Stock>, items: Vec<Item>) -> Job {
    Job { stock, items, rules: Rules::default(), effort: Effort::Normal }
}

#[test]
fn ten_thousand_copies() {
    let small = item(rectangle(1.0, 1.0), 10_000, Tool::Trimmer);
    let found = nested(&job(vec![sheet(12.0, 12.0, 100)], vec![small]));
    assert!(found.left_out.is_empty());
    assert_eq!(found.sheets.iter().map(|sheet| sheet.count).sum::<u32>(), 70, "144 on a sheet");
}

#[test]
fn a_thousand_rectangles_and_three_hundred_outlines() {
    let sides = |n: u32, by: u32| 0.5 + f64::from(n * by % 23) / 8.0;
    let items = (0..1000).map(|n| item(rectangle(sides(n, 7), sides(n, 11)), 1, Tool::Trimmer));
    assert!(nested(&job(vec![sheet(12.0, 12.0, 200)], items.collect())).left_out.is_empty());
    let star = cutleaf::shapes::star(5, 1.5, 0.35).expect("sound").outline;
    let stars = item(Form::Outline(star), 300, Tool::Machine);
    assert!(nested(&job(vec![sheet(12.0, 12.0, 20)], vec![stars])).left_out.is_empty());
}

#[test]
fn nothing_negative_and_beyond_measure() {
    let odd = [0.0, -1.0, 1e9];
    for width in odd {
        for height in odd {
            for tool in [Tool::Trimmer, Tool::Machine, Tool::Hand] {
                let form = rectangle(width, height);
                let found = nested(&job(vec![sheet(12.0, 12.0, 2)], vec![item(form, 3, tool)]));
                assert!(found.sheets.is_empty(), "{width} x {height}");
            }
            let found = nested(&job(
                vec![sheet(width, height, 2)],
                vec![item(rectangle(1.0, 1.0), 3, Tool::Trimmer)],
            ));
            assert!(found.sheets.is_empty() || (width > 1e6 && height > 1e6));
        }
    }
}

#[test]
fn margins_wider_than_the_sheet() {
    let rules = Rules {
        trim_margin: Length::part(7, 1),
        machine_margin: Length::part(7, 1),
        kerf: Length::part(13, 1),
        spacing: Length::part(13, 1),
        stages: Some(0),
        ..Rules::default()
    };
    let items = vec![
        item(rectangle(1.0, 1.0), 2, Tool::Trimmer),
        item(rectangle(1.0, 1.0), 2, Tool::Machine),
    ];
    let found = nested(&Job { rules, ..job(vec![sheet(12.0, 12.0, 2)], items) });
    let left: u32 = found.left_out.iter().map(|left| left.copies).sum();
    assert_eq!(left, 4);
}

#[test]
fn outlines_that_cross_themselves_or_go_nowhere() {
    let mut bow_tie = BezPath::new();
    bow_tie.move_to((0.0, 0.0));
    for point in [(3.0, 2.0), (3.0, 0.0), (0.0, 2.0)] {
        bow_tie.line_to(point);
    }
    bow_tie.close_path();
    let mut endless = bow_tie.clone();
    endless.line_to((f64::INFINITY, f64::NAN));
    let items = [BezPath::new(), bow_tie, endless]
        .map(|outline| item(Form::Outline(outline), 2, Tool::Machine));
    let found = nested(&job(vec![sheet(12.0, 12.0, 2)], items.to_vec()));
    assert_eq!(found.sheets.iter().map(|sheet| sheet.placed.len()).sum::<usize>(), 2);
}

#[test]
fn prices_below_nothing_and_not_a_number() {
    for price in [-5.0, f64::NAN, f64::INFINITY] {
        let odd = Stock { price: Price::new(price), ..sheet(12.0, 12.0, 3) };
        let found = nested(&job(vec![odd], vec![item(rectangle(5.0, 5.0), 5, Tool::Trimmer)]));
        assert_eq!(found.sheets.len(), 2, "four on a sheet, whatever it is said to cost");
    }
}

#[test]
fn reasons_are_told_as_data() {
    let nothing = || item(rectangle(0.0, 2.0), 1, Tool::Trimmer);
    let kite = |copies| item(rectangle(3.0, 4.0), copies, Tool::Trimmer);
    let cases = [
        (vec![kite(2)], vec![]),
        (vec![kite(1), nothing()], vec![Note::NoSize { item: 1 }]),
        (
            vec![nothing(), kite(20_001)],
            vec![Note::NoSize { item: 0 }, Note::TooMany { most: 20_000 }],
        ),
    ];
    for (items, notes) in cases {
        let job = Job { effort: Effort::Quick, ..job(vec![sheet(12.0, 12.0, 3)], items) };
        assert_eq!(nested(&job).notes, notes, "{:?}", job.items);
    }
}
