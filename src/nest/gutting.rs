//! Nesting with gutting: the hidden middles of pieces are paper for smaller ones.
//!
//! A middle is an offcut that exists once its piece is cut: a rectangle. Where the machine cuts the
//! piece, its middle may also have its true shape: an opening of the piece, in which smaller pieces lie
//! on the same sheet and are cut in the same pass. A job is nested without the middles that need not be
//! cut, then again with them; another answer stands only if it needs fewer new sheets, and then every
//! middle it can do without is given back.

use std::collections::BTreeMap;

use kurbo::{BezPath, Shape};

use crate::outline;

use super::worth::Worth;
use super::{Area, Begun, Effort, Form, Job, Nested, PlacedItem, Search, Stock};

/// Middles that are tried to be given back once a sheet is saved: each costs a search.
const MOST_GIVEN_BACK: usize = 6;

/// A hidden middle of an item.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Middle {
    /// The item, by place in the job; it has one copy.
    pub item: usize,
    /// Name of the paper it becomes, unique in the job.
    pub id: String,
    /// Where it lies in the item's own frame; the bounding box of an opening.
    pub area: Area,
    /// Its true shape in the item's own frame, within the item's outline, if it is an opening of the
    /// item: not paper of its own but room on the item's own sheet.
    pub opening: Option<BezPath>,
    /// Whether it is cut out even if that saves nothing.
    pub asked: bool,
}

/// A job's answer with the middles that are cut out.
#[derive(Clone, Debug, Default)]
pub struct Gutted {
    /// The answer; sheets name their stock by place in `stock`. A sheet that is a middle comes after
    /// the sheet that holds its piece.
    pub nested: Nested,
    /// The job's stock, then one entry a middle that is cut out; of an opening there are no sheets.
    pub stock: Vec<Stock>,
    /// The middles that are cut out, by place in the list given, in the order of their stock.
    pub cut: Vec<usize>,
}

impl Gutted {
    /// What plans with middles are compared by: what is left out and paid, then how many middles are cut
    /// out, then all else.
    pub fn worth(&self, job: &Job, middles: &[Middle]) -> (u64, i128, usize, Worth) {
        let worth = Worth::of(&opened(job, middles, &self.cut), &self.nested);
        let (left_out, cost) = worth.price();
        (left_out, cost, self.cut.len(), worth)
    }
}

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
        .map(|middle| match &middle.opening {
            Some(opening) => opening.area().abs(),
            None => middle.area.size.area(),
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

fn stock(job: &Job, middles: &[Middle], offered: &[usize]) -> Vec<Stock> {
    let paper = offered.iter().filter_map(|&one| middles.get(one)).map(|middle| Stock {
        size: middle.area.size,
        count: u32::from(middle.opening.is_none()),
        price: 0.0,
        offcut: Some(middle.id.clone()),
        ..Stock::default()
    });
    job.stock.iter().cloned().chain(paper).collect()
}

/// The job with some middles as offcuts or openings.
fn opened(job: &Job, middles: &[Middle], offered: &[usize]) -> Job {
    let mut opened = Job { stock: stock(job, middles, offered), ..job.clone() };
    for middle in offered.iter().filter_map(|&one| middles.get(one)) {
        if let (Some(opening), Some(item)) = (&middle.opening, opened.items.get_mut(middle.item))
            && let Form::Outline(path) = &item.form
        {
            item.form = Form::Outline(outline::with_window(path, opening));
        }
    }
    opened
}

/// Drops unasked middles without pieces; returns the answer with its stock renumbered.
fn without_unused(
    job: &Job,
    middles: &[Middle],
    mut nested: Nested,
    offered: &[usize],
) -> (Nested, Vec<usize>) {
    let first = job.stock.len();
    let is_used = |place: usize| match &middles[offered[place]].opening {
        Some(opening) => holds_any(job, &nested, middles[offered[place]].item, opening),
        None => nested.sheets.iter().any(|sheet| sheet.stock == first + place),
    };
    let kept: Vec<(usize, usize)> = offered
        .iter()
        .copied()
        .enumerate()
        .filter(|&(place, one)| is_used(place) || middles[one].asked)
        .collect();
    for sheet in nested.sheets.iter_mut().filter(|sheet| sheet.stock >= first) {
        let new = kept.iter().position(|(place, _)| first + place == sheet.stock);
        sheet.stock = first + new.unwrap_or(0);
    }
    (nested, kept.into_iter().map(|(_, one)| one).collect())
}

/// Whether a piece lies in an opening of an item.
fn holds_any(job: &Job, nested: &Nested, item: usize, opening: &BezPath) -> bool {
    nested.sheets.iter().any(|sheet| {
        let Some(holder) = sheet.placed.iter().find(|placed| placed.item == item) else {
            return false;
        };
        let Some(window) = laid(job, holder).map(|(lay, _)| lay * opening) else { return false };
        let others = sheet.placed.iter().filter(|placed| placed.item != item);
        others.filter_map(|placed| laid(job, placed)).any(|(lay, path)| {
            let start = path.segments().next().map(|segment| kurbo::ParamCurve::start(&segment));
            start.is_some_and(|start| window.winding(lay * start) != 0)
        })
    })
}

/// Where an item's outline lies on its sheet, and the outline.
fn laid<'a>(job: &'a Job, placed: &PlacedItem) -> Option<(kurbo::Affine, &'a BezPath)> {
    let Form::Outline(path) = &job.items.get(placed.item)?.form else { return None };
    Some((outline::laying(path, placed.turn, placed.at), path))
}

/// What is left out and paid: a middle is cut out to save paper, for nothing less.
fn price(job: &Job, nested: &Nested) -> (u64, i128) {
    Worth::of(job, nested).price()
}

/// For each sheet, how many pieces have to be gutted one out of the other before it is there; nothing
/// if it would come out of itself.
fn depths(job: &Job, middles: &[Middle], cut: &[usize], nested: &Nested) -> Vec<Option<usize>> {
    let holder = |item: usize| {
        nested.sheets.iter().position(|sheet| sheet.placed.iter().any(|one| one.item == item))
    };
    let parent = |sheet: usize| {
        let place = nested.sheets.get(sheet)?.stock.checked_sub(job.stock.len())?;
        holder(middles.get(*cut.get(place)?)?.item)
    };
    (0..nested.sheets.len())
        .map(|sheet| {
            let (mut depth, mut here) = (0, sheet);
            while let Some(above) = parent(here) {
                (depth, here) = (depth + 1, above);
                if depth > nested.sheets.len() {
                    return None;
                }
            }
            Some(depth)
        })
        .collect()
}

/// Sheets in an order in which each is there when its turn comes.
fn parents_first(job: &Job, middles: &[Middle], gutted: &mut Gutted) {
    let depths = depths(job, middles, &gutted.cut, &gutted.nested);
    let sheets = std::mem::take(&mut gutted.nested.sheets);
    let mut ranked: Vec<_> = depths.into_iter().zip(sheets).collect();
    ranked.sort_by_key(|(depth, _)| *depth);
    gutted.nested.sheets = ranked.into_iter().map(|(_, sheet)| sheet).collect();
}
