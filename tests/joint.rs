//! Trimmer and machine together, and whole plans weighed against each other: more effort is never worse,
//! leftovers go first, and of plans that cost the same the better one is found.

use crate::support::replay::{apart, check, replay, sides, whole};
use cutleaf::geometry;
use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::worth::{Worth, settings};
use cutleaf::nest::{
    Area, Begun, Effort, Form, Item, Job, Nested, PlacedItem, Rules, Search, SheetCut, Stock, Tool,
    Turns, nest,
};
use cutleaf::shapes;
use kurbo::Shape as _;
use proptest::prelude::*;

pub fn sheets(width: f64, height: f64, count: u32, price: f64) -> Stock {
    Stock { size: Size::inches(width, height), count, price: Price::new(price), ..Stock::default() }
}

pub fn offcut(id: &str, width: f64, height: f64) -> Stock {
    let offcut = Some(id.into());
    Stock { size: Size::inches(width, height), count: 1, offcut, ..Stock::default() }
}

pub fn card(width: f64, height: f64, copies: u32) -> Item {
    Item {
        id: "card".to_owned(),
        form: Form::Rectangle(Size::inches(width, height)),
        copies,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    }
}

pub fn star(diameter: f64, copies: u32) -> Item {
    let outline = shapes::star(5, diameter, diameter / 4.0).expect("a star").outline;
    let bounds = outline.bounding_box();
    let outline = kurbo::Affine::translate((-bounds.x0, -bounds.y0)) * outline;
    Item {
        id: "star".to_owned(),
        form: Form::Outline(outline),
        copies,
        tool: Tool::Machine,
        turns: Turns::Quarter,
        together: None,
    }
}

pub fn distances() -> Rules {
    Rules { spacing: Length::part(1, 16), machine_margin: Length::part(1, 4), ..Rules::default() }
}

/// The box of a piece on its sheet.
fn box_of(job: &Job, placed: &PlacedItem) -> Area {
    let size = match &job.items[placed.item].form {
        Form::Rectangle(size) if placed.turn == 0.0 => *size,
        Form::Rectangle(size) => size.turned(),
        Form::Outline(path) => {
            let bounds = (geometry::turning(placed.turn) * path).bounding_box();
            Size::inches(bounds.width(), bounds.height())
        }
    };
    Area { left: Length::inches(placed.at[0]), top: Length::inches(placed.at[1]), size }
}

/// Checks a plan of both: every copy once, machine pieces on the machine's part inside its rim, rests
/// free, and the trimmer's cuts replayed.
pub fn sound(job: &Job, nested: &Nested) {
    let lie = |sheet: &SheetCut| sheet.placed.len() * sheet.count as usize;
    let placed: usize = nested.sheets.iter().map(lie).sum();
    let left: u32 = nested.left_out.iter().map(|left| left.copies).sum();
    let wanted: u32 = job.items.iter().map(|item| item.copies).sum();
    assert_eq!(placed + left as usize, wanted as usize);
    for sheet in &nested.sheets {
        sound_sheet(job, sheet);
    }
}

fn sound_sheet(job: &Job, sheet: &SheetCut) {
    let rim = job.rules.machine_margin.to_nanometres() - 2;
    let boxes: Vec<Area> = sheet.placed.iter().map(|placed| box_of(job, placed)).collect();
    for (placed, area) in sheet.placed.iter().zip(&boxes) {
        assert!(sheet.offcuts.iter().all(|rest| apart(rest, area)), "rests are free");
        if job.items[placed.item].tool == Tool::Machine {
            let paper = sides(&sheet.machine.expect("a part for the machine"));
            let [left, top, right, bottom] = sides(area);
            assert!(left >= paper[0] + rim && top >= paper[1] + rim, "inside the rim");
            assert!(right <= paper[2] - rim && bottom <= paper[3] - rim, "inside the rim");
        }
    }
    for (place, rest) in sheet.offcuts.iter().enumerate() {
        assert!(
            sheet.offcuts[..place].iter().all(|other| apart(rest, other)),
            "rests are disjoint"
        );
        let [left, top, right, bottom] = sides(rest);
        let [_, _, far, deep] = sides(&whole(job, sheet));
        assert!(left >= 0 && top >= 0 && right <= far && bottom <= deep, "on the sheet");
    }
    for pair in sheet.offcuts.windows(2) {
        assert!(pair[0].size.area() >= pair[1].size.area() - 1e-9, "largest first");
    }
    replay(job, sheet);
}

