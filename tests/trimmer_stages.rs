//! Limits on how often the direction of cuts changes: counted in the cuts themselves, and the price of
//! small jobs against one found by plain enumeration, written here without anything from the nester.

use std::collections::HashMap;

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{
    Area, CutLine, Effort, Fall, Form, Item, Job, Limit, Nested, Rules, SheetCut, Stock, Tool,
    Turns, nest,
};
use proptest::prelude::*;

fn size([width, height]: [i64; 2]) -> Size {
    Size::new(Length::part(width, 1), Length::part(height, 1))
}

fn item(piece: [i64; 2], copies: u32, turns: Turns) -> Item {
    Item {
        id: "kite".to_owned(),
        form: Form::Rectangle(size(piece)),
        copies,
        tool: Tool::Trimmer,
        turns,
        together: None,
    }
}

fn sheets(sheet: [i64; 2], count: u32, price: f64) -> Stock {
    let offcut = (price == 0.0).then(|| "dunes-1".into());
    Stock { size: size(sheet), count, price: Price::new(price), offcut, ..Stock::default() }
}

/// The part of a sheet inside the rim that is trimmed.
fn inside(job: &Job, sheet: &SheetCut) -> Area {
    let stock = &job.stock[sheet.stock];
    let margin = if stock.offcut.is_some() { Length::ZERO } else { job.rules.trim_margin };
    let less = |length: Length| length - margin - margin;
    let size = Size::new(less(stock.size.width), less(stock.size.height));
    Area { left: margin, top: margin, size }
}

/// How often the direction of a sheet's cuts changes on the way to a piece, the trimmed rim aside.
fn changes(job: &Job, sheet: &SheetCut) -> u32 {
    let start = inside(job, sheet);
    let rim = sheet.cuts.iter().position(|cut| cut.keeps.area == start).map_or(0, |last| last + 1);
    let mut known: HashMap<Area, (u32, Option<bool>)> = HashMap::new();
    let mut most = 0;
    for cut in &sheet.cuts[rim..] {
        let down = matches!(cut.line, CutLine::Down(_));
        let (changes, before) = known.get(&cut.in_hand).copied().unwrap_or((0, None));
        let changes = changes + u32::from(before.is_some_and(|before| before != down));
        for half in [cut.keeps, cut.drops] {
            assert!(half.what != Fall::Machine);
            known.insert(half.area, (changes, Some(down)));
        }
        most = most.max(changes);
    }
    most
}

/// A small job in whole inches.
#[derive(Clone, Debug)]
struct Small {
    /// Width, height, count and price of each kind of sheet; a price of 0 marks offcuts.
    sheets: Vec<([i64; 2], u32, f64)>,
    pieces: Vec<[i64; 2]>,
    turns: bool,
    kerf: i64,
    changes: u32,
}

fn job(small: &Small) -> Job {
    let stock = small.sheets.iter().map(|&(sheet, count, price)| sheets(sheet, count, price));
    let turns = if small.turns { Turns::Quarter } else { Turns::Never };
    Job {
        stock: stock.collect(),
        items: small.pieces.iter().map(|&piece| item(piece, 1, turns)).collect(),
        rules: Rules {
            kerf: Length::part(small.kerf, 1),
            stages: Some(small.changes),
            ..Rules::default()
        },
        effort: Effort::Quick,
    }
}

/// Whether all pieces can be cut from a rectangle whose next cuts part it along an axis, with so many
/// levels of cuts: tries every first part at every whole inch.
fn can_cut(small: &Small, pieces: &[[i64; 2]], paper: [i64; 2], axis: usize, levels: u32) -> bool {
    let area: i64 = pieces.iter().map(|piece| piece[0] * piece[1]).sum();
    match pieces {
        [] => return true,
        &[[w, h]] if paper == [w, h] || (small.turns && paper == [h, w]) => return true,
        _ if levels == 0 || area > paper[0] * paper[1] => return false,
        _ => {}
    }
    let shorter = |length: i64| {
        let mut part = paper;
        part[axis] = length;
        part
    };
    if can_cut(small, pieces, paper, 1 - axis, levels - 1) {
        return true;
    }
    // The first piece lies in the first part; parts may be exchanged.
    (0..1_u32 << (pieces.len() - 1)).any(|others| {
        let here = |place: usize| place == 0 || others >> (place - 1) & 1 == 1;
        let part = |wanted: bool| -> Vec<[i64; 2]> {
            let places = (0..pieces.len()).filter(|&place| here(place) == wanted);
            places.map(|place| pieces[place]).collect()
        };
        let (one, two) = (part(true), part(false));
        (1..paper[axis]).any(|cut| {
            let rest = paper[axis] - cut - small.kerf;
            (two.is_empty() || rest > 0)
                && can_cut(small, &one, shorter(cut), 1 - axis, levels - 1)
                && can_cut(small, &two, shorter(rest), axis, levels)
        })
    })
}

/// The least price of sheets that hold everything, by trying all.
fn least(small: &Small, waiting: &[[i64; 2]], left: &mut Vec<u32>) -> Option<f64> {
    if waiting.is_empty() {
        return Some(0.0);
    }
    let mut best: Option<f64> = None;
    for kind in 0..left.len() {
        if left[kind] == 0 {
            continue;
        }
        let (sheet, _, price) = small.sheets[kind];
        left[kind] -= 1;
        for others in 0..1_u32 << (waiting.len() - 1) {
            let here = |place: usize| place == 0 || others >> (place - 1) & 1 == 1;
            let (mut on, mut off) = (Vec::new(), Vec::new());
            for (place, &piece) in waiting.iter().enumerate() {
                if here(place) { on.push(piece) } else { off.push(piece) }
            }
            let fits =
                [0, 1].iter().any(|&axis| can_cut(small, &on, sheet, axis, small.changes + 1));
            if fits && let Some(rest) = least(small, &off, left) {
                best = Some(best.map_or(price + rest, |best| best.min(price + rest)));
            }
        }
        left[kind] += 1;
    }
    best
}

