//! Outlines onto sheets for the machine, by bounding boxes on shelves.

use kurbo::{BezPath, Shape as _};

use super::{Effort, Turns};

/// A rectangle of paper, already without the rim that the machine can't reach.
#[derive(Clone, Copy, Debug)]
pub struct Container {
    /// Width and height in inches.
    pub size: [f64; 2],
    /// What using it costs.
    pub cost: f64,
}

/// One copy of a piece.
#[derive(Clone, Copy, Debug)]
pub struct Shape<'a> {
    /// The outline in inches.
    pub outline: &'a BezPath,
    /// How it may be turned.
    pub turns: Turns,
}

/// Where a piece lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The container, by place.
    pub container: usize,
    /// Top left of the turned bounding box inside the container, in inches.
    pub at: [f64; 2],
    /// Degrees clockwise.
    pub turn: f64,
}

#[derive(Clone, Copy, Default)]
struct Shelf {
    top: f64,
    height: f64,
    right: f64,
}

/// Packs the shapes into the containers, earlier ones first.
pub fn pack(
    containers: &[Container],
    shapes: &[Shape<'_>],
    spacing: f64,
    _effort: Effort,
) -> Vec<Option<Placement>> {
    let boxes: Vec<[f64; 2]> = shapes
        .iter()
        .map(|shape| {
            let bounds = shape.outline.bounding_box();
            [bounds.width(), bounds.height()]
        })
        .collect();
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by(|&one, &other| boxes[other][1].total_cmp(&boxes[one][1]).then(one.cmp(&other)));
    let mut shelves: Vec<Vec<Shelf>> = vec![Vec::new(); containers.len()];
    let mut placements = vec![None; shapes.len()];
    for index in order {
        let [width, height] = boxes[index];
        let turned = shapes[index].turns != Turns::Never && width != height;
        let ways: &[(f64, [f64; 2])] = &[(0.0, [width, height]), (90.0, [height, width])];
        let ways = if turned { ways } else { &ways[..1] };
        placements[index] = containers.iter().enumerate().find_map(|(place, container)| {
            ways.iter().find_map(|&(turn, size)| {
                let at = put(&mut shelves[place], container.size, size, spacing)?;
                Some(Placement { container: place, at, turn })
            })
        });
    }
    placements
}

fn put(shelves: &mut Vec<Shelf>, room: [f64; 2], size: [f64; 2], spacing: f64) -> Option<[f64; 2]> {
    if !size.iter().chain(&room).all(|length| length.is_finite()) || size[0] > room[0] {
        return None;
    }
    for shelf in shelves.iter_mut() {
        if shelf.right + size[0] <= room[0] && size[1] <= shelf.height {
            let at = [shelf.right, shelf.top];
            shelf.right += size[0] + spacing;
            return Some(at);
        }
    }
    let top = shelves.last().map_or(0.0, |shelf| shelf.top + shelf.height + spacing);
    if top + size[1] > room[1] {
        return None;
    }
    shelves.push(Shelf { top, height: size[1], right: size[0] + spacing });
    Some([0.0, top])
}
