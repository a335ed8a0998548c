//! What is drawn, from the lowest up, as data: the same list becomes SVG ([`super::svg`]) and part of a page
//! ([`super::pdf`]).

use kurbo::{Affine, BezPath, Circle, Point, Rect, RoundedRect, Shape as _};

use super::Anchor;

/// How far the curves of discs and round corners may stray, in inches.
const ROUND: f64 = 1e-3;

/// One thing that is drawn; lengths in inches, y down, colours as `#rrggbb`.
#[derive(Clone, Debug, PartialEq)]
pub enum Item<'a> {
    /// A shape.
    Shape(Shape<'a>),
    /// A line of words.
    Text(Text<'a>),
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
    /// The pattern of this name, which an SVG picture defines beside the list; nothing on a page.
    Pattern(String),
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

/// Things that belong together, in coordinates of their own.
#[derive(Clone, Debug, PartialEq)]
pub struct Group<'a> {
    /// How they are laid on what is round them.
    pub lay: Affine,
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
        Self { ink, opacity: 1.0, width, dashes: &[] }
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

    /// A line between two points.
    pub fn line(from: Point, to: Point, stroke: Stroke<'a>) -> Self {
        let mut path = BezPath::new();
        path.move_to(from);
        path.line_to(to);
        Self::new(Outline::Path(path)).stroked(stroke)
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

impl<'a> Group<'a> {
    /// Things in the coordinates of what is round them, with what a viewer tells of them.
    pub fn titled(title: &str, items: Vec<Item<'a>>) -> Self {
        Self { lay: Affine::IDENTITY, class: "", title: title.to_owned(), items }
    }
}

impl Outline {
    /// The outline as curves.
    pub fn path(&self) -> BezPath {
        match self {
            Self::Path(path) => path.clone(),
            Self::Rectangle(rectangle, radius) if *radius > 0.0 => {
                RoundedRect::from_rect(*rectangle, *radius).to_path(ROUND)
            }
            Self::Rectangle(rectangle, _) => rectangle.to_path(ROUND),
            Self::Disc(disc) => disc.to_path(ROUND),
        }
    }
}

impl<'a> From<Shape<'a>> for Item<'a> {
    fn from(shape: Shape<'a>) -> Self {
        Self::Shape(shape)
    }
}

impl<'a> From<Text<'a>> for Item<'a> {
    fn from(text: Text<'a>) -> Self {
        Self::Text(text)
    }
}

impl<'a> From<Group<'a>> for Item<'a> {
    fn from(group: Group<'a>) -> Self {
        Self::Group(group)
    }
}
