//! Which hidden middles the nester is offered.

use std::cmp::Reverse;

use kurbo::Shape;

use crate::layout::Layout;
use crate::layout::hidden::When;
use crate::model::Area;
use crate::nest::gutting::Middle;

/// The hidden middles of one paper's pieces, largest first.
pub(super) fn middles(layout: &Layout, pieces: &[usize]) -> Vec<Middle> {
    let mut middles = Vec::new();
    for (item, piece) in pieces.iter().filter_map(|&index| layout.pieces.get(index)).enumerate() {
        // A middle is the paper of one piece: of several, none is cut out.
        if piece.copies > 1 {
            continue;
        }
        let asked = piece.gut == Some(true) || layout.gutting.when == When::Always;
        for (number, area) in (1..).zip(&piece.middles) {
            let id = match (layout.redo, number) {
                (0, 1) => format!("middle of {}", piece.id),
                (0, _) => format!("middle {number} of {}", piece.id),
                (redo, _) => format!("middle {number} of {}, redo {redo}", piece.id),
            };
            let id = layout.free_offcut_id(id);
            middles.push(Middle { item, id, area: *area, opening: None, asked });
        }
        for (number, opening) in (1..).zip(&piece.openings) {
            let id = match number {
                1 => format!("opening of {}", piece.id),
                _ => format!("opening {number} of {}", piece.id),
            };
            let bounds = opening.bounding_box();
            let area = Area::of_inches(bounds.into());
            middles.push(Middle {
                item,
                id: id.into(),
                area,
                opening: Some(opening.clone()),
                asked,
            });
        }
    }
    middles.sort_by_key(|middle| {
        let size = middle.area.size;
        Reverse((size.width.to_nanometres() / 1_000) * (size.height.to_nanometres() / 1_000))
    });
    middles
}
