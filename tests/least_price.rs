//! The bound on what new sheets cost: never above what a plan pays, and above the area where sizes matter.

use cutleaf::model::Price;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Rules, Stock, Tool, Turns, least_price, nest};
use proptest::prelude::*;

fn size(width: i64, height: i64) -> Size {
    Size::new(Length::part(width, 4), Length::part(height, 4))
}

fn item(width: i64, height: i64, turns: Turns) -> Item {
    Item {
        id: format!("{width} x {height}"),
        form: Form::Rectangle(size(width, height)),
        copies: 1,
        tool: Tool::Trimmer,
        turns,
        together: None,
    }
}

fn sheet(width: i64, height: i64, price: f64) -> Stock {
    Stock { size: size(width, height), count: 40, price: Price::new(price), ..Stock::default() }
}

fn paid(job: &Job) -> f64 {
    let nested = nest(job);
    assert!(nested.left_out.is_empty());
    nested.sheets.iter().map(|sheet| job.stock[sheet.stock].cost()).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]
    #[test]
    fn no_plan_is_cheaper(
        sides in prop::collection::vec((2_i64..34, 2_i64..34, any::<bool>()), 1..14),
        kerf in 0_i64..2,
        offcut in any::<bool>(),
        turned in any::<bool>(),
    ) {
        let items = sides.iter().map(|&(width, height, turns)| {
            item(width, height, if turns || turned { Turns::Quarter } else { Turns::Never })
        });
        let mut stock = vec![sheet(48, 48, 1.0), sheet(34, 44, 0.62)];
        if offcut {
            stock.push(Stock {
                size: size(30, 20), count: 2, price: None, offcut: Some("box".into()), ..Stock::default()
            });
        }
        let rules = Rules { kerf: Length::part(kerf, 16), ..Rules::default() };
        let job = Job { stock, items: items.collect(), rules, effort: Effort::Quick };
        let (least, paid) = (least_price(&job), paid(&job));
        prop_assert!(least <= paid + 1e-9, "{least} is above {paid}");
    }
}

#[test]
fn sizes_count_where_areas_do_not() {
    // Three squares of 6 1/4 in: 117 square inches, yet no two share a sheet of either size.
    let items = (0..3).map(|_| item(25, 25, Turns::Quarter)).collect();
    let stock = vec![sheet(48, 48, 1.0), sheet(34, 44, 0.62)];
    let job = Job { stock, items, rules: Rules::default(), effort: Effort::Normal };
    assert!((least_price(&job) - 3.0 * 0.62).abs() < 1e-9, "{}", least_price(&job));
    assert!((paid(&job) - 3.0 * 0.62).abs() < 1e-9);
    // One of 9 in needs the large sheet, and the rest of that sheet does for nothing as large as 6 in.
    let items = vec![item(36, 36, Turns::Quarter), item(24, 24, Turns::Quarter)];
    let mixed = Job { items, ..job };
    assert!((least_price(&mixed) - 1.62).abs() < 1e-9, "{}", least_price(&mixed));
}
