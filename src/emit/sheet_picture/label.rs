//! Where a name fits on a piece: whole inside it, as large as can be, upright if possible.

use std::f64::consts::SQRT_2;

use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathEl, Point, Rect, Shape};
use svg::node::element::Group;

use crate::emit::drawing::{area, fixed};
use crate::emit::lettering::{Anchor, Lettering};
use crate::outline::FLATTENING;
use crate::record::Area;

/// Type sizes in inches, best first. A sheet is shown at a third to a half of its size, where the last
/// of these is still read with ease.
const SIZES: [f64; 5] = [0.34, 0.3, 0.27, 0.24, 0.21];
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
    pieces: Vec<Rect>,
    sheet: Rect,
}

/// A text and its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    text: String,
    center: Point,
    size: f64,
    width: f64,
    upright: bool,
    /// Whether it stands beside its piece and not on it.
    pub outside: bool,
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

    /// Makes labels that stand beside their pieces keep off `pieces` and on the sheet.
    pub fn keep_off(&mut self, pieces: Vec<Rect>, sheet: [f64; 2]) {
        self.pieces = pieces;
        self.sheet = Rect::new(0.0, 0.0, sheet[0], sheet[1]);
    }

    /// The first of `texts` that fits into a shape at its roomiest place, or else the last of them
    /// beside the shape.
    pub fn of_outline(
        &mut self,
        outline: &BezPath,
        texts: &[String],
        lettering: &Lettering,
    ) -> Label {
        let label = inside(outline, texts, lettering)
            .unwrap_or_else(|| self.beside(outline, texts, lettering));
        self.taken.push(label.bounds());
        label
    }

    /// The last of `texts` beside a shape, where it covers nothing or the least.
    fn beside(&self, outline: &BezPath, texts: &[String], lettering: &Lettering) -> Label {
        let text = texts.last().cloned().unwrap_or_default();
        let [.., size] = SIZES;
        let width = lettering.width(&text, size);
        let away = [width / 2.0 + 1.6 * ROOM, size * (CAPITALS + DEPTH) / 2.0 + ROOM];
        let label = |center| {
            let text = text.clone();
            Label { text, center, size, width, upright: true, outside: true }
        };
        let around = outline.bounding_box();
        let covered = |label: &Label| -> f64 {
            let bounds = label.bounds().inflate(ROOM, ROOM);
            let others = self.pieces.iter().filter(|other| **other != around);
            let others = others.chain(&self.taken);
            let lost = bounds.area() - area_of(bounds.intersect(self.sheet));
            others.map(|other| area_of(other.intersect(bounds))).sum::<f64>() + lost
        };
        let labels = places_beside(around, away).map(label);
        let least = labels.iter().min_by(|one, other| covered(one).total_cmp(&covered(other)));
        least.cloned().unwrap_or_else(|| label(around.center()))
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

/// The first of `texts` that fits into a shape at its roomiest place.
fn inside(outline: &BezPath, texts: &[String], lettering: &Lettering) -> Option<Label> {
    let bounds = outline.bounding_box();
    if outline.area().abs() > RECTANGULAR * bounds.area() {
        return fit(texts, bounds.center(), [bounds.width(), bounds.height()], lettering);
    }
    let (center, radius) = roomiest(outline)?;
    let middle = bounds.center();
    let centers = [middle, center, Point::new(middle.x, center.y), Point::new(center.x, middle.y)];
    let named = texts.split_last().map_or(texts, |(_, names)| names);
    on_shape(outline, &centers, named, lettering).or_else(|| {
        // A square whose corners lie on the circle.
        fit(texts, center, [radius * SQRT_2, radius * SQRT_2], lettering)
    })
}

/// The first of `texts` that fits whole on a shape, upright at one of `centers`.
fn on_shape(
    outline: &BezPath,
    centers: &[Point],
    texts: &[String],
    lettering: &Lettering,
) -> Option<Label> {
    let lines: Vec<_> = BezPath::from_iter(flattened(outline)).segments().collect();
    for (text, size) in texts.iter().flat_map(|text| SIZES.map(|size| (text, size))) {
        let width = lettering.width(text, size);
        for &center in centers {
            let text = text.clone();
            let label = Label { text, center, size, width, upright: true, outside: false };
            let ground = label.bounds().inflate(ROOM, ROOM);
            let clear = lines.iter().all(|line| !meets(ground, line.start(), line.end()));
            if clear && outline.winding(center) % 2 != 0 {
                return Some(label);
            }
        }
    }
    None
}

fn flattened(outline: &BezPath) -> Vec<PathEl> {
    let mut elements = Vec::new();
    kurbo::flatten(outline, FLATTENING, |element| elements.push(element));
    elements
}

/// Whether the line from `from` to `to` has a point in `rect` (Liang and Barsky, ACM Trans. Graph. 3,
/// 1984).
fn meets(rect: Rect, from: Point, to: Point) -> bool {
    let along = to - from;
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let sides = [
        (-along.x, from.x - rect.x0),
        (along.x, rect.x1 - from.x),
        (-along.y, from.y - rect.y0),
        (along.y, rect.y1 - from.y),
    ];
    for (speed, room) in sides {
        if speed == 0.0 && room < 0.0 {
            return false;
        }
        if speed < 0.0 {
            enters = enters.max(room / speed);
        } else if speed > 0.0 {
            leaves = leaves.min(room / speed);
        }
    }
    enters <= leaves
}

/// Centres of labels round a box: right, below, left, above, then its corners.
fn places_beside(around: Rect, [x, y]: [f64; 2]) -> [Point; 8] {
    let (left, right) = (around.x0 - x, around.x1 + x);
    let (above, below) = (around.y0 - y, around.y1 + y);
    let middle = around.center();
    [
        (right, middle.y),
        (middle.x, below),
        (left, middle.y),
        (middle.x, above),
        (right, above),
        (right, below),
        (left, below),
        (left, above),
    ]
    .map(Point::from)
}

fn area_of(rect: Rect) -> f64 {
    rect.width().max(0.0) * rect.height().max(0.0)
}

fn fit(texts: &[String], center: Point, room: [f64; 2], lettering: &Lettering) -> Option<Label> {
    for text in texts.iter().filter(|text| !text.is_empty()) {
        let em = lettering.width(text, 1.0);
        let fits = |size: f64, [along, across]: [f64; 2]| {
            em * size + 2.0 * ROOM <= along && size * (CAPITALS + DEPTH) + 2.0 * ROOM <= across
        };
        let upright = SIZES.into_iter().find(|size| fits(*size, room)).map(|size| (size, true));
        let turned = || {
            let size = SIZES.into_iter().find(|size| fits(*size, [room[1], room[0]]))?;
            (room[1] > room[0]).then_some((size, false))
        };
        if let Some((size, upright)) = upright.or_else(turned) {
            let (text, width) = (text.clone(), em * size);
            return Some(Label { text, center, size, width, upright, outside: false });
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
