//! Parts of an outline too narrow to cut or too weak to hold.
//!
//! In comes an outline and the least width, out comes each part that is narrower: strokes of
//! letters, necks between larger parts, tails. Found by opening (Serra, Image Analysis and
//! Mathematical Morphology, 1982): shrink by half the width, grow back, and see what didn't return.
//! What an opening takes off a sharp corner is short and holds nothing, so it isn't a thin part.

use kurbo::BezPath;

use crate::geometry::boolean::polygon::{Polygons, edges, ring_length};
use crate::geometry::offset::distance::Edge;
use crate::geometry::{Ring, ring_area};
use crate::kept::Kept;

/// What is narrower than a least width by less than this, in inches, is as wide: bridges are drawn to the
/// very width.
pub const AS_WIDE: f64 = 0.001;

/// How far polygons may stray from the outline, in inches: a width is wanted to a thousandth.
const FLAT: f64 = 2.5e-4;

/// The opening grows back this much further than it shrank, in inches, to swallow rounding.
const GROWN_BACK: f64 = 1e-4;

/// A residue this many times longer than the least width is a thin part even at an end; what is
/// shorter is the tip of a corner.
const TIP: f64 = 1.5;

/// Residues of less area than this share of the square of the least width are rounding.
const SPECK: f64 = 0.01;

/// A residue's edge this far inside the outline, in inches, is where it hangs on larger parts.
const INSIDE: f64 = 4.0 * GROWN_BACK;

/// Points along a residue's edge lie no further apart than this share of the least width.
const PROBE_STEP: f64 = 0.1;

/// The most points tried along one residue.
const MOST_PROBES: usize = 2_000;

/// The most widths measured across one residue.
const MOST_CHORDS: usize = 300;

/// Thin parts found last, by outline and least width: those of the letters of a few long titles.
static FOUND: Kept<(BezPath, f64), Vec<Thin>> = Kept::new(512);

/// A part that is narrower than asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thin {
    /// A place in its middle, in inches.
    pub at: [f64; 2],
    /// Its width in inches: of a neck the narrowest, of a stroke or tail the usual.
    pub width: f64,
    /// Its length in inches.
    pub length: f64,
}

/// The parts of an outline narrower than `threshold` inches, from the narrowest to the widest.
pub fn thin_parts(path: &BezPath, threshold: f64) -> Vec<Thin> {
    if !threshold.is_finite() || threshold <= 4.0 * GROWN_BACK {
        return Vec::new();
    }
    FOUND.of((path.clone(), threshold), |(path, threshold)| found(path, *threshold))
}

fn found(path: &BezPath, threshold: f64) -> Vec<Thin> {
    let whole = Polygons::within_tolerance(path, FLAT);
    let half = threshold / 2.0;
    let shrunk = whole.offset(-half);
    let opened = shrunk.offset(half + GROWN_BACK);
    let outline =
        Outline { near: Edge::of(&whole), edges: whole.rings().flat_map(edges).collect() };
    let mut found: Vec<Thin> = whole
        .without(&opened)
        .0
        .iter()
        .filter_map(|residue| thin(residue, &outline, threshold))
        .collect();
    found.extend(bottlenecks(&shrunk, half));
    found.sort_by(|one, other| {
        one.width
            .total_cmp(&other.width)
            .then(one.at[0].total_cmp(&other.at[0]))
            .then(one.at[1].total_cmp(&other.at[1]))
    });
    found
}

/// The outline's edges, and a way to ask what is near them.
struct Outline {
    near: Edge,
    edges: Vec<[[f64; 2]; 2]>,
}

