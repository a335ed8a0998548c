//! Rows and columns that a page asks for, and what is told where it can't have what it asks for.

use crate::description::{LineSpec, Marked, Place, Text, Where, Written};
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

/// What decides where a piece lies along an axis, whatever else is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout) enum Decides {
    /// What it is repeated along, or the edge that its border runs along.
    Run,
    /// A row or a column.
    Line,
    /// What it lies between.
    Between,
}

impl Decides {
    fn in_words(self, axis: usize) -> &'static str {
        match (self, axis) {
            (Self::Run, _) => "what it runs along",
            (Self::Line, 0) => "its row",
            (Self::Line, _) => "its column",
            (Self::Between, _) => "`between`",
        }
    }
}

/// Notes a problem where a position is written that something else decides. `tucked` is where the piece is
/// tucked under another that way, `between` where it is said what it lies between. Of what runs along
/// something, edges and neighbours are told where it is laid.
pub(in crate::layout) fn nothing_else(
    reader: &mut Reader<'_>,
    at: &Where,
    (by, axis): (Decides, usize),
    [tucked, between]: [Option<Place>; 2],
) {
    let edges = edges(at, axis).map(|edge| edge.as_ref().map(|text| text.place));
    let edge = edges.into_iter().flatten().find(|place| place.line.is_some());
    let beside = beside(at, axis).into_iter().flatten().map(|name| name.place).next();
    let between = between.filter(|_| by != Decides::Between);
    let own = edge.or(beside).filter(|_| by != Decides::Run);
    let Some(place) = own.or(tucked).or(between) else { return };
    let by = by.in_words(axis);
    let message = format!("where it lies {} is decided by {by}", WAYS[axis]);
    reader.problem(place, message, "leave this out, or take the piece out there");
}

/// Notes a problem where more than one position is written along an axis.
pub(in crate::layout) fn one_only(reader: &mut Reader<'_>, at: &Where, axis: usize) {
    let edges = edges(at, axis).map(|edge| edge.as_ref().map(|text| text.place));
    let beside = beside(at, axis).map(|name| name.map(|name| name.place));
    let given: Vec<Place> = beside.into_iter().chain(edges).flatten().collect();
    if let [_, second, ..] = given[..] {
        let message = "two positions along the same direction";
        reader.problem(second, message, "keep one: the piece's size says the rest");
    }
}

/// The places from edges and the middle of the page along an axis.
const fn edges(at: &Where, axis: usize) -> [&Option<Written<LengthSum>>; 3] {
    match axis {
        0 => [&at.left, &at.center, &at.right],
        _ => [&at.top, &at.middle, &at.bottom],
    }
}

/// The pieces behind which and before which one lies along an axis.
const fn beside(at: &Where, axis: usize) -> [Option<&Marked<Text>>; 2] {
    match axis {
        0 => [at.right_of.as_ref(), at.left_of.as_ref()],
        _ => [at.below.as_ref(), at.above.as_ref()],
    }
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
