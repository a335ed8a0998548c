//! How a piece that is cut flat looks once it is folded and lies on its page.
//!
//! The parts between folds are faces. Each lies somewhere in the folded thing, reached by reflections in
//! the folds, and shows the side that lay up when it was cut or the other one.

use kurbo::{Affine, BezPath, Point, Shape};

use crate::geometry::{Drawing, Fold};

/// A folded thing; its bounding box starts at the origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Folded {
    /// All that is seen of it, as one closed contour.
    pub outline: BezPath,
    /// Its faces that can be seen, the lowest first.
    pub faces: Vec<Face>,
}

/// A part between folds.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Its outline in the folded thing.
    pub path: BezPath,
    /// Where a place of the flat piece comes to lie.
    pub from: Affine,
    /// Whether the side is seen that lay up when it was cut.
    pub up: bool,
    /// Whether it is one of those that the thing shows, on which stitches and words go; what is only seen
    /// between others is not.
    pub shows: bool,
}

impl Folded {
    /// One face, which is all that is seen: `path`, whose top left lay at `at` on the flat piece.
    pub fn one(path: BezPath, at: [f64; 2]) -> Self {
        let from = Affine::translate((-at[0], -at[1]));
        Self { outline: path.clone(), faces: vec![Face { path, from, up: true, shows: true }] }
    }

    /// Width and height in inches.
    pub fn size(&self) -> [f64; 2] {
        let bounds = self.outline.bounding_box();
        [bounds.width(), bounds.height()]
    }

    /// The faces that show what is drawn on the flat piece, each where it lies on that.
    pub fn drawn_on(&self) -> Vec<(&Face, BezPath)> {
        let drawn = self.faces.iter().filter(|face| face.shows && face.up);
        drawn.map(|face| (face, face.flat())).collect()
    }
}

impl Face {
    /// Where it lies on the flat piece, clockwise as any outline.
    pub fn flat(&self) -> BezPath {
        let flat = self.from.inverse() * &self.path;
        if flat.area() < 0.0 { flat.reverse_subpaths() } else { flat }
    }

    /// Whether what is drawn on it stands upright and isn't mirrored.
    pub fn is_upright(&self) -> bool {
        let [a, b, c, d, ..] = self.from.as_coeffs();
        (a - 1.0).abs() + b.abs() + c.abs() + (d - 1.0).abs() < 1e-9
    }
}

/// The same thing cut with its other side up: the flat piece mirrored left to right, each fold the other
/// way, the folded thing as it was.
pub fn other_side_up(flat: Drawing, folded: Folded) -> (Drawing, Folded) {
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
    let Folded { outline: seen, mut faces } = folded;
    for face in &mut faces {
        face.from *= mirror;
        face.up = !face.up;
    }
    (Drawing { outline, lines }, Folded { outline: seen, faces })
}

/// The reflection in the line through two places: where paper lies once it is folded over.
pub fn over(from: Point, to: Point) -> Affine {
    Affine::reflect(from, to - from)
}
