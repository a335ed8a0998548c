//! Words cut out of a panel, the middles of letters held by bridges.
//!
//! In come a panel, the words' outline and the width of a bridge; out comes the panel with the words
//! cut away, in one part. A counter is held by two bridges opposite each other wherever two fit, across
//! the thinnest strokes, upright rather than level, as sign painters' stencils are (common practice, no
//! source).

use std::f64::consts::TAU;

use kurbo::{BezPath, Line, PathSeg, Point, Rect, Shape, Vec2};

use crate::geometry::boolean::{self, Contour};
use crate::geometry::bridges::bar;

/// Directions tried from the middle of a counter.
const DIRECTIONS: u32 = 48;
/// How much shorter an upright bridge counts.
const UPRIGHT: f64 = 0.8;
/// Bridges of a pair turn at least this far from each other, in degrees: first choice, then second.
const APART: [f64; 2] = [130.0, 75.0];
/// How far a bridge reaches into the paper at its ends, in inches.
const REACH: f64 = 0.01;
/// How much more the room counts that a counter has on its centre lines.
const CENTRAL: f64 = 1.25;
/// The most counters that are held; a title has a few dozen.
const MOST_COUNTERS: usize = 1_000;

/// A panel with words cut out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stencil {
    /// The panel.
    pub outline: BezPath,
    /// How many counters there are.
    pub counters: usize,
    /// How many bridges hold them.
    pub bridges: usize,
    /// Middles of counters that only one bridge fits.
    pub weak: Vec<Point>,
}

/// Why a stencil can't be cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StencilError {
    /// The words reach beyond the panel, or to its edge.
    TooSmall,
    /// No bridge of that width holds the counter with this middle.
    Loose(Point),
}

/// A bridge over a stroke.
#[derive(Clone, Copy, Debug)]
struct Bridge {
    from: Point,
    to: Point,
    angle: f64,
    cost: f64,
    /// Whether it leads to the panel, and not to another counter.
    to_panel: bool,
}

/// Cuts words out of a panel and holds their counters by bridges of `width` inches.
pub fn stencil(panel: &BezPath, words: &BezPath, width: f64) -> Result<Stencil, StencilError> {
    let ink = boolean::union(std::slice::from_ref(words));
    if !boolean::subtract(&ink, panel).is_empty() {
        return Err(StencilError::TooSmall);
    }
    let holes: Vec<Contour> = boolean::contours(&ink)
        .into_iter()
        .filter(|contour| contour.depth % 2 == 1)
        .take(MOST_COUNTERS)
        .collect();
    let strokes = Strokes::of(&ink);
    let mut loose = None;
    // Where counters hold only each other, those that reach the panel are asked for instead.
    for only_to_panel in [false, true] {
        let mut made = Stencil { counters: holes.len(), ..Stencil::default() };
        let mut bars = Vec::new();
        for hole in &holes {
            let middle = middle(&hole.path);
            let mut ways = strokes.bridges(hole, middle, width, &holes);
            if only_to_panel && ways.iter().any(|bridge| bridge.to_panel) {
                ways.retain(|bridge| bridge.to_panel);
            }
            let chosen = chosen(&ways);
            if chosen.len() < 2 {
                made.weak.push(middle);
            }
            made.bridges += chosen.len();
            bars.extend(chosen.iter().map(|bridge| bar(bridge.from, bridge.to, width)));
        }
        let cut = if bars.is_empty() {
            ink.clone()
        } else {
            boolean::subtract(&ink, &boolean::union(&bars))
        };
        made.outline = boolean::subtract(panel, &cut);
        let parts = boolean::contours(&made.outline);
        if parts.iter().filter(|part| part.depth == 0).count() != 1 {
            return Err(StencilError::TooSmall);
        }
        match parts.iter().find(|part| part.depth > 0 && part.depth % 2 == 0) {
            None => return Ok(made),
            Some(part) => loose = Some(self::middle(&part.path)),
        }
    }
    Err(StencilError::Loose(loose.unwrap_or_default()))
}

/// The best pair of bridges, or the best single one where no pair fits.
fn chosen(ways: &[Bridge]) -> Vec<Bridge> {
    for apart in APART {
        let mut best: Option<(f64, [Bridge; 2])> = None;
        for (index, one) in ways.iter().enumerate() {
            for other in &ways[index + 1..] {
                let turn = (one.angle - other.angle).to_degrees().rem_euclid(360.0);
                let turn = turn.min(360.0 - turn);
                if turn < apart {
                    continue;
                }
                let cost = (one.cost + other.cost) * (1.0 + (180.0 - turn) / 180.0);
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, [*one, *other]));
                }
            }
        }
        if let Some((_, pair)) = best {
            return pair.to_vec();
        }
    }
    ways.iter().min_by(|one, other| one.cost.total_cmp(&other.cost)).copied().into_iter().collect()
}

