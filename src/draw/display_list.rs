//! What is drawn, from the lowest up, as data: the same list becomes SVG ([`super::svg`]) and a page
//! ([`super::pdf`]).

use std::sync::Arc;

use kurbo::{Affine, BezPath, Circle, Point, Rect, RoundedRect, Shape as _};

use super::{Anchor, Layer};

/// How far the curves of discs and round corners may stray, in inches.
const ROUND: f64 = 1e-4;

/// One thing that is drawn; lengths in inches, y down, colours as `#rrggbb`.
#[derive(Clone, Debug, PartialEq)]
pub enum Item<'a> {
    /// A shape.
    Shape(Shape<'a>),
    /// A line of words.
    Text(Text<'a>),
    /// Glyphs that are placed already.
    Run(Run<'a>),
    /// A picture of dots.
    Image(Image),
    /// Things that belong together.
    Group(Group<'a>),
}

/// A shape, filled or stroked or both.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape<'a> {
    /// Its outline.
    pub outline: Outline,
    /// What it is filled with.
    pub fill: Option<Paint<'a>>,
    /// The line along its outline.
    pub stroke: Option<Stroke<'a>>,
    /// What SVG knows it by; empty for nothing.
    pub class: &'static str,
}

/// An outline.
#[derive(Clone, Debug, PartialEq)]
pub enum Outline {
    /// Curves, filled by the even-odd rule.
    Path(BezPath),
    /// The same of an outline that is drawn several times: SVG holds it once.
    Shared(Arc<BezPath>),
    /// A rectangle and the radius of its corners.
    Rectangle(Rect, f64),
    /// A disc.
    Disc(Circle),
}

/// What a shape is filled with.
#[derive(Clone, Debug, PartialEq)]
pub enum Paint<'a> {
    /// A colour, and how opaque it is, from 0 to 1.
    Ink(&'a str, f64),
    /// A pattern; nothing on a page.
    Pattern(Arc<Pattern<'a>>),
}

/// Things that are repeated side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern<'a> {
    /// Its name, of which there is one in a picture.
    pub name: String,
    /// The side of the square that is repeated.
    pub side: f64,
    /// By how many degrees the squares are turned.
    pub turn: f64,
    /// The things in a square, the lowest first.
    pub items: Vec<Item<'a>>,
}

/// A line along an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke<'a> {
    /// Its colour.
    pub ink: &'a str,
    /// How opaque it is, from 0 to 1.
    pub opacity: f64,
    /// Its width.
    pub width: f64,
    /// Lengths of dashes and gaps in turn; none for a solid line.
    pub dashes: &'a [f64],
    /// Whether its ends, and those of its dashes, are round.
    pub round: bool,
}

/// A line of words.
#[derive(Clone, Debug, PartialEq)]
pub struct Text<'a> {
    /// The words.
    pub words: String,
    /// Where on the baseline.
    pub at: Point,
    /// What lies there.
    pub anchor: Anchor,
    /// The type size, an em in inches.
    pub size: f64,
    /// Whether bold, where there are two faces.
    pub bold: bool,
    /// Their colour.
    pub ink: &'a str,
    /// What SVG knows them by; empty for nothing.
    pub class: &'static str,
}

/// Glyphs at their places right of and above a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run<'a> {
    /// The glyphs, and the place of their font among those of the picture or the document.
    pub run: &'a crate::model::Run,
    /// The point.
    pub at: Point,
    /// The type size, an em in inches.
    pub size: f64,
    /// Their colour.
    pub ink: &'a str,
}

/// What a rectangle shows of a picture of dots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Image {
    /// Its place among those of the picture or the document.
    pub number: usize,
    /// How the unit square that it fills, y down, is laid.
    pub lay: Affine,
    /// The rectangle.
    pub field: Rect,
}

/// Things that belong together, in coordinates of their own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group<'a> {
    /// How they are laid on what is round them.
    pub lay: Affine,
    /// What shows of them, in their own coordinates; nothing if they show whole.
    pub clip: Option<Outline>,
    /// Whether they are printed on what lies below: ink lets paper through, and white is none, so colours are
    /// multiplied (W3C Compositing and Blending, 9.1.2), as `Color::on_paper` does. Within the group what is
    /// printed later replaces what is below it. Pages are printed so in any case.
    pub printed: bool,
    /// The layer of a page on which they are; it has none within it.
    pub layer: Option<Layer>,
    /// What SVG knows them by; empty for nothing.
    pub class: &'static str,
    /// What a viewer tells of them when it is pointed at them; empty for nothing.
    pub title: String,
    /// The things, the lowest first.
    pub items: Vec<Item<'a>>,
}

