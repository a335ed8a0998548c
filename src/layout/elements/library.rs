//! The shapes of the library beyond the plain ones, measured.

use crate::description::{
    Arrow, Cloud, CornersSpec, Frame, Leaf, Marked, Pennants, Plaque, ScallopEdge, Sunburst, Ticket,
};
use crate::model::length::Length;
use crate::shapes::{self, Corner, Notches, Pennant, Windows};

use super::super::reading::Reader;
use super::drawn::{Measured, across, by_form};
use super::{corner, extent, machine_cut, positive_size, torn};

/// Pennants on a string, if the spec says nothing.
const PENNANTS: u32 = 7;
/// Rays of a sunburst, if the spec says nothing.
const RAYS: u32 = 12;
/// Pairs of veins of a leaf, if the spec says nothing.
const VEINS: u32 = 4;

/// A rectangle with scalloped edges.
pub(super) fn scallop_edge(reader: &mut Reader<'_>, edge: &ScallopEdge, id: &str) -> Measured {
    let size = extent(reader, &edge.size)?;
    let bump = reader.distance(edge.scallop.as_ref(), Length::part(1, 2), "scallop").to_inches();
    let edges = match &edge.edges[..] {
        [] => [false, false, true, false],
        edges => torn::edges(reader, edges),
    };
    let [width, height] = size.to_inches();
    let drawing = shapes::scallop_edge(width, height, edges, bump);
    machine_cut(reader, &edge.paper, "scallop edge", id, edge.size.place, size, drawing)
}

/// A ticket.
pub(super) fn ticket(reader: &mut Reader<'_>, ticket: &Ticket, id: &str) -> Measured {
    let size = extent(reader, &ticket.size)?;
    let radius = reader.distance(ticket.radius.as_ref(), size.height / 8, "radius").to_inches();
    let notches = reader.choice(ticket.notches.as_ref(), Notches::Ends);
    let [width, height] = size.to_inches();
    let drawing = shapes::ticket(width, height, notches, radius);
    machine_cut(reader, &ticket.paper, "ticket", id, ticket.size.place, size, drawing)
}

/// A string of pennants.
pub(super) fn pennants(reader: &mut Reader<'_>, string: &Pennants, id: &str) -> Measured {
    let size = extent(reader, &string.size)?;
    let count = string.pennants.as_ref().map_or(PENNANTS, |count| count.value);
    let form = reader.choice(string.form.as_ref(), Pennant::Point);
    let band = reader.distance(string.band.as_ref(), size.height / 6, "band").to_inches();
    let gap = reader.distance(string.gap.as_ref(), Length::ZERO, "gap").to_inches();
    let [width, height] = size.to_inches();
    let drawing = shapes::pennants(width, height, (count, form), band, gap);
    machine_cut(reader, &string.paper, "pennants", id, string.size.place, size, drawing)
}

/// An arrow.
pub(super) fn arrow(reader: &mut Reader<'_>, arrow: &Arrow, id: &str) -> Measured {
    let size = extent(reader, &arrow.size)?;
    let usual = (size.height * 3 / 4).min(size.width / 2);
    let head = reader.distance(arrow.head.as_ref(), usual, "head").to_inches();
    let shaft = reader.distance(arrow.shaft.as_ref(), size.height * 2 / 5, "shaft").to_inches();
    let [width, height] = size.to_inches();
    let drawing = shapes::arrow(width, height, head, shaft);
    machine_cut(reader, &arrow.paper, "arrow", id, arrow.size.place, size, drawing)
}

/// A plaque.
pub(super) fn plaque(reader: &mut Reader<'_>, plaque: &Plaque, id: &str) -> Measured {
    let size = extent(reader, &plaque.size)?;
    let depth = reader.distance(plaque.depth.as_ref(), size.height / 4, "depth").to_inches();
    let [width, height] = size.to_inches();
    let drawing = shapes::plaque(width, height, depth);
    machine_cut(reader, &plaque.paper, "plaque", id, plaque.size.place, size, drawing)
}

/// A frame.
pub(super) fn frame(reader: &mut Reader<'_>, frame: &Frame, id: &str) -> Measured {
    let size = extent(reader, &frame.size)?;
    let window = positive_size(reader, &frame.window)?;
    let mut cornered = |corners: &Option<Marked<CornersSpec>>| {
        corners.as_ref().map_or(Corner::Square, |corners| corner(reader, &corners.value))
    };
    let outside = cornered(&frame.corners);
    let mut windows =
        Windows { corner: cornered(&frame.window_corners), ..Windows::one(window.to_inches()) };
    if let Some(several) = &frame.windows {
        windows.columns = several.value.columns.as_ref().map_or(1, |columns| columns.value);
        windows.rows = several.value.rows.as_ref().map_or(1, |rows| rows.value);
        let gap = several.value.gap.as_ref();
        windows.gap = reader.distance(gap, Length::part(1, 4), "gap between windows").to_inches();
    }
    let [width, height] = size.to_inches();
    let drawing = shapes::frame(width, height, outside, windows);
    machine_cut(reader, &frame.paper, "frame", id, frame.window.place, size, drawing)
}

/// A sunburst.
pub(super) fn sunburst(reader: &mut Reader<'_>, sun: &Sunburst, id: &str) -> Measured {
    let diameter = across(reader, &sun.diameter, "diameter")?;
    let middle = reader.distance(sun.middle.as_ref(), diameter * 2 / 5, "middle").to_inches();
    let rays = sun.rays.as_ref().map_or(RAYS, |rays| rays.value);
    let drawing = shapes::sunburst(diameter.to_inches(), rays, middle);
    by_form(reader, &sun.paper, "sunburst", id, sun.diameter.place, drawing)
}

/// A leaf.
pub(super) fn leaf(reader: &mut Reader<'_>, leaf: &Leaf, id: &str) -> Measured {
    let size = extent(reader, &leaf.size)?;
    let veins = leaf.veins.as_ref().map_or(VEINS, |veins| veins.value);
    let [width, height] = size.to_inches();
    let drawing = shapes::leaf(width, height, veins);
    machine_cut(reader, &leaf.paper, "leaf", id, leaf.size.place, size, drawing)
}

/// A cloud.
pub(super) fn cloud(reader: &mut Reader<'_>, cloud: &Cloud, id: &str) -> Measured {
    let size = extent(reader, &cloud.size)?;
    let [width, height] = size.to_inches();
    let drawing = shapes::cloud(width, height);
    machine_cut(reader, &cloud.paper, "cloud", id, cloud.size.place, size, drawing)
}
