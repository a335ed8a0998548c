//! Faults of what can't be cut.

use crate::description::{FaultKind, Place, Problem};
use crate::layout::Layout;

/// What can't be cut, told at its place in the spec.
pub(super) fn at(place: Place, message: String, help: String) -> Problem {
    Problem { fault: FaultKind::CannotCut, ..Problem::at(place, message, help) }
}

/// What to add where no sheet for the printer is left of a paper.
pub(super) fn no_printer_sheet(layout: &Layout, paper: usize) -> String {
    let size = layout.printer.paper.show(layout.units);
    let name = layout.papers.get(paper).map_or("it", |paper| &paper.name);
    let turned = match layout.goes_crosswise(paper) {
        true => "",
        false => " (its direction forbids turning one)",
    };
    format!(
        "the printer takes {size}: add such a sheet of {name}, or a larger one to cut it from{turned}"
    )
}