fn best(job: &Job) -> (Nested, Worth) {
    let nested = nest(job);
    sound(job, &nested);
    let worth = Worth::of(job, &nested);
    (nested, worth)
}

fn price(job: &Job, nested: &Nested) -> f64 {
    nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum()
}

fn at(job: &Job, effort: Effort) -> Job {
    Job { effort, ..job.clone() }
}

#[test]
fn cards_and_stars_cost_no_more_with_more_effort() {
    let job = Job {
        stock: vec![sheets(12.0, 12.0, 9, 0.5), sheets(8.5, 11.0, 9, 0.3)],
        items: vec![card(2.5, 3.5, 24), star(1.5, 24)],
        rules: distances(),
        effort: Effort::Quick,
    };
    let (quick, quick_worth) = best(&job);
    let (normal, normal_worth) = best(&at(&job, Effort::Normal));
    assert!(normal_worth <= quick_worth, "{quick_worth:?} {normal_worth:?}");
    println!("{} {}", price(&job, &quick), price(&job, &normal));
}

#[test]
fn a_leftover_is_used_before_a_new_sheet_is_cut_into() {
    for effort in [Effort::Quick, Effort::Normal] {
        let stock = vec![sheets(12.0, 12.0, 3, 1.0), offcut("dune", 5.0, 6.0)];
        for small in [card(2.0, 3.0, 1), star(2.0, 1)] {
            let items = vec![card(11.0, 7.0, 1), small];
            let job = Job { stock: stock.clone(), items, rules: distances(), effort };
            let (nested, _) = best(&job);
            let from =
                nested.sheets.iter().find(|sheet| sheet.placed.iter().any(|one| one.item == 1));
            assert_eq!(from.map(|sheet| sheet.stock), Some(1), "{effort:?}: {nested:?}");
        }
    }
}

#[test]
fn equal_cards_lie_in_a_plain_grid() {
    for effort in [Effort::Quick, Effort::Normal] {
        let stock = vec![sheets(8.5, 11.0, 3, 0.6)];
        let job = Job { stock, items: vec![card(2.125, 2.5, 16)], effort, ..Job::default() };
        let (nested, worth) = best(&job);
        assert_eq!(nested.sheets.len(), 1);
        assert_eq!((worth.cuts, worth.settings), (16, 2), "{effort:?}");
        assert_eq!(nested.sheets[0].offcuts[0].size, Size::inches(8.5, 1.0));
    }
}

#[test]
fn strips_of_one_height_take_a_setting_a_length() {
    let mut items = Vec::new();
    for (number, copies) in [2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1].into_iter().enumerate()
    {
        items.push(card(2.0 + number as f64 * 0.3125, 0.5, copies));
    }
    let stock = vec![sheets(12.0, 12.0, 3, 1.0)];
    let job = Job { stock, items, effort: Effort::Normal, ..Job::default() };
    let (nested, worth) = best(&job);
    assert_eq!(nested.sheets.len(), 1);
    assert!(worth.settings <= 17, "{} settings, {} cuts", worth.settings, worth.cuts);
    check(&job, &nested);
    assert_eq!(settings(&nested.sheets[0].cuts), worth.settings);
}

/// The settings of a fence that takes the rim of a printed sheet: two straight edges, then the card.
#[test]
fn rims_that_fall_off_take_no_cut() {
    let rules = Rules { trim_margin: Length::part(1, 4), rim_is_paper: true, ..Rules::default() };
    let stock = vec![sheets(8.5, 11.0, 3, 0.6)];
    for (copies, cuts) in [(1, 4), (2, 5)] {
        let items = vec![card(4.0, 6.0, copies)];
        let job = Job { stock: stock.clone(), items, rules, effort: Effort::Quick };
        let (nested, worth) = best(&job);
        assert!(worth.cuts <= cuts, "{copies}: {:?}", nested.sheets[0].cuts);
    }
}