fn price(job: &Job, nested: &Nested) -> f64 {
    nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum()
}

fn small_job() -> impl Strategy<Value = Small> {
    let piece = (1..=6_i64, 1..=6_i64).prop_map(|(width, height)| [width, height]);
    let sheets = prop_oneof![
        Just(vec![([7, 7], 6, 1.0)]),
        Just(vec![([8, 6], 6, 1.0)]),
        Just(vec![([7, 7], 6, 1.0), ([7, 4], 6, 0.5)]),
        Just(vec![([7, 7], 6, 1.0), ([5, 4], 1, 0.0)]),
        Just(vec![([7, 7], 6, 1.0), ([6, 5], 6, 0.7), ([4, 2], 1, 0.0)]),
    ];
    let pieces = proptest::collection::vec(piece, 2..6);
    (sheets, pieces, any::<bool>(), 0..2_i64, 0..4_u32).prop_map(
        |(sheets, pieces, turns, kerf, changes)| Small { sheets, pieces, turns, kerf, changes },
    )
}

/// Whether every piece can be cut from some kind of sheet alone.
fn each_fits(small: &Small) -> bool {
    small.pieces.iter().all(|&piece| {
        small.sheets.iter().any(|&(sheet, ..)| {
            [0, 1].iter().any(|&axis| can_cut(small, &[piece], sheet, axis, small.changes + 1))
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn small_jobs_take_the_least_within_the_limit(small in small_job()) {
        let job = job(&small);
        let nested = nest(&job);
        for sheet in &nested.sheets {
            prop_assert!(changes(&job, sheet) <= small.changes, "{sheet:?}");
        }
        let mut left = small.sheets.iter().map(|sheet| sheet.1).collect();
        match least(&small, &small.pieces, &mut left) {
            None => prop_assert!(!nested.left_out.is_empty()),
            Some(cheapest) => {
                prop_assert!(each_fits(&small));
                prop_assert!(nested.left_out.is_empty());
                prop_assert!((price(&job, &nested) - cheapest).abs() < 1e-9, "{} {cheapest}", price(&job, &nested));
                if small.sheets.len() == 1 {
                    prop_assert_eq!(nested.sheets.len(), nested.bound as usize, "and is proven");
                }
            }
        }
    }
}

/// Larger jobs, some pieces of which belong together, with a rim to trim.
fn any_job() -> impl Strategy<Value = Job> {
    let any_item = (1..=10_i64, 1..=8_i64, 1..4_u32, any::<bool>(), 0..6).prop_map(
        |(width, height, copies, turns, together)| Item {
            together: (together < 2).then(|| format!("pair {together}").into()),
            ..item([width, height], copies, if turns { Turns::Quarter } else { Turns::Never })
        },
    );
    let items = proptest::collection::vec(any_item, 1..9);
    (items, 0..3_i64, 0..2_i64, 0..4_u32).prop_map(|(items, kerf, margin, stages)| Job {
        stock: vec![sheets([12, 12], 4, 1.0), sheets([8, 11], 3, 0.6), sheets([6, 5], 1, 0.0)],
        items,
        rules: Rules {
            kerf: Length::part(kerf, 8),
            trim_margin: Length::part(margin, 2),
            stages: Some(stages),
            ..Rules::default()
        },
        effort: Effort::Quick,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn no_sheet_changes_direction_more_often(job in any_job()) {
        let nested = nest(&job);
        for sheet in &nested.sheets {
            let changes = changes(&job, sheet);
            prop_assert!(Some(changes) <= job.rules.stages, "{changes} in {sheet:?}");
        }
    }
}

#[test]
fn one_direction_of_cuts_when_stages_say_so() {
    let rules = Rules { stages: Some(0), ..Rules::default() };
    let items = vec![item([3, 12], 4, Turns::Quarter), item([2, 3], 1, Turns::Quarter)];
    let job = Job { stock: vec![sheets([12, 12], 3, 1.0)], items, rules, ..Job::default() };
    let nested = nest(&job);
    assert_eq!(nested.left_out.len(), 1, "the tag needs cuts both ways");
    assert_eq!(nested.sheets.len(), 1);
    assert_eq!(changes(&job, &nested.sheets[0]), 0);
}

/// Five pieces that fill a sheet with three changes of direction, and with no fewer.
#[test]
fn a_sheet_more_where_fewer_changes_are_allowed() {
    let pieces = vec![[12, 2], [4, 10], [8, 3], [3, 7], [5, 7]];
    for (changes_allowed, least) in [(1, 2), (2, 2), (3, 1), (4, 1)] {
        let small = Small {
            sheets: vec![([12, 12], 5, 1.0)],
            pieces: pieces.clone(),
            turns: false,
            kerf: 0,
            changes: changes_allowed,
        };
        let job = job(&small);
        let nested = nest(&job);
        assert_eq!(nested.sheets.len(), least, "{changes_allowed} changes");
        assert_eq!(nested.bound as usize, least, "proven");
        assert_eq!(nested.limit, (least > 1).then_some(Limit::Tried), "{changes_allowed} changes");
    }
}
