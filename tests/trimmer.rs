//! Trimmer plans: every plan is cut again here, cut by cut, by code that knows nothing of how it was
//! found.

use std::collections::BTreeSet;

use crate::support::replay::{apart, check, new_sheets, piece_area, replay, sides};
use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{
    Effort, Fall, Form, Item, Job, Limit, Nested, Rules, SheetCut, Stock, Tool, Turns, nest,
};
use proptest::prelude::*;

fn sheets(width: f64, height: f64, count: u32, price: f64) -> Stock {
    Stock { size: Size::inches(width, height), count, price: Price::new(price), ..Stock::default() }
}

fn offcut(width: f64, height: f64) -> Stock {
    let offcut = Some("dunes-2".into());
    Stock { size: Size::inches(width, height), count: 1, price: None, offcut, ..Stock::default() }
}

fn piece(id: &str, width: f64, height: f64, copies: u32) -> Item {
    Item {
        id: id.to_owned(),
        form: Form::Rectangle(Size::inches(width, height)),
        copies,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    }
}

fn cut(job: &Job) -> Nested {
    let nested = nest(job);
    check(job, &nested);
    nested
}

/// The pieces of a spread about kites on the dunes.
fn spread() -> Vec<Item> {
    [
        ("left.sky", 12.0, 4.5, 1),
        ("right.sky", 12.0, 4.5, 1),
        ("left.sand", 12.0, 2.25, 1),
        ("right.sand", 12.0, 2.25, 1),
        ("launch.mat", 4.25, 6.25, 2),
        ("tail.mat", 3.75, 5.25, 3),
        ("string.mat", 3.25, 3.25, 4),
        ("tag", 1.5, 3.0, 4),
        ("strip", 0.5, 8.0, 4),
        ("label", 2.0, 1.0, 3),
    ]
    .map(|(id, width, height, copies)| piece(id, width, height, copies))
    .to_vec()
}

#[test]
fn thirds_of_a_page_leave_nothing() {
    let items = vec![piece("sky", 4.0, 12.0, 1), piece("dune", 8.0, 12.0, 1)];
    let job = Job { stock: vec![sheets(12.0, 12.0, 2, 1.0)], items, ..Job::default() };
    let nested = cut(&job);
    assert_eq!((nested.sheets.len(), nested.bound), (1, 1));
    assert_eq!(nested.sheets[0].cuts.len(), 1);
    assert!(nested.sheets[0].offcuts.is_empty());
    let third = Length::inches(12.0) / 3;
    let mut strip = piece("third", 4.0, 12.0, 3);
    strip.form = Form::Rectangle(Size::new(third, Length::inches(12.0)));
    let job = Job { items: vec![strip], ..job };
    let nested = cut(&job);
    assert_eq!((nested.sheets.len(), nested.sheets[0].cuts.len()), (1, 2));
    assert!(nested.sheets[0].cuts.iter().all(|cut| cut.fence == third));
}

#[test]
fn a_base_is_a_sheet_without_a_cut() {
    for margin in [0.0, 0.125] {
        let rules = Rules { trim_margin: Length::inches(margin), ..Rules::default() };
        let stock = vec![sheets(12.0, 12.0, 3, 1.0)];
        let job = Job { stock, items: vec![piece("base", 12.0, 12.0, 2)], rules, ..Job::default() };
        let nested = cut(&job);
        assert_eq!((nested.sheets.len(), nested.bound), (2, 2));
        assert!(nested.left_out.is_empty());
        assert!(nested.sheets.iter().all(|sheet| sheet.cuts.is_empty()));
    }
}

#[test]
fn a_spread_takes_the_fewest_sheets() {
    for effort in [Effort::Quick, Effort::Normal] {
        let stock = vec![sheets(12.0, 12.0, 9, 1.0)];
        let job = Job { stock, items: spread(), effort, ..Job::default() };
        let nested = cut(&job);
        assert!(nested.left_out.is_empty());
        assert_eq!(nested.sheets.len(), nested.bound as usize, "{:?}", nested.notes);
        assert!(matches!(nested.limit, Some(Limit::Area(_) | Limit::Sizes)), "{:?}", nested.limit);
        assert_eq!(nested, nest(&job), "same on repeat");
    }
}

