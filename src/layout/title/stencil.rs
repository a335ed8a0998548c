//! Words cut out of a panel.

use kurbo::{BezPath, Point, Shape};

use crate::description::{Marked, StencilSpec};
use crate::geometry::{Drawing, boolean};
use crate::layout::elements::corner;
use crate::layout::reading::Along;
use crate::lettering::stencil::{StencilError, stencil};
use crate::lettering::words::Word;
use crate::model::length::Length;
use crate::shapes::{self, Corner};

use super::style::BRIDGE;
use super::{Group, Layer, moved};

/// Paper round the words of a stencil (common practice, no source).
const MARGIN: Length = Length::part(1, 2);

impl Group<'_, '_> {
    /// The panel.
    pub(super) fn stencil(&mut self, written: &Marked<StencilSpec>, word: &Word) -> Option<Layer> {
        let spec = &written.value;
        let paper = self.reader.paper(&spec.paper);
        let bridge = match &spec.bridge {
            None => BRIDGE,
            Some(text) => self.reader.positive(text, Along::Width, "width of bridges"),
        };
        let [width, height] = self.panel_size(spec, word)?;
        let corners = match &spec.corners {
            None => Corner::Square,
            Some(corners) => corner(self.reader, &corners.value),
        };
        if bridge <= Length::ZERO {
            return None;
        }
        let panel = match shapes::rectangle(width, height, corners) {
            Ok(drawing) => drawing.outline,
            Err(error) => {
                let place = spec.corners.as_ref().map_or(written.place, |corners| corners.place);
                self.reader.problem(place, error.message, error.help);
                return None;
            }
        };
        let panel =
            moved(&panel, [0, 1].map(|axis| (word.size[axis] - [width, height][axis]) / 2.0));
        let outlines: Vec<BezPath> =
            word.letters.iter().map(|letter| letter.outline.clone()).collect();
        let words = boolean::union(&outlines);
        match stencil(&panel, &words, bridge.to_inches()) {
            Ok(made) => {
                let id = format!("title.{}.stencil", self.name);
                for middle in &made.weak {
                    let letter = letter_at(word, *middle);
                    let message = format!("a counter of `{letter}` is held by one bridge only");
                    let help = "write a narrower `bridge`, or make the letters larger".to_owned();
                    self.warn("counter held once", message, help, &id);
                }
                let thin = self.note_thin(&id, "the panel", paper, &made.outline);
                self.tell_thin(thin.into_iter().collect(), None);
                let drawing = Drawing { outline: made.outline, lines: Vec::new() };
                Some(Layer::new(id, "stencil", paper, drawing))
            }
            Err(StencilError::TooSmall) => {
                let help = "write a wider `margin` or a larger `size`, or make the words smaller";
                self.reader.problem(written.place, "the words don't fit into the panel", help);
                None
            }
            Err(StencilError::Loose(middle)) => {
                let letter = letter_at(word, middle);
                let width = bridge.show(self.reader.units);
                let message =
                    format!("no bridge {width} wide holds the counter of `{letter}` in the panel");
                let help = "write a narrower `bridge`, or make the letters larger";
                self.reader.problem(written.place, message, help);
                None
            }
        }
    }

    fn panel_size(&mut self, spec: &StencilSpec, word: &Word) -> Option<[f64; 2]> {
        match (&spec.size, &spec.margin) {
            (Some(_), Some(margin)) => {
                let message = "`size` and `margin` both say how large the panel is";
                self.reader.problem(margin.place, message, "keep one of the two");
                None
            }
            (Some(size), None) => {
                let size = self.reader.size(size).to_inches();
                size.iter().all(|side| *side > 0.0).then_some(size)
            }
            (None, margin) => {
                let margin = match margin {
                    None => MARGIN,
                    Some(text) => self.reader.positive(text, Along::Height, "margin"),
                };
                (margin > Length::ZERO)
                    .then(|| word.size.map(|side| side + 2.0 * margin.to_inches()))
            }
        }
    }
}

/// The letter round a point.
fn letter_at(word: &Word, at: Point) -> &str {
    let around =
        |letter: &&crate::lettering::words::Letter| letter.outline.bounding_box().contains(at);
    word.letters.iter().find(around).map_or(word.text.as_str(), |letter| letter.text.as_str())
}
