//! The windows of gutted pieces, and what lies in them.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, Shape};

use crate::geometry;
use crate::layout::{Layout, Window};
use crate::model::{Area, OffcutId, PieceId};

use super::paper_plan::PaperPlan;
use super::sheet::{Sheet, told};

/// The layout with a window in each piece that is gutted.
pub(super) fn with_windows(layout: &Layout, papers: &[PaperPlan]) -> Layout {
    let mut layout = layout.clone();
    for PaperPlan { pieces, middles, gutted, .. } in papers {
        for middle in gutted.cut.iter().filter_map(|&one| middles.get(one)) {
            let index = pieces.get(middle.item);
            let Some(piece) = index.and_then(|&index| layout.pieces.get_mut(index)) else {
                continue;
            };
            let window = middle.opening.clone().unwrap_or_else(|| rectangle(middle.area));
            piece.drawing.outline = geometry::with_window(&piece.drawing.outline, &window);
            let opening = middle.opening.clone();
            piece.windows.push(Window { id: middle.id.clone(), area: middle.area, opening });
        }
    }
    layout
}

fn rectangle(area: Area) -> BezPath {
    let [width, height] = area.size.to_inches();
    let at = (area.left.to_inches(), area.top.to_inches());
    Affine::translate(at) * geometry::rectangle(width, height)
}

/// The pieces that are cut in each opening, by the opening's name.
pub(super) fn held(layout: &Layout, sheets: &[Sheet]) -> BTreeMap<OffcutId, Vec<PieceId>> {
    let mut held = BTreeMap::new();
    for piece in layout.pieces.iter().filter(|piece| !piece.windows.is_empty()) {
        let path = told(&piece.drawing.outline);
        let holder = sheets.iter().find_map(|sheet| {
            let placed = sheet.placed.iter().find(|placed| placed.piece == piece.id)?;
            Some((sheet, geometry::laying(&path, placed.turn, placed.at)))
        });
        let Some((sheet, lay)) = holder else { continue };
        for window in &piece.windows {
            let Some(opening) = &window.opening else { continue };
            let window_laid = lay * told(opening);
            let lies_inside = |at: &[f64; 2]| window_laid.winding(geometry::point(*at)) != 0;
            let inside = sheet.placed.iter().filter(|placed| {
                let start = placed.rings.first().and_then(|ring| ring.first());
                placed.piece != piece.id && start.is_some_and(lies_inside)
            });
            held.insert(window.id.clone(), inside.map(|placed| placed.piece.clone()).collect());
        }
    }
    held
}