/// A place well within a contour: the middle of its widest upright or level chord through its middle.
fn middle(contour: &BezPath) -> Point {
    let bounds = contour.bounding_box();
    let centre = bounds.center();
    let strokes = Strokes::of(contour);
    let far = bounds.width() + bounds.height() + 1.0;
    let mut best = (0.0, centre);
    for share in [0.5, 0.35, 0.65] {
        let level = Point::new(bounds.x0 - 0.5, bounds.y0 + share * bounds.height());
        let upright = Point::new(bounds.x0 + share * bounds.width(), bounds.y0 - 0.5);
        for (from, along) in [(level, Vec2::new(1.0, 0.0)), (upright, Vec2::new(0.0, 1.0))] {
            let crossings = strokes.crossings(from, along, far);
            for pair in crossings.chunks_exact(2) {
                let length = pair[1] - pair[0];
                // The shorter of a chord's two middles counts: a long, thin tail is no middle.
                let at = from + along * f64::midpoint(pair[0], pair[1]);
                let across = strokes.clearance(at, along, far);
                let room = length.min(across) * if share == 0.5 { CENTRAL } else { 1.0 };
                if room > best.0 {
                    best = (room, at);
                }
            }
        }
    }
    best.1
}

/// The segments of an outline, asked where a ray meets them.
struct Strokes {
    segments: Vec<(PathSeg, Rect)>,
}

impl Strokes {
    fn of(path: &BezPath) -> Self {
        let segments = path.segments().map(|segment| {
            let bounds = Shape::bounding_box(&segment);
            (segment, bounds.inflate(1e-6, 1e-6))
        });
        Self { segments: segments.collect() }
    }

    /// How far along a ray it crosses the outline, nearest first.
    fn crossings(&self, from: Point, along: Vec2, far: f64) -> Vec<f64> {
        let ray = Line::new(from, from + along * far);
        let reach = Rect::from_points(ray.p0, ray.p1).inflate(1e-6, 1e-6);
        let mut found: Vec<f64> = self
            .segments
            .iter()
            .filter(|(_, bounds)| bounds.overlaps(reach))
            .flat_map(|(segment, _)| {
                let meetings = segment.intersect_line(ray);
                meetings.into_iter().map(|meeting| meeting.line_t * far).collect::<Vec<f64>>()
            })
            .collect();
        found.sort_by(f64::total_cmp);
        // A ray through the joint of two segments meets both.
        found.dedup_by(|one, other| (*one - *other).abs() < 1e-7);
        found
    }

    /// How much room there is at a point across a direction.
    fn clearance(&self, at: Point, along: Vec2, far: f64) -> f64 {
        let across = Vec2::new(-along.y, along.x);
        [across, -across]
            .iter()
            .filter_map(|side| self.crossings(at, *side, far).first().copied())
            .sum()
    }

    /// The bridges that lead out of a counter.
    fn bridges(&self, hole: &Contour, middle: Point, width: f64, holes: &[Contour]) -> Vec<Bridge> {
        let far = self
            .segments
            .iter()
            .map(|(_, bounds)| *bounds)
            .reduce(|all, one| all.union(one))
            .map_or(1.0, |bounds| bounds.width() + bounds.height());
        let tries = [width / 2.0, width / 4.0];
        // A counter narrower than a bridge is held by its middle alone.
        for side in tries {
            let found: Vec<Bridge> = (0..DIRECTIONS)
                .filter_map(|step| {
                    let angle = TAU * f64::from(step) / f64::from(DIRECTIONS);
                    self.bridge(middle, angle, [width / 2.0, side], far)
                })
                .map(|bridge| {
                    let inside = |other: &&Contour| {
                        other.path != hole.path && other.path.winding(bridge.to) != 0
                    };
                    Bridge { to_panel: !holes.iter().any(|other| inside(&other)), ..bridge }
                })
                .collect();
            if !found.is_empty() {
                return found;
            }
        }
        Vec::new()
    }

    /// A bridge in one direction, if the whole of its width leaves the counter, crosses one stroke and
    /// ends in paper. `half` is half its width, and the share of it that must leave the counter.
    fn bridge(&self, middle: Point, angle: f64, half: [f64; 2], far: f64) -> Option<Bridge> {
        let along = Vec2::from_angle(angle);
        let across = Vec2::new(-along.y, along.x);
        let (mut begins, mut ends) = (f64::INFINITY, 0.0_f64);
        let mut beyond = f64::INFINITY;
        let mut lengths = [0.0; 3];
        for (index, side) in [0.0, 1.0, -1.0].into_iter().enumerate() {
            let inner = self.crossings(middle + across * (side * half[1]), along, far);
            let outer = self.crossings(middle + across * (side * half[0]), along, far);
            if !inner.len().is_multiple_of(2) {
                return None;
            }
            // Beside a counter narrower than the bridge a side starts in the stroke itself.
            let crossed = usize::from(outer.len().is_multiple_of(2));
            let [leaves, lands] = [*inner.first()?, *outer.get(crossed)?];
            (begins, ends) = (begins.min(leaves), ends.max(lands));
            beyond = beyond.min(outer.get(crossed + 1).copied().unwrap_or(f64::INFINITY));
            lengths[index] = lands - leaves;
        }
        let [length, one, other] = lengths;
        // Sides of very different length: the bridge grazes a stroke or passes a corner.
        let is_askew = (one - other).abs() > length.max(2.0 * half[0]);
        if is_askew || ends + 2.0 * REACH > beyond {
            return None;
        }
        let upright = if along.x.abs() < 1e-6 { UPRIGHT } else { 1.0 };
        Some(Bridge {
            from: middle + along * (begins - REACH).max(0.0),
            to: middle + along * (ends + REACH),
            angle,
            cost: (length + (one - other).abs() / 2.0) * upright,
            to_panel: true,
        })
    }
}