/// Places where larger parts overlap by less than the least width: the opening covers them, since
/// each part covers its own half, but shrinking has come between the two.
fn bottlenecks(shrunk: &Polygons, half: f64) -> Vec<Thin> {
    let bodies: Vec<Polygons> =
        shrunk.0.iter().map(|body| Polygons(vec![body.clone()]).offset(half)).collect();
    let bounds: Vec<[[f64; 2]; 2]> = bodies.iter().map(|body| bounds(body.rings())).collect();
    let mut found = Vec::new();
    for (one, body) in bodies.iter().enumerate() {
        for other in one + 1..bodies.len() {
            if !meet(bounds[one], bounds[other]) {
                continue;
            }
            let shared = body.within(&bodies[other]);
            found.extend(shared.0.iter().filter_map(|shape| bottleneck(shape)));
        }
    }
    found
}

/// The overlap of two parts: as wide as it is long from tip to tip, across the way between them.
fn bottleneck(shape: &[Ring]) -> Option<Thin> {
    let ring = shape.first()?;
    let area = ring_area(ring).abs();
    if area < f64::EPSILON {
        return None;
    }
    let (mut width, mut at) = (0.0, *ring.first()?);
    for (index, one) in ring.iter().enumerate() {
        for other in ring.iter().skip(index + 1) {
            let apart = (other[0] - one[0]).hypot(other[1] - one[1]);
            if apart > width {
                (width, at) = (apart, [(one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0]);
            }
        }
    }
    (width > GROWN_BACK).then(|| Thin { at, width, length: area / width })
}

/// What a residue of the opening is, unless it is a corner's tip or rounding.
fn thin(residue: &[Ring], outline: &Outline, threshold: f64) -> Option<Thin> {
    let area: f64 = residue.iter().map(ring_area).sum();
    if area < SPECK * threshold * threshold {
        return None;
    }
    let probes: Vec<Vec<Probe>> =
        residue.iter().map(|ring| probes(ring, &outline.near, threshold)).collect();
    let hangs: usize = probes.iter().map(|ring| runs(ring)).sum();
    let perimeter: f64 = residue.iter().map(ring_length).sum();
    let mean = mean_width(area, perimeter);
    let length = match hangs {
        1 => reach(&probes),
        _ if mean > 0.0 => area / mean,
        _ => perimeter / 2.0,
    };
    let is_neck = hangs > 1;
    if !is_neck && length < TIP * threshold {
        return None;
    }
    let mut widths = chords(residue, &probes, outline, threshold);
    widths.sort_by(|one, other| one.0.total_cmp(&other.0));
    let chosen = if is_neck { widths.first() } else { widths.get(widths.len() / 2) };
    let (width, at) = chosen.copied().or_else(|| first_place(residue).map(|at| (mean, at)))?;
    Some(Thin { at, width: width.min(threshold), length })
}

/// How far a residue sticks out from the larger part on which it hangs.
fn reach(probes: &[Vec<Probe>]) -> f64 {
    let (free, held): (Vec<Probe>, Vec<Probe>) =
        probes.iter().flatten().partition(|probe| probe.on_outline);
    let from_held = |probe: &Probe| {
        held.iter()
            .map(|other| (other.at[0] - probe.at[0]).hypot(other.at[1] - probe.at[1]))
            .fold(f64::INFINITY, f64::min)
    };
    free.iter().map(from_held).filter(|apart| apart.is_finite()).fold(0.0, f64::max)
}

/// The width of a strip of this area and edge: the smaller root of w (p / 2 - w) = a.
fn mean_width(area: f64, perimeter: f64) -> f64 {
    let quarter = perimeter / 4.0;
    quarter - (quarter * quarter - area).max(0.0).sqrt()
}

/// A point on a residue's edge.
#[derive(Clone, Copy)]
struct Probe {
    at: [f64; 2],
    /// Into the residue, of length 1.
    inward: [f64; 2],
    /// Whether the edge is the outline's too.
    on_outline: bool,
}

fn probes(ring: &Ring, outside: &Edge, threshold: f64) -> Vec<Probe> {
    let step = (PROBE_STEP * threshold).max(ring_length(ring) / 1_900.0);
    let mut found = Vec::new();
    for [one, two] in edges(ring) {
        let along = [two[0] - one[0], two[1] - one[1]];
        let length = along[0].hypot(along[1]);
        if length < 1e-9 {
            continue;
        }
        // Rings run with the paper on their right on the page: outsides clockwise, holes against.
        let inward = [-along[1] / length, along[0] / length];
        let mut share = (step / 2.0).min(length / 2.0);
        while share < length && found.len() < MOST_PROBES {
            let at = [one[0] + along[0] * share / length, one[1] + along[1] * share / length];
            found.push(Probe { at, inward, on_outline: outside.is_within(at, INSIDE) });
            share += step;
        }
    }
    found
}

/// How many stretches of a ring lie inside the outline.
fn runs(ring: &[Probe]) -> usize {
    let begins = ring.iter().zip(ring.iter().cycle().skip(1));
    let changes = begins.filter(|(one, two)| one.on_outline && !two.on_outline).count();
    if changes == 0 { usize::from(ring.iter().any(|probe| !probe.on_outline)) } else { changes }
}

/// Widths of the paper across a residue, and the middles of them.
fn chords(
    residue: &[Ring],
    probes: &[Vec<Probe>],
    outline: &Outline,
    threshold: f64,
) -> Vec<(f64, [f64; 2])> {
    let around = bounds(residue.iter());
    let [low, high] = around;
    let grown = [low.map(|side| side - threshold), high.map(|side| side + threshold)];
    let near: Vec<_> =
        outline.edges.iter().copied().filter(|edge| meet(corners(*edge), grown)).collect();
    let on_outline: Vec<&Probe> =
        probes.iter().flatten().filter(|probe| probe.on_outline).collect();
    let mut found = Vec::new();
    for probe in on_outline.iter().step_by(on_outline.len().div_ceil(MOST_CHORDS).max(1)) {
        let across =
            near.iter().filter_map(|edge| meeting(probe, *edge)).fold(f64::INFINITY, f64::min);
        // What is narrower is the wedge where a residue's own edge leaves the outline.
        if (2.0 * INSIDE..=1.01 * threshold).contains(&across) {
            let half = across / 2.0;
            let middle =
                [probe.at[0] + half * probe.inward[0], probe.at[1] + half * probe.inward[1]];
            found.push((across, middle));
        }
    }
    found
}

/// The top left and bottom right of rings.
fn bounds<'a>(rings: impl Iterator<Item = &'a Ring>) -> [[f64; 2]; 2] {
    rings.flatten().fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |[low, high], point| {
        [
            [low[0].min(point[0]), low[1].min(point[1])],
            [high[0].max(point[0]), high[1].max(point[1])],
        ]
    })
}

