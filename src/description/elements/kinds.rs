//! What elements of several kinds have in common: a size, a paper, photos.

use super::super::{Extent, Marked, Text, Written};
use super::Element;

impl Element {
    /// How often it shows a photo.
    pub fn shows(&self, name: &str) -> usize {
        if let Self::Photo(photo) = self {
            usize::from(photo.photo.value.0 == name)
        } else if let Self::Bank(bank) = self {
            bank.photos.iter().filter(|photo| photo.value.0 == name).count()
        } else {
            0
        }
    }

    /// Its size, where one side or both may be left to be fitted.
    pub const fn extent(&self) -> Option<&Written<Extent>> {
        match self {
            Self::Panel(one) => Some(&one.size),
            Self::Ellipse(one) => Some(&one.size),
            Self::Rectangle(one) => Some(&one.size),
            Self::Tag(one) => Some(&one.size),
            Self::Banner(one) => Some(&one.size),
            Self::Heart(one) => Some(&one.size),
            Self::ScallopEdge(one) => Some(&one.size),
            Self::Ticket(one) => Some(&one.size),
            Self::Pennants(one) => Some(&one.size),
            Self::Arrow(one) => Some(&one.size),
            Self::Plaque(one) => Some(&one.size),
            Self::Frame(one) => Some(&one.size),
            Self::Leaf(one) => Some(&one.size),
            Self::Cloud(one) => Some(&one.size),
            Self::Strip(_)
            | Self::Photo(_)
            | Self::Bank(_)
            | Self::Circle(_)
            | Self::Ring(_)
            | Self::Polygon(_)
            | Self::Star(_)
            | Self::Scallop(_)
            | Self::Sunburst(_)
            | Self::Pocket(_)
            | Self::Envelope(_)
            | Self::Tent(_)
            | Self::Accordion(_)
            | Self::Gatefold(_)
            | Self::Step(_)
            | Self::PhotoCorner(_)
            | Self::Shape(_)
            | Self::Cluster(_)
            | Self::Border(_) => None,
        }
    }

    /// The same, to write what was fitted.
    pub const fn extent_mut(&mut self) -> Option<&mut Written<Extent>> {
        match self {
            Self::Panel(one) => Some(&mut one.size),
            Self::Ellipse(one) => Some(&mut one.size),
            Self::Rectangle(one) => Some(&mut one.size),
            Self::Tag(one) => Some(&mut one.size),
            Self::Banner(one) => Some(&mut one.size),
            Self::Heart(one) => Some(&mut one.size),
            Self::ScallopEdge(one) => Some(&mut one.size),
            Self::Ticket(one) => Some(&mut one.size),
            Self::Pennants(one) => Some(&mut one.size),
            Self::Arrow(one) => Some(&mut one.size),
            Self::Plaque(one) => Some(&mut one.size),
            Self::Frame(one) => Some(&mut one.size),
            Self::Leaf(one) => Some(&mut one.size),
            Self::Cloud(one) => Some(&mut one.size),
            Self::Strip(_)
            | Self::Photo(_)
            | Self::Bank(_)
            | Self::Circle(_)
            | Self::Ring(_)
            | Self::Polygon(_)
            | Self::Star(_)
            | Self::Scallop(_)
            | Self::Sunburst(_)
            | Self::Pocket(_)
            | Self::Envelope(_)
            | Self::Tent(_)
            | Self::Accordion(_)
            | Self::Gatefold(_)
            | Self::Step(_)
            | Self::PhotoCorner(_)
            | Self::Shape(_)
            | Self::Cluster(_)
            | Self::Border(_) => None,
        }
    }

    /// Its paper, to change it; photos have several, one a mat.
    pub fn paper_mut(&mut self) -> Option<&mut Marked<Text>> {
        match self {
            Self::Photo(_) | Self::Bank(_) | Self::Cluster(_) | Self::Border(_) => None,
            Self::Panel(one) => Some(&mut one.paper),
            Self::Strip(one) => Some(&mut one.paper),
            Self::Circle(one) => Some(&mut one.paper),
            Self::Ellipse(one) => Some(&mut one.paper),
            Self::Rectangle(one) => Some(&mut one.paper),
            Self::Tag(one) => Some(&mut one.paper),
            Self::Banner(one) => Some(&mut one.paper),
            Self::Ring(one) => Some(&mut one.paper),
            Self::Polygon(one) => Some(&mut one.paper),
            Self::Star(one) => Some(&mut one.paper),
            Self::Heart(one) => Some(&mut one.paper),
            Self::Scallop(one) => Some(&mut one.paper),
            Self::ScallopEdge(one) => Some(&mut one.paper),
            Self::Ticket(one) => Some(&mut one.paper),
            Self::Pennants(one) => Some(&mut one.paper),
            Self::Arrow(one) => Some(&mut one.paper),
            Self::Plaque(one) => Some(&mut one.paper),
            Self::Frame(one) => Some(&mut one.paper),
            Self::Sunburst(one) => Some(&mut one.paper),
            Self::Leaf(one) => Some(&mut one.paper),
            Self::Cloud(one) => Some(&mut one.paper),
            Self::Pocket(one) => Some(&mut one.paper),
            Self::Envelope(one) => Some(&mut one.paper),
            Self::Tent(one) => Some(&mut one.paper),
            Self::Accordion(one) => Some(&mut one.paper),
            Self::Gatefold(one) => Some(&mut one.paper),
            Self::Step(one) => Some(&mut one.paper),
            Self::PhotoCorner(one) => Some(&mut one.paper),
            Self::Shape(one) => Some(&mut one.paper),
        }
    }
}
