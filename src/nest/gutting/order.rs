//! Which sheet has to be cut before which: a middle is there once its piece is cut.

use super::middle::{Gutted, Middle};
use crate::nest::{Job, Nested};

/// For each sheet, how many pieces have to be gutted one out of the other before it is there; nothing
/// if it would come out of itself. Of a piece with copies on several sheets all have to be cut before.
pub(super) fn depths(
    job: &Job,
    middles: &[Middle],
    cut: &[usize],
    nested: &Nested,
) -> Vec<Option<usize>> {
    let gutted = |sheet: usize| {
        let place = nested.sheets.get(sheet)?.stock.checked_sub(job.stock.len())?;
        Some(middles.get(*cut.get(place)?)?.item)
    };
    let items: Vec<Option<usize>> = (0..nested.sheets.len()).map(gutted).collect();
    let mut depths = vec![Some(0); items.len()];
    // A sheet is at most as deep as there are sheets; what is deeper comes out of itself.
    for _ in 0..=items.len() {
        let mut deeper = depths.clone();
        for (depth, item) in deeper.iter_mut().zip(&items) {
            let Some(item) = item else { continue };
            let holders = nested.sheets.iter().zip(&depths);
            let holders = holders.filter(|(sheet, _)| sheet.placed.iter().any(|p| p.item == *item));
            let deepest = holders
                .map(|(_, depth)| *depth)
                .try_fold(0, |deepest: usize, depth| Some(deepest.max(depth? + 1)));
            *depth = deepest.filter(|&depth| depth <= items.len());
        }
        if deeper == depths {
            break;
        }
        depths = deeper;
    }
    depths
}

/// Sheets in an order in which each is there when its turn comes.
pub(super) fn parents_first(job: &Job, middles: &[Middle], gutted: &mut Gutted) {
    let depths = depths(job, middles, &gutted.cut, &gutted.nested);
    let sheets = std::mem::take(&mut gutted.nested.sheets);
    let mut ranked: Vec<_> = depths.into_iter().zip(sheets).collect();
    ranked.sort_by_key(|(depth, _)| *depth);
    gutted.nested.sheets = ranked.into_iter().map(|(_, sheet)| sheet).collect();
}