/// The top left and bottom right of an edge.
fn corners([one, two]: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    [[one[0].min(two[0]), one[1].min(two[1])], [one[0].max(two[0]), one[1].max(two[1])]]
}

/// Whether two boxes have a point in common.
fn meet([low, high]: [[f64; 2]; 2], [other_low, other_high]: [[f64; 2]; 2]) -> bool {
    (0..2).all(|axis| low[axis] <= other_high[axis] && other_low[axis] <= high[axis])
}

/// How far along a probe's inward ray it meets an edge that faces it.
fn meeting(probe: &Probe, [one, two]: [[f64; 2]; 2]) -> Option<f64> {
    let along = [two[0] - one[0], two[1] - one[1]];
    let facing = probe.inward[0] * along[1] - probe.inward[1] * along[0];
    if facing <= 1e-12 {
        return None;
    }
    let to = [one[0] - probe.at[0], one[1] - probe.at[1]];
    let reach = (to[0] * along[1] - to[1] * along[0]) / facing;
    let share = (to[0] * probe.inward[1] - to[1] * probe.inward[0]) / facing;
    (reach > 1e-7 && (0.0..=1.0).contains(&share)).then_some(reach)
}

fn first_place(residue: &[Ring]) -> Option<[f64; 2]> {
    residue.first().and_then(|ring| ring.first()).copied()
}
