//! Kits: jobs of many copies, nested by patterns. Every copy is named once, sheets that are cut alike are
//! counted, nothing overlaps, and no more effort or copies make it worse.

use std::collections::{BTreeMap, BTreeSet};

use crate::joint::{card, distances, offcut, sheets, sound, star};
use crate::machine::{rings_of, shared};
use crate::support::replay::{check, new_sheets};
use cutleaf::geometry;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::gutting::{Middle, nest_with_middles};
use cutleaf::nest::irregular::Placement;
use cutleaf::nest::worth::Worth;
use cutleaf::nest::{Area, Effort, Form, Item, Job, Nested, Rules, Tool, nest};
use proptest::prelude::*;

/// A job at quick effort with paper enough.
fn job(items: Vec<Item>) -> Job {
    let stock = vec![sheets(12.0, 12.0, 9000, 1.0), sheets(8.5, 11.0, 9000, 0.62)];
    Job { stock, items, rules: distances(), effort: Effort::Quick }
}

/// Every copy of every item has one place, or is counted as left out.
fn each_copy_once(job: &Job, nested: &Nested) {
    let mut seen = BTreeSet::new();
    for sheet in &nested.sheets {
        assert!(sheet.count >= 1);
        for one in (0..sheet.count).flat_map(|number| sheet.on(number)) {
            assert!(one.copy < job.items[one.item].copies, "{one:?}");
            assert!(seen.insert((one.item, one.copy)), "{one:?} twice");
        }
    }
    for (place, item) in job.items.iter().enumerate() {
        let lying = seen.iter().filter(|(item, _)| *item == place).count();
        let left = nested.left_out.iter().filter(|left| left.item == place);
        let left: u32 = left.map(|left| left.copies).sum();
        assert_eq!(lying + left as usize, item.copies as usize, "{}", item.id);
    }
    for (place, stock) in job.stock.iter().enumerate() {
        let of_it = nested.sheets.iter().filter(|sheet| sheet.stock == place);
        assert!(of_it.map(|sheet| sheet.count).sum::<u32>() <= stock.count, "sheets of {place}");
    }
}

/// No two outlines of the machine overlap on any sheet.
fn outlines_apart(job: &Job, nested: &Nested) {
    for sheet in &nested.sheets {
        let rings: Vec<_> = sheet
            .placed
            .iter()
            .filter_map(|one| {
                let Form::Outline(path) = &job.items[one.item].form else { return None };
                let placement = Placement { container: 0, at: one.at, turn: one.turn };
                Some(rings_of(path, &placement, geometry::FLATTENING))
            })
            .collect();
        for (place, one) in rings.iter().enumerate() {
            assert!(rings[..place].iter().all(|other| shared(one, other) < 1e-6), "overlap");
        }
    }
}

fn whole_check(job: &Job, nested: &Nested) {
    each_copy_once(job, nested);
    if job.items.iter().all(|item| item.tool != Tool::Machine) {
        check(job, nested);
    } else {
        sound(job, nested);
        outlines_apart(job, nested);
    }
    if nested.left_out.is_empty() {
        assert!(nested.new_sheets(&job.stock) >= nested.bound as usize, "the bound holds");
    }
}

fn any_item() -> impl Strategy<Value = (i64, i64, bool, bool)> {
    (16..88_i64, 16..88_i64, any::<bool>(), any::<bool>())
}

