//! Where a name fits on a piece: whole inside it, as large as can be, upright if possible.

use kurbo::{BezPath, ParamCurveNearest, Point, Rect, Shape};
use svg::node::element::Group;

use crate::emit::drawing::{area, fixed};
use crate::emit::lettering::{Anchor, Lettering};
use crate::record::Area;

/// Type sizes for names in inches, best first. A sheet is shown at a third to a half of its size.
const SIZES: [f64; 5] = [0.34, 0.3, 0.26, 0.22, 0.18];
/// Smallest type for the last resort, a number, in inches.
const SMALLEST: f64 = 0.11;
/// Room round a label in inches.
const ROOM: f64 = 0.05;
/// Height of capitals and depth of the part below the baseline, in ems.
const CAPITALS: f64 = 0.72;
const DEPTH: f64 = 0.2;
/// A shape that fills this share of its bounding box counts as a rectangle.
const RECTANGULAR: f64 = 0.985;
/// Points per side of the grid on which the roomiest place of a shape is looked for.
const GRID: u32 = 24;

/// The places that are taken already.
#[derive(Debug, Default)]
pub(super) struct Labels {
    taken: Vec<Rect>,
}

/// A text and its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    text: String,
    center: Point,
    size: f64,
    width: f64,
    upright: bool,
}

impl Label {
    /// The label as outlines in `ink`, on a ground of its own if there is one.
    pub fn draw(&self, lettering: &mut Lettering, ink: &str, ground: Option<&str>) -> Group {
        let at = [-self.width / 2.0, self.size * (CAPITALS - DEPTH) / 2.0];
        let words = lettering.words(&self.text, at, self.size, Anchor::Start).set("fill", ink);
        let turn = if self.upright { "" } else { " rotate(-90)" };
        let [x, y] = [self.center.x, self.center.y].map(fixed);
        let mut group = Group::new().set("transform", format!("translate({x} {y}){turn}"));
        if let Some(ground) = ground {
            let half = [self.width / 2.0 + ROOM, self.size * (CAPITALS + DEPTH) / 2.0 + ROOM / 2.0];
            let part = Area { at: half.map(|side| -side), size: half.map(|side| 2.0 * side) };
            group = group.add(area(&part).set("fill", ground).set("rx", "0.06"));
        }
        group.add(words)
    }

    fn bounds(&self) -> Rect {
        let (long, high) = (self.width / 2.0, self.size * (CAPITALS + DEPTH) / 2.0);
        let (x, y) = if self.upright { (long, high) } else { (high, long) };
        Rect::new(self.center.x - x, self.center.y - y, self.center.x + x, self.center.y + y)
    }
}

impl Labels {
    /// The first of `texts` that fits into a rectangle, upright or turned.
    pub fn in_rectangle(
        &mut self,
        part: &Area,
        texts: &[String],
        lettering: &Lettering,
    ) -> Option<Label> {
        let center = Point::new(part.at[0] + part.size[0] / 2.0, part.at[1] + part.size[1] / 2.0);
        let label = fit(texts, center, part.size, lettering)?;
        self.taken.push(label.bounds());
        Some(label)
    }

    /// The first of `texts` that fits into a shape at its roomiest place.
    pub fn in_outline(
        &mut self,
        outline: &BezPath,
        texts: &[String],
        lettering: &Lettering,
    ) -> Option<Label> {
        let bounds = outline.bounding_box();
        if outline.area().abs() > RECTANGULAR * bounds.area() {
            let part = Area {
                at: [bounds.x0, bounds.y0],
                size: [bounds.width(), bounds.height()],
            };
            return self.in_rectangle(&part, texts, lettering);
        }
        let (center, radius) = roomiest(outline)?;
        // A label four times as wide as high fits a circle in a rectangle of these sides.
        let label = fit(texts, center, [radius * 1.85, radius * 0.7], lettering)
            .or_else(|| fit(texts.split_at(1).1, center, [radius * 1.5, radius * 1.5], lettering))?;
        self.taken.push(label.bounds());
        Some(label)
    }

    /// The first of `places` where a disc covers no label, or else the one where it covers the least.
    pub fn least_covered(&mut self, places: &[[f64; 2]], radius: f64) -> [f64; 2] {
        let disc = |[x, y]: [f64; 2]| Rect::new(x - radius, y - radius, x + radius, y + radius);
        let covered = |place: &[f64; 2]| -> f64 {
            self.taken.iter().map(|taken| disc(*place).intersect(*taken)).map(area_of).sum()
        };
        let least = places.iter().min_by(|one, other| covered(one).total_cmp(&covered(other)));
        let least = least.copied().unwrap_or_default();
        self.taken.push(disc(least));
        least
    }
}

fn area_of(rect: Rect) -> f64 {
    rect.width().max(0.0) * rect.height().max(0.0)
}

fn fit(texts: &[String], center: Point, room: [f64; 2], lettering: &Lettering) -> Option<Label> {
    for (place, text) in texts.iter().enumerate().filter(|(_, text)| !text.is_empty()) {
        let em = lettering.width(text, 1.0);
        let last = [SMALLEST].into_iter().filter(|_| place + 1 == texts.len());
        for size in SIZES.into_iter().chain(last) {
            let long = em * size + 2.0 * ROOM;
            let high = size * (CAPITALS + DEPTH) + ROOM;
            let upright = long <= room[0] && high <= room[1];
            if upright || (long <= room[1] && high <= room[0]) {
                return Some(Label { text: text.clone(), center, size, width: em * size, upright });
            }
        }
    }
    None
}

/// The point inside a shape that is farthest from its edges, on a grid, and that distance.
fn roomiest(outline: &BezPath) -> Option<(Point, f64)> {
    let bounds = outline.bounding_box();
    let step = |index: u32| (f64::from(index) + 0.5) / f64::from(GRID);
    let mut best: Option<(Point, f64)> = None;
    for row in 0..GRID {
        for column in 0..GRID {
            let x = bounds.x0 + step(column) * bounds.width();
            let point = Point::new(x, bounds.y0 + step(row) * bounds.height());
            let away = room_round(outline, point, best.map_or(0.0, |(_, room)| room));
            if let Some(room) = away {
                best = Some((point, room));
            }
        }
    }
    best
}

/// How far `point` is from the edges of `outline`, if it is inside and farther than `least`.
fn room_round(outline: &BezPath, point: Point, least: f64) -> Option<f64> {
    let mut nearest = f64::INFINITY;
    for segment in outline.segments() {
        nearest = nearest.min(segment.nearest(point, 1e-3).distance_sq);
        if nearest <= least * least {
            return None;
        }
    }
    (outline.winding(point) % 2 != 0).then(|| nearest.sqrt())
}
