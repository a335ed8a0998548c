//! The fonts of a redo: those in which its words are printed have to be the very same; any other may be gone.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::description::Problem;
use crate::layout::{PlacedPiece, StoryPiece};
use crate::lettering::fonts::{Font, FontBook};
use crate::model::Run;
use crate::record::FontUsed;

/// The fonts of a record that a redo needs or finds. What its pieces and strips print names them by their
/// places here. A font that is gone is told only where words are printed in it again: letters that are cut
/// are in the record as curves, and names in guide and pictures can be shown in another font.
pub(super) fn keep(
    used: &[FontUsed],
    fonts: &FontBook,
    pieces: &mut [PlacedPiece],
    strips: &mut [StoryPiece],
) -> Result<Vec<Arc<Font>>, Problem> {
    let printed = pieces.iter_mut().filter_map(|piece| piece.print.as_mut()?.text.as_mut());
    let printed = printed.flat_map(|text| &mut text.runs);
    let told = strips.iter_mut().flat_map(|strip| &mut strip.runs);
    let runs: Vec<&mut Run> = printed.chain(told).collect();
    let mut kept = Vec::new();
    let mut places: BTreeMap<usize, usize> = BTreeMap::new();
    for (place, font) in used.iter().enumerate() {
        match same_font(fonts, font) {
            Ok(found) => {
                places.insert(place, kept.len());
                kept.push(found);
            }
            Err(problem) if runs.iter().any(|run| run.font == place) => return Err(problem),
            Err(_) => {}
        }
    }
    for run in runs {
        // A font that the record doesn't list stays unknown.
        run.font = places.get(&run.font).copied().unwrap_or(usize::MAX);
    }
    Ok(kept)
}

/// The very font that the record names.
fn same_font(fonts: &FontBook, used: &FontUsed) -> Result<Arc<Font>, Problem> {
    let found = fonts.find_by_sha256(&used.sha256).ok_or_else(|| {
        Problem::input(
            format!("the font {} ({}) has changed or is gone", used.family, used.source),
            "put the same file back, or build the spread anew",
        )
    })?;
    if used.axes.is_empty() && used.features.is_empty() {
        return Ok(found);
    }
    let set = found.used_with(&used.axes, &used.features);
    set.map(Arc::new).map_err(Problem::from)
}
