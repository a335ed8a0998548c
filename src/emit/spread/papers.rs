//! How papers look in a picture: plain cardstock is its colour, other paper has the pattern that it is told
//! to have, and directional paper of which none is told some pattern.

use std::sync::Arc;

use kurbo::{BezPath, Circle, Point, Rect};

use crate::draw::display_list::{Item, Outline, Paint, Pattern, Shape, Stroke};
use crate::draw::patterns::DrawnPattern;
use crate::emit::SmallCopies;
use crate::model::Color;
use crate::record::Record;

/// Size of one repeat of a pattern in inches: about that of a small print on real paper.
const REPEAT: f64 = 0.4;

/// How dark the lines of a pattern are.
const DARK: f64 = 0.4;

/// The fills of a record's papers.
pub(in crate::emit) struct Papers<'a> {
    record: &'a Record,
    /// The pattern of each paper that has one.
    patterns: Vec<Option<Arc<Pattern<'a>>>>,
    /// The same of those that are told to have one.
    drawn: Vec<Option<DrawnPattern>>,
}

impl<'a> Papers<'a> {
    /// The fills of the papers of `record`; `copies` has their pictures.
    pub fn new(record: &'a Record, copies: Option<&SmallCopies>) -> Self {
        let papers = record.papers.iter().enumerate();
        let patterns = papers.map(|(place, paper)| {
            let is_told = paper.pattern.is_some() || paper.picture.is_some();
            (paper.directional && !is_told)
                .then(|| Arc::new(self::pattern(format!("paper-{place}"), place, &paper.color)))
        });
        let drawn = record.papers.iter().enumerate().map(|(place, paper)| {
            let pattern = paper.pattern.as_ref();
            let picture = paper.picture.as_ref().and_then(|picture| {
                let number = copies?.of_paper(record, place)?;
                Some(DrawnPattern::picture(number, picture.size, picture.fill))
            });
            picture.or_else(|| pattern.map(|pattern| DrawnPattern::new(pattern, paper.color)))
        });
        Self { record, patterns: patterns.collect(), drawn: drawn.collect() }
    }

    /// What is drawn over the colour of the paper called `name`, if it is told to have a pattern: true to
    /// scale and from the corner of its sheet.
    pub fn drawn(&self, name: &str) -> Option<&DrawnPattern> {
        self.drawn.get(self.place(name)?)?.as_ref()
    }

    /// The pattern that lies over the colour of the paper called `name`, if any.
    ///
    /// Colour and pattern are painted one after the other: a pattern that brings its own ground shows
    /// seams between its repeats in some viewers.
    pub fn pattern(&self, name: &str) -> Option<Arc<Pattern<'a>>> {
        self.patterns.get(self.place(name)?)?.clone()
    }

    /// The plain colour of the paper called `name`.
    pub fn color(&self, name: &str) -> &'a Color {
        self.place(name).map_or(&Color::UNKNOWN, |place| &self.record.papers[place].color)
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.record.papers.iter().position(|paper| paper.name == name)
    }
}

/// A pattern, called `name`, for the paper at a place among others.
pub(in crate::emit) fn pattern<'a>(name: String, place: usize, color: &Color) -> Pattern<'a> {
    let light = color.luminance();
    let ink = if light > 0.22 { "#5b4a36" } else { "#ffffff" };
    let items = match place % 3 {
        0 => woven_check(light),
        1 => ripples(ink),
        _ => sprigs(ink),
    };
    Pattern { name, side: REPEAT, turn: 0.0, items }
}

/// Two translucent bands that cross, darker where they meet, like cotton cloth.
fn woven_check<'a>(light: f64) -> Vec<Item<'a>> {
    // White thread shows on every paper but a pale one.
    let (thread, opacity) = if light > 0.6 { ("#8a7355", 0.16) } else { ("#ffffff", 0.28) };
    let (half, whole) = (REPEAT / 2.0, REPEAT);
    let bands = [[half, whole], [whole, half]].map(|[width, height]| {
        let band = Shape::rectangle(Rect::new(0.0, 0.0, width, height));
        band.filled(Paint::Ink(thread, opacity)).into()
    });
    bands.into()
}

/// Lines of sand that run across.
fn ripples(ink: &str) -> Vec<Item<'_>> {
    let (quarter, half, whole) = (REPEAT / 4.0, REPEAT / 2.0, REPEAT);
    let mut ripples = BezPath::new();
    for middle in [quarter, half + quarter] {
        ripples.move_to((0.0, middle));
        ripples.quad_to((quarter, middle - REPEAT / 7.0), (half, middle));
        ripples.quad_to((half + quarter, middle + REPEAT / 7.0), (whole, middle));
    }
    let line = Stroke { opacity: DARK, ..Stroke::new(ink, 0.02) };
    vec![Shape::path(ripples).stroked(line).into()]
}

/// Dots on short stems.
fn sprigs(ink: &str) -> Vec<Item<'_>> {
    let stem = Stroke { opacity: DARK, ..Stroke::new(ink, 0.016) };
    let sprigs = [[0.25, 0.3], [0.75, 0.8]].map(|place| {
        let [x, y] = place.map(|share| share * REPEAT);
        let dot = Shape::new(Outline::Disc(Circle::new((x, y), 0.034)));
        let end = Point::new(x, y + REPEAT / 6.0);
        [dot.filled(Paint::Ink(ink, DARK)).into(), Shape::line((x, y), end, stem).into()]
    });
    sprigs.concat()
}