fn items_of(forms: &[(i64, i64, bool, bool)], kits: u32, machine: bool) -> Vec<Item> {
    let item = |(number, &(width, height, twice, round)): (usize, &(i64, i64, bool, bool))| {
        let copies = kits * (1 + u32::from(twice));
        let mut item = if machine && round {
            star((width as f64 / 16.0).max(1.0), copies)
        } else {
            card(width as f64 / 8.0, height as f64 / 8.0, copies)
        };
        item.id = format!("kite.{number}");
        item
    };
    forms.iter().enumerate().map(item).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    #[test]
    fn kits_of_the_trimmer_are_cut_as_told(
        forms in proptest::collection::vec(any_item(), 1..5),
        kits in 31..60_u32,
        together in any::<bool>(),
        letter in 0..40_u32,
        rest in (16..120_i64, 16..120_i64),
        kerf in 0..2_i64,
    ) {
        let mut items = items_of(&forms, kits, false);
        if together {
            items.iter_mut().for_each(|item| item.copies = kits);
            items.iter_mut().take(2).for_each(|item| item.together = Some("kite".to_owned().into()));
        }
        let mut job = job(items);
        job.stock[1].count = letter;
        job.stock.push(offcut("dune", rest.0 as f64 / 16.0, rest.1 as f64 / 16.0));
        job.rules = Rules { kerf: Length::part(kerf, 32), ..Rules::default() };
        let nested = nest(&job);
        whole_check(&job, &nested);
        prop_assert_eq!(&nested, &nest(&job));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, ..ProptestConfig::default() })]

    #[test]
    fn kits_of_both_are_cut_as_told(
        forms in proptest::collection::vec(any_item(), 2..4),
        kits in 31..45_u32,
        rest in (16..120_i64, 16..120_i64),
    ) {
        let mut job = job(items_of(&forms, kits, true));
        job.stock.push(offcut("dune", rest.0 as f64 / 16.0, rest.1 as f64 / 16.0));
        whole_check(&job, &nest(&job));
    }
}

/// Pieces of a kit, and the new sheets that 30 kits need at the most, in shares of those of separate builds.
#[test]
fn many_copies_take_no_more_paper_a_kit_than_some() {
    let kits: [(&str, Vec<Item>, f64); 3] = [
        ("panels", vec![card(5.0, 7.0, 1), card(4.0, 6.0, 2), card(0.5, 9.0, 3)], 0.9),
        ("tags", vec![star(1.5, 2), star(2.25, 1)], 0.4),
        ("cards", vec![card(5.5, 4.25, 1), card(3.0, 3.0, 1), star(1.5, 2)], 0.6),
    ];
    for (name, items, share) in kits {
        let copies_of = |copies: u32| {
            let mut items = items.clone();
            items.iter_mut().for_each(|item| item.copies *= copies);
            let mut job = job(items);
            job.stock.truncate(1);
            let nested = nest(&job);
            whole_check(&job, &nested);
            assert!(nested.left_out.is_empty());
            (new_sheets(&job, &nested), nested.sheets.len())
        };
        let [(one, _), (thirty, _), (many, kinds)] = [1, 30, 300].map(copies_of);
        assert!(thirty as f64 <= share * (30 * one) as f64, "{name}: {thirty} of {}", 30 * one);
        // What is left over once may be a sheet more.
        assert!(many as f64 <= 10.0 * thirty as f64, "{name}: {many}, {thirty} of 30");
        assert!(kinds <= 40, "{name}: {kinds} kinds of sheets, {many} sheets");
    }
}

#[test]
fn more_effort_is_never_worse() {
    let items = vec![card(5.5, 4.25, 40), card(3.0, 3.5, 40), star(1.5, 40)];
    let job = job(items);
    let of = |effort| {
        let job = Job { effort, ..job.clone() };
        let nested = nest(&job);
        whole_check(&job, &nested);
        Worth::of(&job, &nested)
    };
    let (quick, normal) = (of(Effort::Quick), of(Effort::Normal));
    assert!(normal <= quick, "{quick:?} {normal:?}");
}

/// Cards of 6 x 6 in, four a sheet: sheets on hand, and how many cards are left out.
#[test]
fn what_lacks_paper_is_counted() {
    for (on_hand, left_out) in [(25, 0), (24, 4), (1, 96), (0, 100)] {
        let mut job = job(vec![card(6.0, 6.0, 100)]);
        job.stock = vec![sheets(12.0, 12.0, on_hand, 1.0)];
        let nested = nest(&job);
        whole_check(&job, &nested);
        let left: u32 = nested.left_out.iter().map(|left| left.copies).sum();
        assert_eq!(left, left_out, "{on_hand} sheets");
        assert!(nested.left_out.iter().all(|left| !left.too_large));
    }
}

