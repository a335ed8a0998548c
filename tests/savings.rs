//! What limits the sheets of a paper, and the smallest change that would save one.

use cutleaf::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Rules, Stock, Tool, Turns, limits, nest};
use cutleaf::record::Record;

#[path = "support/spreads.rs"]
mod spreads;
use spreads::record_of;

fn fence(reveal: &str, grass: &str) -> Record {
    record_of(&format!(
        "name: Dune fence
papers:
  marigold: {{color: '#e9a93c', sheets: {{12 x 12: 4}}}}
photos:
  one: {{size: 4 x 5 3/4}}
gutting: {{when: never}}
single:
  pieces:
    - photo: {{id: fence, photo: one, mats: [{{paper: marigold, reveal: {reveal}}}], at: [1, 1]}}
    - panel: {{id: sky, paper: marigold, size: 12 x 6, at: {{bottom: 0}}}}
    - panel: {{id: grass, paper: marigold, size: {grass} x 6, at: {{bottom: 0}}}}
"
    ))
    .expect("enough paper")
}

#[test]
fn the_smallest_change_that_saves_a_sheet_is_told_and_true() {
    let record = fence("3/16", "7 1/2");
    let paper = &record.papers[0];
    assert_eq!(paper.new_sheets, 2);
    let told = "1/16 in less reveal on `single.fence.mat` saves one sheet";
    assert!(paper.notes.iter().any(|note| note == told), "{:?}", paper.notes);
    let changed = fence("1/8", "7 1/2");
    assert_eq!(changed.papers[0].new_sheets, 1);
    assert!(!changed.papers[0].notes.iter().any(|note| note.contains("saves one sheet")));
}

#[test]
fn no_change_is_told_where_none_helps() {
    let record = fence("3/16", "10");
    assert_eq!(record.papers[0].new_sheets, 2);
    assert!(!record.papers[0].notes.iter().any(|note| note.contains("saves one sheet")));
}

#[test]
fn pieces_that_cannot_share_a_sheet_are_named() {
    let record = record_of(
        "name: Two skies
papers:
  harbour: {color: '#2b5673', sheets: {12 x 12: 4}}
single:
  pieces:
    - panel: {id: sky, paper: harbour, size: 8 x 8, at: [0, 0]}
    - panel: {id: sea, paper: harbour, size: 4 1/2 x 9, at: [0, 0]}
    - panel: {id: shore, paper: harbour, size: 2 x 2, at: [0, 0]}
",
    )
    .expect("enough paper");
    let told = "`single.sky` and `single.sea` can't share a sheet, so one sheet less can't do";
    assert!(record.papers[0].notes.iter().any(|note| note == told), "{:?}", record.papers[0].notes);
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
        stock: vec![Stock { size: sheet, count: 9, price: 0.0, ..Stock::default() }],
        items,
        rules: Rules::default(),
        effort: Effort::Quick,
    };
    let mut apart = 0;
    for width in sides {
        for height in sides {
            for other in sides {
                let pair = job(vec![item(width, height, 1), item(other, 7, 1)]);
                let alone = limits::cannot_share(&pair);
                let sheets = nest(&pair).sheets.len();
                assert_eq!(alone.len() == 2, sheets == 2, "{width} x {height} and {other} x 7");
                apart += usize::from(sheets == 2);
            }
        }
    }
    assert!(apart > 10, "the cases hold both kinds");
    assert_eq!(limits::cannot_share(&job(vec![item(8, 8, 3)])), [0]);
}
