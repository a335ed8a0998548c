//! A piece for each letter or group of joined letters, and what is to be known about it.

use std::collections::BTreeMap;

use kurbo::{BezPath, Shape};
use rayon::prelude::*;

use crate::geometry::Drawing;
use crate::geometry::thin::{AS_WIDE, thin_parts};
use crate::layout::PaperOnHand;
use crate::lettering::words::Word;
use crate::model::Warning;
use crate::model::length::Units;
use crate::model::length::{Length, narrow};

use super::thicker::{Setting, Thicker};
use super::{Group, Layer};

/// The width in inches from which strokes of a paper are no thin parts.
fn least_width(papers: &[PaperOnHand], paper: usize) -> f64 {
    let thinnest = papers.get(paper).map_or(Length::ZERO, |paper| paper.thinnest);
    thinnest.to_inches() - AS_WIDE
}

/// The thinnest stroke of a piece.
pub(super) struct ThinStroke {
    id: String,
    /// The piece, as it is told.
    text: String,
    width: f64,
    at: [f64; 2],
    paper: usize,
    threshold: Length,
}

impl Group<'_, '_> {
    /// The letters, with warnings for what will be hard to cut or to keep together.
    pub(super) fn letters(&mut self, word: &Word, setting: &Setting) -> Vec<Layer> {
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        let mut layers = Vec::new();
        let mut thin = Vec::new();
        // Side by side, to be known when they are told in turn.
        let papers = &self.layout.papers;
        word.letters.par_iter().for_each(|letter| {
            thin_parts(&letter.outline, least_width(papers, letter.paper));
        });
        for letter in &word.letters {
            let text = letter_name(&letter.text);
            // Ids that differ only in case would clash on some file systems and to the ear.
            let count = seen.entry(text.to_lowercase()).or_default();
            *count += 1;
            let id = match *count {
                1 => format!("title.{}.{text}", self.name),
                count => format!("title.{}.{text}-{count}", self.name),
            };
            thin.extend(self.note_thin(&id, &letter.text, letter.paper, &letter.outline));
            let kind = if letter.count > 1 { "word" } else { "letter" };
            let drawing = Drawing { outline: letter.outline.clone(), lines: Vec::new() };
            layers.push(Layer::new(id, kind, letter.paper, drawing));
        }
        self.tell_thin(thin, Some(setting));
        self.tell_loose(word);
        self.tell_closed(word);
        layers
    }

    /// Notes the thin parts of a piece; the thinnest, as it is told.
    pub(super) fn note_thin(
        &mut self,
        id: &str,
        text: &str,
        paper: usize,
        outline: &BezPath,
    ) -> Option<ThinStroke> {
        let threshold = self.layout.papers.get(paper).map_or(Length::ZERO, |paper| paper.thinnest);
        let bounds = outline.bounding_box();
        let mut found = thin_parts(outline, least_width(&self.layout.papers, paper));
        for thin in &mut found {
            thin.at = [thin.at[0] - bounds.x0, thin.at[1] - bounds.y0];
        }
        let worst = found.first().copied()?;
        self.layout.thin.push((id.into(), found));
        Some(ThinStroke {
            id: id.to_owned(),
            text: text.to_owned(),
            width: worst.width,
            at: worst.at,
            paper,
            threshold,
        })
    }

    /// Warns of thin parts, once a paper: the thinnest, how many pieces have some, and what would do.
    pub(super) fn tell_thin(&mut self, found: Vec<ThinStroke>, setting: Option<&Setting>) {
        let mut papers: Vec<usize> = found.iter().map(|stroke| stroke.paper).collect();
        papers.sort_unstable();
        papers.dedup();
        for paper in papers {
            let own = found.iter().filter(|stroke| stroke.paper == paper);
            let count = own.clone().count();
            let Some(first) = own.min_by(|one, other| one.width.total_cmp(&other.width)) else {
                continue;
            };
            let units = self.reader.units;
            let shown = |inches: f64| Length::inches(inches).show(units);
            let threshold = first.threshold.show(units);
            let name = self.layout.papers.get(paper).map_or("", |paper| paper.name.as_str());
            let pieces = match count {
                1 => String::new(),
                count => format!(" in {count} pieces, the thinnest"),
            };
            let message = format!(
                "strokes under {threshold} in {name}{pieces}: `{}` {} ({} from the left, {} from the top)",
                first.text,
                narrow(first.width, units),
                shown(first.at[0]),
                shown(first.at[1])
            );
            let thicker = setting.map(|setting| {
                setting.thicker(paper, first.width, first.threshold.to_inches(), units)
            });
            let help = match thicker {
                Some(Thicker::By(amount)) => format!(
                    "they tear: `embolden: {amount}` makes all of them wide enough; or make the \
                     letters larger"
                ),
                Some(Thicker::Closes(text)) => format!(
                    "they tear, and emboldening enough would close a counter of `{text}`: make the \
                     letters larger, or use a bolder font"
                ),
                Some(Thicker::No) => {
                    "they tear: make the letters larger, or use a bolder font".to_owned()
                }
                None => "they tear: make the letters larger, or use another font".to_owned(),
            };
            let piece = match count {
                1 => first.id.clone(),
                _ => format!("title.{}", self.name),
            };
            self.warn("thin stroke", message, help + "; the proof marks each place", &piece);
        }
    }

    /// Counts and names the dots and accents that fall loose.
    fn tell_loose(&mut self, word: &Word) {
        if word.loose.is_empty() {
            return;
        }
        let count: usize = word.loose.iter().map(|(_, count)| count).sum();
        let names: Vec<String> = word
            .loose
            .iter()
            .map(|(text, count)| match count {
                1 => format!("1 of `{text}`"),
                count => format!("{count} of `{text}`"),
            })
            .collect();
        let (noun, verb) = if count == 1 { ("part", "falls") } else { ("parts", "fall") };
        let message =
            format!("{count} loose {noun} {verb} off when it is cut: {}", names.join(", "));
        let width = match self.reader.units {
            Units::Inches => "1/16",
            Units::Millimetres => "1.5",
        };
        let help =
            format!("keep them with their letters, or join them: `bridges: {{width: {width}}}`");
        let id = format!("title.{}", self.name);
        self.warn("loose parts", message, help, &id);
    }

    fn tell_closed(&mut self, word: &Word) {
        if word.closed.is_empty() {
            return;
        }
        let names: Vec<String> = word.closed.iter().map(|text| format!("`{text}`")).collect();
        let message = format!("emboldening closes a counter of {}", names.join(", "));
        let id = format!("title.{}", self.name);
        self.warn("counter closed", message, "embolden less, or make it larger".to_owned(), &id);
    }

    /// A warning about one of the group's pieces.
    pub(super) fn warn(&mut self, kind: &str, message: String, help: String, piece: &str) {
        self.reader.warn(Warning {
            kind: kind.to_owned(),
            message,
            help,
            piece: Some(piece.to_owned()),
            line: self.spec.words.place.line,
        });
    }
}

/// A letter as part of an id: letters and digits as they are, anything else by its code point.
fn letter_name(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            letter if letter.is_alphanumeric() => letter.to_string(),
            letter if letter.is_whitespace() => "-".to_owned(),
            letter => format!("u{:04x}", u32::from(letter)),
        })
        .collect()
}
