//! How a piece looks once it lies on its page, where that isn't as it was cut: folded, or torn to its size.
//!
//! The parts between folds are faces; a torn piece has one. Each lies somewhere in the finished thing,
//! reached by reflections in the folds, and shows the side that lay up when it was cut or the other one.

use kurbo::{Affine, BezPath, Shape};

use crate::model::Color;
use crate::model::length::Length;

/// A finished thing; its bounding box starts at the origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Finished {
    /// All that is seen of it, as one closed contour.
    pub outline: BezPath,
    /// Its faces that can be seen, the lowest first.
    pub faces: Vec<Face>,
    /// What is torn off it, if it is torn and not folded.
    pub torn: Option<Torn>,
}

/// Paper that is torn off a piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Torn {
    /// How much is torn off at the top, right, bottom and left; nothing where that edge isn't torn.
    pub off: [Option<Length>; 4],
    /// The colour of the paper's core, if it shows between the outline and the face.
    pub core: Option<Color>,
}

/// A part between folds, or what is left of a torn piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Its outline in the finished thing.
    pub path: BezPath,
    /// Where a place of the flat piece comes to lie.
    pub from: Affine,
    /// Whether the side is seen that lay up when it was cut.
    pub up: bool,
    /// Whether it is one of those that the thing shows, on which stitches and words go; what is only seen
    /// between others is not.
    pub shows: bool,
}

impl Finished {
    /// One face, which is all that is seen: `path`, whose top left lay at `at` on the flat piece.
    pub fn one(path: BezPath, at: [f64; 2]) -> Self {
        let from = Affine::translate((-at[0], -at[1]));
        let faces = vec![Face { path: path.clone(), from, up: true, shows: true }];
        Self { outline: path, faces, torn: None }
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
