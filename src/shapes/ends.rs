//! Shapes whose ends make them what they are: tags and banners.

use crate::model::Fault;
use kurbo::{BezPath, Point};

use super::{Corner, LEAST_PAPER, SLACK, check_size, cornered, holds, shown};
use crate::geometry::Drawing;
use crate::geometry::arc::{circle_path, line};

/// Paper between a tag's top edge and its hole, in inches, unless the hole is larger.
const TAG_RIM: f64 = 3.0 / 16.0;

/// How far the hole moves down at a time, in inches, until the shoulders leave it enough paper.
const TAG_STEP: f64 = 1.0 / 32.0;

/// The end of a banner. Depths are inches.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum End {
    /// Cut straight.
    #[default]
    Straight,
    /// A notch this deep: a swallow's tail.
    Dovetail(f64),
    /// A point this long.
    Point(f64),
}

impl End {
    const fn depth(self) -> f64 {
        match self {
            Self::Straight => 0.0,
            Self::Dovetail(depth) | Self::Point(depth) => depth,
        }
    }

    /// How far the corners and the middle of the end lie inside the banner's length.
    const fn insets(self) -> [f64; 2] {
        match self {
            Self::Straight => [0.0, 0.0],
            Self::Dovetail(depth) => [0.0, depth],
            Self::Point(depth) => [depth, 0.0],
        }
    }
}

/// A tag of `width` by `height` inches with shaped shoulders at the top and a hole of
/// `hole_diameter` inches between them; 0 for no hole.
pub fn tag(
    width: f64,
    height: f64,
    shoulder: Corner,
    hole_diameter: f64,
) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    shoulder.check((width / 2.0).min(height))?;
    let mut path = cornered(width, height, [shoulder, shoulder, Corner::Square, Corner::Square]);
    if hole_diameter != 0.0 {
        check_size("diameter of the hole", hole_diameter)?;
        let centre = hole_place(&path, width, height, hole_diameter)?;
        path.extend(circle_path(centre, hole_diameter / 2.0).reverse_subpaths());
    }
    Ok(Drawing::of(path))
}

/// The highest place for the hole that leaves paper all round it.
fn hole_place(path: &BezPath, width: f64, height: f64, diameter: f64) -> Result<Point, Fault> {
    let radius = diameter / 2.0;
    let mut down = radius + TAG_RIM.max(radius);
    while 2.0 * radius + 2.0 * LEAST_PAPER <= width + SLACK && down <= height - radius - LEAST_PAPER
    {
        let centre = Point::new(width / 2.0, down);
        if holds(path, &circle_path(centre, radius + LEAST_PAPER)) {
            return Ok(centre);
        }
        down += TAG_STEP;
    }
    Err(Fault::new(
        format!("a hole of {} in leaves too little paper round it", shown(diameter)),
        "make the hole smaller or the tag wider",
    ))
}

/// A banner of `width` by `height` inches over all, lying on its side, with an end at either side.
pub fn banner(width: f64, height: f64, left: End, right: End) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    for depth in [left.depth(), right.depth()] {
        if !depth.is_finite() || depth < 0.0 {
            return Err(Fault::new(
                format!("an end {} in deep can't be cut", shown(depth)),
                "give the end a depth of 0 or more",
            ));
        }
    }
    let ends = left.depth() + right.depth();
    if ends > 0.0 && ends > width - LEAST_PAPER + SLACK {
        return Err(Fault::new(
            format!("ends {} in deep leave nothing of {} in", shown(ends), shown(width)),
            format!("make both together {} in or less", shown((width - LEAST_PAPER).max(0.0))),
        ));
    }
    let [left_corner, left_middle] = left.insets();
    let [right_corner, right_middle] = right.insets();
    let middle = height / 2.0;
    let mut path = BezPath::new();
    line(&mut path, Point::new(left_corner, 0.0));
    line(&mut path, Point::new(width - right_corner, 0.0));
    if right.depth() > 0.0 {
        line(&mut path, Point::new(width - right_middle, middle));
    }
    line(&mut path, Point::new(width - right_corner, height));
    line(&mut path, Point::new(left_corner, height));
    if left.depth() > 0.0 {
        line(&mut path, Point::new(left_middle, middle));
    }
    path.close_path();
    Ok(Drawing::of(path))
}
