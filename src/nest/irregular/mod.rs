//! Outlines onto sheets for the machine: free-form, by true outline, small pieces in the openings of
//! large ones.
//!
//! First a fill on a fine grid gives an answer at once. Then, as far as the effort goes, overlap
//! minimisation on true polygons looks for an answer on fewer sheets, empties the emptiest sheet into
//! the others and makes what is left on it short, so that the rest of the paper stays whole. Every
//! answer is measured in the end, outline against outline; one that keeps no distance is not used.

mod arrangement;
mod candidates;
mod collision_polygon;
mod fewer_sheets;
mod grid;
mod grid_fill;
mod raster;
mod separation;
mod shortening;
mod strip;
mod verification;

use std::collections::BTreeMap;

use kurbo::BezPath;

use super::{Effort, Search, Turns};
use crate::geometry;

pub use strip::{Strip, StripPiece, strip};

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

/// Packs the shapes into the containers, earlier ones first. A shape without a place gets none.
pub fn pack(
    containers: &[Container],
    shapes: &[Shape<'_>],
    spacing: f64,
    effort: Effort,
    search: &Search,
) -> Vec<Option<Placement>> {
    let spacing = spacing.max(0.0);
    let kinds = Kinds::of(shapes);
    let filled = grid::pack(containers, shapes, &kinds, spacing, effort, search);
    let better = fewer_sheets::better(containers, shapes, &kinds, spacing, effort, &filled, search);
    match better {
        Some(better) if verification::sound(containers, shapes, spacing, &better) => better,
        _ => filled,
    }
}

/// Which shapes are the same.
struct Kinds {
    /// The kind of each shape.
    of: Vec<usize>,
    /// The first shape of each kind.
    firsts: Vec<usize>,
}

impl Kinds {
    fn of(shapes: &[Shape<'_>]) -> Self {
        let mut known: BTreeMap<(String, &'static str), usize> = BTreeMap::new();
        let mut kinds = Self { of: Vec::with_capacity(shapes.len()), firsts: Vec::new() };
        for (index, shape) in shapes.iter().enumerate() {
            let key = (geometry::path_data(shape.outline, 5), shape.turns.name());
            let kind = *known.entry(key).or_insert_with(|| {
                kinds.firsts.push(index);
                kinds.firsts.len() - 1
            });
            kinds.of.push(kind);
        }
        kinds
    }
}
