//! What sketches are solved with: who goes where, the ruler, contradictions told as a chain.

use cutleaf::relations::{ORIGIN, Relations};
use cutleaf::sketch::assignment::assign;
use proptest::prelude::*;

/// The least cost of all ways to give each photo a place of its own.
fn least_by_trying(costs: &[Vec<i64>], taken: &mut Vec<bool>) -> i64 {
    let Some((first, rest)) = costs.split_first() else { return 0 };
    let mut least = i64::MAX;
    for place in 0..first.len() {
        if !taken[place] {
            taken[place] = true;
            least = least.min(first[place] + least_by_trying(rest, taken));
            taken[place] = false;
        }
    }
    least
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn assignment_costs_what_trying_all_costs(
        costs in (1_usize..=7).prop_flat_map(|photos| {
            (photos..=7).prop_flat_map(move |places| {
                prop::collection::vec(prop::collection::vec(0_i64..1000, places), photos)
            })
        }),
    ) {
        let (cost, places) = assign(&costs).unwrap();
        prop_assert_eq!(cost, least_by_trying(&costs, &mut vec![false; costs[0].len()]));
        let sum: i64 = places.iter().zip(&costs).map(|(&place, row)| row[place]).sum();
        prop_assert_eq!(sum, cost);
    }

    /// A row of pieces between margins, with wishes of all kinds: relations hold in whole numbers, and the
    /// ruler costs no less than between marks.
    #[test]
    fn the_ruler_breaks_no_relation(
        widths in prop::collection::vec(16_i64..60, 1..6),
        page in 100_i64..400,
        gaps in 0_i64..12,
        wishes in prop::collection::vec((0_usize..12, 0_usize..12, -50.0..300.0_f64, 0.1..5.0_f64), 1..9),
    ) {
        let mut row = Relations::default();
        let (mut edges, mut before) = (Vec::new(), ORIGIN);
        for width in &widths {
            let (left, right) = (row.edge(), row.edge());
            row.at_least(before, left, gaps, "gap");
            row.exactly(left, right, *width, "width");
            edges.extend([left, right]);
            before = right;
        }
        row.at_least(before, ORIGIN, gaps - page, "page");
        for (one, other, target, weight) in wishes {
            let [one, other] = [one, other].map(|at| edges[at % edges.len()]);
            row.wish(&[(one, 1.0), (other, -0.5)], target, weight);
        }
        let needed: i64 = widths.iter().sum::<i64>() + gaps * (widths.len() as i64 + 1);
        match row.settle() {
            Ok(settled) => {
                prop_assert!(needed <= page);
                prop_assert_eq!(row.broken(settled.all()), None);
                prop_assert!(settled.cost >= settled.least - 1e-4 * settled.least.max(1.0));
                prop_assert_eq!(&row.settle().unwrap(), &settled);
            }
            Err(conflict) => prop_assert_eq!(conflict.excess, needed - page),
        }
    }
}

#[test]
fn the_ruler_is_as_near_as_trying_all_marks() {
    // Two photos of 3 and 5 marks on 17, wished at thirds that no mark lies on.
    let mut row = Relations::default();
    let [one, end_of_one, other, end_of_other] = [(); 4].map(|()| row.edge());
    row.exactly(one, end_of_one, 3, "first");
    row.exactly(other, end_of_other, 5, "second");
    row.at_least(ORIGIN, one, 0, "begins");
    row.at_least(end_of_one, other, 2, "gap");
    row.at_least(end_of_other, ORIGIN, -17, "ends");
    row.wish(&[(one, 1.0)], 5.4, 1.0);
    row.wish(&[(other, 1.0), (end_of_one, -1.0)], 2.7, 2.0);
    row.wish(&[(end_of_other, 1.0), (one, 1.0)], 20.5, 0.7);
    let mut least = f64::MAX;
    for first in 0..17_i64 {
        for second in first + 5..=12 {
            let at = [0, first, first + 3, second, second + 5].map(|mark| mark as f64);
            least = least.min(row.cost(&at));
        }
    }
    let settled = row.settle().unwrap();
    assert!((settled.cost - least).abs() < 1e-9, "{} and {least}", settled.cost);
}

#[test]
fn a_contradiction_is_told_as_a_chain() {
    let mut row = Relations::default();
    let [left, right, far] = [(); 3].map(|()| row.edge());
    row.at_least(ORIGIN, left, 8, "margin of 1/2");
    row.exactly(left, right, 96, "photo of 6 in");
    row.exactly(ORIGIN, far, 100, "column of 6 1/4 in");
    row.at_least(right, far, 4, "gap of 1/4");
    let conflict = row.settle().unwrap_err();
    let told: Vec<&str> = conflict.chain.iter().map(|relation| row.reason(relation)).collect();
    assert_eq!(conflict.excess, 8);
    assert_eq!(told.len(), 4, "{told:?}");
    for why in ["margin of 1/2", "photo of 6 in", "column of 6 1/4 in", "gap of 1/4"] {
        assert!(told.contains(&why), "{told:?}");
    }
}
