//! Paths and polygons: boolean operations, offset, thin parts, bridges, hatching, stitches.
//!
//! Paths are closed [`kurbo::BezPath`]s in f64 inches, y down. This is the one room where curves are
//! united, offset, checked and flattened. It never knows what they show: shapes, letters and foreign
//! drawings are made from it in `shapes`, `lettering` and `svg_import`.

pub(crate) mod arc;
pub mod boolean;
pub mod bridges;
pub mod clip;
pub mod corner;
pub(crate) mod crossings;
pub mod hatch;
pub mod offset;
pub mod stitch;
pub mod thin;
pub mod walk;

use kurbo::{Affine, BezPath, Point, Rect, Shape};
use serde::{Deserialize, Serialize};

use crate::model::{self, Process};

/// A place that is kept as `[x, y]` in inches, as records and rings keep it, as the point that curves are
/// worked out with.
pub fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

/// A closed polygon ring of `[x, y]` in inches; the first point is not repeated.
pub type Ring = Vec<[f64; 2]>;

/// The largest side of a drawing in inches: ten feet, more than any roll of paper is wide.
pub const LARGEST: f64 = 120.0;

/// How far a flattened ring may stray from its curve, in inches (the record's promise).
pub const FLATTENING: f64 = 0.001;

impl From<model::Rect> for Rect {
    fn from(model::Rect { at: [left, top], size: [width, height] }: model::Rect) -> Self {
        Self::new(left, top, left + width, top + height)
    }
}

impl From<Rect> for model::Rect {
    fn from(rect: Rect) -> Self {
        Self { at: [rect.x0, rect.y0], size: [rect.width(), rect.height()] }
    }
}

/// A line on a piece other than its outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What is done along it.
    pub process: Process,
    /// Where; may be open.
    pub path: BezPath,
    /// Which way it is folded, for a score line of which that is known.
    pub fold: Option<Fold>,
}

/// Which way paper is folded, seen from the side that lies up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Fold {
    /// Its sides come up towards the eye.
    Valley,
    /// Its sides go down, away from the eye.
    Mountain,
}

/// An outline and the lines on it; the outline's bounding box starts at the origin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Closed contours: outside and holes.
    pub outline: BezPath,
    /// Score, pen and perforated lines.
    pub lines: Vec<Line>,
}

impl Drawing {
    /// An outline without lines, moved so that its bounding box starts at the origin.
    pub fn of(outline: BezPath) -> Self {
        Self { outline, lines: Vec::new() }.at_origin()
    }

    /// The drawing moved so that the outline's bounding box starts at the origin.
    pub fn at_origin(mut self) -> Self {
        let bounds = self.outline.bounding_box();
        let shift = Affine::translate((-bounds.x0, -bounds.y0));
        self.outline.apply_affine(shift);
        for line in &mut self.lines {
            line.path.apply_affine(shift);
        }
        self
    }

    /// Width and height of the outline in inches.
    pub fn size(&self) -> [f64; 2] {
        let bounds = self.outline.bounding_box();
        [bounds.width(), bounds.height()]
    }
}

/// The move that lays an outline down: turn about the origin by `turn` degrees clockwise, then bring
/// the top left of the turned bounding box to `at`.
pub fn laying(outline: &BezPath, turn: f64, at: [f64; 2]) -> Affine {
    let turned = turning(turn);
    let bounds = (turned * outline).bounding_box();
    Affine::translate((at[0] - bounds.x0, at[1] - bounds.y0)) * turned
}

/// A turn about the origin by degrees clockwise (y down); quarter turns are exact.
pub fn turning(turn: f64) -> Affine {
    let quarters = turn.rem_euclid(360.0) / 90.0;
    if quarters == quarters.round() {
        let [sine, cosine] = match quarters.round() {
            0.0 | 4.0 => [0.0, 1.0],
            1.0 => [1.0, 0.0],
            2.0 => [0.0, -1.0],
            _ => [-1.0, 0.0],
        };
        return Affine::new([cosine, sine, -sine, cosine, 0.0, 0.0]);
    }
    Affine::rotate(turn.to_radians())
}

