//! The paper that lies on the machine's mat, and its own frame.

use kurbo::Affine;
use serde::{Deserialize, Serialize};

use super::{Rect, Sheet};

/// The paper that is loaded for the machine's work on a sheet, and when.
///
/// Its cut file, the strokes and the marks of its sheet are in its own frame: as it lies on the mat, from its
/// top left, y down.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OnMat {
    /// Its top left in sheet coordinates.
    pub at: [f64; 2],
    /// Its width and height on the sheet.
    pub size: [f64; 2],
    /// Degrees clockwise by which it is turned to lie on the mat: 0 or 90.
    pub turn: f64,
    /// How many of the sheet's trimmer cuts are made before.
    pub after: u32,
}

impl OnMat {
    /// Whether it lies turned.
    pub fn is_turned(&self) -> bool {
        self.turn != 0.0
    }

    /// Where it lies on the sheet.
    pub fn area(&self) -> Rect {
        Rect { at: self.at, size: self.size }
    }

    /// Width and height as it lies on the mat.
    pub fn lying(&self) -> [f64; 2] {
        let [width, height] = self.size;
        if self.is_turned() { [height, width] } else { [width, height] }
    }

    /// From sheet coordinates to its own frame.
    ///
    /// ```
    /// use cutleaf::record::OnMat;
    /// use kurbo::Point;
    /// // The left 12 x 4 of a sheet, turned: its lower left corner comes to the mat's corner.
    /// let paper = OnMat { at: [0.0, 8.0], size: [12.0, 4.0], turn: 90.0, after: 1 };
    /// assert_eq!(paper.onto_mat() * Point::new(0.0, 12.0), Point::ORIGIN);
    /// assert_eq!(paper.onto_mat() * Point::new(12.0, 8.0), Point::new(4.0, 12.0));
    /// ```
    pub fn onto_mat(&self) -> Affine {
        let [left, top] = self.at;
        let moved = Affine::translate((-left, -top));
        if self.is_turned() {
            Affine::new([0.0, 1.0, -1.0, 0.0, self.size[1], 0.0]) * moved
        } else {
            moved
        }
    }

    /// From its own frame to sheet coordinates.
    pub fn onto_sheet(&self) -> Affine {
        let [left, top] = self.at;
        let moved = Affine::translate((left, top));
        if self.is_turned() {
            moved * Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, self.size[1]])
        } else {
            moved
        }
    }
}

impl Sheet {
    /// The paper that is loaded: the whole sheet if nothing else is told.
    pub fn loaded(&self) -> OnMat {
        self.on_mat.unwrap_or(OnMat { size: self.size, ..OnMat::default() })
    }
}
