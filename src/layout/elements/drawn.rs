//! Shapes of a few numbers that the machine cuts: rings, polygons, stars, hearts, scallops.

use crate::description::{Heart, Marked, Place, Polygon, Ring, Scallop, Star, Text, Written};
use crate::geometry::Drawing;
use crate::model::Fault;
use crate::model::length::{Length, LengthSum, Size};
use crate::shapes::{self};

use super::super::blocks::Part;
use super::super::reading::{Along, Reader};
use super::{extent, machine_cut};

/// Points of a star, if the spec says nothing.
const POINTS: u32 = 5;
/// Scallops round a circle, if the spec says nothing.
const SCALLOPS: u32 = 16;

/// Size and parts of an element; nothing when a problem was noted.
pub(super) type Measured = Option<(Size, Vec<Part>)>;

/// A ring.
pub(super) fn ring(reader: &mut Reader<'_>, ring: &Ring, id: &str) -> Measured {
    let diameter = across(reader, &ring.diameter, "diameter")?;
    let width = across(reader, &ring.width, "width of the band")?;
    let drawing = shapes::ring(diameter.to_inches(), width.to_inches());
    let exact = Size::new(diameter, diameter);
    machine_cut(reader, &ring.paper, "ring", id, ring.width.place, exact, drawing)
}

/// A regular polygon.
pub(super) fn polygon(reader: &mut Reader<'_>, polygon: &Polygon, id: &str) -> Measured {
    let diameter = across(reader, &polygon.diameter, "diameter")?;
    let drawing = shapes::polygon(polygon.sides.value, diameter.to_inches());
    by_form(reader, &polygon.paper, "polygon", id, polygon.sides.place, drawing)
}

/// A star.
pub(super) fn star(reader: &mut Reader<'_>, star: &Star, id: &str) -> Measured {
    let diameter = across(reader, &star.diameter, "diameter")?;
    let depth = match &star.depth {
        Some(depth) => across(reader, depth, "depth")?,
        None => diameter / 4,
    };
    let points = star.points.as_ref().map_or(POINTS, |points| points.value);
    let drawing = shapes::star(points, diameter.to_inches(), depth.to_inches());
    by_form(reader, &star.paper, "star", id, star.diameter.place, drawing)
}

/// A heart.
pub(super) fn heart(reader: &mut Reader<'_>, heart: &Heart, id: &str) -> Measured {
    let size = extent(reader, &heart.size)?;
    let [width, height] = size.to_inches();
    let drawing = shapes::heart(width, height);
    machine_cut(reader, &heart.paper, "heart", id, heart.size.place, size, drawing)
}

/// A circle with a scalloped edge.
pub(super) fn scallop(reader: &mut Reader<'_>, scallop: &Scallop, id: &str) -> Measured {
    let diameter = across(reader, &scallop.diameter, "diameter")?;
    let scallops = scallop.scallops.as_ref().map_or(SCALLOPS, |count| count.value);
    let drawing = shapes::scallop_circle(diameter.to_inches(), scallops);
    by_form(reader, &scallop.paper, "scallop", id, scallop.diameter.place, drawing)
}

pub(super) fn across(
    reader: &mut Reader<'_>,
    text: &Written<LengthSum>,
    what: &str,
) -> Option<Length> {
    let length = reader.positive(text, Along::Width, what);
    (length > Length::ZERO).then_some(length)
}

/// A shape whose box follows from its form.
pub(super) fn by_form(
    reader: &mut Reader<'_>,
    paper: &Marked<Text>,
    kind: &'static str,
    id: &str,
    place: Place,
    drawing: Result<Drawing, Fault>,
) -> Measured {
    let [width, height] = drawing.as_ref().map_or([0.0; 2], Drawing::size);
    machine_cut(reader, paper, kind, id, place, Size::inches(width, height), drawing)
}
