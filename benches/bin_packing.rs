//! The 500 published rectangle lists (see tests/data/bin-packing/SOURCES.md): sheets used by class,
//! with and without turning, against the best known.
//!
//! `cargo bench --bench bin_packing -- [quick|normal|long|STEPS] [every N] [turns never|quarter]
//! [classes 5,7,8]`

#[path = "../tests/support/published.rs"]
mod published;

use std::time::Instant;

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Form, Item, Job, Stock, Tool, Turns, nest_in_steps};
use published::{List, lists};

/// Fewest sheets known by class in 600 s on 8 threads (Gardeyn & Wauters 2022, tables 1 and 2),
/// without and with turning.
const BEST: [[u32; 10]; 2] = [
    [997, 124, 697, 121, 893, 110, 825, 833, 2130, 503],
    [972, 124, 675, 119, 862, 109, 756, 759, 2119, 491],
];
/// The same authors' own code in one second a list, all classes.
const IN_A_SECOND: [u32; 2] = [7260, 7012];

fn size([width, height]: [i64; 2]) -> Size {
    Size::new(Length::part(width, 16), Length::part(height, 16))
}

fn job(list: &List, turns: Turns) -> Job {
    let mut items: Vec<Item> = Vec::new();
    for &piece in &list.pieces {
        let form = size(piece);
        let same = items
            .iter_mut()
            .find(|item| matches!(item.form, Form::Rectangle(other) if other == form));
        match same {
            Some(item) => item.copies += 1,
            None => items.push(Item {
                id: format!("{} x {}", piece[0], piece[1]),
                form: Form::Rectangle(form),
                copies: 1,
                tool: Tool::Trimmer,
                turns,
                together: None,
            }),
        }
    }
    let stock = vec![Stock {
        size: size(list.sheet),
        count: 1000,
        price: Price::new(1.0),
        ..Stock::default()
    }];
    Job { stock, items, ..Job::default() }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let steps = match words.first().map(String::as_str) {
        Some("quick") | None => 200,
        Some("normal") => 40_000,
        Some("long") => 1_000_000,
        Some(number) => number.parse().expect("quick, normal, long, or a number of steps"),
    };
    let after = |name: &str| {
        let place = words.iter().position(|word| word == name)?;
        words.get(place + 1).map(String::as_str)
    };
    let every = after("every").map_or(1, |number| number.parse().expect("every N"));
    let classes: Vec<usize> = after("classes").map_or((1..=10).collect(), |list| {
        list.split(',').map(|class| class.parse().expect("classes by number")).collect()
    });
    for (place, turns) in [Turns::Never, Turns::Quarter].into_iter().enumerate() {
        if after("turns").is_some_and(|wanted| wanted != turns.name()) {
            continue;
        }
        println!("turns {}, {steps} steps, every {every}", turns.name());
        println!(
            "{:>5} {:>6} {:>6} {:>6} {:>9} {:>8}",
            "class", "lists", "sheets", "bound", "best", "ms/list"
        );
        let mut totals = [0; 3];
        for &class in &classes {
            let begun = Instant::now();
            let mut sums = [0; 3];
            for list in lists(class).iter().step_by(every) {
                let nested = nest_in_steps(&job(list, turns), steps);
                assert!(nested.left_out.is_empty());
                sums[0] += 1;
                sums[1] += nested.sheets.len();
                sums[2] += nested.bound as usize;
            }
            let each = begun.elapsed().as_secs_f64() * 1000.0 / sums[0].max(1) as f64;
            let [lists, sheets, bound] = sums;
            println!(
                "{class:>5} {lists:>6} {sheets:>6} {bound:>6} {:>9} {each:>8.1}",
                BEST[place][class - 1]
            );
            for (total, sum) in totals.iter_mut().zip(sums) {
                *total += sum;
            }
        }
        let [lists, sheets, bound] = totals;
        let best: u32 = classes.iter().map(|&class| BEST[place][class - 1]).sum();
        println!(
            "  all {lists:>6} {sheets:>6} {bound:>6} {best:>9}  (in 1 s: {})",
            IN_A_SECOND[place]
        );
    }
}
