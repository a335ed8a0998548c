//! A long search of trimmer patterns: two ways side by side, the same on any number of threads.

use cutleaf::length::{Length, Size};
use cutleaf::nest::{Form, Item, Job, Nested, Stock, Tool, Turns, nest_in_steps};
use rayon::ThreadPoolBuilder;

/// More pieces than are searched to the end, of sizes that fill no sheet evenly.
fn job() -> Job {
    let mut state = 7_u32;
    let mut side = |least: i64, most: i64| {
        // Numbers that only have to look mixed (Numerical Recipes, "quick and dirty").
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        least + i64::from(state >> 16) % (most - least)
    };
    let size =
        |width: i64, height: i64| Size::new(Length::part(width, 16), Length::part(height, 16));
    let items = (0..40).map(|number| Item {
        id: format!("panel {number}"),
        form: Form::Rectangle(size(side(30, 100), side(30, 130))),
        copies: 1,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    });
    let stock = vec![Stock { size: size(192, 192), count: 40, price: 1.0, offcut: None }];
    Job { stock, items: items.collect(), ..Job::default() }
}

fn on(threads: usize, steps: u64) -> Nested {
    let pool = ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
    pool.install(|| nest_in_steps(&job(), steps))
}

#[test]
fn a_long_search_is_the_same_on_any_number_of_threads_and_no_worse_than_a_short_one() {
    const LONG: u64 = 450_000;
    let one = on(1, LONG);
    assert_eq!(one, on(2, LONG));
    assert!(one.left_out.is_empty());
    let short = on(2, 400);
    assert!(
        one.sheets.len() <= short.sheets.len(),
        "{} against {}",
        one.sheets.len(),
        short.sheets.len()
    );
    assert!(one.sheets.len() >= one.bound as usize);
}
