//! What words stand on: a straight line, a circle, or a drawn path.

use kurbo::{Affine, BezPath, ParamCurveArclen, PathSeg, Point, Vec2};

use super::WordError;
use crate::geometry::walk::Walk;
use crate::model::Side;

/// How exact lengths along a path are, in inches.
const LENGTH_ACCURACY: f64 = 1e-6;
/// The widest angle that words may take on a circle, in degrees: more, and the last letter meets the
/// first.
pub const WIDEST_ANGLE: f64 = 355.0;

/// What words stand on; lengths in inches.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Baseline {
    /// A straight line.
    #[default]
    Straight,
    /// A circle. Further lines stand on circles about the same centre.
    Circle {
        /// Its radius.
        radius: f64,
        /// Which side.
        side: Side,
    },
    /// A circle on which the words take this angle in degrees.
    Angle {
        /// From the first letter to the last.
        degrees: f64,
        /// Which side.
        side: Side,
    },
    /// A path, from its start.
    Along(BezPath),
}

/// A baseline ready to place letters on.
pub(super) enum PlacedBaseline {
    Straight { down: f64 },
    Circle { radius: f64, measured: f64, side: Side, middle: f64 },
    Along { path: Walk, stops: Stops },
}

impl PlacedBaseline {
    /// The move that brings a letter, whose advance is centred `at` along a straight baseline, to its
    /// place: its centre on the baseline, turned along it.
    pub fn place(&self, at: f64) -> Affine {
        let (to, turn) = match self {
            Self::Straight { down } => return Affine::translate((0.0, *down)),
            Self::Circle { radius, measured, side, middle } => {
                let angle = (at - middle) / measured;
                match side {
                    Side::Over => (Vec2::new(radius * angle.sin(), -radius * angle.cos()), angle),
                    Side::Under => (Vec2::new(radius * angle.sin(), radius * angle.cos()), -angle),
                }
            }
            Self::Along { path, stops } => {
                let (point, along) = self::at(path, stops.along(at));
                (point.to_vec2(), along.y.atan2(along.x))
            }
        };
        Affine::translate(to) * Affine::rotate(turn) * Affine::translate((-at, 0.0))
    }
}

/// The radius of a circle for a line, `down` below the first.
pub(super) fn radius_of_line(radius: f64, side: Side, down: f64) -> Result<f64, WordError> {
    let own = match side {
        Side::Over => radius - down,
        Side::Under => radius + down,
    };
    if own > 0.0 {
        return Ok(own);
    }
    Err(WordError::new(
        "the circle is too small for that many lines",
        "write a larger radius, a smaller leading, or fewer lines",
    ))
}

/// The radius of the circle along which letters are spaced: the baseline's where they spread outwards;
/// the tops' of small letters where they lean together, so that none are closer than on a straight
/// line. No less than half the baseline's.
pub(super) fn measured_radius(radius: f64, side: Side, x_height: f64) -> f64 {
    match side {
        Side::Over => radius,
        Side::Under => (radius - x_height).max(radius / 2.0),
    }
}

/// Refuses words that would meet their own beginning.
pub(super) fn fits_round(width: f64, radius: f64) -> Result<(), WordError> {
    let round = radius * WIDEST_ANGLE.to_radians();
    if width <= round {
        return Ok(());
    }
    Err(WordError::new(
        format!("the words are {width:.2} in long, and the circle only {round:.2} in round"),
        "write a larger radius, or make the words smaller",
    ))
}

/// How far apart places on a path are worked out, in inches.
const STOP: f64 = 0.02;
/// The most that letters are spread where a path closes in on them.
const MOST_SPREAD: f64 = 3.0;

/// Lengths along a path at even steps of a straight baseline. Where the path closes in on the letters
/// they are spread, so that small letters' tops are no closer than on a straight line; where it opens,
/// their feet are spaced as usual.
pub(super) struct Stops(Vec<f64>);

impl Stops {
    /// Stops for words `width` inches long from a place on a path.
    pub fn of(path: &Walk, from: f64, width: f64, x_height: f64) -> Self {
        let mut stops = vec![from];
        let mut along = from;
        let mut walked = 0.0;
        while walked < width {
            let reach = x_height.max(STOP) / 2.0;
            let (_, before) = at(path, along - reach);
            let (_, after) = at(path, along + reach);
            // A turn against the clock has the letters on its inside (y down).
            let turn = -before.cross(after).atan2(before.dot(after));
            let closing = (turn / (2.0 * reach) * x_height).max(0.0);
            along += STOP * (1.0 / (1.0 - closing).max(1.0 / MOST_SPREAD));
            walked += STOP;
            stops.push(along);
        }
        Self(stops)
    }

    /// How much of the path words `width` inches long take.
    pub fn length(&self, width: f64) -> f64 {
        self.along(width) - self.along(0.0)
    }

    /// The length along the path at a place on the straight baseline.
    fn along(&self, at: f64) -> f64 {
        let steps = at / STOP;
        let last = self.0.len().saturating_sub(2);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small, positive count"
        )]
        let index = (steps.max(0.0) as usize).min(last);
        let number = u32::try_from(index).map_or(0.0, f64::from);
        match (self.0.get(index), self.0.get(index + 1)) {
            (Some(one), Some(next)) => one + (next - one) * (steps - number),
            _ => self.0.first().map_or(at, |first| first + at),
        }
    }
}

/// The first subpath of a path, to walk along.
pub(super) fn walk_along(path: &BezPath) -> Walk {
    let longer = |segment: &PathSeg| segment.arclen(LENGTH_ACCURACY) > LENGTH_ACCURACY;
    Walk::of(path.segments().filter(longer), LENGTH_ACCURACY)
}

/// The point at a length, and the direction there; beyond the ends, straight on.
fn at(walk: &Walk, along: f64) -> (Point, Vec2) {
    let Some((point, direction)) = walk.point(along).zip(walk.direction(along)) else {
        return (Point::new(along, 0.0), Vec2::new(1.0, 0.0));
    };
    let beyond = along.min(0.0) + (along - walk.length()).max(0.0);
    (point + direction * beyond, direction)
}
