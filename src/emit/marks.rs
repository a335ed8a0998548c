//! Registration marks as lines: the one way they are drawn, on whatever is cut or printed.

use kurbo::{BezPath, Circle, Shape};

use crate::record::{Mark, MarkKind};

/// How far the curves of a ring may stray from the circle, in inches.
const ROUND: f64 = 1e-5;

/// The lines of a mark in its own frame, that of the paper on the mat, to be drawn [`Mark::weight`] wide.
pub fn lines(mark: &Mark) -> BezPath {
    let [x, y] = mark.at;
    let mut path = BezPath::new();
    match mark.kind {
        MarkKind::Cross => {
            path.move_to((x - mark.arm, y));
            path.line_to((x + mark.arm, y));
            path.move_to((x, y - mark.arm));
            path.line_to((x, y + mark.arm));
        }
        MarkKind::Corner => {
            let [across, down] = mark.toward.map(f64::from);
            path.move_to((x + across * mark.arm, y));
            path.line_to((x, y));
            path.line_to((x, y + down * mark.arm));
        }
        MarkKind::Ring => path = Circle::new((x, y), mark.arm).to_path(ROUND),
    }
    path
}
