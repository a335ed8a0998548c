//! The sweep line over curves, kept from taking the program down.
//!
//! On rare inputs the sweep line meets an order of curves that it holds
//! impossible, and panics; nothing in the input tells beforehand. Such a panic is caught and the sweep given
//! up. The same curves turned by some angle go through as a rule, since the order is by height.

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{Affine, BezPath};
use linesweeper::topology::{Topology, WindingNumber};

/// How exactly the sweep line places crossings, in inches: a thousandth of what a blade can follow.
const ACCURACY: f64 = 1e-6;

/// Turns in radians that are tried one after the other: odd angles, so that no edge that is level
/// in one is level in another.
pub(super) const TURNS: [f64; 3] = [0.0, 0.41, 1.13];

thread_local! {
    /// Whether this thread is in a sweep whose panic is caught.
    static SWEEPING: Cell<bool> = const { Cell::new(false) };
}

/// Whether a panic of this thread would be caught at once and answered by another way to the same outline. A
/// program's panic hook may leave it unreported; the library sets no hook of its own.
pub fn panic_is_caught() -> bool {
    SWEEPING.get()
}

/// The contours of what `inside` holds, the paths turned while they are swept; nothing where the
/// sweep line fails. The paths must be closed and finite.
pub(super) fn sweep<W: WindingNumber>(
    paths: &[(&BezPath, W::Tag)],
    turn: f64,
    inside: impl Fn(&W) -> bool,
) -> Option<BezPath> {
    let turned: Vec<(BezPath, W::Tag)> = paths
        .iter()
        .map(|(path, tag)| {
            (if turn == 0.0 { (*path).clone() } else { Affine::rotate(turn) * *path }, *tag)
        })
        .collect();
    let mut found = caught(|| {
        let topology =
            Topology::<W>::from_paths(turned.iter().map(|(path, tag)| (path, *tag)), ACCURACY);
        topology.ok().map(|topology| {
            let mut found = BezPath::new();
            for contour in topology.contours(inside).into_contours() {
                found.extend(contour.path);
            }
            found
        })
    })?;
    if turn != 0.0 {
        found.apply_affine(Affine::rotate(-turn));
    }
    Some(found)
}

/// What the work gives; nothing if it panics.
fn caught<T>(work: impl FnOnce() -> Option<T>) -> Option<T> {
    SWEEPING.set(true);
    let done = catch_unwind(AssertUnwindSafe(work));
    SWEEPING.set(false);
    done.ok().flatten()
}
