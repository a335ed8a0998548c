//! Where a name fits on a piece: whole inside it, as large as can be, upright if possible. The one placer of
//! names, on the sheets of guide and proof and on the pages of the placement guide.

use std::f64::consts::SQRT_2;

use kurbo::{
    Affine, BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape, Vec2,
};

use crate::geometry::FLATTENING;

/// Height of capitals and depth of the part below the baseline, in ems.
pub(super) const CAPITALS: f64 = 0.72;
pub(super) const DEPTH: f64 = 0.2;
/// A shape that fills this share of its bounding box counts as a rectangle.
const RECTANGULAR: f64 = 0.985;
/// What the square of a distance is taken for where one that is estimated rules others out, and how far a
/// curve may leave the box of its control points: rounding.
const SURELY: f64 = 1.0 - 1e-6;
const ROUNDING: f64 = 1e-9;
/// Where on an edge a look tells how near it is at least, as shares of it.
const LOOKED_AT: [f64; 4] = [0.0, 0.25, 0.5, 0.75];
/// Points per side of the grid on which the roomiest place of a shape is looked for.
const GRID: u32 = 24;

/// The places that are tried for a name near the middle of a shape: how many over its shorter side, how far
/// apart they are at least and at most, in inches, and how many from the middle to an end.
const OVER_SIDE: f64 = 24.0;
const STEPS: [f64; 2] = [1.0 / 32.0, 1.0 / 8.0];
const MOST_STEPS: u32 = 200;

/// How large names are; lengths in inches of the drawing.
#[derive(Clone, Copy)]
pub(super) struct Names {
    /// Type sizes, best first.
    pub sizes: &'static [f64],
    /// Room round a name.
    pub room: f64,
    /// How far names may stand beyond the sheet's edge.
    pub rim: f64,
    /// Whether a name for which there is no free place is shown all the same, where it covers the least.
    pub all: bool,
}

/// The places that are taken already.
pub(super) struct Labels<'a> {
    names: Names,
    em: &'a dyn Fn(&str) -> f64,
    sheet: Rect,
    taken: Vec<Rect>,
    pieces: Vec<Rect>,
}

/// A text and its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    /// The text.
    pub text: String,
    /// Its middle.
    pub center: Point,
    /// Its type size, an em in inches.
    pub size: f64,
    /// Its width in inches.
    pub width: f64,
    /// Whether it runs across, not up.
    pub upright: bool,
    /// Whether it stands beside its piece and not on it.
    pub outside: bool,
}

impl Label {
    /// The room it takes, grounds not counted.
    pub fn bounds(&self) -> Rect {
        let (long, high) = (self.width / 2.0, self.size * (CAPITALS + DEPTH) / 2.0);
        let (x, y) = if self.upright { (long, high) } else { (high, long) };
        Rect::new(self.center.x - x, self.center.y - y, self.center.x + x, self.center.y + y)
    }

    /// How it is laid on the drawing: its middle is the origin, its line runs along the first axis.
    pub fn lay(&self) -> Affine {
        // A quarter turn to the hair: readers of documents tell turned words from upright ones by that.
        let turn = if self.upright { [1.0, 0.0, 0.0, 1.0] } else { [0.0, -1.0, 1.0, 0.0] };
        let [a, b, c, d] = turn;
        Affine::new([a, b, c, d, self.center.x, self.center.y])
    }

    /// How far its baseline lies below its middle.
    pub fn baseline(&self) -> f64 {
        self.size * (CAPITALS - DEPTH) / 2.0
    }
}

impl<'a> Labels<'a> {
    /// No labels yet; `em` is the width of a text at a type size of 1.
    pub fn new(names: Names, em: &'a dyn Fn(&str) -> f64, sheet: Rect) -> Self {
        Self { names, em, sheet, taken: Vec::new(), pieces: Vec::new() }
    }

    /// The places that are taken.
    pub fn taken(&self) -> Vec<Rect> {
        self.taken.clone()
    }

    /// The first of `texts` that fits into a rectangle, upright or turned.
    pub fn in_rectangle(&mut self, part: Rect, texts: &[String]) -> Option<Label> {
        let label = self.fit(texts, part.center(), [part.width(), part.height()])?;
        self.taken.push(label.bounds());
        Some(label)
    }

    /// Makes labels that stand beside their pieces keep off `pieces`.
    pub fn keep_off(&mut self, pieces: Vec<Rect>) {
        self.pieces = pieces;
    }

    /// The first of `texts` that fits into a shape at its roomiest place, or else the last of them
    /// beside the shape.
    pub fn of_outline(&mut self, outline: &BezPath, texts: &[String]) -> Option<Label> {
        let label = self.inside(outline, texts).or_else(|| self.beside(outline, texts))?;
        self.taken.push(label.bounds());
        Some(label)
    }

