//! A long search of trimmer patterns: whole sheets chosen by prices, the same on any number of threads.

use crate::support::published::{List, lists};
use crate::support::replay::{check, new_sheets};
use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{
    Effort, Form, Item, Job, Nested, Note, Rules, Search, Stock, Tool, Turns, least_price, nest,
    nest_in_steps,
};
use rayon::ThreadPoolBuilder;

/// Steps with which prices settle on jobs as small as these.
const LONG: u64 = 450_000;

fn size([width, height]: [i64; 2]) -> Size {
    Size::new(Length::part(width, 16), Length::part(height, 16))
}

fn panel(number: usize, form: [i64; 2]) -> Item {
    Item {
        id: format!("panel {number}"),
        form: Form::Rectangle(size(form)),
        copies: 1,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    }
}

/// More pieces than are searched to the end, of sizes that fill no sheet evenly, a few to a sheet.
fn job(pieces: usize, seed: u32) -> Job {
    let mut state = seed;
    let mut side = |least: i64, most: i64| {
        // Numbers that only have to look mixed (Numerical Recipes, "quick and dirty").
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        least + i64::from(state >> 16) % (most - least)
    };
    let items = (0..pieces).map(|number| panel(number, [side(30, 100), side(30, 130)])).collect();
    let stock = vec![Stock {
        size: size([192, 192]),
        count: 40,
        price: Price::new(1.0),
        ..Stock::default()
    }];
    Job { stock, items, ..Job::default() }
}

fn offcut(form: [i64; 2]) -> Stock {
    Stock {
        size: size(form),
        count: 1,
        price: None,
        offcut: Some("dunes-1".into()),
        ..Stock::default()
    }
}

fn on(threads: usize, job: &Job, steps: u64) -> Nested {
    let pool = ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| nest_in_steps(job, steps))
}

/// A list of the published instances, with turning.
fn published_job(class: usize, list: usize) -> Job {
    let List { sheet, pieces } = lists(class).swap_remove(list);
    let items = pieces.into_iter().enumerate().map(|(number, piece)| panel(number, piece));
    let stock =
        vec![Stock { size: size(sheet), count: 1000, price: Price::new(1.0), ..Stock::default() }];
    Job { stock, items: items.collect(), ..Job::default() }
}

#[test]
fn a_long_search_is_the_same_on_any_number_of_threads_and_no_worse_than_a_short_one() {
    let job = job(40, 7);
    let one = on(1, &job, LONG);
    assert_eq!(one, on(2, &job, LONG));
    check(&job, &one);
    assert!(one.left_out.is_empty());
    let short = on(2, &job, 400);
    assert!(
        one.sheets.len() <= short.sheets.len(),
        "{} against {}",
        one.sheets.len(),
        short.sheets.len()
    );
    assert!(one.sheets.len() >= one.bound as usize);
}

#[test]
fn prices_find_plans_that_moving_pieces_does_not() {
    let mut saved = 0;
    for list in [18, 21] {
        let job = published_job(8, list);
        let long = nest_in_steps(&job, LONG);
        check(&job, &long);
        assert!(long.left_out.is_empty());
        let short = nest_in_steps(&job, 100_000);
        assert!(long.sheets.len() <= short.sheets.len(), "list {list}");
        saved += short.sheets.len() - long.sheets.len();
    }
    assert!(saved > 0, "no sheet saved");
}

#[test]
fn kerfs_offcuts_stages_and_grain_are_obeyed() {
    for stages in [None, Some(3)] {
        let mut job = job(34, 11);
        job.rules = Rules {
            kerf: Length::part(1, 32),
            trim_margin: Length::part(1, 16),
            stages,
            ..Rules::default()
        };
        job.stock.push(offcut([150, 80]));
        job.stock.push(offcut([60, 150]));
        for item in job.items.iter_mut().step_by(3) {
            item.turns = Turns::Never;
        }
        let long = nest_in_steps(&job, LONG);
        check(&job, &long);
        assert!(long.left_out.is_empty());
        let short = nest_in_steps(&job, 40_000);
        assert!(new_sheets(&job, &long) <= new_sheets(&job, &short));
        assert!(new_sheets(&job, &long) as f64 >= least_price(&job));
    }
}

#[test]
fn mixes_of_sheets_are_tried_by_prices_too() {
    let mut job = job(32, 3);
    let other =
        Stock { size: size([136, 176]), count: 40, price: Price::new(0.62), ..Stock::default() };
    job.stock.push(other);
    let paid = |nested: &Nested| -> f64 {
        nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum()
    };
    // A third goes to mixes, and what is left is a long run of its own.
    let long = on(2, &job, 700_000);
    assert_eq!(long, on(1, &job, 700_000));
    check(&job, &long);
    assert!(long.left_out.is_empty());
    assert!(paid(&long) <= paid(&nest_in_steps(&job, 40_000)));
    assert!(paid(&long) >= least_price(&job));
}

#[test]
fn few_sheets_on_hand_leave_pieces_out_rather_than_fail() {
    let mut job = job(40, 7);
    job.stock[0].count = 5;
    let long = nest_in_steps(&job, LONG);
    check(&job, &long);
    assert!(!long.left_out.is_empty());
    assert_eq!(long.sheets.len(), 5);
}

#[test]
fn of_two_jobs_in_one_process_one_is_stopped_and_the_other_ends_as_if_alone() {
    let long = Job { effort: Effort::Long, ..job(60, 3) };
    let other = Job { effort: Effort::Normal, ..job(12, 5) };
    let [to_stop, to_go_on] = [Search::new(), Search::new()];
    let (stopped, ended) = std::thread::scope(|scope| {
        let stopped = scope.spawn(|| to_stop.nest(&long));
        let ended = scope.spawn(|| to_go_on.nest(&other));
        // Long effort takes far more steps than this: it is stopped on its way.
        while to_stop.steps() < 1_000 {
            std::thread::yield_now();
        }
        to_stop.stop();
        (stopped.join().expect("it ends"), ended.join().expect("it ends"))
    });
    check(&long, &stopped);
    assert!(stopped.notes.contains(&Note::Stopped), "{:?}", stopped.notes);
    assert!(to_stop.steps() < 1_000_000, "{} steps", to_stop.steps());
    assert_eq!(ended, nest(&other));
    assert!(!ended.notes.contains(&Note::Stopped) && !to_go_on.is_stopped());
}
