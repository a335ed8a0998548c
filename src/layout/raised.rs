//! Raised pieces: how many foam squares they stand on, of what size, and where these lie.
//!
//! Squares keep off the edge, so that nobody sees them. The first lie near the corners; then each next one
//! lies where it is farthest from all the others, until no place of the piece is far from one. Of three sizes
//! the largest is taken that holds the piece at several places.

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, Shape};

use crate::description::{Distance, Written};
use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::{FLATTENING, rectangle, rings};
use crate::model::Warning;
use crate::model::length::{Length, Units};

use super::blocks::{Block, Content, Part, Raised};
use super::hidden::Grid;
use super::reading::Reader;

/// Sides of foam squares: two that are sold, and what is cut from them for thin parts (common practice, no
/// source); with each the least number that holds a piece.
const SQUARES: [(Length, usize); 3] =
    [(Length::part(1, 2), 3), (Length::part(1, 4), 2), (Length::part(1, 8), 1)];
const METRIC_SQUARES: [(Length, usize); 3] = [
    (Length::part(12 * 10, 254), 3),
    (Length::part(6 * 10, 254), 2),
    (Length::part(3 * 10, 254), 1),
];
/// No place of a piece is farther from a square than that in inches, and than that share of the piece's
/// longer side, so that small pieces don't tip (common practice, no source).
const APART: f64 = 1.5;
const SHARE_APART: f64 = 0.35;
/// Distance of squares from the piece's edge in inches, for the two larger and for the smallest.
const OFF_THE_EDGE: [f64; 3] = [1.0 / 16.0, 1.0 / 16.0, 1.0 / 32.0];
/// Squares lie on a grid of this many inches; on small pieces on a finer one, on large ones on one so coarse
/// that it has no more cells than that.
const GRID: f64 = 1.0 / 16.0;
const FINE_GRID: f64 = 1.0 / 32.0;
const SMALL: f64 = 4.0;
const MOST_CELLS: f64 = 250_000.0;
/// A part of which more than that share lies on another of its element is glued flat on it.
const LIES_ON_ANOTHER: f64 = 0.5;
/// Squares under one piece at most.
const MOST_SQUARES: usize = 400;
/// What is raised is at most so many times as long as the longer side of the page: a strip runs over both
/// pages, and nothing else is longer.
const MOST_PAGES: i64 = 2;
/// The highest that a piece may be raised: an album with more in it does not close (common practice, no
/// source).
pub(super) const HIGHEST: Length = Length::part(1, 2);

/// How high an element is raised; nothing where that isn't written, or can't be done.
pub(super) fn height(
    reader: &mut Reader<'_>,
    written: Option<&Written<Distance>>,
    gut: Option<bool>,
) -> Option<Length> {
    let written = written?;
    let height = reader.distance(Some(written), Length::ZERO, "height");
    if gut == Some(true) {
        let message = "a raised piece stands on its middle, which can't be cut out then";
        reader.problem(written.place, message, "leave `gut` or `raised` out");
        return None;
    }
    if height > HIGHEST {
        let message =
            format!("raised by `{}`, a piece keeps an album from closing", &*written.text);
        let help =
            format!("write {} or less; foam is 1/16 or 1/8 in high", HIGHEST.show(reader.units));
        reader.problem(written.place, message, help);
        return None;
    }
    (height > Length::ZERO).then_some(height)
}

/// Lays foam under every raised element.
pub(super) fn add(reader: &mut Reader<'_>, blocks: &mut [Block]) {
    for block in blocks {
        let Some(height) = block.raised else { continue };
        let most = reader.page.width.max(reader.page.height) * MOST_PAGES;
        if block.size.width.max(block.size.height) > most {
            let message = format!(
                "`{}` is {}, far too large to be raised on a page",
                block.id,
                block.size.show(reader.units)
            );
            reader.problem(block.place, message, "write a smaller size, and check its unit");
            continue;
        }
        let mut lower = Polygons::default();
        let mut thin: Vec<String> = Vec::new();
        let mut standing = 0_usize;
        for part in &mut block.parts {
            let seen = seen(part);
            let own = part.lying(&seen, Affine::IDENTITY) * &seen;
            let own = Polygons::within_tolerance(&own, FLATTENING);
            let on_another = own.within(&lower).to_path().area().abs();
            let mut raised = Raised { height, ..Raised::default() };
            if on_another <= LIES_ON_ANOTHER * seen.area().abs() {
                standing += 1;
                match squares(&seen, reader.units) {
                    Some((square, at)) => (raised.square, raised.at) = (square, at),
                    None => thin.push(part.id.clone()),
                }
            }
            if !raised.at.is_empty() {
                part.note(raised.note(reader.units));
            }
            part.raised = Some(Box::new(raised));
            lower = lower.with(&own);
        }
        tell_thin(reader, block, &thin, standing);
    }
}

impl Raised {
    /// What to tell the person.
    pub fn note(&self, units: Units) -> String {
        format!("raised {}: stands on {}", self.height.show(units), self.foam(units))
    }

