//! Rows and columns that a page asks for, and what is told where it can't have what it asks for.

use crate::description::{LineSpec, Place, Written};
use crate::model::length::{Length, LengthSum};

use super::super::reading::Reader;
use super::line::{Clash, Placed};

/// Which way a row and a column run.
pub(in crate::layout) const WAYS: [&str; 2] = ["across", "down"];

/// The room between two ends along an axis.
#[derive(Clone, Debug)]
pub(in crate::layout) struct Room {
    /// Where it begins and ends on the page.
    pub ends: [Length; 2],
    /// What its ends are called.
    pub names: [String; 2],
}

/// A row or a column that the spec asks for.
pub(in crate::layout) struct Asked<'a> {
    /// As it is written.
    pub spec: &'a LineSpec,
    /// Where it stands.
    pub place: Place,
    /// 0 for a row, 1 for a column.
    pub axis: usize,
    /// Its pieces, by place among the blocks.
    pub members: Vec<usize>,
    /// Where it was found to begin, and its pieces in it.
    pub placed: Option<(Room, Placed)>,
    /// Whether it is being solved.
    pub under_way: bool,
    /// Whether it goes by something of which nobody knows yet where it lies.
    pub unsure: bool,
}

/// Notes a problem where a position is written that a row, a column or `between` decides.
pub(in crate::layout) fn nothing_else(
    reader: &mut Reader<'_>,
    edges: &[&Option<Written<LengthSum>>; 3],
    axis: usize,
    in_line: bool,
) {
    let written =
        edges.iter().find_map(|edge| edge.as_ref().filter(|text| text.place.line.is_some()));
    let Some(text) = written else { return };
    let by = match (in_line, axis) {
        (true, 0) => "its row",
        (true, _) => "its column",
        (false, _) => "`between`",
    };
    let message = format!("where it lies {} is decided by {by}", WAYS[axis]);
    reader.problem(text.place, message, "leave this out, or take the piece out there");
}

/// Tells a contradiction.
pub(in crate::layout) fn clashes(reader: &mut Reader<'_>, place: Place, clash: &Clash) {
    let excess = clash.excess.show(reader.units);
    let message = format!("this can't all be kept: {}", clash.chain.join("; "));
    reader.problem(
        place,
        message,
        format!("make room for {excess} more, or take something smaller"),
    );
}