#[test]
fn offcuts_go_first() {
    let stock = vec![sheets(12.0, 12.0, 5, 1.0), offcut(5.0, 12.0)];
    let job = Job { stock, items: vec![piece("mat", 4.25, 6.0, 2)], ..Job::default() };
    let nested = cut(&job);
    assert_eq!(new_sheets(&job, &nested), 0);
    assert_eq!((nested.sheets.len(), nested.bound), (1, 0));
}

#[test]
fn the_cheaper_mix_of_sheets_wins() {
    let stock = vec![sheets(12.0, 12.0, 5, 1.0), sheets(8.5, 11.0, 5, 0.25)];
    let job = Job { stock, items: vec![piece("mat", 8.0, 5.0, 2)], ..Job::default() };
    let nested = cut(&job);
    assert_eq!(nested.sheets.len(), 1);
    assert_eq!(nested.sheets[0].stock, 1);
}

#[test]
fn what_is_left_stays_in_one_large_piece() {
    let items = vec![piece("tag", 2.0, 3.0, 4), piece("mat", 3.0, 4.0, 1)];
    let job = Job { stock: vec![sheets(12.0, 12.0, 5, 1.0)], items, ..Job::default() };
    let nested = cut(&job);
    let largest = nested.sheets[0].offcuts[0].size.area();
    assert!(largest >= 12.0 * 8.0, "{largest}");
}

#[test]
fn equal_fence_settings_follow_each_other() {
    let job = Job {
        stock: vec![sheets(12.0, 12.0, 5, 1.0)],
        items: vec![piece("mat", 4.0, 3.0, 12)],
        ..Job::default()
    };
    let nested = cut(&job);
    let fences: Vec<Length> = nested.sheets[0].cuts.iter().map(|cut| cut.fence).collect();
    let changes = fences.windows(2).filter(|pair| pair[0] != pair[1]).count();
    assert!(changes <= 2, "{fences:?}");
    assert_eq!(fences.iter().collect::<BTreeSet<_>>().len(), 2, "4 in and 3 in");
    assert_eq!(nested.sheets[0].cuts[0].in_hand.size, Size::inches(12.0, 12.0));
}

#[test]
fn pieces_that_belong_together_lie_side_by_side() {
    for turned in [false, true] {
        let mut items = vec![piece("left.sky", 5.0, 3.0, 1), piece("right.sky", 4.0, 2.5, 1)];
        for item in &mut items {
            item.together = Some("sky".to_owned().into());
        }
        let size = if turned { [8.5, 11.0] } else { [11.0, 8.5] };
        let rules = Rules { kerf: Length::part(1, 64), ..Rules::default() };
        let stock = vec![sheets(size[0], size[1], 4, 1.0)];
        let job = Job { stock, items, rules, ..Job::default() };
        let nested = cut(&job);
        assert!(nested.left_out.is_empty());
        let [left, right] = [0, 1].map(|item| {
            let found = nested.sheets[0].placed.iter().find(|placed| placed.item == item);
            *found.expect("both on the first sheet")
        });
        assert_eq!([left.turn, right.turn], if turned { [90.0; 2] } else { [0.0; 2] });
        let kerf = job.rules.kerf.to_nanometres();
        let [left, right] = [left, right].map(|placed| sides(&piece_area(&job, &placed)));
        if turned {
            assert_eq!(left[3] + kerf, right[1], "the right half follows the left");
            assert_eq!(left[2], right[2], "their tops are in line");
        } else {
            assert_eq!(left[2] + kerf, right[0], "the right half follows the left");
            assert_eq!(left[1], right[1], "their tops are in line");
        }
    }
}