impl<'a> Stroke<'a> {
    /// A solid line.
    pub const fn new(ink: &'a str, width: f64) -> Self {
        Self { ink, opacity: 1.0, width, dashes: &[], round: false }
    }

    /// The line in dashes.
    #[must_use]
    pub const fn dashed(self, dashes: &'a [f64]) -> Self {
        Self { dashes, ..self }
    }
}

impl<'a> Shape<'a> {
    /// A shape that nothing shows of yet.
    pub fn new(outline: Outline) -> Self {
        Self { outline, fill: None, stroke: None, class: "" }
    }

    /// A rectangle that nothing shows of yet.
    pub fn rectangle(rectangle: Rect) -> Self {
        Self::new(Outline::Rectangle(rectangle, 0.0))
    }

    /// A path that nothing shows of yet.
    pub fn path(path: BezPath) -> Self {
        Self::new(Outline::Path(path))
    }

    /// A line between two points.
    pub fn line(from: impl Into<Point>, to: impl Into<Point>, stroke: Stroke<'a>) -> Self {
        Self::lines([[from.into(), to.into()]], stroke)
    }

    /// Lines, each between two points.
    pub fn lines(lines: impl IntoIterator<Item = [Point; 2]>, stroke: Stroke<'a>) -> Self {
        let mut path = BezPath::new();
        for [from, to] in lines {
            path.move_to(from);
            path.line_to(to);
        }
        Self::path(path).stroked(stroke)
    }

    /// The shape, filled.
    #[must_use]
    pub fn filled(self, paint: Paint<'a>) -> Self {
        Self { fill: Some(paint), ..self }
    }

    /// The shape with a line along its outline.
    #[must_use]
    pub fn stroked(self, stroke: Stroke<'a>) -> Self {
        Self { stroke: Some(stroke), ..self }
    }
}

impl<'a> Text<'a> {
    /// Plain words that begin at a place.
    pub fn new(words: &str, at: impl Into<Point>, size: f64, ink: &'a str) -> Self {
        let (words, at, anchor) = (words.to_owned(), at.into(), Anchor::Start);
        Self { words, at, anchor, size, bold: false, ink, class: "" }
    }

    /// The words with something else of them at their place than where they begin.
    #[must_use]
    pub fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }
}

impl Image {
    /// A picture that fills a rectangle.
    pub fn filling(number: usize, field: Rect) -> Self {
        let lay = Affine::translate(field.origin().to_vec2())
            * Affine::scale_non_uniform(field.width(), field.height());
        Self { number, lay, field }
    }
}

impl<'a> Group<'a> {
    /// Things in the coordinates of what is round them.
    pub fn new(items: Vec<Item<'a>>) -> Self {
        Self { items, ..Self::default() }
    }

    /// Things that are laid on what is round them.
    pub fn laid(lay: Affine, items: Vec<Item<'a>>) -> Self {
        Self { lay, items, ..Self::default() }
    }

    /// Things on a layer of a page.
    pub fn on(layer: Layer, items: Vec<Item<'a>>) -> Self {
        Self { layer: Some(layer), items, ..Self::default() }
    }

    /// Things in the coordinates of what is round them, with what a viewer tells of them.
    pub fn titled(title: &str, items: Vec<Item<'a>>) -> Self {
        Self { title: title.to_owned(), items, ..Self::default() }
    }
}

impl Outline {
    /// Whether there is nothing of it.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Path(path) => path.elements().is_empty(),
            Self::Shared(path) => path.elements().is_empty(),
            Self::Rectangle(..) | Self::Disc(_) => false,
        }
    }

    /// The outline as curves.
    pub fn path(&self) -> BezPath {
        match self {
            Self::Path(path) => path.clone(),
            Self::Shared(path) => BezPath::clone(path),
            Self::Rectangle(rectangle, radius) if *radius > 0.0 => {
                RoundedRect::from_rect(*rectangle, *radius).to_path(ROUND)
            }
            Self::Rectangle(rectangle, _) => rectangle.to_path(ROUND),
            Self::Disc(disc) => disc.to_path(ROUND),
        }
    }
}

macro_rules! items {
    ($($kind:ident: $made:ty,)*) => {
        $(impl<'a> From<$made> for Item<'a> {
            fn from(made: $made) -> Self {
                Self::$kind(made)
            }
        })*
    };
}

items! {
    Shape: Shape<'a>,
    Text: Text<'a>,
    Run: Run<'a>,
    Image: Image,
    Group: Group<'a>,
}
