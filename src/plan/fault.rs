//! Faults of what can't be cut.

use crate::description::{FaultKind, Place, Problem};

/// What can't be cut, told at its place in the spec.
pub(super) fn at(place: Place, message: String, help: String) -> Problem {
    Problem { fault: FaultKind::CannotCut, ..Problem::at(place, message, help) }
}
