//! A display list as part of a page.
//!
//! Pages are white and printed without transparency: what is not opaque is mixed with white.

use super::canvas::{Canvas, Ink};
use super::{POINTS, points};
use crate::color::channels;
use crate::draw::display_list::{Item, Paint, Shape};

impl Canvas<'_> {
    /// Draws a list; `faces` are the fonts of plain and of bold words.
    pub fn draw(&mut self, items: &[Item<'_>], faces: [usize; 2]) {
        for item in items {
            match item {
                Item::Shape(shape) => self.shape(shape),
                Item::Text(text) => {
                    self.fill(channels(text.ink));
                    let face = faces[usize::from(text.bold)];
                    let at = [text.at.x, text.at.y];
                    self.text(face, text.size * POINTS, at, text.anchor, &text.words);
                }
                Item::Group(group) if group.lay == kurbo::Affine::IDENTITY => {
                    self.draw(&group.items, faces);
                }
                Item::Group(group) => {
                    self.laid(group.lay, |canvas| canvas.draw(&group.items, faces));
                }
            }
        }
    }

    fn shape(&mut self, shape: &Shape<'_>) {
        let fill = match shape.fill {
            Some(Paint::Ink(ink, opacity)) => Some(on_white(ink, opacity)),
            Some(Paint::Pattern(_)) | None => None,
        };
        if let Some(ink) = fill {
            self.fill(ink);
        }
        if let Some(stroke) = &shape.stroke {
            self.pen(on_white(stroke.ink, stroke.opacity), points(stroke.width));
            let dashes: Vec<f32> = stroke.dashes.iter().copied().map(points).collect();
            self.dashes(&dashes);
        }
        if fill.is_some() || shape.stroke.is_some() {
            self.path(&shape.outline.path(), fill.is_some(), shape.stroke.is_some());
        }
        if shape.stroke.is_some_and(|stroke| !stroke.dashes.is_empty()) {
            self.dashes(&[]);
        }
    }
}

fn on_white(ink: &str, opacity: f64) -> Ink {
    #[expect(clippy::cast_possible_truncation, reason = "a share from 0 to 1")]
    let opacity = opacity as f32;
    channels(ink).map(|part| part * opacity + 1.0 - opacity)
}
