//! The shapes a paper-crafter cuts: panels with fancy corners, circles, stars, hearts, tags, banners.
//!
//! In come sizes in inches, out come [`Drawing`]s at the origin, outsides clockwise on the page
//! (y down), holes opposite, curves as curves. A size that can't be cut comes back as a
//! [`Fault`] that says what to change.

mod edged;
mod ends;
mod faces;
pub mod finished;
mod folded;
pub mod folding;
mod sky;
mod torn;

use crate::model::Fault;
use std::f64::consts::{PI, TAU};

use kurbo::{Affine, BezPath, Point, Shape, Vec2};

use crate::geometry::arc::{arc, circle_path, line};
use crate::geometry::{Drawing, LARGEST};

pub use crate::model::{Notches, Pennant};
pub use edged::{Windows, arrow, frame, pennants, plaque, scallop_edge, ticket};
pub use ends::{End, banner, tag};
pub use faces::{
    folded_accordion, folded_envelope, folded_gatefold, folded_photo_corner, folded_pocket,
    folded_tent,
};
pub use folded::{
    Envelope, SCORE_STOP, accordion, envelope, gatefold, photo_corner, pocket, step, tent,
};
pub use sky::{cloud, leaf, sunburst};
pub use torn::{torn, torn_face};

/// The least paper left between two cuts, in inches: less tears when the sheet is weeded.
const LEAST_PAPER: f64 = 1.0 / 16.0;

/// The most corners of a polygon, points of a star or bumps of a scallop.
const MOST_CORNERS: u32 = 360;

/// How far a scallop's bump turns, in radians: a little under half a turn (149 degrees), since fully
/// round bumps meet in slits that tear.
const BUMP: f64 = 2.6;

/// Rounding of decimal inches must not turn a corner of exactly half a side away.
const SLACK: f64 = 1e-9;

/// The corners of a rectangle. Sizes are inches.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Corner {
    /// Left as it is.
    #[default]
    Square,
    /// Rounded with this radius.
    Round(f64),
    /// Cut straight across, this far from the corner along both sides.
    Clipped(f64),
    /// A quarter circle of this radius taken out.
    Notched(f64),
}

impl Corner {
    /// How much of each side the corner takes.
    const fn reach(self) -> f64 {
        match self {
            Self::Square => 0.0,
            Self::Round(reach) | Self::Clipped(reach) | Self::Notched(reach) => reach,
        }
    }

    /// Refused if it is negative or takes more than `room` inches of a side.
    fn check(self, room: f64) -> Result<(), Fault> {
        let reach = self.reach();
        if !reach.is_finite() || reach < 0.0 {
            return Err(Fault::new(
                format!("a corner of {} in can't be cut", shown(reach)),
                "give the corner a size of 0 or more",
            ));
        }
        let room = if matches!(self, Self::Notched(_)) { room - LEAST_PAPER / 2.0 } else { room };
        if reach > room + SLACK {
            return Err(Fault::new(
                format!("a corner of {} in is too large for the shape", shown(reach)),
                format!("make it {} in or less", shown(room.max(0.0))),
            ));
        }
        Ok(())
    }
}

/// A rectangle of `width` by `height` inches with four equal corners.
pub fn rectangle(width: f64, height: f64, corner: Corner) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    corner.check(width.min(height) / 2.0)?;
    Ok(Drawing::of(cornered(width, height, [corner; 4])))
}

/// An ellipse of `width` by `height` inches.
pub fn ellipse(width: f64, height: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    let round = circle_path(Point::new(0.5, 0.5), 0.5);
    Ok(Drawing::of(Affine::scale_non_uniform(width, height) * round))
}

/// A circle of `diameter` inches.
pub fn circle(diameter: f64) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    let radius = diameter / 2.0;
    Ok(Drawing::of(circle_path(Point::new(radius, radius), radius)))
}

/// A ring of `diameter` inches outside whose band is `width` inches wide.
pub fn ring(diameter: f64, width: f64) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    check_size("width of the band", width)?;
    let radius = diameter / 2.0;
    if width >= radius {
        return Err(Fault::new(
            format!("a band of {} in leaves no opening", shown(width)),
            format!("make the band narrower than {} in, or cut a circle", shown(radius)),
        ));
    }
    let centre = Point::new(radius, radius);
    let mut path = circle_path(centre, radius);
    path.extend(circle_path(centre, radius - width).reverse_subpaths());
    Ok(Drawing::of(path))
}

/// A regular polygon whose corners lie on a circle of `diameter` inches, one of them at the top.
pub fn polygon(sides: u32, diameter: f64) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    check_corners("sides", sides)?;
    let radius = diameter / 2.0;
    let step = TAU / f64::from(sides);
    let corners = (0..sides).map(|index| on_circle(f64::from(index) * step, radius));
    Ok(Drawing::of(closed_lines(corners)))
}