/// A rectangle as a path, clockwise on the page from its top left.
pub fn rectangle(width: f64, height: f64) -> BezPath {
    Rect::new(0.0, 0.0, width, height).to_path(FLATTENING)
}

/// An outline with a window: a closed path inside it, run the other way round than the outside.
pub fn with_window(outline: &BezPath, window: &BezPath) -> BezPath {
    let clockwise = |path: &BezPath| kurbo::Shape::area(path) > 0.0;
    let mut whole = outline.clone();
    if clockwise(window) == clockwise(outline) {
        whole.extend(window.reverse_subpaths());
    } else {
        whole.extend(window.elements().iter().copied());
    }
    whole
}

/// Path data read back, if there is anything finite in it.
pub fn readable(path: &str) -> Option<BezPath> {
    let path = BezPath::from_svg(path).ok()?;
    (path.segments().next().is_some() && path.is_finite()).then_some(path)
}

/// Polygons as a path, if there is anything finite in them.
pub fn from_rings(rings: &[Ring]) -> Option<BezPath> {
    let mut path = BezPath::new();
    for ring in rings {
        let mut points = ring.iter().copied().map(point);
        let Some(first) = points.next() else { continue };
        path.move_to(first);
        points.for_each(|point| path.line_to(point));
        path.close_path();
    }
    (!path.elements().is_empty() && path.is_finite()).then_some(path)
}

/// The rings of a path within `tolerance`, the largest (the outside) first, the rest in path order.
pub fn rings(path: &BezPath, tolerance: f64) -> Vec<Ring> {
    let mut rings: Vec<Ring> = Vec::new();
    kurbo::flatten(path, tolerance, |element| match element {
        kurbo::PathEl::MoveTo(point) => rings.push(vec![[point.x, point.y]]),
        kurbo::PathEl::LineTo(point) => {
            if let Some(ring) = rings.last_mut() {
                ring.push([point.x, point.y]);
            }
        }
        kurbo::PathEl::QuadTo(..) | kurbo::PathEl::CurveTo(..) | kurbo::PathEl::ClosePath => {}
    });
    for ring in &mut rings {
        ring.dedup();
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
    }
    rings.retain(|ring| ring.len() > 2);
    let outside = (0..rings.len()).max_by(|&one, &other| {
        ring_area(&rings[one])
            .abs()
            .total_cmp(&ring_area(&rings[other]).abs())
            .then(other.cmp(&one))
    });
    if let Some(outside) = outside {
        rings[..=outside].rotate_right(1);
    }
    rings
}

/// The signed area of a ring: positive when clockwise on the page (y down).
pub fn ring_area(ring: &Ring) -> f64 {
    let mut doubled = 0.0;
    for (index, point) in ring.iter().enumerate() {
        let next = ring[(index + 1) % ring.len()];
        doubled += point[0] * next[1] - next[0] * point[1];
    }
    doubled / 2.0
}

/// Path data for an SVG `d` attribute with `decimals` decimals, absolute, curves as curves.
pub fn path_data(path: &BezPath, decimals: usize) -> String {
    let mut data = String::new();
    let point = |data: &mut String, letter: &str, points: &[Point]| {
        data.push_str(letter);
        for (index, point) in points.iter().enumerate() {
            if index > 0 {
                data.push(' ');
            }
            data.push_str(&number(point.x, decimals));
            data.push(' ');
            data.push_str(&number(point.y, decimals));
        }
    };
    for element in path.elements() {
        match *element {
            kurbo::PathEl::MoveTo(to) => point(&mut data, "M", &[to]),
            kurbo::PathEl::LineTo(to) => point(&mut data, "L", &[to]),
            kurbo::PathEl::QuadTo(one, to) => point(&mut data, "Q", &[one, to]),
            kurbo::PathEl::CurveTo(one, two, to) => point(&mut data, "C", &[one, two, to]),
            kurbo::PathEl::ClosePath => data.push('Z'),
        }
    }
    data
}

/// A number for a file: at most `decimals` decimals, no trailing zeros, no `-0`.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
