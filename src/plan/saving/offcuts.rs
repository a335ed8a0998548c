//! What each offcut saves: known by planning its paper again without it.

use std::collections::BTreeMap;

use crate::layout::Layout;
use crate::model::length::Size;
use crate::model::{Effort, OffcutId, SheetSource, Stock};

use super::Planned;
use super::spent::{Difference, Spared, difference_of_plans};
use crate::plan::paper_plan::{self, PaperPlan};

/// Offcuts of a paper that it is planned again without at most, the first that are used first.
const MOST_PROVEN: usize = 4;
/// The same where the search is long.
const MOST_PROVEN_LONG: usize = 1;
/// Pieces of a paper up to which that is done at all.
const MOST_PIECES: usize = 60;

/// An offcut that something is cut from, and what is known of what that saves.
#[derive(Clone, Debug, Default)]
pub struct OffcutUse {
    /// Its name.
    pub id: OffcutId,
    /// Its size.
    pub size: Size,
    /// The new sheets that are used more without it.
    pub saves: Vec<Spared>,
    /// Those that are used in their place with it.
    pub takes: Vec<Spared>,
    /// What that saves, where all the prices are known.
    pub price: Option<f64>,
    /// Where its pieces would have come from, where no new sheet is saved: an offcut, or a new sheet; and
    /// their area in square inches.
    pub instead_of: Vec<(Option<OffcutId>, f64)>,
}

impl Planned<'_> {
    /// The offcuts from earlier that are used of a paper, in the order in which they lie in the box.
    pub fn offcuts_used(&self, paper: usize) -> Vec<OffcutUse> {
        let plan = &self.papers[paper];
        let before = by_source(self.layout, plan);
        let on_hand = &self.layout.papers[paper];
        let plain = on_hand.stock.iter().filter_map(|one| Some((one.offcut.clone()?, one.size)));
        let shaped = on_hand.shaped.iter().map(|one| (one.id.clone(), one.shape.bounds()));
        let used = plain.chain(shaped).filter(|(id, _)| before.contains_key(&Some(id.clone())));
        let used = used.map(|(id, size)| OffcutUse { id, size, ..OffcutUse::default() });
        let mut used: Vec<OffcutUse> = used.collect();
        let most = match self.layout.effort {
            _ if plan.job.items.iter().map(|item| item.copies as usize).sum::<usize>()
                > MOST_PIECES =>
            {
                0
            }
            Effort::Long => MOST_PROVEN_LONG,
            Effort::Quick | Effort::Normal => MOST_PROVEN,
        };
        for offcut in used.iter_mut().take(most) {
            if self.search.is_stopped() {
                break;
            }
            if let Some(other) = self.without(paper, &offcut.id) {
                compare(self.layout, offcut, plan, &other, &before);
            }
        }
        used
    }

    /// The plan of a paper without one of its offcuts; nothing where it then lacks something.
    fn without(&self, paper: usize, id: &OffcutId) -> Option<PaperPlan> {
        let mut layout = self.layout.clone();
        layout.papers[paper].stock.retain(|stock| stock.offcut.as_ref() != Some(id));
        layout.papers[paper].shaped.retain(|one| one.id != *id);
        paper_plan::plan(&layout, self.search, paper).ok()
    }
}

/// Notes what a plan with an offcut has before the one without it.
fn compare(
    layout: &Layout,
    offcut: &mut OffcutUse,
    with: &PaperPlan,
    without: &PaperPlan,
    before: &BySource,
) {
    match difference_of_plans(without, with) {
        Difference::Better(better) => {
            (offcut.saves, offcut.takes, offcut.price) = better.into_parts();
        }
        Difference::Same => {
            let more = by_source(layout, without).into_iter().filter_map(|(source, area)| {
                let more = area - before.get(&source).copied().unwrap_or(0.0);
                (more > super::spent::HAIR).then_some((source, more))
            });
            offcut.instead_of = more.collect();
            // Offcuts first, by name; new paper last.
            offcut.instead_of.sort_by_key(|(source, _)| source.is_none());
        }
        // A search that happened on less: nothing is known to be saved.
        Difference::Worse => {}
    }
}

/// Area of the pieces, and of the sheets for the printer, by the offcut that they come from; nothing stands
/// for new paper.
type BySource = BTreeMap<Option<OffcutId>, f64>;

fn by_source(layout: &Layout, plan: &PaperPlan) -> BySource {
    let mut areas = BySource::new();
    let supply = &plan.supply;
    let root = |source: &SheetSource| match source {
        SheetSource::Offcut(id) => Some(id.clone()),
        SheetSource::Part { part, .. } => match supply.cut_down_to(part).map(|sheet| &sheet.source)
        {
            Some(SheetSource::Offcut(id)) => Some(id.clone()),
            _ => None,
        },
        SheetSource::New | SheetSource::Middle(_) | SheetSource::FedOnce(_) => None,
    };
    for taken in &supply.taken {
        *areas.entry(root(&taken.source)).or_default() +=
            layout.printer.paper.area() * f64::from(taken.count.get());
    }
    for sheet in &plan.gutted.nested.sheets {
        let Some(stock) = plan.gutted.stock.get(sheet.stock) else { continue };
        let items = sheet.placed.iter().filter_map(|one| plan.job.items.get(one.item));
        let area: f64 = items.map(crate::nest::Item::area).sum();
        *areas.entry(root(&source_of(plan, sheet.stock, stock))).or_default() +=
            area * f64::from(sheet.count);
    }
    areas
}

/// Where a sheet comes from; what follows on the job's own stock is hidden middles.
fn source_of(plan: &PaperPlan, place: usize, stock: &Stock) -> SheetSource {
    match &stock.offcut {
        Some(middle) if place >= plan.job.stock.len() => SheetSource::Middle(middle.clone()),
        Some(_) | None => plan.supply.source(stock),
    }
}
