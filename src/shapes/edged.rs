//! Rectangles whose edges make them what they are: scalloped edges, tickets, pennant strings, arrows,
//! plaques, frames.

use crate::model::Fault;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, PI};

use kurbo::{Affine, BezPath, Point, Vec2};

use super::{BUMP, Corner, LEAST_PAPER, MOST_CORNERS, SLACK, check_size, cornered, shown};
use crate::geometry::Drawing;
use crate::geometry::arc::{arc, line};
use crate::model::{Notches, Pennant};

/// The most windows of a frame along one side.
const MOST_WINDOWS: u32 = 24;

/// How far a plaque's side turns out to its point, in radians: the point is 60 degrees wide.
const BEAK: f64 = FRAC_PI_3;

/// A rectangle of `width` by `height` inches over all whose chosen edges (top, right, bottom, left) are
/// rows of bumps about `bump` inches wide: as many whole ones as fit best.
pub fn scallop_edge(
    width: f64,
    height: f64,
    edges: [bool; 4],
    bump: f64,
) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("width of a scallop", bump)?;
    if bump < LEAST_PAPER {
        return Err(Fault::new(
            format!("scallops {} in wide are too small to cut", shown(bump)),
            "make them 1/16 in or wider",
        ));
    }
    // A bump is so many of its widths high.
    let rise = (BUMP / 4.0).tan() / 2.0;
    let [level, upright] = [(0, 2), (1, 3)].map(|(one, other)| {
        f64::from(u8::from(edges[one])) * rise + f64::from(u8::from(edges[other])) * rise
    });
    let across = fitting(width - upright * bump, bump);
    let down = fitting(height - level * bump, bump);
    // What is left inside the bumps, both ways: two linear equations.
    let (beside, above) = (upright / down, level / across);
    let inner_width = (width - beside * height) / (1.0 - beside * above);
    let inner_height = height - above * inner_width;
    if inner_width < LEAST_PAPER || inner_height < LEAST_PAPER {
        return Err(Fault::new(
            format!("scallops {} in wide leave nothing between them", shown(bump)),
            "make them smaller, or scallop fewer edges",
        ));
    }
    let counts = [across, down, across, down];
    let sides = [inner_width, inner_height, inner_width, inner_height];
    let along = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)].map(Vec2::from);
    let mut path = BezPath::new();
    let mut here = Point::ORIGIN;
    path.move_to(here);
    for side in 0..4 {
        let end = here + along[side] * sides[side];
        if edges[side] {
            let chord = sides[side] / counts[side];
            let radius = chord / 2.0 / (BUMP / 2.0).sin();
            let inward = along[(side + 1) % 4];
            let mut middle = 0.5;
            while middle < counts[side] {
                let centre =
                    here + along[side] * (middle * chord) + inward * (radius * (BUMP / 2.0).cos());
                arc(&mut path, centre, radius, (-inward).atan2() - BUMP / 2.0, BUMP);
                middle += 1.0;
            }
        } else {
            line(&mut path, end);
        }
        here = end;
    }
    path.close_path();
    Ok(Drawing::of(path))
}

/// The whole number of bumps that fits a side best, 1 at least.
fn fitting(side: f64, bump: f64) -> f64 {
    (side / bump).round().max(1.0)
}

/// A ticket of `width` by `height` inches, lying on its side, with notches of `radius` inches.
pub fn ticket(width: f64, height: f64, notches: Notches, radius: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("radius of a notch", radius)?;
    let room = ((height - 2.0 * LEAST_PAPER) / 2.0).min((width - LEAST_PAPER) / 2.0).max(0.0);
    if radius > room + SLACK {
        return Err(Fault::new(
            format!("a notch of {} in is too large for the ticket", shown(radius)),
            format!("make its radius {} in or less", shown(room)),
        ));
    }
    if notches == Notches::Corners {
        return Ok(Drawing::of(cornered(width, height, [Corner::Notched(radius); 4])));
    }
    let middle = height / 2.0;
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.line_to((width, 0.0));
    path.line_to((width, middle - radius));
    arc(&mut path, Point::new(width, middle), radius, -FRAC_PI_2, -PI);
    path.line_to((width, height));
    path.line_to((0.0, height));
    path.line_to((0.0, middle + radius));
    arc(&mut path, Point::new(0.0, middle), radius, FRAC_PI_2, -PI);
    path.close_path();
    Ok(Drawing::of(path))
}