#[test]
fn what_fits_no_sheet_is_left_out_and_the_rest_is_cut() {
    let job = job(vec![card(13.0, 13.0, 40), card(6.0, 6.0, 40), star(14.0, 40)]);
    let nested = nest(&job);
    whole_check(&job, &nested);
    let left: Vec<(usize, u32, bool)> =
        nested.left_out.iter().map(|left| (left.item, left.copies, left.too_large)).collect();
    assert_eq!(left, [(0, 40, true), (2, 40, true)]);
    assert_eq!(new_sheets(&job, &nested), 10);
}

/// Sheets that are cut alike are told once, with their number.
#[test]
fn sheets_that_are_cut_alike_are_told_once() {
    let mut job = job(vec![card(6.0, 6.0, 300)]);
    job.stock.truncate(1);
    let nested = nest(&job);
    whole_check(&job, &nested);
    assert_eq!(nested.sheets.iter().map(|sheet| sheet.count).collect::<Vec<_>>(), [75]);
    let copies =
        |number| nested.sheets[0].on(number).iter().map(|one| one.copy).collect::<BTreeSet<_>>();
    assert_eq!(copies(0), (0..4).collect());
    assert_eq!(copies(74), (296..300).collect());
}

/// A leftover that has room for a piece is used; alike ones are cut alike.
#[test]
fn offcuts_go_first() {
    let mut job = job(vec![card(4.0, 5.0, 70)]);
    job.stock = vec![sheets(12.0, 12.0, 90, 1.0), offcut("dune", 5.0, 8.5)];
    job.stock[1].count = 3;
    let nested = nest(&job);
    whole_check(&job, &nested);
    let of_dune = nested.sheets.iter().filter(|sheet| sheet.stock == 1);
    let told: Vec<(u32, usize)> = of_dune.map(|sheet| (sheet.count, sheet.placed.len())).collect();
    assert_eq!(told, [(3, 2)]);
    // 64 cards, six a sheet.
    assert_eq!(new_sheets(&job, &nested), 11);
}

#[test]
fn what_belongs_together_lies_on_one_sheet_in_every_copy() {
    let mut items = vec![card(2.0, 3.0, 50), card(2.5, 3.0, 50), card(4.0, 4.0, 50)];
    for item in &mut items[..2] {
        item.together = Some("bank".to_owned().into());
    }
    let job = job(items);
    let nested = nest(&job);
    whole_check(&job, &nested);
    let mut sheet_of: BTreeMap<(usize, u32), (usize, u32)> = BTreeMap::new();
    for (place, sheet) in nested.sheets.iter().enumerate() {
        for number in 0..sheet.count {
            for one in sheet.on(number) {
                sheet_of.insert((one.item, one.copy), (place, number));
            }
        }
    }
    for copy in 0..50 {
        assert_eq!(sheet_of[&(0, copy)], sheet_of[&(1, copy)], "copy {copy}");
    }
}

/// Mats whose middles hold a tag each: every kit has its middle, and none is cut before its mat.
#[test]
fn every_kit_has_its_own_middles() {
    let kits = 70;
    let mut job = job(vec![card(6.0, 6.0, kits), card(4.0, 4.0, kits)]);
    job.stock.truncate(1);
    let area =
        Area { left: Length::part(3, 4), top: Length::part(3, 4), size: Size::inches(4.5, 4.5) };
    let middle = Middle { item: 0, id: "middle of kite".into(), area, opening: None, asked: false };
    let gutted = nest_with_middles(&job, std::slice::from_ref(&middle));
    let whole = Job { stock: gutted.stock.clone(), ..job.clone() };
    each_copy_once(&whole, &gutted.nested);
    // Four mats a sheet, every tag out of a middle.
    assert_eq!(gutted.nested.new_sheets(&gutted.stock), 18);
    let plain = nest(&job).new_sheets(&job.stock);
    assert!(plain > 18, "{plain}");
    let mut holders_done = false;
    for sheet in &gutted.nested.sheets {
        let of_middle = sheet.stock >= job.stock.len();
        assert!(!(holders_done && sheet.placed.iter().any(|one| one.item == 0)), "mats come first");
        holders_done |= of_middle;
    }
}
