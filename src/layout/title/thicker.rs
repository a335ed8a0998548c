//! How much a word group has to be emboldened until none of its strokes is too thin to cut.
//!
//! Growing by an amount widens a stroke by twice that, so the thinnest place says where to begin; from
//! there on each mark of the ruler is tried, the words set anew with it and every piece looked at again.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::Shape;
use rayon::prelude::*;

use crate::geometry::thin::{AS_WIDE, thin_parts};
use crate::lettering::fonts::Font;
use crate::lettering::words::{Letter, Span, Word, WordStyle, set_words};
use crate::model::length::{Length, Units};

use super::style::MOST_GROWN;

/// A step of `embolden`, where lengths are inches or millimetres.
const STEPS: (Length, Length) = (Length::part(1, 64), Length::part(1, 254));
/// Steps that are tried beyond the first that could do.
const MOST_TRIES: u32 = 6;

/// How a word group was set: what it takes to set it again.
pub(super) struct Setting {
    pub spans: Vec<Span>,
    pub fallbacks: Vec<Arc<Font>>,
    pub style: WordStyle,
}

/// What emboldening can do.
pub(super) enum Thicker {
    /// With this `embolden`, as it is written in a spec, no stroke is too thin.
    By(String),
    /// As much as it takes would close a counter of this piece.
    Closes(String),
    /// Nothing that is still the same letters.
    No,
}

impl Setting {
    /// The least `embolden`, in whole marks of a ruler, with which no stroke of one paper is narrower than
    /// `threshold` inches; the thinnest is `thinnest` inches now.
    pub(super) fn thicker(
        &self,
        paper: usize,
        thinnest: f64,
        threshold: f64,
        units: Units,
    ) -> Thicker {
        let step = match units {
            Units::Inches => STEPS.0,
            Units::Millimetres => STEPS.1,
        }
        .to_inches();
        let now = self.style.embolden;
        let wanted = now + (threshold - thinnest) / 2.0;
        // One mark less than what the thinnest place takes, since it was measured to a thousandth only.
        let first = ((wanted / step).floor() - 1.0).max((now / step).floor() + 1.0);
        let before = self.set(now).map_or(0, |word| word.closed.len());
        let mut closed = None;
        for index in 0..MOST_TRIES {
            let steps = first + f64::from(index);
            if steps * step > MOST_GROWN + 1e-9 {
                break;
            }
            let Some(word) = self.set(steps * step) else { break };
            if word.closed.len() > before {
                closed = word.closed.first().cloned();
                break;
            }
            if holds(&word, paper, threshold) {
                return Thicker::By(written(steps, units));
            }
        }
        closed.map_or(Thicker::No, Thicker::Closes)
    }

    fn set(&self, embolden: f64) -> Option<Word> {
        let style = WordStyle { embolden, ..self.style.clone() };
        set_words(&self.spans, &self.fallbacks, &style).ok()
    }
}

/// Whether no piece of one paper has a thin stroke. Letters that come again are looked at once.
fn holds(word: &Word, paper: usize, threshold: f64) -> bool {
    let mut different: BTreeMap<(&str, String), &Letter> = BTreeMap::new();
    for letter in word.letters.iter().filter(|letter| letter.paper == paper) {
        let bounds = letter.outline.bounding_box();
        let size = format!("{:.4} {:.4}", bounds.width(), bounds.height());
        different.entry((&letter.text, size)).or_insert(letter);
    }
    let letters: Vec<&Letter> = different.into_values().collect();
    letters.par_iter().all(|letter| thin_parts(&letter.outline, threshold - AS_WIDE).is_empty())
}

/// So many steps as a spec says it.
fn written(steps: f64, units: Units) -> String {
    match units {
        Units::Millimetres => format!("{:.1} mm", steps / 10.0),
        Units::Inches => {
            let (mut top, mut bottom) = (steps, 64.0);
            while top % 2.0 == 0.0 && bottom > 1.0 {
                (top, bottom) = (top / 2.0, bottom / 2.0);
            }
            if bottom > 1.0 { format!("{top}/{bottom}") } else { format!("{top}") }
        }
    }
}
