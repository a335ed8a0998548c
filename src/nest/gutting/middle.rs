//! Hidden middles, and a job with some of them cut out.

use kurbo::{BezPath, Shape as _};

use crate::geometry;
use crate::model::OffcutId;
use crate::nest::worth::Worth;
use crate::nest::{Area, Form, Job, Nested, PlacedItem, Stock};

/// A hidden middle of an item.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Middle {
    /// The item, by place in the job; each of its copies has this middle.
    pub item: usize,
    /// Name of the paper it becomes, unique in the job.
    pub id: OffcutId,
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
    /// The job's stock, then one entry a middle that is cut out, with as many sheets as its item has copies;
    /// of an opening there are no sheets.
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

pub(super) fn stock(job: &Job, middles: &[Middle], offered: &[usize]) -> Vec<Stock> {
    let paper = offered.iter().filter_map(|&one| middles.get(one)).map(|middle| Stock {
        size: middle.area.size,
        count: match middle.opening {
            Some(_) => 0,
            None => job.items.get(middle.item).map_or(0, |item| item.copies),
        },
        price: None,
        offcut: Some(middle.id.clone()),
        rest: true,
        ..Stock::default()
    });
    job.stock.iter().cloned().chain(paper).collect()
}

/// The job with some middles as offcuts or openings.
pub(super) fn opened(job: &Job, middles: &[Middle], offered: &[usize]) -> Job {
    let mut opened = Job { stock: stock(job, middles, offered), ..job.clone() };
    for middle in offered.iter().filter_map(|&one| middles.get(one)) {
        if let (Some(opening), Some(item)) = (&middle.opening, opened.items.get_mut(middle.item))
            && let Form::Outline(path) = &item.form
        {
            item.form = Form::Outline(geometry::with_window(path, opening));
        }
    }
    opened
}

/// Drops unasked middles without pieces; returns the answer with its stock renumbered.
pub(super) fn without_unused(
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
        let holders = sheet.placed.iter().filter(|placed| placed.item == item);
        let mut windows = holders.filter_map(|one| Some(laid(job, one)?.0 * opening));
        windows.any(|window| {
            let others = sheet.placed.iter().filter(|placed| placed.item != item);
            others.filter_map(|placed| laid(job, placed)).any(|(lay, path)| {
                let first = path.segments().next();
                let start = first.map(|segment| kurbo::ParamCurve::start(&segment));
                start.is_some_and(|start| window.winding(lay * start) != 0)
            })
        })
    })
}

/// Where an item's outline lies on its sheet, and the outline.
fn laid<'a>(job: &'a Job, placed: &PlacedItem) -> Option<(kurbo::Affine, &'a BezPath)> {
    let Form::Outline(path) = &job.items.get(placed.item)?.form else { return None };
    Some((geometry::laying(path, placed.turn, placed.at), path))
}

/// What is left out and paid: a middle is cut out to save paper, for nothing less.
pub(super) fn price(job: &Job, nested: &Nested) -> (u64, i128) {
    Worth::of(job, nested).price()
}