/// A star whose points lie on a circle of `diameter` inches, one of them at the top, with notches
/// `depth` inches deep.
pub fn star(points: u32, diameter: f64, depth: f64) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    check_size("depth", depth)?;
    check_corners("points", points)?;
    let radius = diameter / 2.0;
    if depth > radius - LEAST_PAPER {
        return Err(Fault::new(
            format!("notches of {} in cut the star apart", shown(depth)),
            format!("make the depth {} in or less", shown((radius - LEAST_PAPER).max(0.0))),
        ));
    }
    let step = PI / f64::from(points);
    let corners = (0..2 * points).map(|index| {
        let reach = if index % 2 == 0 { radius } else { radius - depth };
        on_circle(f64::from(index) * step, reach)
    });
    Ok(Drawing::of(closed_lines(corners)))
}

/// A heart of `width` by `height` inches.
pub fn heart(width: f64, height: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    // Half a heart on a square of side 1, from the cleft to the tip; the other half is its mirror.
    let half = [
        [(0.5, 0.26), (0.54, 0.09), (0.64, 0.0), (0.76, 0.0)],
        [(0.76, 0.0), (0.9, 0.0), (1.0, 0.115), (1.0, 0.285)],
        [(1.0, 0.285), (1.0, 0.54), (0.77, 0.74), (0.5, 1.0)],
    ];
    let at = |(x, y): (f64, f64)| Point::new(x * width, y * height);
    let mirrored = |(x, y): (f64, f64)| at((1.0 - x, y));
    let mut path = BezPath::new();
    path.move_to(at(half[0][0]));
    for [_, one, two, to] in half {
        path.curve_to(at(one), at(two), at(to));
    }
    for [from, one, two, _] in half.into_iter().rev() {
        path.curve_to(mirrored(two), mirrored(one), mirrored(from));
    }
    path.close_path();
    Ok(Drawing::of(path))
}

/// A circle of `diameter` inches over all whose edge is a row of bumps, nearly half round.
pub fn scallop_circle(diameter: f64, scallops: u32) -> Result<Drawing, Fault> {
    check_size("diameter", diameter)?;
    check_corners("scallops", scallops)?;
    let half_step = PI / f64::from(scallops);
    let half_bump = BUMP / 2.0;
    let valley = diameter / 2.0 / (half_step.cos() + half_step.sin() * (half_bump / 2.0).tan());
    let half_width = valley * half_step.sin();
    if 2.0 * half_width < LEAST_PAPER {
        return Err(Fault::new(
            format!("{scallops} scallops on {} in are too small to cut", shown(diameter)),
            "use fewer scallops or a larger circle",
        ));
    }
    let bump = half_width / half_bump.sin();
    let centres = diameter / 2.0 - bump;
    let mut path = BezPath::new();
    path.move_to(on_circle(-half_step, valley));
    for index in 0..scallops {
        let turn = 2.0 * half_step * f64::from(index);
        arc(&mut path, on_circle(turn, centres), bump, turn - PI / 2.0 - half_bump, BUMP);
    }
    path.close_path();
    Ok(Drawing::of(path))
}

/// A rectangle from its top left, with its corners from the top left clockwise.
fn cornered(width: f64, height: f64, corners: [Corner; 4]) -> BezPath {
    let points = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(Point::from);
    let along = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)].map(Vec2::from);
    let mut path = BezPath::new();
    for (index, corner) in corners.into_iter().enumerate() {
        let (leaving, coming) = (along[index], along[(index + 3) % 4]);
        let reach = corner.reach();
        let (begin, end) = (points[index] - coming * reach, points[index] + leaving * reach);
        line(&mut path, begin);
        match corner {
            Corner::Square => {}
            Corner::Clipped(_) => line(&mut path, end),
            Corner::Round(radius) => {
                let centre = points[index] - coming * radius + leaving * radius;
                arc(&mut path, centre, radius, (-leaving).atan2(), PI / 2.0);
            }
            Corner::Notched(radius) => {
                arc(&mut path, points[index], radius, (-coming).atan2(), -PI / 2.0);
            }
        }
    }
    path.close_path();
    path
}

/// A point on a circle round the origin, by the angle clockwise from the top.
fn on_circle(turn: f64, radius: f64) -> Point {
    Point::new(radius * turn.sin(), -radius * turn.cos())
}

fn closed_lines(points: impl Iterator<Item = Point>) -> BezPath {
    let mut path = BezPath::new();
    for point in points {
        line(&mut path, point);
    }
    path.close_path();
    path
}

fn check_size(name: &str, size: f64) -> Result<(), Fault> {
    if !size.is_finite() || size <= 0.0 {
        let message = format!("the {name} is {} in", shown(size));
        return Err(Fault::new(message, format!("give a {name} greater than 0")));
    }
    if size > LARGEST {
        let message = format!("the {name} of {} in is larger than any paper", shown(size));
        return Err(Fault::new(message, format!("give a {name} of at most {LARGEST} in")));
    }
    Ok(())
}

fn check_corners(name: &str, count: u32) -> Result<(), Fault> {
    if (3..=MOST_CORNERS).contains(&count) {
        return Ok(());
    }
    Err(Fault::new(
        format!("a shape can't have {count} {name}"),
        format!("give 3 to {MOST_CORNERS} {name}"),
    ))
}

/// A number of inches for a message.
fn shown(inches: f64) -> String {
    crate::geometry::number(inches, 4)
}

/// Whether a path holds all of another, but for dust.
fn holds(path: &BezPath, other: &BezPath) -> bool {
    crate::geometry::boolean::subtract(other, path).area() < 1e-6
}
