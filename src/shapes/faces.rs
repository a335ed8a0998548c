//! What is seen of folded things once they lie on their page, from the measures they are cut by.
//!
//! A step of a pop-up is not among them: as long as its card lies open it lies flat, as it is cut.

use kurbo::{Affine, BezPath, Point, Shape};

use super::closed_lines;
use super::folded::{Envelope, notched_edge};
use crate::geometry::arc::line;
use crate::geometry::rectangle;
use crate::shapes::finished::{Face, Finished};
use crate::shapes::folding::over;

/// A pocket: its face, the tabs behind it.
pub fn folded_pocket([width, height]: [f64; 2], tab: f64, notch: f64) -> Finished {
    let mut face = notched_edge(width, notch);
    for corner in [(width, 0.0), (width, height), (0.0, height)] {
        line(&mut face, corner.into());
    }
    face.close_path();
    Finished::one(face, [tab, 0.0])
}

/// A closed envelope that lies on its back: the bottom on the side flaps, the upper flap on the bottom.
pub fn folded_envelope(envelope: Envelope) -> Finished {
    let Envelope { size: [width, height], side, flap, .. } = envelope;
    let to_back = Affine::translate((-side, -flap));
    let back = Face { path: rectangle(width, height), from: to_back, up: true, shows: false };
    let [top, right, bottom, left] = envelope.flaps();
    let flap = |points: Vec<(f64, f64)>, shows: bool| {
        let corners: Vec<Point> = points.into_iter().map(Point::from).collect();
        let fold = match (corners.first(), corners.last()) {
            (Some(from), Some(to)) => over(*from, *to),
            _ => Affine::IDENTITY,
        };
        Face {
            path: clockwise(fold * closed_lines(corners.into_iter())),
            from: fold * to_back,
            up: false,
            shows,
        }
    };
    let faces =
        vec![back, flap(right, false), flap(left, false), flap(bottom, true), flap(top, true)];
    Finished { outline: rectangle(width, height), faces, torn: None }
}

/// A tent laid flat: its lower face, the other one behind it.
pub fn folded_tent(width: f64, height: f64) -> Finished {
    Finished::one(rectangle(width, height), [0.0, height])
}

/// A closed accordion that lies on its first panel: the last one, whose back is seen if their number is
/// even.
pub fn folded_accordion(panels: u32, width: f64, height: f64) -> Finished {
    let path = rectangle(width, height);
    let last = f64::from(panels.saturating_sub(1)) * width;
    if panels % 2 == 1 {
        return Finished::one(path, [last, 0.0]);
    }
    let from = Affine::new([-1.0, 0.0, 0.0, 1.0, last + width, 0.0]);
    let faces = vec![Face { path: path.clone(), from, up: false, shows: true }];
    Finished { outline: path, faces, torn: None }
}

/// A closed gatefold card: the backs of its gates, and between them a hair of its inside.
pub fn folded_gatefold(width: f64, height: f64, gap: f64) -> Finished {
    let gate = (width - gap) / 2.0;
    let to_middle = Affine::translate((-gate, 0.0));
    let panel = |at: f64, width: f64| Affine::translate((at, 0.0)) * rectangle(width, height);
    let gate_over = |fold: f64, at: f64| Face {
        path: panel(at, gate),
        from: over(Point::new(fold, 0.0), Point::new(fold, height)) * to_middle,
        up: false,
        shows: true,
    };
    let middle = Face { path: panel(0.0, width), from: to_middle, up: true, shows: false };
    let faces = vec![middle, gate_over(0.0, 0.0), gate_over(width, width - gate)];
    Finished { outline: rectangle(width, height), faces, torn: None }
}

/// A photo corner: its triangle, the tabs behind it.
pub fn folded_photo_corner(size: f64, tab: f64) -> Finished {
    let corners = [(0.0, 0.0), (size, 0.0), (0.0, size)];
    Finished::one(closed_lines(corners.into_iter().map(Point::from)), [tab, tab])
}

fn clockwise(path: BezPath) -> BezPath {
    if path.area() < 0.0 { path.reverse_subpaths() } else { path }
}
