//! The search for a plan that gutting makes cheaper.

use std::collections::BTreeMap;

use kurbo::Shape as _;

use super::middle::{Gutted, Middle, opened, price, stock, without_unused};
use super::order::{depths, parents_first};
use crate::nest::joint::Begun;
use crate::nest::{Effort, Job, Nested, Search, Stock};

/// Middles that are tried to be given back once a sheet is saved: each costs a search.
const MOST_GIVEN_BACK: usize = 6;

/// Nests a job that may gut its items; by [`Gutted::worth`] no worse than with less effort. Every effort
/// goes on from the plans of the one before.
pub fn nest_with_middles(job: &Job, middles: &[Middle]) -> Gutted {
    Search::new().nest_with_middles(job, middles)
}

impl Search {
    /// Like [`nest_with_middles`]: stopped, it ends with the best found until then.
    pub fn nest_with_middles(&self, job: &Job, middles: &[Middle]) -> Gutted {
        searched(job, middles, self)
    }
}

fn searched(job: &Job, middles: &[Middle], search: &Search) -> Gutted {
    let mut searches = Searches { middles, search, begun: BTreeMap::new() };
    if middles.is_empty() {
        return gutted(job, &mut searches);
    }
    let mut best: Option<Gutted> = None;
    for effort in Effort::ALL {
        let found = gutted(&Job { effort, ..job.clone() }, &mut searches);
        best = match best {
            Some(best) if best.worth(job, middles) < found.worth(job, middles) => Some(best),
            _ => Some(found),
        };
        if effort == job.effort || search.is_stopped() {
            break;
        }
    }
    best.unwrap_or_default()
}

/// What is searched for a job, by the middles that are cut out. The job is the same but for its effort.
struct Searches<'a> {
    middles: &'a [Middle],
    search: &'a Search,
    begun: BTreeMap<Vec<usize>, (Job, Begun)>,
}

impl Searches<'_> {
    /// A plan with some middles.
    fn nested(&mut self, job: &Job, offered: &[usize]) -> Nested {
        let (opened, begun) = self
            .begun
            .entry(offered.to_vec())
            .or_insert_with(|| (opened(job, self.middles, offered), Begun::default()));
        opened.effort = job.effort;
        begun.nest(opened, self.search)
    }

    /// A plan with some middles; nothing if a piece would come out of itself.
    fn attempt(&mut self, job: &Job, offered: &[usize]) -> Option<Nested> {
        let nested = self.nested(job, offered);
        let depths = depths(job, self.middles, offered, &nested);
        depths.iter().all(Option::is_some).then_some(nested)
    }
}

fn gutted(job: &Job, searches: &mut Searches<'_>) -> Gutted {
    let middles = searches.middles;
    let is_opening = |one: &usize| middles[*one].opening.is_some();
    let (openings, rectangles): (Vec<usize>, Vec<usize>) = (0..middles.len()).partition(is_opening);
    let asked: Vec<usize> = rectangles.iter().copied().filter(|&one| middles[one].asked).collect();
    let plain = searches.nested(job, &[]);
    let mut best = Gutted { nested: plain, stock: stock(job, middles, &asked), cut: asked.clone() };
    if !asked.is_empty()
        && let Some(nested) = searches.attempt(job, &asked)
        && price(job, &nested) <= price(job, &best.nested)
    {
        best.nested = nested;
    }
    // Openings come first: what lies in them needs no sheet to be handled.
    for offered in [with_openings(middles, &openings, &rectangles), rectangles] {
        if let Some(better) = improved(job, searches, &offered, &asked, &best.nested) {
            best = better;
        }
    }
    parents_first(job, middles, &mut best);
    best
}

/// The openings, and the rectangles of the items that have none; nothing if there are no openings.
fn with_openings(middles: &[Middle], openings: &[usize], rectangles: &[usize]) -> Vec<usize> {
    if openings.is_empty() {
        return Vec::new();
    }
    let opened = |item: usize| openings.iter().any(|&one| middles[one].item == item);
    let others = rectangles.iter().copied().filter(|&one| !opened(middles[one].item));
    openings.iter().copied().chain(others).collect()
}

