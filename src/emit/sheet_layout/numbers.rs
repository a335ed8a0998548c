//! Where the numbers of cuts stand: on their lines if there is room, else beside them with a line that
//! leads there, and never on each other.

use kurbo::{Point, Rect, Vec2};

/// Places along a cut that are tried, an even number of steps from end to end.
const STEPS: u32 = 32;
/// Rows of places beside a cut that are tried on either side.
const ROWS: u32 = 6;
/// Places are looked for up and down the whole drawing on a grid so many times as fine as the disc.
const GRID: f64 = 2.0;
/// Least room between a number and what else stands there, as a share of the disc's radius.
const GAP: f64 = 0.08;

/// The places that are taken.
pub(in crate::emit) struct Numbers {
    taken: Vec<Rect>,
    discs: Vec<(Point, f64)>,
    bounds: Rect,
}

/// A disc for a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::emit) struct Disc {
    pub center: Point,
    pub radius: f64,
    /// The point of the cut that a line leads to, where the disc lies off it.
    pub points_to: Option<Point>,
}

impl Numbers {
    /// No numbers yet, to be put within `bounds` and off `taken`.
    pub fn new(taken: Vec<Rect>, bounds: Rect) -> Self {
        Self { taken, discs: Vec::new(), bounds }
    }

    /// A place for the number of the cut from `from` to `to`, with the first of `radii` that fits.
    pub fn place(&mut self, from: Point, to: Point, radii: &[f64]) -> Disc {
        let found = radii
            .iter()
            .find_map(|&radius| self.on_line(from, to, radius))
            .or_else(|| radii.iter().find_map(|&radius| self.beside(from, to, radius)))
            .or_else(|| radii.iter().find_map(|&radius| self.anywhere(from, to, radius)));
        let middle = from.midpoint(to);
        let disc = found.unwrap_or_else(|| {
            let radius = radii.last().copied().unwrap_or_default();
            Disc { center: middle, radius, points_to: None }
        });
        self.discs.push((disc.center, disc.radius));
        disc
    }

    /// Points of a cut from its middle outwards.
    fn along(from: Point, to: Point) -> impl Iterator<Item = Point> {
        let half = STEPS / 2;
        (0..half).flat_map(move |step| {
            let share = f64::from(step) / f64::from(STEPS);
            let one = from.lerp(to, 0.5 - share);
            let other = (step > 0).then(|| from.lerp(to, 0.5 + share));
            std::iter::once(one).chain(other)
        })
    }

    fn on_line(&self, from: Point, to: Point, radius: f64) -> Option<Disc> {
        let center = Self::along(from, to).find(|center| self.is_free(*center, radius))?;
        Some(Disc { center, radius, points_to: None })
    }

    fn beside(&self, from: Point, to: Point, radius: f64) -> Option<Disc> {
        let along = to - from;
        let across = Vec2::new(-along.y, along.x);
        let across = if across.hypot() > 0.0 { across.normalize() } else { Vec2::new(0.0, 1.0) };
        (1..=ROWS).find_map(|row| {
            let away = across * (radius * (0.6 + 0.8 * f64::from(row)));
            Self::along(from, to).flat_map(|at| [(at, at + away), (at, at - away)]).find_map(
                |(at, center)| {
                    self.is_free(center, radius).then_some(Disc {
                        center,
                        radius,
                        points_to: Some(at),
                    })
                },
            )
        })
    }

    /// The free place that is nearest to the cut's middle.
    fn anywhere(&self, from: Point, to: Point, radius: f64) -> Option<Disc> {
        let middle = from.midpoint(to);
        let step = radius / GRID;
        if radius <= 0.0 || !self.bounds.is_finite() {
            return None;
        }
        let count =
            |length: f64| (0..1000_u32).take_while(move |at| f64::from(*at) * step <= length);
        let mut nearest: Option<Point> = None;
        for row in count(self.bounds.height()) {
            for column in count(self.bounds.width()) {
                let center =
                    self.bounds.origin() + Vec2::new(f64::from(column), f64::from(row)) * step;
                let nearer = nearest.is_none_or(|best| {
                    center.distance_squared(middle) < best.distance_squared(middle)
                });
                if nearer && self.is_free(center, radius) {
                    nearest = Some(center);
                }
            }
        }
        nearest.map(|center| Disc { center, radius, points_to: Some(middle) })
    }

    fn is_free(&self, center: Point, radius: f64) -> bool {
        let room = radius * (1.0 + GAP);
        let inside = self.bounds.contains(center - Vec2::new(radius, radius))
            && self.bounds.contains(center + Vec2::new(radius, radius));
        let off = |rect: &Rect| {
            // Not `clamp`, which panics where a broken record has a side that is no number.
            let nearest =
                Point::new(center.x.max(rect.x0).min(rect.x1), center.y.max(rect.y0).min(rect.y1));
            nearest.distance(center) >= room
        };
        inside
            && self.taken.iter().all(off)
            && self.discs.iter().all(|(other, size)| other.distance(center) >= room + size)
    }
}
