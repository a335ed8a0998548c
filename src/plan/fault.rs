//! Faults of what can't be cut.

use crate::description::{Fault, Place, Problem};

/// What can't be cut, told at its place in the spec.
pub(super) fn at(place: Place, message: String, help: String) -> Problem {
    Problem { fault: Fault::CannotCut, ..Problem::at(place, message, help) }
}
