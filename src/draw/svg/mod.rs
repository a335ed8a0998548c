//! An SVG picture in inches, drawn once, to be shown by itself or within HTML ([`super::html`]).

mod list;

use std::fmt::Write;
use std::sync::Arc;

use kurbo::Rect;
use svg::node::element::{Definitions, Title};
use svg::node::{Blob, Node};

use super::attributes::{fixed, plain};
use super::display_list::Item;
use crate::lettering::fonts::Font;
use list::Writer;

pub use super::lettering::Letters;

/// A picture: what it shows of the plane, and its elements, written out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Svg {
    shown: Rect,
    elements: String,
}

/// What a list needs to become a picture.
#[derive(Clone, Copy)]
pub struct Means<'a> {
    /// What every id begins with.
    pub prefix: &'a str,
    /// The font of words, which become outlines.
    pub label_font: &'a Font,
    /// The fonts of runs, by place; those of a font that is missing stay blank.
    pub fonts: &'a [Arc<Font>],
    /// The pictures of dots.
    pub pictures: Pictures<'a>,
    /// How the letters of words stand in the picture.
    pub letters: Letters,
}

/// Pictures of dots by number.
#[derive(Clone, Copy)]
pub enum Pictures<'a> {
    /// Their addresses, which hold their data.
    Here(&'a [Option<&'a str>]),
    /// They are in the picture with this prefix, which stands in the same HTML.
    In(&'a str),
}

impl<'a> Means<'a> {
    /// Words alone.
    pub fn lettered(prefix: &'a str, label_font: &'a Font) -> Self {
        Self {
            prefix,
            label_font,
            fonts: &[],
            pictures: Pictures::Here(&[]),
            letters: Letters::Shared,
        }
    }
}

impl Svg {
    /// A picture without elements that shows a rectangle at its real size.
    pub fn new(shown: Rect) -> Self {
        Self { shown, elements: String::new() }
    }

    /// The picture with a title.
    #[must_use]
    pub fn titled(self, title: &str) -> Self {
        self.with(&Title::new(plain(title)))
    }

    /// The picture with a list above what it has.
    #[must_use]
    pub fn over(self, items: &[Item<'_>], means: Means<'_>) -> Self {
        self.over_with(items, means, &[])
    }

    /// The same, with pictures of dots that others in the same HTML show.
    #[must_use]
    pub fn over_with(self, items: &[Item<'_>], means: Means<'_>, pictures: &[usize]) -> Self {
        let mut writer = Writer::new(means);
        for number in pictures {
            writer.picture(*number);
        }
        let drawn = writer.list(items);
        let definitions = writer.definitions();
        let picture = match definitions.is_empty() {
            true => self,
            false => self.with(&Definitions::new().add(Blob::new(definitions.trim_end()))),
        };
        picture.with(&drawn)
    }

    fn with(mut self, node: &impl Node) -> Self {
        // Writing to a string can't fail.
        let _ = write!(self.elements, "\n{node}");
        self
    }

    /// Width in inches.
    pub fn width(&self) -> f64 {
        self.shown.width()
    }

    /// Its elements.
    pub(super) fn elements(&self) -> &str {
        self.elements.trim_start()
    }

    /// Its `width` and `height`.
    pub(super) fn sides(&self) -> [String; 2] {
        [self.shown.width(), self.shown.height()].map(|side| format!("{}in", fixed(side)))
    }

    /// Its `viewBox`.
    pub(super) fn view(&self) -> String {
        let Rect { x0, y0, .. } = self.shown;
        [x0, y0, self.shown.width(), self.shown.height()].map(fixed).join(" ")
    }

    /// The picture as a file.
    pub fn document(&self) -> String {
        let [width, height] = self.sides();
        let document = svg::Document::new()
            .set("width", width)
            .set("height", height)
            .set("viewBox", self.view())
            .add(Blob::new(self.elements()));
        format!("{document}\n")
    }
}
