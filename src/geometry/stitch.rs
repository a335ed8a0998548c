//! Lines of stitches along an outline: dashes or pin holes that close evenly.
//!
//! The line is parted at its corners. Each stretch between two corners holds a whole number of stitches,
//! drawn out or together by the same factor, so that a dash ends or a hole lies in every corner and no
//! odd gap is left; a line without corners is one stretch that closes on itself.

use kurbo::{BezPath, ParamCurveArclen, PathSeg, Shape};

use crate::geometry::arc::circle_path;
use crate::geometry::boolean::subpaths;
use crate::geometry::corner::is_corner;
use crate::geometry::walk::Walk;

/// Accuracy of measured lengths in inches; a thousandth of what is promised.
const ACCURACY: f64 = 1e-9;
/// Segments shorter than this in inches come from rounding and say nothing of the line's direction.
const DUST: f64 = 1e-4;
/// The most stitches on one piece: more than any machine pierces in an hour.
const MOST: f64 = 20_000.0;

/// What a stitch is. Lengths are inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stitch {
    /// Dashes this long with gaps between them.
    Dashes {
        /// Length of a dash.
        length: f64,
        /// Distance from one to the next.
        gap: f64,
    },
    /// Round holes.
    Holes {
        /// Their diameter.
        diameter: f64,
        /// From the middle of one to the middle of the next.
        apart: f64,
    },
}

impl Stitch {
    /// From the beginning of one stitch to that of the next.
    const fn pitch(self) -> f64 {
        match self {
            Self::Dashes { length, gap } => length + gap,
            Self::Holes { apart, .. } => apart,
        }
    }
}

/// Stitches along the contours of `path` (inches): open dashes, or closed circles. Nothing where there
/// would be more than 20 000, or where a stitch has no length.
pub fn stitches(path: &BezPath, stitch: Stitch) -> Option<BezPath> {
    let pitch = stitch.pitch();
    if !(pitch > 0.0 && pitch.is_finite()) || path.perimeter(1e-3) / pitch > MOST {
        return None;
    }
    let mut sewn = BezPath::new();
    for contour in subpaths(path) {
        for stretch in stretches(&contour) {
            stretch.sew(stitch, &mut sewn);
        }
    }
    Some(sewn)
}

/// A part of a contour from corner to corner.
#[derive(Debug, Default)]
struct Stretch {
    walk: Walk,
    /// Whether it is a whole contour without a corner.
    round: bool,
}

impl Stretch {
    fn of(segments: Vec<PathSeg>, round: bool) -> Self {
        Self { walk: Walk::of(segments, ACCURACY), round }
    }

    fn sew(&self, stitch: Stitch, sewn: &mut BezPath) {
        let whole = self.walk.length();
        if whole < DUST {
            return;
        }
        match stitch {
            Stitch::Dashes { length, gap } => {
                // Between corners there is one gap less than there are dashes.
                let spare = if self.round { 0.0 } else { gap };
                let count = ((whole + spare) / (length + gap)).round().max(1.0);
                let stretched = whole / (count * (length + gap) - spare);
                let mut index = 0.0;
                while index < count {
                    let from = index * (length + gap) * stretched;
                    let dash = self.walk.part(from, from + length * stretched);
                    sewn.extend(BezPath::from_path_segments(dash.into_iter()));
                    index += 1.0;
                }
            }
            Stitch::Holes { diameter, apart } => {
                let count = (whole / apart).round().max(1.0);
                let mut index = 0.0;
                while index < count {
                    // The hole at the end is the first of the next stretch.
                    if let Some(at) = self.walk.point(index * whole / count) {
                        sewn.extend(circle_path(at, diameter / 2.0));
                    }
                    index += 1.0;
                }
            }
        }
    }
}

/// A closed contour parted at its corners.
fn stretches(contour: &BezPath) -> Vec<Stretch> {
    let mut segments: Vec<PathSeg> =
        contour.segments().filter(|segment| segment.arclen(1e-6) > DUST).collect();
    let count = segments.len();
    let cornered =
        |index: &usize| is_corner(&segments[(index + count - 1) % count], &segments[*index]);
    let corners: Vec<usize> = (0..count).filter(cornered).collect();
    let Some(first) = corners.first() else {
        return vec![Stretch::of(segments, true)];
    };
    segments.rotate_left(*first);
    let mut parted: Vec<Vec<PathSeg>> = Vec::new();
    for (index, segment) in segments.into_iter().enumerate() {
        let begins = corners.binary_search(&((index + first) % count)).is_ok();
        match parted.last_mut() {
            Some(stretch) if !begins => stretch.push(segment),
            _ => parted.push(vec![segment]),
        }
    }
    parted.into_iter().map(|segments| Stretch::of(segments, false)).collect()
}
