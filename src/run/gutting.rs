//! Gutting in a run: which middles the nester is offered, and the windows that it asks for.

use std::cmp::Reverse;

use crate::layout::hidden::When;
use crate::layout::{Layout, Window};
use crate::nest::Job;
use crate::nest::gutting::{Gutted, Middle};
use crate::outline;

/// The hidden middles of one paper's pieces, largest first.
pub(super) fn middles(layout: &Layout, pieces: &[usize]) -> Vec<Middle> {
    let mut middles = Vec::new();
    for (item, piece) in pieces.iter().filter_map(|&index| layout.pieces.get(index)).enumerate() {
        let asked = piece.gut == Some(true) || layout.gutting.when == When::Always;
        for (number, area) in (1..).zip(&piece.middles) {
            let id = match (layout.redo, number) {
                (0, 1) => format!("middle of {}", piece.id),
                (0, _) => format!("middle {number} of {}", piece.id),
                (redo, _) => format!("middle {number} of {}, redo {redo}", piece.id),
            };
            middles.push(Middle { item, id, area: *area, asked });
        }
    }
    middles.sort_by_key(|middle| {
        let size = middle.area.size;
        Reverse((size.width.to_nanometres() / 1_000) * (size.height.to_nanometres() / 1_000))
    });
    middles
}

/// The layout with a window in each piece that is gutted.
pub(super) fn with_windows(
    layout: &Layout,
    jobs: &[(Job, Vec<usize>)],
    middles: &[Vec<Middle>],
    gutted: &[Gutted],
) -> Layout {
    let mut layout = layout.clone();
    for (((_, pieces), middles), gutted) in jobs.iter().zip(middles).zip(gutted) {
        for middle in gutted.cut.iter().filter_map(|&one| middles.get(one)) {
            let index = pieces.get(middle.item);
            let Some(piece) = index.and_then(|&index| layout.pieces.get_mut(index)) else {
                continue;
            };
            let [left, top] = [middle.area.left, middle.area.top].map(|edge| edge.to_inches());
            let [width, height] = middle.area.size.to_inches();
            let mut window = outline::rectangle(width, height);
            // A hole runs the other way round than the outside.
            let direction = |path: &kurbo::BezPath| kurbo::Shape::area(path) > 0.0;
            if direction(&window) == direction(&piece.drawing.outline) {
                window = window.reverse_subpaths();
            }
            window.apply_affine(kurbo::Affine::translate((left, top)));
            piece.drawing.outline.extend(window);
            piece.windows.push(Window { id: middle.id.clone(), area: middle.area });
        }
    }
    layout
}