    /// The foam under it, in words.
    fn foam(&self, units: Units) -> String {
        let square = self.square.show(units);
        match self.at.len() {
            1 => format!("1 foam square of {square}"),
            count => format!("{count} foam squares of {square}"),
        }
    }
}

/// Warns of parts that are too thin for foam.
fn tell_thin(reader: &mut Reader<'_>, block: &Block, thin: &[String], standing: usize) {
    let Some(first) = thin.first() else { return };
    let what = match thin.len() {
        1 => format!("`{first}` is"),
        count => format!("{count} of the {standing} raised parts of `{}` are", block.id),
    };
    reader.warn(Warning {
        kind: "too thin for foam".to_owned(),
        message: format!("{what} too thin for foam"),
        help: "give letters a `backing`, glue it down flat, or cut a sliver of foam by eye"
            .to_owned(),
        piece: Some(first.clone()),
        line: block.place.line,
    });
}

/// What is seen of a part, in its own coordinates.
fn seen(part: &Part) -> BezPath {
    match &part.content {
        Content::Paper { finished: Some(finished), .. } => finished.outline.clone(),
        Content::Paper { drawing, .. } => drawing.outline.clone(),
        Content::Photo { .. } => {
            let [width, height] = part.size.to_inches();
            rectangle(width, height)
        }
    }
}

/// The foam squares under an outline: their side and their middles; nothing where none fits.
pub fn squares(outline: &BezPath, units: Units) -> Option<(Length, Vec<[f64; 2]>)> {
    let bounds = outline.bounding_box();
    let size = [bounds.x1, bounds.y1];
    let polygons = Polygons::within_tolerance(outline, FLATTENING);
    let mut grid = if size[0].max(size[1]) < SMALL { FINE_GRID } else { GRID };
    while size[0] / grid * (size[1] / grid) > MOST_CELLS {
        grid *= 2.0;
    }
    let sizes = match units {
        Units::Inches => SQUARES,
        Units::Millimetres => METRIC_SQUARES,
    };
    let mut best: Option<(Length, Vec<[f64; 2]>)> = None;
    for ((square, enough), off) in sizes.into_iter().zip(OFF_THE_EDGE) {
        let inner = polygons.offset(-off).to_path();
        let places = Grid::of(&rings(&inner, FLATTENING), size, grid).squares(square.to_inches());
        let at = spread(&places, size, square.to_inches());
        if at.len() >= enough {
            return Some((square, at));
        }
        if best.is_none() && !at.is_empty() {
            best = Some((square, at));
        }
    }
    best
}

/// Squares among the places where one fits: near the corners, then each where it is farthest from the others.
fn spread(places: &[[f64; 2]], [width, height]: [f64; 2], square: f64) -> Vec<[f64; 2]> {
    let mut chosen: Vec<[f64; 2]> = Vec::new();
    let away = |one: &[f64; 2], other: &[f64; 2]| (one[0] - other[0]).hypot(one[1] - other[1]);
    let clear = |one: &[f64; 2], other: &[f64; 2]| {
        (one[0] - other[0]).abs().max((one[1] - other[1]).abs()) >= 1.25 * square
    };
    for corner in [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]] {
        let nearest =
            places.iter().min_by(|one, other| away(one, &corner).total_cmp(&away(other, &corner)));
        if let Some(place) = nearest.filter(|place| chosen.iter().all(|other| clear(place, other)))
        {
            chosen.push(*place);
        }
    }
    let apart = APART.min(SHARE_APART * width.max(height));
    // Places where another may lie, each with how far the nearest chosen one is: they only get fewer.
    let nearest =
        |place: &[f64; 2]| chosen.iter().map(|other| away(place, other)).fold(f64::MAX, f64::min);
    let mut open: Vec<([f64; 2], f64)> = places
        .iter()
        .filter(|place| chosen.iter().all(|other| clear(place, other)))
        .map(|place| (*place, nearest(place)))
        .collect();
    open.retain(|(_, far)| *far > apart);
    while chosen.len() < MOST_SQUARES {
        // Of places equally far the first: `max_by` would take the last.
        let farthest = open
            .iter()
            .copied()
            .reduce(|one, other| if other.1 > one.1 + 1e-9 { other } else { one });
        let Some((place, _)) = farthest else { break };
        chosen.push(place);
        for (other, far) in &mut open {
            *far = far.min(away(other, &place));
        }
        open.retain(|(other, far)| *far > apart && clear(other, &place));
    }
    chosen
}

/// The foam that a spread takes: how many squares of each side and height, the largest first.
pub(crate) fn foam_in_all<'a>(
    raised: impl Iterator<Item = (&'a Raised, u32)>,
) -> Vec<(Length, Length, u64)> {
    let mut all: BTreeMap<(Length, Length), u64> = BTreeMap::new();
    for (one, copies) in raised.filter(|(one, _)| !one.at.is_empty()) {
        let count =
            u64::try_from(one.at.len()).unwrap_or(u64::MAX).saturating_mul(u64::from(copies));
        let of = all.entry((one.square, one.height)).or_default();
        *of = of.saturating_add(count);
    }
    all.into_iter().rev().map(|((square, height), count)| (square, height, count)).collect()
}
