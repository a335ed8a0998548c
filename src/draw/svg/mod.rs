//! An SVG picture in inches, drawn once, to be shown by itself or within HTML ([`super::html`]).

mod list;

use std::fmt::Write;

use svg::node::{Blob, Node};

use super::attributes::fixed;
pub(crate) use list::drawn;

/// A picture: what it shows of the plane, and its elements, written out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Svg {
    at: [f64; 2],
    size: [f64; 2],
    elements: String,
}

impl Svg {
    /// A picture without elements that shows a rectangle, given by its top left and its size, at its real
    /// size.
    pub fn new(at: [f64; 2], size: [f64; 2]) -> Self {
        Self { at, size, elements: String::new() }
    }

    /// The picture with `node` above what it has.
    #[must_use]
    pub fn with(mut self, node: &impl Node) -> Self {
        // Writing to a string can't fail.
        let _ = write!(self.elements, "\n{node}");
        self
    }

    /// Width in inches.
    pub fn width(&self) -> f64 {
        self.size[0]
    }

    /// Its elements.
    pub(super) fn elements(&self) -> &str {
        self.elements.trim_start()
    }

    /// Its `width` and `height`.
    pub(super) fn sides(&self) -> [String; 2] {
        self.size.map(|side| format!("{}in", fixed(side)))
    }

    /// Its `viewBox`.
    pub(super) fn view(&self) -> String {
        [self.at[0], self.at[1], self.size[0], self.size[1]].map(fixed).join(" ")
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
