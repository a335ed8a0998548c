//! Any sequence of what is done to a stock keeps its area and its counts, and is taken back byte for byte.

use std::collections::BTreeMap;

use cutleaf::model::Count;
use cutleaf::model::length::{Length, Size};
use cutleaf::stock::{CutSheet, Entry, Lot, Shape, Shelf, Source, Spot, Stock, Use};
use proptest::prelude::*;

use crate::stock::{WAYS, read};

/// Something that is done to a stock; numbers choose among what there is.
#[derive(Clone, Debug)]
enum Step {
    Add(usize, u32),
    Take(usize, u32),
    Spoil(usize, u32),
    TakeOffcut(usize),
    SpoilOffcut(usize),
    Count(usize, u32),
    Reserve(usize, usize, u32),
    Cut(usize, usize, f64, f64, bool),
    CutOffcut(usize, f64),
    ByHand(usize, u32),
    Undo,
    Reopen,
}

fn step() -> impl Strategy<Value = Step> {
    let any = 0_usize..5;
    prop_oneof![
        (any.clone(), 1_u32..5).prop_map(|(kind, count)| Step::Add(kind, count)),
        (any.clone(), 1_u32..4).prop_map(|(kind, count)| Step::Take(kind, count)),
        (any.clone(), 1_u32..4).prop_map(|(kind, count)| Step::Spoil(kind, count)),
        any.clone().prop_map(Step::TakeOffcut),
        any.clone().prop_map(Step::SpoilOffcut),
        (any.clone(), 0_u32..9).prop_map(|(kind, count)| Step::Count(kind, count)),
        (0_usize..3, any.clone(), 0_u32..4)
            .prop_map(|(spec, kind, count)| Step::Reserve(spec, kind, count)),
        (0_usize..3, any.clone(), 0.0..1.0_f64, 0.0..1.0_f64, any_bool())
            .prop_map(|(spec, kind, part, used, el)| Step::Cut(spec, kind, part, used, el)),
        (any.clone(), 0.0..1.0_f64).prop_map(|(which, used)| Step::CutOffcut(which, used)),
        (any, 0_u32..9).prop_map(|(kind, count)| Step::ByHand(kind, count)),
        Just(Step::Undo),
        Just(Step::Reopen),
    ]
}

fn any_bool() -> impl Strategy<Value = bool> {
    prop_oneof![Just(true), Just(false)]
}

const KINDS: [(&str, [f64; 2]); 5] = [
    ("oat", [12.0, 12.0]),
    ("oat", [8.5, 11.0]),
    ("navy", [12.0, 12.0]),
    ("navy", [9.0, 12.0]),
    ("oat", [5.25, 8.125]),
];
const SPECS: [&str; 3] = ["kites.yaml", "albums/dunes.yaml", "tide pool.yaml"];

/// What is on hand, told by the test itself from the entries: area by paper, none below nothing.
fn area_on_hand(entries: &[Entry], first: f64) -> f64 {
    let on_hand = entries.iter().flat_map(|entry| &entry.moves).fold(first, |sum, one| {
        sum + match (one.from, one.to) {
            (Spot::OnHand, Spot::OnHand) => 0.0,
            (Spot::OnHand, _) => -one.lot.area(),
            (_, Spot::OnHand) => one.lot.area(),
            _ => 0.0,
        }
    });
    assert!(on_hand > -1e-6);
    on_hand
}

fn area_shown(stock: &Stock) -> f64 {
    let sheets = stock.papers.iter().flat_map(|paper| &paper.sheets);
    let sheets: f64 = sheets.map(|sheets| sheets.size.area() * f64::from(sheets.count)).sum();
    sheets + stock.offcuts.iter().map(|offcut| offcut.shape.area()).sum::<f64>()
}

/// Cuts a sheet: a strip off its width is kept as a rectangle, or as an L of a strip and a foot.
fn cut_of(size: Size, part: f64, used: f64, el: bool) -> (f64, Vec<Shape>) {
    let [width, height] = size.to_inches();
    let grid = |inches: f64| (inches * 32.0).floor() / 32.0;
    let keep = grid(width * part);
    if keep < 1.0 || height < 3.0 {
        return (size.area() * used, vec![]);
    }
    let (kept, foot) = (Length::inches(keep), size.height - Length::inches(1.0));
    let shape = if el && keep + 1.0 < width {
        let (zero, wide) = (Length::ZERO, size.width);
        Shape::new(
            vec![
                [zero, zero],
                [kept, zero],
                [kept, foot],
                [wide, foot],
                [wide, size.height],
                [zero, size.height],
            ],
            vec![],
        )
        .expect("an L")
    } else {
        Shape::rectangle(Size::new(kept, size.height))
    };
    ((size.area() - shape.area()) * used, vec![shape])
}

