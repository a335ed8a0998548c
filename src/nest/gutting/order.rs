//! Which sheet has to be cut before which: a middle is there once its piece is cut.

use super::middle::{Gutted, Middle};
use crate::nest::{Job, Nested};

/// For each sheet, how many pieces have to be gutted one out of the other before it is there; nothing
/// if it would come out of itself.
pub(super) fn depths(
    job: &Job,
    middles: &[Middle],
    cut: &[usize],
    nested: &Nested,
) -> Vec<Option<usize>> {
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
pub(super) fn parents_first(job: &Job, middles: &[Middle], gutted: &mut Gutted) {
    let depths = depths(job, middles, &gutted.cut, &gutted.nested);
    let sheets = std::mem::take(&mut gutted.nested.sheets);
    let mut ranked: Vec<_> = depths.into_iter().zip(sheets).collect();
    ranked.sort_by_key(|(depth, _)| *depth);
    gutted.nested.sheets = ranked.into_iter().map(|(_, sheet)| sheet).collect();
}