/// A string of `count` pennants on one band: `width` by `height` inches over all, the band `band` inches
/// high, `gap` inches between pennants.
pub fn pennants(
    width: f64,
    height: f64,
    (count, form): (u32, Pennant),
    band: f64,
    gap: f64,
) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("height of the band", band)?;
    if !(1..=MOST_CORNERS).contains(&count) {
        return Err(Fault::new(
            format!("a string can't have {count} pennants"),
            format!("give 1 to {MOST_CORNERS} pennants"),
        ));
    }
    if !gap.is_finite() || gap < 0.0 {
        let message = format!("a gap of {} in can't be cut", shown(gap));
        return Err(Fault::new(message, "give a gap of 0 or more"));
    }
    let one = (width - f64::from(count - 1) * gap) / f64::from(count);
    if one < 4.0 * LEAST_PAPER {
        return Err(Fault::new(
            format!("{count} pennants on {} in are too narrow to cut", shown(width)),
            "use fewer pennants, a smaller gap or a longer string; each needs 1/4 in",
        ));
    }
    let depth = if form == Pennant::Dovetail { one / 2.0 } else { 0.0 };
    if band < LEAST_PAPER || height - band - depth < LEAST_PAPER {
        return Err(Fault::new(
            format!("a band of {} in doesn't suit a height of {} in", shown(band), shown(height)),
            "keep 1/16 in or more for the band and for what hangs on it",
        ));
    }
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    path.line_to((width, 0.0));
    for index in (0..count).rev() {
        let left = f64::from(index) * (one + gap);
        line(&mut path, Point::new(left + one, band));
        match form {
            Pennant::Point => path.line_to((left + one / 2.0, height)),
            Pennant::Dovetail => {
                path.line_to((left + one, height));
                path.line_to((left + one / 2.0, height - depth));
                path.line_to((left, height));
            }
        }
        line(&mut path, Point::new(left, band));
    }
    path.close_path();
    Ok(Drawing::of(path))
}

/// An arrow to the right, `width` by `height` inches over all; its head is `head` inches long, its shaft
/// `shaft` inches thick.
pub fn arrow(width: f64, height: f64, head: f64, shaft: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("length of the head", head)?;
    check_size("thickness of the shaft", shaft)?;
    if head > width - LEAST_PAPER + SLACK {
        return Err(Fault::new(
            format!("a head {} in long leaves no shaft", shown(head)),
            format!("make it {} in or less", shown((width - LEAST_PAPER).max(0.0))),
        ));
    }
    if shaft < LEAST_PAPER || shaft > height - 2.0 * LEAST_PAPER + SLACK {
        return Err(Fault::new(
            format!(
                "a shaft {} in thick doesn't suit an arrow {} in high",
                shown(shaft),
                shown(height)
            ),
            format!("make it 1/16 to {} in thick", shown((height - 2.0 * LEAST_PAPER).max(0.0))),
        ));
    }
    let [above, below] = [(height - shaft) / 2.0, f64::midpoint(height, shaft)];
    let neck = width - head;
    let points = [
        (0.0, above),
        (neck, above),
        (neck, 0.0),
        (width, height / 2.0),
        (neck, height),
        (neck, below),
        (0.0, below),
    ];
    Ok(Drawing::of(super::closed_lines(points.into_iter().map(Point::from))))
}

/// A plaque of `width` by `height` inches over all, its ends like curly brackets `depth` inches deep.
pub fn plaque(width: f64, height: f64, depth: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("depth", depth)?;
    // Half the depth is the corner's radius, the other half the way out to the point.
    let corner = depth / 2.0;
    let beak = corner / (1.0 - BEAK.cos());
    let room = (height / (1.0 + BEAK.sin() / (1.0 - BEAK.cos()))).min((width - LEAST_PAPER) / 2.0);
    if depth > room + SLACK {
        return Err(Fault::new(
            format!("brackets {} in deep are too large for the plaque", shown(depth)),
            format!("make the depth {} in or less", shown(room.max(0.0))),
        ));
    }
    let reach = beak * BEAK.sin();
    let middle = height / 2.0;
    let mut path = BezPath::new();
    path.move_to((depth, 0.0));
    line(&mut path, Point::new(width - depth, 0.0));
    arc(&mut path, Point::new(width - depth, corner), corner, -FRAC_PI_2, FRAC_PI_2);
    line(&mut path, Point::new(width - corner, middle - reach));
    arc(&mut path, Point::new(width - corner + beak, middle - reach), beak, PI, -BEAK);
    arc(&mut path, Point::new(width - corner + beak, middle + reach), beak, PI + BEAK, -BEAK);
    line(&mut path, Point::new(width - corner, height - corner));
    arc(&mut path, Point::new(width - depth, height - corner), corner, 0.0, FRAC_PI_2);
    line(&mut path, Point::new(depth, height));
    arc(&mut path, Point::new(depth, height - corner), corner, FRAC_PI_2, FRAC_PI_2);
    line(&mut path, Point::new(corner, middle + reach));
    arc(&mut path, Point::new(corner - beak, middle + reach), beak, 0.0, -BEAK);
    arc(&mut path, Point::new(corner - beak, middle - reach), beak, BEAK, -BEAK);
    line(&mut path, Point::new(corner, corner));
    arc(&mut path, Point::new(depth, corner), corner, PI, FRAC_PI_2);
    path.close_path();
    Ok(Drawing::of(path))
}

