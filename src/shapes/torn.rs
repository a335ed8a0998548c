//! Edges as they look when paper is torn along a ruler.

use crate::model::Fault;
use kurbo::{BezPath, Point, Vec2};
use rand_xoshiro::SplitMix64;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use crate::geometry::LARGEST;

use super::{check_size, shown};

/// Waves of a tear: their length in inches and their share of the depth. Long waves are the hand's
/// wandering, short ones the fibres; each is some two fifths of the one before, as in other rough
/// edges of nature (value noise of several octaves, Perlin, SIGGRAPH 1985).
const WAVES: [(f64, f64); 5] = [(1.7, 0.31), (0.66, 0.26), (0.27, 0.2), (0.11, 0.14), (0.05, 0.09)];

/// Places along the tear are this far apart in inches: two to the shortest wave.
const STEP: f64 = 0.025;

/// How wide the paper's core shows along a tear, in inches, at most: about what is left bare where cardstock
/// is pulled towards you (common practice, no source).
const CORE: f64 = 3.0 / 32.0;
/// The least of that, as a share of the most.
const CORE_LEAST: f64 = 0.2;

/// The rectangle `width` by `height` inches with some edges torn (top, right, bottom, left), each
/// up to `depth` inches inside. The same seed tears the same way. Curves; stays in the rectangle.
pub fn torn(
    width: f64,
    height: f64,
    edges: [bool; 4],
    depth: f64,
    seed: u64,
) -> Result<BezPath, Fault> {
    Ok(around(width, height, &tears(width, height, edges, depth, seed)?))
}

/// The four edges, top, right, bottom and left.
fn tears(
    width: f64,
    height: f64,
    edges: [bool; 4],
    depth: f64,
    seed: u64,
) -> Result<Vec<Tear>, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_size("depth of the tear", depth)?;
    if depth > width.min(height) / 3.0 {
        return Err(Fault::new(
            format!("a tear {} in deep leaves too little paper", shown(depth)),
            format!("make it {} in or less", shown(width.min(height) / 3.0)),
        ));
    }
    let tears: Vec<Tear> = (0_u64..)
        .zip(edges)
        .map(|(side, torn)| Tear {
            seed: mixed(seed ^ mixed(side)),
            depth: if torn { depth } else { 0.0 },
            core: 0.0,
        })
        .collect();
    Ok(tears)
}

/// What the same tear leaves of the paper's face: inside the outline of [`torn`], by as much as the core
/// shows.
pub fn torn_face(
    width: f64,
    height: f64,
    edges: [bool; 4],
    depth: f64,
    seed: u64,
) -> Result<BezPath, Fault> {
    let tears = tears(width, height, edges, depth, seed)?;
    let core = CORE.min(depth);
    let tears: Vec<Tear> = tears
        .into_iter()
        .map(|tear| Tear { core: if tear.depth > 0.0 { core } else { 0.0 }, ..tear })
        .collect();
    Ok(around(width, height, &tears))
}

/// One torn edge (or a straight one of no depth).
struct Tear {
    seed: u64,
    depth: f64,
    /// How much farther inside the paper's face begins, at most.
    core: f64,
}

impl Tear {
    /// How far the edge lies inside, `along` inches from its start.
    fn inset(&self, along: f64) -> f64 {
        let height: f64 = (0_u64..)
            .zip(WAVES)
            .map(|(wave, (length, share))| share * self.wave(wave, along / length))
            .sum();
        // Sums of waves crowd round the middle: spread them over the depth.
        self.depth * (0.5 + 1.45 * (height - 0.5)).clamp(0.0, 1.0) + self.bare(along)
    }

    /// How wide the core is bare, `along` inches from the start.
    fn bare(&self, along: f64) -> f64 {
        if self.core <= 0.0 {
            return 0.0;
        }
        // Waves of their own: the face tears off beside the core, not along it.
        let own = Self { seed: mixed(self.seed), ..*self };
        let rough: f64 = (0_u64..)
            .zip(WAVES)
            .map(|(wave, (length, share))| share * own.wave(wave, along / length))
            .sum();
        self.core * (0.5 + 1.45 * (rough - 0.5)).clamp(CORE_LEAST, 1.0)
    }

    /// Smooth noise between 0 and 1.
    fn wave(&self, wave: u64, at: f64) -> f64 {
        let cell = at.floor();
        let share = at - cell;
        let smooth = share * share * (3.0 - 2.0 * share);
        let [one, other] = [cell, cell + 1.0].map(|cell| chance(self.seed, wave, cell));
        one + smooth * (other - one)
    }
}

/// The outline, clockwise on the page from the top left.
fn around(width: f64, height: f64, tears: &[Tear]) -> BezPath {
    let lengths = [width, height, width, height];
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(Point::from);
    let along = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)].map(Vec2::from);
    // A corner lies inside both edges that meet there.
    let met: Vec<Point> = (0..4)
        .map(|side| {
            let before = (side + 3) % 4;
            let here = tears.get(side).map_or(0.0, |tear| tear.inset(0.0));
            let there = tears.get(before).map_or(0.0, |tear| tear.inset(lengths[before]));
            corners[side] + along[side] * there + along[(side + 1) % 4] * here
        })
        .collect();
    let mut path = BezPath::new();
    path.move_to(met[0]);
    for (side, tear) in tears.iter().enumerate().take(4) {
        let end = met[(side + 1) % 4];
        if tear.depth > 0.0 {
            let inward = along[(side + 1) % 4];
            tear_along(
                &mut path,
                tear,
                met[side],
                end,
                (corners[side], along[side], inward),
                lengths[side],
            );
        } else {
            path.line_to(end);
        }
    }
    path.close_path();
    path
}

/// One torn edge between two corners, as a smooth curve through its points (Catmull & Rom 1974).
fn tear_along(
    path: &mut BezPath,
    tear: &Tear,
    begin: Point,
    end: Point,
    (corner, along, inward): (Point, Vec2, Vec2),
    length: f64,
) {
    let [from, to] = [begin, end].map(|point| (point - corner).dot(along));
    let mut count = 4_u32;
    while length / f64::from(count) > STEP && f64::from(count) < LARGEST / STEP {
        count += 1;
    }
    let points: Vec<Vec2> = (0..=count)
        .map(|index| {
            let share = f64::from(index) / f64::from(count);
            Vec2::new(from + share * (to - from), tear.inset(share * length))
        })
        .collect();
    let at = |place: Vec2| {
        corner + along * place.x + inward * place.y.clamp(0.0, tear.depth + tear.core)
    };
    for index in 1..points.len() {
        let (one, other) = (points[index - 1], points[index]);
        let before = if index > 1 { points[index - 2] } else { one };
        let after = points.get(index + 1).copied().unwrap_or(other);
        path.curve_to(at(one + (other - before) / 6.0), at(other - (after - one) / 6.0), at(other));
    }
}

/// A number between 0 and 1 for a place on a wave.
#[expect(clippy::cast_precision_loss, reason = "53 bits are what an f64 holds")]
fn chance(seed: u64, wave: u64, cell: f64) -> f64 {
    let bits = mixed(seed ^ mixed(wave.wrapping_add(1)) ^ mixed(cell.to_bits()));
    (bits >> 11) as f64 / (1_u64 << 53) as f64
}

/// Bits stirred: a step of split mix (Steele, Lea, Flood, OOPSLA 2014).
fn mixed(bits: u64) -> u64 {
    SplitMix64::from_seed(bits.to_le_bytes()).next_u64()
}
