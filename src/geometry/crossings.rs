//! How often the lines of an outline cross, counted before they are resolved: that takes time and memory
//! for each crossing.

use kurbo::{BezPath, PathEl, Point, Rect, Shape};

/// Most pairs of lines that are looked at.
const MOST_LOOKS: usize = 20_000_000;
/// How far lines stray from curves, as a share of the outline's extent: crossings are only counted.
const COARSE: f64 = 1e-3;

/// Whether more than `most` pairs of the paths' lines cross, or lie on each other.
pub(crate) fn more_than<'a>(paths: impl IntoIterator<Item = &'a BezPath>, most: usize) -> bool {
    let mut lines: Vec<([Point; 2], Rect)> = Vec::new();
    for path in paths {
        let bounds = path.bounding_box();
        let tolerance = (bounds.width().max(bounds.height()) * COARSE).max(1e-9);
        if tolerance.is_finite() {
            add(path, tolerance, &mut lines);
        }
    }
    lines.sort_by(|one, other| one.1.x0.total_cmp(&other.1.x0));
    let (mut looks, mut crossings) = (0_usize, 0_usize);
    for (index, (line, bounds)) in lines.iter().enumerate() {
        let beside = lines.iter().skip(index + 1);
        for (other, reach) in beside.take_while(|(_, reach)| reach.x0 <= bounds.x1) {
            looks += 1;
            let may = reach.y0 <= bounds.y1 && bounds.y0 <= reach.y1;
            crossings += usize::from(may && meet(line, other));
        }
        if looks > MOST_LOOKS || crossings > most {
            return true;
        }
    }
    false
}

/// Adds a path's lines, curves as a few of them.
fn add(path: &BezPath, tolerance: f64, lines: &mut Vec<([Point; 2], Rect)>) {
    let (mut start, mut here) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, tolerance, |element| {
        let to = match element {
            PathEl::MoveTo(to) => {
                (start, here) = (to, to);
                return;
            }
            PathEl::ClosePath => start,
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => to,
        };
        if to != here {
            lines.push(([here, to], Rect::from_points(here, to)));
        }
        here = to;
    });
}

/// Whether two lines cross or lie on each other. Lines that follow each other share one end.
fn meet(one: &[Point; 2], other: &[Point; 2]) -> bool {
    let shared = one.iter().filter(|end| other.contains(end)).count();
    if shared > 0 {
        return shared == 2;
    }
    let side = |[from, to]: &[Point; 2], at: Point| (*to - *from).cross(at - *from);
    side(one, other[0]) * side(one, other[1]) <= 0.0
        && side(other, one[0]) * side(other, one[1]) <= 0.0
}