#[test]
fn what_fits_no_sheet_is_named() {
    let job = Job {
        stock: vec![sheets(12.0, 12.0, 1, 1.0)],
        items: vec![piece("banner", 14.0, 2.0, 2), piece("base", 12.0, 12.0, 2)],
        ..Job::default()
    };
    let nested = cut(&job);
    let left: Vec<(usize, u32, bool)> =
        nested.left_out.iter().map(|left| (left.item, left.copies, left.too_large)).collect();
    assert_eq!(left, [(0, 2, true), (1, 1, false)]);
}

#[test]
fn the_machine_takes_what_the_trimmer_leaves() {
    let mut letters = piece("letter", 1.5, 2.0, 6);
    letters.tool = Tool::Machine;
    let rules = Rules {
        spacing: Length::part(1, 8),
        machine_margin: Length::part(1, 4),
        ..Rules::default()
    };
    let items = vec![piece("panel", 12.0, 6.0, 1), letters];
    let job = Job { stock: vec![sheets(12.0, 12.0, 3, 1.0)], items, rules, ..Job::default() };
    let nested = nest(&job);
    assert!(nested.left_out.is_empty());
    assert_eq!(nested.sheets.len(), 1);
    let sheet = &nested.sheets[0];
    let machine = sheet.machine.expect("a part for the machine");
    assert!(replay(&job, sheet).iter().any(|falls| falls.what == Fall::Machine));
    let rim = Length::part(1, 4).to_nanometres() - 2;
    for placed in sheet.placed.iter().filter(|placed| placed.item == 1) {
        let [left, top, right, bottom] = sides(&piece_area(&job, placed));
        let paper = sides(&machine);
        assert!(left >= paper[0] + rim && top >= paper[1] + rim);
        assert!(right <= paper[2] - rim && bottom <= paper[3] - rim);
    }
    assert!(!sheet.offcuts.is_empty(), "what the machine does not need is kept");
}

#[test]
fn a_fresh_machine_sheet_keeps_its_free_part() {
    let mut letters = piece("letter", 1.5, 2.0, 4);
    letters.tool = Tool::Machine;
    let rules = Rules { spacing: Length::part(1, 8), ..Rules::default() };
    let stock = vec![sheets(12.0, 12.0, 3, 1.0)];
    let job = Job { stock, items: vec![letters], rules, ..Job::default() };
    let nested = nest(&job);
    let sheet = &nested.sheets[0];
    assert_eq!((nested.sheets.len(), sheet.placed.len(), sheet.cuts.len()), (1, 4, 0));
    assert!(sheet.offcuts[0].size.area() >= 12.0 * 9.0);
    for rest in &sheet.offcuts {
        assert!(sheet.placed.iter().all(|placed| apart(&piece_area(&job, placed), rest)));
    }
}

#[test]
fn hostile_jobs_end() {
    let huge = f64::from(u32::MAX);
    let mut odd = piece("tail", 1.0, 1.0, 3);
    odd.tool = Tool::Machine;
    let rules = |kerf: f64, margin: f64| Rules {
        kerf: Length::inches(kerf),
        trim_margin: Length::inches(margin),
        machine_margin: Length::inches(margin),
        ..Rules::default()
    };
    let jobs = [
        Job::default(),
        Job { items: spread(), ..Job::default() },
        Job { stock: vec![sheets(12.0, 12.0, 0, 1.0)], items: spread(), ..Job::default() },
        Job { stock: vec![sheets(0.0, 12.0, 4, f64::NAN)], items: spread(), ..Job::default() },
        Job {
            stock: vec![sheets(12.0, 12.0, 4, -1.0)],
            items: vec![piece("nothing", 0.0, 4.0, 2), piece("less", -3.0, 4.0, 1), odd.clone()],
            ..Job::default()
        },
        Job {
            stock: vec![sheets(12.0, 12.0, 4, 1.0)],
            items: vec![piece("tag", 1.0, 1.0, 2), odd],
            rules: rules(0.0, 7.0),
            ..Job::default()
        },
        Job {
            stock: vec![sheets(12.0, 12.0, 4, f64::INFINITY)],
            items: spread(),
            rules: rules(huge, 0.0),
            ..Job::default()
        },
        Job {
            stock: vec![sheets(huge, huge, u32::MAX, 1.0), sheets(12.0, 12.0, 4, 1.0)],
            items: vec![piece("huge", huge, 1.0, 1), piece("tag", 2.0, 3.0, 1)],
            ..Job::default()
        },
        Job {
            stock: vec![sheets(12.0, 12.0, u32::MAX, 1.0)],
            items: vec![piece("tag", 1.5, 3.0, 10_000), piece("dot", 0.01, 0.01, u32::MAX)],
            ..Job::default()
        },
    ];
    for job in jobs {
        let nested = nest(&job);
        let left: u64 = nested.left_out.iter().map(|left| u64::from(left.copies)).sum();
        let lie = |sheet: &SheetCut| sheet.placed.len() as u64 * u64::from(sheet.count);
        let placed: u64 = nested.sheets.iter().map(lie).sum();
        let wanted: u64 = job.items.iter().map(|item| u64::from(item.copies)).sum();
        assert_eq!(left + placed, wanted);
    }
}