/// The answer with the middles offered, if there are any to win by and it saves a new sheet or a piece.
fn improved(
    job: &Job,
    searches: &mut Searches<'_>,
    offered: &[usize],
    asked: &[usize],
    best: &Nested,
) -> Option<Gutted> {
    let more = offered.iter().any(|one| !asked.contains(one));
    if !more || !could_save(job, searches.middles, offered, best) {
        return None;
    }
    if !likely_saves(job, searches, offered, best) {
        return None;
    }
    let nested = searches.attempt(job, offered)?;
    (price(job, &nested) < price(job, best))
        .then(|| gives_back(job, searches, nested, offered, asked))
}

/// Whether middles can make up for a new sheet at all: the pieces less the middles have to fit on the
/// paper there is without it.
fn could_save(job: &Job, middles: &[Middle], offered: &[usize], nested: &Nested) -> bool {
    if !nested.left_out.is_empty() {
        return true;
    }
    let pieces: f64 = job.items.iter().map(|item| item.area() * f64::from(item.copies)).sum();
    let hidden: f64 = offered
        .iter()
        .filter_map(|&one| middles.get(one))
        .map(|middle| {
            let copies = job.items.get(middle.item).map_or(0, |item| item.copies);
            let area = match &middle.opening {
                Some(opening) => opening.area().abs(),
                None => middle.area.size.area(),
            };
            area * f64::from(copies)
        })
        .sum();
    let (offcuts, new): (Vec<&Stock>, Vec<&Stock>) =
        job.stock.iter().partition(|stock| stock.offcut.is_some());
    let offcuts: f64 = offcuts.iter().map(|one| one.size.area() * f64::from(one.count)).sum();
    let largest = new.iter().map(|stock| stock.size.area()).fold(0.0, f64::max);
    let sheets = nested.new_sheets(&job.stock);
    sheets > 0 && pieces - hidden - offcuts <= (sheets - 1) as f64 * largest
}

/// Whether a quick search with the middles already does with fewer sheets, or cheaper ones: a whole
/// second search is for those who have the patience, or for a saving that is all but sure.
fn likely_saves(job: &Job, searches: &mut Searches<'_>, offered: &[usize], best: &Nested) -> bool {
    if job.effort == Effort::Long {
        return true;
    }
    let quick = Job { effort: Effort::Quick, ..job.clone() };
    searches.attempt(&quick, offered).is_some_and(|nested| price(job, &nested) < price(job, best))
}

/// The answer without the middles it doesn't use or can do without.
fn gives_back(
    job: &Job,
    searches: &mut Searches<'_>,
    nested: Nested,
    offered: &[usize],
    asked: &[usize],
) -> Gutted {
    let middles = searches.middles;
    let (mut nested, mut cut) = without_unused(job, middles, nested, offered);
    let mut candidates: Vec<usize> =
        cut.iter().copied().filter(|one| !asked.contains(one)).collect();
    candidates.sort_by_key(|&one| {
        let size = middles[one].area.size;
        (size.width.to_nanometres() / 1_000) * (size.height.to_nanometres() / 1_000)
    });
    if candidates.len() > 1 {
        for one in candidates.into_iter().take(MOST_GIVEN_BACK) {
            let fewer: Vec<usize> = cut.iter().copied().filter(|other| *other != one).collect();
            if let Some(other) = searches.attempt(job, &fewer)
                && price(job, &other) <= price(job, &nested)
            {
                (nested, cut) = without_unused(job, middles, other, &fewer);
            }
        }
    }
    // An item that should be gutted and has no opening after all gives its rectangles.
    let opened = |item: usize| {
        cut.iter().any(|&one| middles[one].item == item && middles[one].opening.is_some())
    };
    let missing: Vec<usize> = asked
        .iter()
        .copied()
        .filter(|one| !cut.contains(one) && !opened(middles[*one].item))
        .collect();
    cut.extend(missing);
    Gutted { nested, stock: stock(job, middles, &cut), cut }
}
