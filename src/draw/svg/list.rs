//! A display list as SVG.

use svg::Node;
use svg::node::element::{Element, Group, Title};

use super::super::attributes::{dashes, data, fixed, moved, plain};
use super::super::display_list::{Item, Outline, Paint, Shape, Text};
use super::super::lettering::Lettering;

/// The list as a group; its words become outlines of `lettering`, its titles are told by a viewer.
pub(crate) fn drawn(items: &[Item<'_>], lettering: &mut Lettering<'_>) -> Group {
    items.iter().fold(Group::new(), |group, item| match item {
        Item::Shape(shape) => group.add(self::shape(shape)),
        Item::Text(text) => group.add(words(text, lettering)),
        Item::Group(inner) => {
            let mut drawn = drawn(&inner.items, lettering);
            if inner.lay != kurbo::Affine::IDENTITY {
                drawn = moved(inner.lay).add(drawn);
            }
            if !inner.title.is_empty() {
                drawn = drawn.add(Title::new(plain(&inner.title)));
            }
            assign_class(&mut drawn, inner.class);
            group.add(drawn)
        }
    })
}

fn shape(shape: &Shape<'_>) -> Element {
    let (name, places) = match &shape.outline {
        Outline::Path(path) => {
            let turns = [("fill-rule", "evenodd"), ("stroke-linejoin", "round")];
            let turns = turns.map(|(name, value)| (name, value.to_owned()));
            ("path", [vec![("d", data(path))], turns.to_vec()].concat())
        }
        Outline::Rectangle(rectangle, radius) => {
            let (at, size) = (rectangle.origin(), rectangle.size());
            let mut places =
                vec![("x", at.x), ("y", at.y), ("width", size.width), ("height", size.height)];
            if *radius > 0.0 {
                places.push(("rx", *radius));
            }
            ("rect", places.into_iter().map(|(name, value)| (name, fixed(value))).collect())
        }
        Outline::Disc(disc) => {
            let places = [("cx", disc.center.x), ("cy", disc.center.y), ("r", disc.radius)];
            ("circle", places.map(|(name, value)| (name, fixed(value))).to_vec())
        }
    };
    let mut element = Element::new(name);
    for (name, value) in places {
        element.assign(name, value);
    }
    match &shape.fill {
        None => element.assign("fill", "none"),
        Some(Paint::Pattern(name)) => element.assign("fill", format!("url(#{name})")),
        Some(Paint::Ink(ink, opacity)) => {
            element.assign("fill", *ink);
            assign_opacity(&mut element, "fill-opacity", *opacity);
        }
    }
    if let Some(stroke) = &shape.stroke {
        element.assign("stroke", stroke.ink);
        element.assign("stroke-width", fixed(stroke.width));
        assign_opacity(&mut element, "stroke-opacity", stroke.opacity);
        if !stroke.dashes.is_empty() {
            element.assign("stroke-dasharray", dashes(stroke.dashes));
        }
    }
    assign_class(&mut element, shape.class);
    element
}

fn words(text: &Text<'_>, lettering: &mut Lettering<'_>) -> Group {
    let at = [text.at.x, text.at.y];
    let mut words = lettering.words(&text.words, at, text.size, text.anchor).set("fill", text.ink);
    assign_class(&mut words, text.class);
    words
}

fn assign_opacity(element: &mut Element, name: &str, opacity: f64) {
    if opacity < 1.0 {
        element.assign(name, fixed(opacity));
    }
}

fn assign_class(node: &mut impl Node, class: &str) {
    if !class.is_empty() {
        node.assign("class", class);
    }
}