#[test]
fn ten_thousand_copies_are_cut() {
    let job = Job {
        stock: vec![sheets(12.0, 12.0, 20_000, 1.0)],
        items: vec![piece("tag", 1.5, 3.0, 9_000), piece("mat", 4.25, 6.25, 1_000)],
        effort: Effort::Long,
        ..Job::default()
    };
    let nested = cut(&job);
    assert!(nested.left_out.is_empty());
    assert!(nested.new_sheets(&job.stock) < nested.bound as usize * 6 / 5);
}

/// A length in sixteenths of an inch, some of them a hair off.
fn length(most: i64) -> impl Strategy<Value = Length> {
    (1..=most, 0..3_i64).prop_map(|(marks, hair)| {
        Length::part(marks, 16) + Length::nanometres(if hair == 2 { 7 } else { 0 })
    })
}

fn any_item() -> impl Strategy<Value = Item> {
    (length(210), length(160), 1..4_u32, 0..3_usize, 0..8).prop_map(
        |(width, height, copies, turns, together)| Item {
            id: "kite".to_owned(),
            form: Form::Rectangle(Size::new(width, height)),
            copies,
            tool: if together == 7 { Tool::Hand } else { Tool::Trimmer },
            turns: [Turns::Never, Turns::Quarter, Turns::Any][turns],
            together: (together < 2).then(|| format!("pair {together}").into()),
        },
    )
}

fn any_stock() -> impl Strategy<Value = Stock> {
    (0..5, 0..6_u32, length(200), length(200)).prop_map(|(kind, count, width, height)| match kind {
        0 | 1 => sheets(12.0, 12.0, count, 1.0),
        2 => sheets(8.5, 11.0, count, 0.25),
        3 => Stock { size: Size::new(width, height), count, price: None, ..Stock::default() },
        _ => Stock { size: Size::new(width, height), ..offcut(1.0, 1.0) },
    })
}