    /// A text that fits whole on a shape in one of some type sizes, best first, and off `marks` and what is
    /// taken, as near the shape's middle as can be; if it may be turned, then rather so than not at all.
    pub fn near_middle(
        &mut self,
        outline: &BezPath,
        (text, sizes, may_turn): (&str, &[f64], bool),
        marks: &[Rect],
    ) -> Option<Label> {
        let (bounds, lines) = (outline.bounding_box(), lines_of(outline));
        let centers = around_middle(bounds);
        let width = (self.em)(text);
        let ways = [true, false].into_iter().take(if may_turn { 2 } else { 1 });
        let mut tried = ways.flat_map(|upright| sizes.iter().map(move |size| (upright, *size)));
        let found = tried.find_map(|(upright, size)| {
            let (text, width, center) = (text.to_owned(), width * size, Point::ORIGIN);
            let label = Label { text, center, size, width, upright, outside: false };
            let ground = label.bounds().inflate(self.names.room, self.names.room);
            if ground.width() > bounds.width() || ground.height() > bounds.height() {
                return None;
            }
            let center = centers.iter().find(|center| {
                let ground = ground + center.to_vec2();
                self.taken.iter().chain(marks).all(|other| !other.overlaps(ground))
                    && is_clear(&lines, ground)
                    && outline.winding(**center) % 2 != 0
            })?;
            Some(Label { center: *center, ..label })
        })?;
        self.taken.push(found.bounds());
        Some(found)
    }

    /// The last of `texts` beside a shape, where it covers nothing or, if that is wanted, the least.
    fn beside(&self, outline: &BezPath, texts: &[String]) -> Option<Label> {
        let text = texts.last().cloned().unwrap_or_default();
        let Names { room, rim, all, .. } = self.names;
        let size = self.names.sizes.last().copied().unwrap_or_default();
        let width = (self.em)(&text) * size;
        let away = [width / 2.0 + 1.6 * room, size * (CAPITALS + DEPTH) / 2.0 + room];
        let label = |center| {
            let text = text.clone();
            Label { text, center, size, width, upright: true, outside: true }
        };
        let around = outline.bounding_box();
        let paper = self.sheet.inflate(rim, rim);
        let covered = |label: &Label| -> f64 {
            let bounds = label.bounds().inflate(room, room);
            let others = self.pieces.iter().filter(|other| **other != around);
            let others = others.chain(&self.taken);
            let lost = bounds.area() - area_of(bounds.intersect(paper));
            others.map(|other| area_of(other.intersect(bounds))).sum::<f64>() + lost
        };
        let labels = places_beside(around, away).map(label);
        let least = labels.iter().min_by(|one, other| covered(one).total_cmp(&covered(other)))?;
        // What is left of a free place is rounding.
        (all || covered(least) < 1e-6).then(|| least.clone())
    }

    /// The first of `texts` that fits into a shape at its roomiest place.
    fn inside(&self, outline: &BezPath, texts: &[String]) -> Option<Label> {
        let bounds = outline.bounding_box();
        if outline.area().abs() > RECTANGULAR * bounds.area() {
            return self.fit(texts, bounds.center(), [bounds.width(), bounds.height()]);
        }
        let (center, radius) = roomiest(outline)?;
        let middle = bounds.center();
        let centers =
            [middle, center, Point::new(middle.x, center.y), Point::new(center.x, middle.y)];
        let named = texts.split_last().map_or(texts, |(_, names)| names);
        self.on_shape(outline, &centers, named).or_else(|| {
            // A square whose corners lie on the circle.
            self.fit(texts, center, [radius * SQRT_2, radius * SQRT_2])
        })
    }

    /// The first of `texts` that fits whole on a shape, upright at one of `centers`.
    fn on_shape(&self, outline: &BezPath, centers: &[Point], texts: &[String]) -> Option<Label> {
        let lines = lines_of(outline);
        let room = self.names.room;
        for text in texts {
            let em = (self.em)(text);
            for &size in self.names.sizes {
                for &center in centers {
                    let (text, width) = (text.clone(), em * size);
                    let label = Label { text, center, size, width, upright: true, outside: false };
                    let ground = label.bounds().inflate(room, room);
                    if is_clear(&lines, ground) && outline.winding(center) % 2 != 0 {
                        return Some(label);
                    }
                }
            }
        }
        None
    }

    fn fit(&self, texts: &[String], center: Point, room: [f64; 2]) -> Option<Label> {
        let (sizes, clear) = (self.names.sizes.iter().copied(), self.names.room);
        for text in texts.iter().filter(|text| !text.is_empty()) {
            let em = (self.em)(text);
            let fits = |size: f64, [along, across]: [f64; 2]| {
                em * size + 2.0 * clear <= along
                    && size * (CAPITALS + DEPTH) + 2.0 * clear <= across
            };
            let upright = sizes.clone().find(|size| fits(*size, room)).map(|size| (size, true));
            let turned = || {
                let size = sizes.clone().find(|size| fits(*size, [room[1], room[0]]))?;
                (room[1] > room[0]).then_some((size, false))
            };
            if let Some((size, upright)) = upright.or_else(turned) {
                let (text, width) = (text.clone(), em * size);
                return Some(Label { text, center, size, width, upright, outside: false });
            }
        }
        None
    }
}

