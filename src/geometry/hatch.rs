//! Hatching: parallel pen lines that fill an outline.

use kurbo::{Affine, BezPath, Point};

use crate::geometry::{FLATTENING, Ring, offset, rings};

/// The most lines of one hatching; more is a black area, and hours of drawing.
const MOST_LINES: f64 = 5_000.0;

/// Parallel lines inside `path`, `gap` inches apart at `angle` degrees clockwise from level, ending
/// `inset` inches inside its edges. Every other line runs back, so that the pen has a short way. Empty
/// where nothing is left inside, where the gap is not more than 0, or for more than 5000 lines.
pub fn hatch(path: &BezPath, angle: f64, gap: f64, inset: f64) -> BezPath {
    let mut lines = BezPath::new();
    if !(gap > 0.0 && gap.is_finite() && angle.is_finite()) {
        return lines;
    }
    let inside = if inset > 0.0 { offset::inward(path, inset) } else { path.clone() };
    let level = Affine::rotate(-angle.to_radians());
    let rings = rings(&(level * inside), FLATTENING);
    let heights = rings.iter().flatten().map(|point| point[1]);
    let (top, bottom) = heights
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(top, bottom), y| (top.min(y), bottom.max(y)));
    let room = bottom - top;
    if !(room > 0.0 && room / gap < MOST_LINES) {
        return lines;
    }
    // As much paper stays above the first line as below the last.
    let count = (room / gap).floor();
    let first = top + (room - count * gap) / 2.0;
    let back = level.inverse();
    let mut index = 0.0;
    let mut turned = false;
    while index <= count {
        let y = first + index * gap;
        let mut stretches = inside_at(&rings, y, true);
        if turned {
            stretches.reverse();
        }
        for [from, to] in stretches {
            let [from, to] = if turned { [to, from] } else { [from, to] };
            lines.move_to(back * Point::new(from, y));
            lines.line_to(back * Point::new(to, y));
        }
        turned = !turned;
        index += 1.0;
    }
    lines
}

/// The stretches of a straight line that lie inside rings (even-odd): of the level line at the height
/// `at` if it runs `across`, else of the upright one so far right.
pub fn inside_at(rings: &[Ring], at: f64, across: bool) -> Vec<[f64; 2]> {
    let turn = |point: [f64; 2]| if across { point } else { [point[1], point[0]] };
    let mut crossings = Vec::new();
    for ring in rings {
        for (index, point) in ring.iter().enumerate() {
            let one = turn(*point);
            let other = turn(ring[(index + 1) % ring.len()]);
            if (one[1] < at) != (other[1] < at) {
                let share = (at - one[1]) / (other[1] - one[1]);
                crossings.push(one[0] + share * (other[0] - one[0]));
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}
