//! A display list as SVG.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect};
use svg::Node;
use svg::node::element::{self, ClipPath, Element, Group, Path, Title, Use};

use super::{Means, Pictures};
use crate::draw::attributes::{color, dashes, data, fixed, matrix, plain};
use crate::draw::display_list::{self as list, Image, Item, Outline, Paint, Pattern, Shape, Text};
use crate::draw::lettering::Lettering;

/// A list on its way into a picture.
pub(super) struct Writer<'a> {
    means: Means<'a>,
    lettering: Lettering<'a>,
    /// What the list refers to, written out.
    definitions: String,
    defined: BTreeSet<String>,
    shared: Vec<Arc<BezPath>>,
    clips: u32,
}

impl<'a> Writer<'a> {
    /// Nothing is written yet.
    pub fn new(means: Means<'a>) -> Self {
        Self {
            means,
            lettering: Lettering::new(means.prefix, means.label_font, means.letters),
            definitions: String::new(),
            defined: BTreeSet::new(),
            shared: Vec::new(),
            clips: 0,
        }
    }

    /// What the list refers to.
    pub fn definitions(mut self) -> String {
        for glyph in self.lettering.glyphs() {
            define(&mut self.definitions, &glyph);
        }
        self.definitions
    }

    /// A list as a group.
    pub fn list(&mut self, items: &[Item<'_>]) -> Group {
        items.iter().fold(Group::new(), |group, item| match item {
            Item::Shape(shape) => group.add(self.shape(shape)),
            Item::Text(text) => group.add(self.words(text)),
            Item::Run(run) => {
                let at = [run.at.x, run.at.y];
                let glyphs = self.lettering.run(run.run, self.means.fonts, at, run.size);
                group.add(glyphs.set("fill", color(run.ink).to_string()))
            }
            Item::Image(image) => group.add(self.image(image)),
            Item::Group(inner) => group.add(self.group(inner)),
        })
    }

    fn group(&mut self, inner: &list::Group<'_>) -> Group {
        let mut group = self.list(&inner.items);
        if inner.lay != Affine::IDENTITY {
            group.assign("transform", matrix(inner.lay));
        }
        if let Some(clip) = &inner.clip {
            group.assign("clip-path", self.clip(clip));
        }
        if inner.printed {
            group.assign("style", "mix-blend-mode:multiply");
        }
        assign_class(&mut group, inner.class);
        if inner.title.is_empty() { group } else { group.add(Title::new(plain(&inner.title))) }
    }

    fn clip(&mut self, outline: &Outline) -> String {
        self.clips += 1;
        let id = format!("{}-clip-{}", self.means.prefix, self.clips);
        let mut shows = self.outline(outline);
        shows.assign("clip-rule", "evenodd");
        let clip = ClipPath::new().set("id", id.as_str()).add(shows);
        define(&mut self.definitions, &clip);
        format!("url(#{id})")
    }

    fn shape(&mut self, shape: &Shape<'_>) -> Element {
        let mut element = self.outline(&shape.outline);
        if matches!(shape.outline, Outline::Path(_) | Outline::Shared(_)) {
            element.assign("fill-rule", "evenodd");
            element.assign("stroke-linejoin", "round");
        }
        match &shape.fill {
            None => element.assign("fill", "none"),
            Some(Paint::Pattern(pattern)) => element.assign("fill", self.pattern(pattern)),
            Some(Paint::Ink(ink, opacity)) => {
                element.assign("fill", color(ink).to_string());
                assign_opacity(&mut element, "fill-opacity", *opacity);
            }
        }
        if let Some(stroke) = &shape.stroke {
            element.assign("stroke", color(stroke.ink).to_string());
            element.assign("stroke-width", fixed(stroke.width));
            assign_opacity(&mut element, "stroke-opacity", stroke.opacity);
            if !stroke.dashes.is_empty() {
                element.assign("stroke-dasharray", dashes(stroke.dashes));
            }
            if stroke.round {
                element.assign("stroke-linecap", "round");
            }
        }
        assign_class(&mut element, shape.class);
        element
    }

    fn outline(&mut self, outline: &Outline) -> Element {
        let (name, places) = match outline {
            Outline::Path(path) => ("path", vec![("d", data(path))]),
            Outline::Shared(path) => ("use", vec![("href", self.shared(path))]),
            Outline::Rectangle(rectangle, radius) => {
                let rounded = (*radius > 0.0).then(|| ("rx", fixed(*radius)));
                ("rect", corners(*rectangle).into_iter().chain(rounded).collect())
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
        element
    }

    /// A link to an outline that is drawn several times.
    fn shared(&mut self, path: &Arc<BezPath>) -> String {
        let place = self.shared.iter().position(|other| Arc::ptr_eq(other, path));
        let place = place.unwrap_or_else(|| {
            let id = format!("{}-shape-{}", self.means.prefix, self.shared.len());
            define(&mut self.definitions, &Path::new().set("id", id).set("d", data(path)));
            self.shared.push(Arc::clone(path));
            self.shared.len() - 1
        });
        format!("#{}-shape-{place}", self.means.prefix)
    }

    fn pattern(&mut self, pattern: &Pattern<'_>) -> String {
        let id = format!("{}-{}", self.means.prefix, pattern.name);
        if self.defined.insert(id.clone()) {
            let side = fixed(pattern.side);
            let square = element::Pattern::new()
                .set("id", id.as_str())
                .set("width", side.as_str())
                .set("height", side)
                .set("patternUnits", "userSpaceOnUse")
                .set("patternTransform", format!("rotate({})", fixed(pattern.turn)))
                .add(self.list(&pattern.items));
            define(&mut self.definitions, &square);
        }
        format!("url(#{id})")
    }

    /// A picture of dots, which is defined once.
    fn image(&mut self, image: &Image) -> Group {
        let id = self.picture(image.number);
        let shown = Use::new().set("href", format!("#{id}")).set("transform", matrix(image.lay));
        let whole = Image::filling(image.number, image.field).lay.as_coeffs();
        let laid = image.lay.as_coeffs();
        let fills = whole.into_iter().zip(laid).all(|(one, other)| (one - other).abs() < 1e-9);
        let group = Group::new().add(shown);
        if fills {
            group
        } else {
            group.set("clip-path", self.clip(&Outline::Rectangle(image.field, 0.0)))
        }
    }

    /// The id of a picture of dots, which is defined if it is to be had here.
    pub fn picture(&mut self, number: usize) -> String {
        let (owner, found) = match self.means.pictures {
            Pictures::Here(pictures) => {
                (self.means.prefix, pictures.get(number).copied().flatten())
            }
            Pictures::In(owner) => (owner, None),
        };
        let id = format!("{owner}-picture-{number}");
        if let Some(address) = found.filter(|_| self.defined.insert(id.clone())) {
            let unit = Rect::new(0.0, 0.0, 1.0, 1.0);
            let mut picture = element::Image::new().set("id", id.as_str()).set("href", address);
            for (name, value) in corners(unit) {
                picture.assign(name, value);
            }
            define(&mut self.definitions, &picture.set("preserveAspectRatio", "none"));
        }
        id
    }

    fn words(&mut self, text: &Text<'_>) -> Group {
        let at = [text.at.x, text.at.y];
        let words = self.lettering.words(&text.words, at, text.size, text.anchor);
        let mut words = words.set("fill", color(text.ink).to_string());
        assign_class(&mut words, text.class);
        words
    }
}

fn define(definitions: &mut String, node: &impl Node) {
    // Writing to a string can't fail.
    let _ = writeln!(definitions, "{node}");
}

fn corners(rectangle: Rect) -> [(&'static str, String); 4] {
    let Rect { x0, y0, .. } = rectangle;
    [("x", x0), ("y", y0), ("width", rectangle.width()), ("height", rectangle.height())]
        .map(|(name, value)| (name, fixed(value)))
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