/// The windows of a frame: equal, in columns and rows, centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Windows {
    /// Width and height of one, in inches.
    pub size: [f64; 2],
    /// How many stand side by side.
    pub columns: u32,
    /// How many stand one below the other.
    pub rows: u32,
    /// Paper between two of them, in inches.
    pub gap: f64,
    /// Their corners.
    pub corner: Corner,
}

impl Windows {
    /// One window with square corners.
    pub const fn one(size: [f64; 2]) -> Self {
        Self { size, columns: 1, rows: 1, gap: 0.0, corner: Corner::Square }
    }
}

/// A frame of `width` by `height` inches with windows in its middle.
pub fn frame(width: f64, height: f64, corner: Corner, windows: Windows) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("width of the window", windows.size[0])?;
    check_size("height of the window", windows.size[1])?;
    for count in [windows.columns, windows.rows] {
        if !(1..=MOST_WINDOWS).contains(&count) {
            return Err(Fault::new(
                format!("a frame can't have {count} windows on a side"),
                format!("give 1 to {MOST_WINDOWS} columns and rows"),
            ));
        }
    }
    let counts = [windows.columns, windows.rows].map(f64::from);
    if counts != [1.0, 1.0] && (!windows.gap.is_finite() || windows.gap < LEAST_PAPER - SLACK) {
        return Err(Fault::new(
            format!("bars {} in wide between windows tear", shown(windows.gap)),
            "make the gap 1/16 in or more",
        ));
    }
    corner.check(width.min(height) / 2.0)?;
    windows.corner.check(windows.size[0].min(windows.size[1]) / 2.0)?;
    let bars = counts.map(|count| (count - 1.0) * windows.gap);
    let side = [
        (width - counts[0] * windows.size[0] - bars[0]) / 2.0,
        (height - counts[1] * windows.size[1] - bars[1]) / 2.0,
    ];
    let outside = cornered(width, height, [corner; 4]);
    let opening = cornered(windows.size[0], windows.size[1], [windows.corner; 4]);
    let mut path = outside.clone();
    let mut fits = side[0] + SLACK >= LEAST_PAPER && side[1] + SLACK >= LEAST_PAPER;
    for row in (0..windows.rows).map(f64::from) {
        for column in (0..windows.columns).map(f64::from) {
            let at = [column, row];
            let [left, top] =
                [0, 1].map(|axis| side[axis] + at[axis] * (windows.size[axis] + windows.gap));
            let opening = Affine::translate((left, top)) * &opening;
            // Only a window in a corner can come near a corner of the frame that is cut away.
            let last = [counts[0] - 1.0, counts[1] - 1.0];
            let cornering = [0, 1].iter().all(|axis| at[*axis] == 0.0 || at[*axis] == last[*axis]);
            if fits && corner != Corner::Square && cornering {
                fits = super::holds(&outside, &opening);
            }
            path.extend(opening.reverse_subpaths());
        }
    }
    if !fits {
        let [wide, high] = windows.size.map(shown);
        let many = counts[0] * counts[1];
        let what = if many > 1.0 {
            format!("{many} windows of {wide} x {high} in leave no frame")
        } else {
            format!("a window of {wide} x {high} in leaves no frame")
        };
        return Err(Fault::new(what, "keep 1/16 in or more of paper on every side of the windows"));
    }
    Ok(Drawing::of(path))
}
