//! Small jobs searched to the end: the number of sheets against one found by plain enumeration, written
//! here without anything from the nester.

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Limit, Nested, Rules, Stock, Tool, Turns, nest};
use proptest::prelude::*;

/// A small job in whole inches.
#[derive(Clone, Debug)]
struct Small {
    /// Width, height, count and price of each kind of sheet; a price of 0 marks offcuts.
    sheets: Vec<([i64; 2], u32, f64)>,
    pieces: Vec<[i64; 2]>,
    turns: bool,
    kerf: i64,
}

fn size([width, height]: [i64; 2]) -> Size {
    Size::new(Length::part(width, 1), Length::part(height, 1))
}

fn job(small: &Small) -> Job {
    let stock = small.sheets.iter().map(|&(sheet, count, price)| Stock {
        size: size(sheet),
        count,
        price: Price::new(price),
        offcut: (price == 0.0).then(|| "dunes-1".into()),
        ..Stock::default()
    });
    let items = small.pieces.iter().enumerate().map(|(number, &piece)| Item {
        id: format!("kite {number}"),
        form: Form::Rectangle(size(piece)),
        copies: 1,
        tool: Tool::Trimmer,
        turns: if small.turns { Turns::Quarter } else { Turns::Never },
        together: None,
    });
    Job {
        stock: stock.collect(),
        items: items.collect(),
        rules: Rules { kerf: Length::part(small.kerf, 1), ..Rules::default() },
        effort: Effort::Quick,
    }
}

/// Whether all pieces can be cut from a rectangle: tries every cut at every whole inch.
fn can_cut(small: &Small, pieces: &[[i64; 2]], [width, height]: [i64; 2]) -> bool {
    let area: i64 = pieces.iter().map(|piece| piece[0] * piece[1]).sum();
    if area > width * height {
        return false;
    }
    match pieces {
        [] => return true,
        &[[w, h]] => {
            return (w <= width && h <= height) || (small.turns && h <= width && w <= height);
        }
        _ => {}
    }
    // The first piece lies in the first part; parts may be exchanged.
    (0..1_u32 << (pieces.len() - 1)).any(|others| {
        let here = |place: usize| place == 0 || others >> (place - 1) & 1 == 1;
        let part = |wanted: bool| -> Vec<[i64; 2]> {
            let places = (0..pieces.len()).filter(|&place| here(place) == wanted);
            places.map(|place| pieces[place]).collect()
        };
        let (one, two) = (part(true), part(false));
        !two.is_empty()
            && ((1..width).any(|cut| {
                can_cut(small, &one, [cut, height])
                    && can_cut(small, &two, [width - cut - small.kerf, height])
            }) || (1..height).any(|cut| {
                can_cut(small, &one, [width, cut])
                    && can_cut(small, &two, [width, height - cut - small.kerf])
            }))
    })
}

/// The least of a sum over the sheets that hold everything, by trying all.
fn least(small: &Small, cost: &dyn Fn(f64) -> f64) -> Option<f64> {
    fn go(
        small: &Small,
        waiting: &[[i64; 2]],
        left: &mut Vec<u32>,
        cost: &dyn Fn(f64) -> f64,
    ) -> Option<f64> {
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
                if can_cut(small, &on, sheet)
                    && let Some(rest) = go(small, &off, left, cost)
                {
                    let sum = cost(price) + rest;
                    best = Some(best.map_or(sum, |best| best.min(sum)));
                }
            }
            left[kind] += 1;
        }
        best
    }
    let mut left = small.sheets.iter().map(|sheet| sheet.1).collect();
    go(small, &small.pieces, &mut left, cost)
}

fn price(job: &Job, nested: &Nested) -> f64 {
    nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum()
}

fn new_sheets(job: &Job, nested: &Nested) -> usize {
    nested.sheets.iter().filter(|sheet| job.stock[sheet.stock].offcut.is_none()).count()
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
    (sheets, proptest::collection::vec(piece, 2..6), any::<bool>(), 0..2_i64)
        .prop_map(|(sheets, pieces, turns, kerf)| Small { sheets, pieces, turns, kerf })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn small_jobs_take_the_least(small in small_job()) {
        let job = job(&small);
        let nested = nest(&job);
        match least(&small, &|price| price) {
            None => prop_assert!(!nested.left_out.is_empty()),
            Some(cheapest) => {
                prop_assert!(nested.left_out.is_empty());
                prop_assert!((price(&job, &nested) - cheapest).abs() < 1e-9, "{} {cheapest}", price(&job, &nested));
                let fewest = least(&small, &|price| if price > 0.0 { 1.0 } else { 0.0 }).expect("a plan");
                prop_assert!(f64::from(nested.bound) <= fewest + 1e-9, "the bound holds");
                if small.sheets.len() == 1 {
                    prop_assert_eq!(new_sheets(&job, &nested), nested.bound as usize, "and is proven");
                }
            }
        }
    }
}

/// Pieces whose area and sizes alone would permit a sheet less.
#[test]
fn what_no_bound_shows_is_tried() {
    let small = Small {
        sheets: vec![([12, 12], 5, 1.0)],
        pieces: vec![[7, 5], [7, 5], [7, 5], [7, 5], [2, 2]],
        turns: true,
        kerf: 0,
    };
    let job = job(&small);
    let nested = nest(&job);
    // The pinwheel of four round a square has no cut from edge to edge.
    assert_eq!(nested.sheets.len(), 2);
    assert_eq!(nested.bound, 2);
    assert_eq!(nested.limit, Some(Limit::Tried));
}

/// With few steps nothing is claimed.
#[test]
fn without_steps_nothing_is_claimed() {
    let small = Small {
        sheets: vec![([12, 12], 5, 1.0)],
        pieces: vec![[7, 5], [7, 5], [7, 5], [7, 5], [2, 2]],
        turns: true,
        kerf: 0,
    };
    let nested = cutleaf::nest::nest_in_steps(&job(&small), 0);
    assert_eq!(nested.bound, 1);
    assert_eq!(nested.limit, None);
}