fn walk(text: &str, steps: &[Step]) {
    let mut shelf = read(text);
    let first = area_shown(shelf.stock());
    let mut by_hand = false;
    // What was cut, by the number of its entry: no paper twice.
    for step in steps {
        let ask = |kind: usize| {
            let (paper, [width, height]) = KINDS[kind];
            format!("{paper} {width} x {height} in")
        };
        let size = |kind: usize| Size::of_inches(KINDS[kind].1);
        let offcut = |shelf: &Shelf, which: usize| {
            let offcuts = &shelf.stock().offcuts;
            offcuts.get(which % offcuts.len().max(1)).cloned()
        };
        let before = (shelf.text().to_owned(), shelf.on_hand().clone());
        let entries = shelf.entries().len();
        let done = match step {
            Step::Add(kind, count) => shelf.add(&ask(*kind), *count, None).map(|_| ()),
            Step::Take(kind, count) => shelf.take(&ask(*kind), *count).map(|_| ()),
            Step::Spoil(kind, count) => shelf.spoil(&ask(*kind), *count).map(|_| ()),
            Step::TakeOffcut(which) | Step::SpoilOffcut(which) => {
                let Some(offcut) = offcut(&shelf, *which) else { continue };
                let taken = matches!(step, Step::TakeOffcut(_));
                if taken { shelf.take(&offcut.label, 1) } else { shelf.spoil(&offcut.label, 1) }
                    .map(|_| ())
            }
            Step::Count(kind, count) => shelf.count(&ask(*kind), *count).map(|_| ()),
            Step::Reserve(spec, kind, count) => {
                let (paper, size) = (KINDS[*kind].0.to_owned(), size(*kind));
                shelf
                    .reserve(SPECS[*spec], vec![Use::Sheets { paper, size, count: *count }])
                    .map(|_| ())
            }
            Step::Cut(spec, kind, part, used, el) => {
                let (pieces, offcuts) = cut_of(size(*kind), *part, *used, *el);
                let paper = KINDS[*kind].0.to_owned();
                let source = Source::Sheet(size(*kind));
                shelf
                    .cut(
                        SPECS[*spec],
                        &[CutSheet {
                            id: format!("{paper}-1"),
                            paper,
                            source,
                            count: Count::default(),
                            pieces,
                            offcuts,
                        }],
                    )
                    .map(|_| ())
            }
            Step::CutOffcut(which, used) => {
                let Some(offcut) = offcut(&shelf, *which) else { continue };
                let (pieces, source) =
                    (offcut.shape.area() * used, Source::Offcut(offcut.label.clone()));
                shelf
                    .redo(
                        "kites.yaml",
                        &[CutSheet {
                            count: Count::default(),
                            id: "redo-1".into(),
                            paper: offcut.paper,
                            source,
                            pieces,
                            offcuts: vec![],
                        }],
                    )
                    .map(|_| ())
            }
            Step::ByHand(kind, count) => {
                let known = shelf.on_hand().sheets(KINDS[*kind].0, size(*kind));
                if known == *count {
                    continue;
                }
                let text = shelf.text().replacen(
                    &format!("count: {known}"),
                    &format!("count: {count}"),
                    1,
                );
                by_hand |= text != shelf.text();
                let ledger = shelf.ledger_text();
                shelf = Shelf::read(&text, ledger.as_deref())
                    .unwrap_or_else(|fault| panic!("{}\n{text}", fault.problems));
                if shelf.ledger_text().is_none() {
                    // Before the first entry it is the beginning.
                    return;
                }
                continue;
            }
            Step::Undo => shelf.undo().map(|_| ()),
            Step::Reopen => {
                let ledger = shelf.ledger_text();
                let again = Shelf::read(shelf.text(), ledger.as_deref()).expect("read again");
                assert!(again.noticed().is_none());
                assert_eq!(again.on_hand(), shelf.on_hand());
                assert_eq!(again.ledger_text(), ledger);
                shelf = again;
                continue;
            }
        };
        if done.is_err() {
            assert_eq!(
                (shelf.text(), shelf.on_hand()),
                (&*before.0, &before.1),
                "a fault changes nothing"
            );
            assert_eq!(shelf.entries().len(), entries);
        }
        let stock = Stock::parse(shelf.text()).expect("sound");
        assert_eq!(&stock, shelf.stock());
        let sums = area_on_hand(shelf.entries(), first);
        assert!((area_shown(&stock) - sums).abs() < 1e-6, "{} against {sums}", area_shown(&stock));
        for entry in shelf.entries() {
            let on = |spot| {
                entry.area(move |one| one.to == spot) - entry.area(move |one| one.from == spot)
            };
            let all = [
                Spot::Before,
                Spot::Shop,
                Spot::OnHand,
                Spot::Table,
                Spot::Pieces,
                Spot::Waste,
                Spot::Spoiled,
                Spot::Taken,
                Spot::Counted,
            ];
            assert!(all.map(on).iter().sum::<f64>().abs() < 1e-6);
            assert!(on(Spot::Table).abs() < 1e-6, "sheets in are pieces, offcuts and waste");
        }
        // No offcut leaves twice, nor comes twice with one label while it is there.
        let mut there: BTreeMap<&str, i32> = BTreeMap::new();
        for one in shelf.entries().iter().flat_map(|entry| &entry.moves) {
            let Lot::Offcut(offcut) = &one.lot else { continue };
            let count = there.entry(&offcut.label).or_insert(i32::from(offcut.label == "B7"));
            *count += i32::from(one.to == Spot::OnHand) - i32::from(one.from == Spot::OnHand);
        }
        assert!(there.values().all(|count| (0..=1).contains(count)), "{there:?}");
    }
    while !shelf.entries().is_empty() {
        shelf.undo().expect("taken back");
    }
    if !by_hand {
        assert_eq!(shelf.text(), text);
        assert_eq!(shelf.ledger_text(), None);
    }
    assert!((area_shown(shelf.stock()) - first).abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_sequence_keeps_area_and_is_taken_back_byte_for_byte(
        way in 0..WAYS.len(),
        steps in proptest::collection::vec(step(), 1..24),
    ) {
        walk(WAYS[way], &steps);
    }
}
