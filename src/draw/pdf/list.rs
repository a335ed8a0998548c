//! A display list as a page.
//!
//! Pages are white and printed without transparency: what is not opaque is mixed with white.

use kurbo::{Affine, Rect};

use super::canvas::{Canvas, Ink};
use crate::draw::attributes::color;
use crate::draw::display_list::{Group, Item, Outline, Paint, Shape};

impl Canvas<'_> {
    /// Draws a list; `faces` are the fonts of plain and of bold words.
    pub fn draw(&mut self, items: &[Item<'_>], faces: [usize; 2]) {
        for item in items {
            match item {
                Item::Shape(shape) => self.shape(shape),
                Item::Text(text) => {
                    self.fill(channels(text.ink));
                    let face = faces[usize::from(text.bold)];
                    self.text(face, text.size, text.at, text.anchor, &text.words);
                }
                Item::Run(run) => {
                    self.fill(channels(run.ink));
                    self.glyphs(run.run.font, run.size, run.at, &run.run.glyphs);
                }
                Item::Image(image) => self.image(image),
                Item::Group(group) => self.group(group, faces),
            }
        }
    }

    fn group(&mut self, group: &Group<'_>, faces: [usize; 2]) {
        if let Some(layer) = group.layer {
            self.begin(layer);
        }
        let apart = group.lay != Affine::IDENTITY || group.clip.is_some();
        if apart {
            self.save(group.lay);
        }
        if let Some(clip) = &group.clip {
            self.outline(clip);
            self.clip();
        }
        self.draw(&group.items, faces);
        if apart {
            self.restore();
        }
        if group.layer.is_some() {
            self.end();
        }
    }

    fn shape(&mut self, shape: &Shape<'_>) {
        if shape.outline.is_empty() {
            return;
        }
        let fill = match shape.fill {
            Some(Paint::Ink(ink, opacity)) => Some(on_white(ink, opacity)),
            Some(Paint::Pattern(_)) | None => None,
        };
        if let Some(ink) = fill {
            self.fill(ink);
        }
        if let Some(stroke) = &shape.stroke {
            self.pen(on_white(stroke.ink, stroke.opacity), stroke.width);
            self.dashes(stroke.dashes, stroke.round);
        }
        self.outline(&shape.outline);
        self.paint(fill.is_some(), shape.stroke.is_some());
        if shape.stroke.is_some_and(|stroke| !stroke.dashes.is_empty() || stroke.round) {
            self.dashes(&[], false);
        }
    }

    /// Traces an outline; an empty one as a point.
    fn outline(&mut self, outline: &Outline) {
        match outline {
            _ if outline.is_empty() => self.rectangle(Rect::ZERO),
            Outline::Rectangle(rectangle, radius) if *radius <= 0.0 => self.rectangle(*rectangle),
            Outline::Path(path) => self.trace(path),
            Outline::Shared(path) => self.trace(path),
            Outline::Rectangle(..) | Outline::Disc(_) => self.trace(&outline.path()),
        }
    }
}

fn on_white(ink: &str, opacity: f64) -> Ink {
    #[expect(clippy::cast_possible_truncation, reason = "a share from 0 to 1")]
    let opacity = opacity as f32;
    channels(ink).map(|part| part * opacity + 1.0 - opacity)
}

/// Red, green and blue of an ink of the display list, from 0 to 1.
fn channels(ink: &str) -> [f32; 3] {
    color(ink).shares()
}