fn any_job() -> impl Strategy<Value = Job> {
    let kerf = prop_oneof![Just(Length::ZERO), Just(Length::part(1, 64)), Just(Length::part(1, 4))];
    let margin = prop_oneof![Just(Length::ZERO), Just(Length::part(1, 8))];
    let stages = prop_oneof![Just(None), (0..3_u32).prop_map(Some)];
    (
        proptest::collection::vec(any_stock(), 1..4),
        proptest::collection::vec(any_item(), 1..9),
        kerf,
        margin,
        stages,
    )
        .prop_map(|(stock, items, kerf, trim_margin, stages)| Job {
            stock,
            items,
            rules: Rules { kerf, trim_margin, stages, ..Rules::default() },
            effort: Effort::Quick,
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn every_plan_cuts_to_its_pieces(job in any_job()) {
        let nested = nest(&job);
        check(&job, &nested);
        prop_assert_eq!(nested, nest(&job));
    }
}

/// The offcuts, by place in the stock, that a plan of these pieces takes, fewest inches left over first.
fn served(offcuts: &[[f64; 2]], pieces: &[[f64; 2]], kinds: Vec<Stock>) -> Vec<usize> {
    let stock = offcuts.iter().map(|&[width, height]| offcut(width, height)).chain(kinds).collect();
    let items = pieces.iter().map(|&[width, height]| piece("mat", width, height, 1)).collect();
    let nested = cut(&Job { stock, items, effort: Effort::Quick, ..Job::default() });
    assert!(nested.left_out.is_empty());
    let mut used: Vec<usize> = nested.sheets.iter().map(|sheet| sheet.stock).collect();
    used.retain(|&place| place < offcuts.len());
    used.sort_unstable();
    used
}

#[test]
fn offcuts_that_leave_least_serve_then_the_oldest() {
    let new = || vec![sheets(12.0, 12.0, 2, 1.0)];
    for (what, offcuts, pieces, wanted) in [
        ("the snuggest", &[[8.0, 11.0], [5.0, 7.0], [6.0, 7.0]][..], &[[4.0, 6.5]][..], &[1][..]),
        ("the oldest of two alike", &[[9.0, 9.0], [5.0, 7.0], [5.0, 7.0]], &[[4.0, 6.5]], &[1]),
        (
            "one rather than two that leave more",
            &[[4.0, 7.0], [4.0, 7.0], [7.0, 7.0]],
            &[[3.0, 6.0], [3.5, 6.0]],
            &[2],
        ),
        (
            "two rather than one that leaves more",
            &[[12.0, 8.0], [4.0, 7.0], [3.0, 6.0]],
            &[[3.0, 6.0], [3.5, 6.5]],
            &[1, 2],
        ),
        (
            "as many, of another area",
            &[[4.0, 8.0], [5.0, 5.0], [4.0, 6.5]],
            &[[4.0, 6.0], [4.5, 5.0]],
            &[1, 2],
        ),
        ("beside a new sheet", &[[7.0, 7.0], [6.5, 6.0]], &[[12.0, 11.0], [6.0, 6.0]], &[1]),
    ] {
        assert_eq!(served(offcuts, pieces, new()), wanted, "{what}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Of all choices of offcuts on which the pieces fit, each tried alone, none leaves less than the one
    /// that serves, and none of the same rest is older.
    #[test]
    fn no_choice_of_offcuts_leaves_less(
        offcuts in prop::collection::vec((2_u8..9, 2_u8..9), 2..5),
        pieces in prop::collection::vec((1_u8..5, 1_u8..5), 1..4),
    ) {
        let sizes = |list: &[(u8, u8)]| -> Vec<[f64; 2]> {
            list.iter().map(|&(width, height)| [f64::from(width), f64::from(height)]).collect()
        };
        let (offcuts, pieces) = (sizes(&offcuts), sizes(&pieces));
        let area = |choice: &[usize]| choice.iter().map(|&one| offcuts[one][0] * offcuts[one][1]).sum::<f64>();
        let items: Vec<Item> = pieces.iter().map(|&[width, height]| piece("mat", width, height, 1)).collect();
        let mut best: Option<(f64, Vec<usize>)> = None;
        for mask in 1..1_usize << offcuts.len() {
            let choice: Vec<usize> = (0..offcuts.len()).filter(|one| mask >> one & 1 == 1).collect();
            let stock = choice.iter().map(|&one| offcut(offcuts[one][0], offcuts[one][1])).collect();
            let nested = nest(&Job { stock, items: items.clone(), effort: Effort::Quick, ..Job::default() });
            let found = (area(&choice), choice);
            if nested.left_out.is_empty() && best.as_ref().is_none_or(|best| found < *best) {
                best = Some(found);
            }
        }
        if let Some((_, choice)) = best {
            prop_assert_eq!(served(&offcuts, &pieces, vec![sheets(12.0, 12.0, 3, 1.0)]), choice);
        }
    }
}
