//! Few stops, searched to the end.

use kurbo::Point;

use super::{Stop, gap};

/// Stops up to which the best of all tours is looked for, and distances that may take.
const MOST_EXACT: usize = 9;
const MOST_EXACT_WORK: usize = 4_000_000;

/// The best of all tours where there are so few stops and ways that it takes no time (dynamic programming
/// over sets of stops; Held & Karp 1962).
pub(super) fn exact(
    from: Option<Point>,
    stops: &[Stop],
    known: &[usize],
) -> Option<Vec<(usize, usize)>> {
    let visits: Vec<(usize, usize)> = known
        .iter()
        .enumerate()
        .flat_map(|(place, &stop)| (0..stops[stop].ways.len()).map(move |way| (place, way)))
        .collect();
    let sets = 1_usize.checked_shl(u32::try_from(known.len()).ok()?)?;
    let work = sets.checked_mul(visits.len())?.checked_mul(visits.len())?;
    if known.len() > MOST_EXACT || work > MOST_EXACT_WORK {
        return None;
    }
    let way = |visit: usize| stops[known[visits[visit].0]].ways[visits[visit].1];
    // For each set of stops and the visit that ends it: the least length, and the visit before.
    let mut table = vec![vec![(f64::INFINITY, usize::MAX); visits.len()]; sets];
    for visit in 0..visits.len() {
        let length = gap(from, Some(way(visit).enter)) + way(visit).inside;
        table[1 << visits[visit].0][visit] = (length, usize::MAX);
    }
    for set in 1..sets {
        for last in 0..visits.len() {
            let so_far = table[set][last].0;
            if so_far.is_infinite() {
                continue;
            }
            for next in (0..visits.len()).filter(|&next| set >> visits[next].0 & 1 == 0) {
                let length = so_far + way(last).leave.distance(way(next).enter) + way(next).inside;
                let reached = &mut table[set | 1 << visits[next].0][next];
                if length < reached.0 {
                    *reached = (length, last);
                }
            }
        }
    }
    let mut set = sets - 1;
    let ends = (0..visits.len()).filter(|&end| table[set][end].0.is_finite());
    let mut last = ends.min_by(|&one, &two| table[set][one].0.total_cmp(&table[set][two].0));
    let mut tour = Vec::with_capacity(known.len());
    while let Some(visit) = last {
        let (place, way) = visits[visit];
        tour.push((known[place], way));
        let before = table[set][visit].1;
        set &= !(1 << place);
        last = (before < visits.len()).then_some(before);
    }
    tour.reverse();
    (tour.len() == known.len()).then_some(tour)
}
