//! Folding: a thing cut with its other side up, and where paper lies once it is folded over.

use kurbo::{Affine, Point};

use crate::geometry::{Drawing, Fold};

use super::finished::Finished;

/// The same thing cut with its other side up: the flat piece mirrored left to right, each fold the other
/// way, the folded thing as it was.
pub fn other_side_up(flat: Drawing, folded: Finished) -> (Drawing, Finished) {
    let [width, _] = flat.size();
    let mirror = Affine::new([-1.0, 0.0, 0.0, 1.0, width, 0.0]);
    let Drawing { outline, mut lines } = flat;
    for line in &mut lines {
        line.path.apply_affine(mirror);
        line.fold = line.fold.map(|fold| match fold {
            Fold::Valley => Fold::Mountain,
            Fold::Mountain => Fold::Valley,
        });
    }
    let outline = (mirror * outline).reverse_subpaths();
    let Finished { outline: seen, mut faces, torn } = folded;
    for face in &mut faces {
        face.from *= mirror;
        face.up = !face.up;
    }
    (Drawing { outline, lines }, Finished { outline: seen, faces, torn })
}

/// The reflection in the line through two places: where paper lies once it is folded over.
pub fn over(from: Point, to: Point) -> Affine {
    Affine::reflect(from, to - from)
}