#[test]
fn every_rest_worth_keeping_is_listed() {
    let stock = vec![sheets(12.0, 12.0, 3, 1.0)];
    let job = Job { stock, items: vec![star(3.0, 1)], rules: distances(), effort: Effort::Quick };
    let (nested, _) = best(&job);
    // Below the star and beside it.
    assert_eq!(nested.sheets[0].offcuts.len(), 2, "{:?}", nested.sheets[0].offcuts);
    let rules = Rules { worth_keeping: Size::inches(4.0, 9.0), ..distances() };
    let (nested, _) = best(&Job { rules, ..job.clone() });
    assert_eq!(nested.sheets[0].offcuts.len(), 1, "{:?}", nested.sheets[0].offcuts);
    // Beside the machine's part of a trimmed sheet.
    let (nested, _) = best(&Job { items: vec![card(6.0, 12.0, 1), star(2.0, 1)], ..job });
    assert!(nested.sheets[0].offcuts.len() >= 2, "{:?}", nested.sheets[0].offcuts);
}

#[test]
fn a_hundred_pieces_cost_no_more_with_more_effort() {
    let mut items = Vec::new();
    for number in 0..12 {
        let side = f64::from(number) * 0.25;
        items.push(card(2.0 + side, 1.5 + side * 0.75, 3 + number % 3));
        items.push(star(1.0 + side * 0.4, 4 + number % 2));
    }
    items.push(card(0.5, 11.0, 5));
    let stock = vec![sheets(12.0, 12.0, 20, 1.0), sheets(8.5, 11.0, 20, 0.62)];
    let job = Job { stock, items, rules: distances(), effort: Effort::Quick };
    assert_eq!(job.items.iter().map(|item| item.copies).sum::<u32>(), 107);
    let (quick, quick_worth) = best(&job);
    let (normal, normal_worth) = best(&at(&job, Effort::Normal));
    assert!(normal_worth <= quick_worth);
    println!("{} {}", price(&job, &quick), price(&job, &normal));
}

fn any_item() -> impl Strategy<Value = Item> {
    (8..72_i64, 8..72_i64, 1..6_u32, any::<bool>()).prop_map(|(width, height, copies, machine)| {
        if machine {
            star(width as f64 / 16.0, copies)
        } else {
            card(width as f64 / 16.0, height as f64 / 16.0, copies)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn more_effort_is_never_worse(
        items in proptest::collection::vec(any_item(), 2..7),
        rest in (16..120_i64, 16..120_i64),
        letter in 0..4_u32,
    ) {
        let stock = vec![
            sheets(12.0, 12.0, 4, 1.0),
            sheets(8.5, 11.0, letter, 0.6),
            offcut("dune", rest.0 as f64 / 16.0, rest.1 as f64 / 16.0),
        ];
        let job = Job { stock, items, rules: distances(), effort: Effort::Quick };
        let (_, quick) = best(&job);
        let (nested, normal) = best(&at(&job, Effort::Normal));
        prop_assert!(normal <= quick, "{:?} {:?}", quick, normal);
        prop_assert_eq!(&nested, &nest(&at(&job, Effort::Normal)));
    }
}

proptest! {
    // A long search takes seconds.
    #![proptest_config(ProptestConfig { cases: 3, ..ProptestConfig::default() })]

    #[test]
    fn long_goes_on_where_normal_ended(
        items in proptest::collection::vec(any_item(), 2..5),
        letter in 0..3_u32,
    ) {
        let stock = vec![sheets(12.0, 12.0, 4, 1.0), sheets(8.5, 11.0, letter, 0.6), offcut("dune", 4.0, 5.0)];
        let job = Job { stock, items, rules: distances(), effort: Effort::Quick };
        let mut begun = Begun::default();
        let [quick, normal, long] = Effort::ALL.map(|effort| {
            let nested = begun.nest(&at(&job, effort), &Search::new());
            sound(&job, &nested);
            nested
        });
        let worth = |nested| Worth::of(&job, nested);
        prop_assert!(worth(&normal) <= worth(&quick), "{:?} {:?}", quick, normal);
        prop_assert!(worth(&long) <= worth(&normal), "{:?} {:?}", normal, long);
        // Less effort stays what it is alone, and is not searched again.
        for (effort, nested) in Effort::ALL.into_iter().zip([&quick, &normal, &long]) {
            prop_assert_eq!(&begun.nest(&at(&job, effort), &Search::new()), nested);
        }
        prop_assert_eq!(begun.searches(), 3);
        prop_assert_eq!(&nest(&at(&job, Effort::Quick)), &quick);
        prop_assert_eq!(&nest(&at(&job, Effort::Normal)), &normal);
    }
}
