//! How a piece lies on its page where that is not as it was cut.

use kurbo::{Affine, BezPath};
use serde::{Deserialize, Serialize};

use crate::geometry::{FLATTENING, Ring, path_data, readable, rings};
use crate::shapes::finished;

use super::{PATH_DECIMALS, rounded};

/// A folded or torn piece in its own frame, its box beginning at 0, 0: on the page it takes the place of the
/// outline that is cut.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Finished {
    /// Width and height.
    pub size: [f64; 2],
    /// All that is seen of it, flattened within 0.001 in.
    pub outline: Vec<Ring>,
    /// The same outline as SVG path data with its true curves.
    pub path: String,
    /// Its faces that can be seen, the lowest first.
    pub faces: Vec<Face>,
}

/// A part between folds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Face {
    /// SVG path data in the finished thing's frame.
    pub path: String,
    /// Where a place of the flat piece comes to lie: `[a, b, c, d, e, f]` of an SVG `matrix`.
    pub from: [f64; 6],
    /// Whether the side is seen that lay up when it was cut.
    pub up: bool,
    /// Whether stitches and words go on it.
    pub shows: bool,
}

impl Finished {
    /// A finished thing as the record keeps it.
    pub fn of(finished: &finished::Finished) -> Self {
        let flat = rings(&finished.outline, FLATTENING).into_iter();
        let faces = finished.faces.iter().map(|face| Face {
            path: path_data(&face.path, PATH_DECIMALS),
            from: face.from.as_coeffs().map(rounded),
            up: face.up,
            shows: face.shows,
        });
        Self {
            size: finished.size().map(rounded),
            outline: flat
                .map(|ring| ring.into_iter().map(|point| point.map(rounded)).collect())
                .collect(),
            path: path_data(&finished.outline, PATH_DECIMALS),
            faces: faces.collect(),
        }
    }

    /// The finished thing that the record tells of, if its paths can be read.
    pub fn read(&self) -> Option<finished::Finished> {
        let faces = self.faces.iter().map(|face| {
            Some(finished::Face {
                path: readable(&face.path)?,
                from: face.from(),
                up: face.up,
                shows: face.shows,
            })
        });
        let faces = faces.collect::<Option<_>>()?;
        Some(finished::Finished { outline: self.curves()?, faces, torn: None })
    }

    /// Its outline with its true curves.
    pub fn curves(&self) -> Option<BezPath> {
        readable(&self.path)
    }
}

impl Face {
    /// The move that brings the flat piece where this face lies.
    pub fn from(&self) -> Affine {
        Affine::new(self.from)
    }
}