/// The outline as straight lines.
fn lines_of(outline: &BezPath) -> Vec<Line> {
    let mut flat = BezPath::new();
    kurbo::flatten(outline, FLATTENING, |element| flat.push(element));
    flat.segments().map(|line| Line::new(line.start(), line.end())).collect()
}

/// Whether none of some lines has a point in a rectangle.
fn is_clear(lines: &[Line], rect: Rect) -> bool {
    lines.iter().all(|line| !meets(rect, line.p0, line.p1))
}

/// Places in a rectangle, from its middle outward.
fn around_middle(bounds: Rect) -> Vec<Point> {
    let step = (bounds.width().min(bounds.height()) / OVER_SIDE).clamp(STEPS[0], STEPS[1]);
    let away = |side: f64| {
        let steps = (0..MOST_STEPS).map(move |count| f64::from(count) * step);
        steps.take_while(move |away| *away <= side / 2.0).flat_map(|away| [away, -away])
    };
    let columns = away(bounds.width());
    let places = columns.flat_map(|x| away(bounds.height()).map(move |y| Vec2::new(x, y)));
    let mut places: Vec<Vec2> = places.collect();
    places.sort_by(|one, other| one.hypot2().total_cmp(&other.hypot2()));
    places.into_iter().map(|away| bounds.center() + away).collect()
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

/// The point inside a shape that is farthest from its edges, on a grid, and that distance.
fn roomiest(outline: &BezPath) -> Option<(Point, f64)> {
    let bounds = outline.bounding_box();
    let edges: Vec<(PathSeg, Rect)> = outline.segments().map(|edge| (edge, hull(&edge))).collect();
    let on_edges: Vec<Point> =
        edges.iter().flat_map(|(edge, _)| LOOKED_AT.map(|share| edge.eval(share))).collect();
    let step = |index: u32| (f64::from(index) + 0.5) / f64::from(GRID);
    let mut best: Option<(Point, f64)> = None;
    for row in 0..GRID {
        let y = bounds.y0 + step(row) * bounds.height();
        let across = reaching(&edges, y);
        for column in 0..GRID {
            let point = Point::new(bounds.x0 + step(column) * bounds.width(), y);
            let least = best.map_or(0.0, |(_, room)| room);
            let away = room_round(&edges, &on_edges, &across, point, least);
            if let Some(room) = away {
                best = Some((point, room));
            }
        }
    }
    best
}

/// The edges that may reach a height, as a path: others wind round no point at it.
fn reaching(edges: &[(PathSeg, Rect)], y: f64) -> BezPath {
    let mut path = BezPath::new();
    for (edge, hull) in edges {
        if (hull.y0 - ROUNDING..=hull.y1 + ROUNDING).contains(&y) {
            path.push(PathEl::MoveTo(edge.start()));
            path.push(edge.as_path_el());
        }
    }
    path
}

/// How far `point` is from some edges, each with its hull, if it is inside them and farther than `least`;
/// `on_edges` are some points on them, `across` the edges that reach its height.
///
/// A curve's true distance takes long: it is asked only of edges whose hull is near enough to matter, after
/// the points on edges have ruled most places out.
fn room_round(
    edges: &[(PathSeg, Rect)],
    on_edges: &[Point],
    across: &BezPath,
    point: Point,
    least: f64,
) -> Option<f64> {
    let reach = least * least;
    let to_edges = on_edges.iter().map(|on_edge| on_edge.distance_squared(point));
    let at_most = to_edges.fold(f64::INFINITY, f64::min);
    // A hair less, so that rounding rules nothing out.
    if at_most < reach * SURELY || across.winding(point) % 2 == 0 {
        return None;
    }
    let mut nearest = f64::INFINITY;
    for (edge, hull) in edges {
        if distance_squared(*hull, point) * SURELY > nearest.min(at_most) {
            continue;
        }
        nearest = nearest.min(edge.nearest(point, 1e-3).distance_sq);
        if nearest <= reach {
            return None;
        }
    }
    Some(nearest.sqrt())
}

/// The box of a curve's control points, which holds it.
fn hull(edge: &PathSeg) -> Rect {
    let ends = Rect::from_points(edge.start(), edge.end());
    match edge {
        PathSeg::Line(_) => ends,
        PathSeg::Quad(curve) => ends.union_pt(curve.p1),
        PathSeg::Cubic(curve) => ends.union_pt(curve.p1).union_pt(curve.p2),
    }
}

/// The square of the distance from a point to a box.
fn distance_squared(of: Rect, point: Point) -> f64 {
    let away = |low: f64, high: f64, at: f64| (low - at).max(at - high).max(0.0);
    away(of.x0, of.x1, point.x).powi(2) + away(of.y0, of.y1, point.y).powi(2)
}
