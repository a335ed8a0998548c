//! The title: letters in their papers, each word group with its backing, or a stencil of them.

mod backing;
mod fonts;
mod letters;
mod pins;
mod stencil;
mod style;
mod thicker;

use std::path::Path;

use kurbo::{Affine, BezPath, Shape};

use crate::description::{TitleSpec, slug};
use crate::lettering::fonts::FontBook;
use crate::lettering::words::{Word, set_words};
use crate::model::length::{Length, Size};

use super::Layout;
use super::blocks::{Block, Part};
use super::raised;
use super::reading::Reader;

pub(super) use fonts::{font, used};
pub(super) use style::steps;
use thicker::Setting;

/// Letters in one word group; a title has a dozen.
const MOST_LETTERS: usize = 200;
/// Letters in all word groups together; a spread is full with half of them.
const MOST_IN_ALL: usize = 600;

/// A piece of a word group where it lies in the group's own frame: the words' top left is the origin.
struct Layer {
    part: Part,
    /// The top left of its outline in that frame.
    at: [f64; 2],
    /// Its outline in that frame.
    outline: BezPath,
}

impl Layer {
    /// A piece from its drawing in the group's frame.
    fn new(
        id: String,
        kind: &'static str,
        paper: usize,
        drawing: crate::geometry::Drawing,
    ) -> Self {
        let bounds = drawing.outline.bounding_box();
        let outline = drawing.outline.clone();
        Self { part: Part::drawn(id, kind, paper, drawing), at: [bounds.x0, bounds.y0], outline }
    }
}

/// Adds a block for each word group of the title.
pub(super) fn add(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    blocks: &mut Vec<Block>,
    folder: &Path,
    fonts: &FontBook,
) {
    let spec = reader.spec;
    let mut taken: Vec<String> = Vec::new();
    let mut letters = 0;
    for group in &spec.title {
        letters += group.value.words.value.text().chars().count();
        if letters > MOST_IN_ALL {
            let message = format!("the title has more than {MOST_IN_ALL} letters in all");
            let help = "print long texts as `journaling`, or split the spread";
            reader.problem(group.value.words.place, message, help);
            return;
        }
        let name = name_of(&group.value);
        let name = std::iter::once(name.clone())
            .chain((2..).map(|number| format!("{name}-{number}")))
            .find(|name| !taken.contains(name))
            .unwrap_or_default();
        taken.push(name.clone());
        let mut group = Group { spec: &group.value, name, reader, layout, folder, fonts };
        if let Some(block) = group.block() {
            blocks.push(block);
        }
    }
}

/// The id of a word group: as written, or its first word.
fn name_of(group: &TitleSpec) -> String {
    match &group.id {
        Some(id) => slug(&id.value),
        None => slug(group.words.value.text().split_whitespace().next().unwrap_or_default()),
    }
}

/// A word group, and what it is read with.
struct Group<'a, 'r> {
    spec: &'a TitleSpec,
    name: String,
    reader: &'a mut Reader<'r>,
    layout: &'a mut Layout,
    folder: &'a Path,
    fonts: &'a FontBook,
}

impl Group<'_, '_> {
    /// The group's pieces as one block; nothing when a problem was noted.
    fn block(&mut self) -> Option<Block> {
        let spec = self.spec;
        let words = &spec.words;
        let text = words.value.text();
        if text.trim().is_empty() {
            let help = "write its words, or leave it out";
            self.reader.problem(words.place, "the title has no words", help);
            return None;
        }
        if text.chars().count() > MOST_LETTERS {
            let message = format!("the words have more than {MOST_LETTERS} letters");
            self.reader.problem(words.place, message, "split them into several word groups");
            return None;
        }
        let (word, setting) = self.word()?;
        let mut layers = match &spec.stencil {
            Some(stencil) => vec![self.stencil(stencil, &word)?],
            None => self.letters(&word, &setting),
        };
        if let Some(backing) = &spec.backing {
            let lower = self.backing(backing, &layers)?;
            layers.splice(0..0, lower);
        }
        let (size, parts) = in_block(layers);
        let turn = self.reader.turn(spec.turn.as_ref());
        Some(Block {
            gut: None,
            print: spec.print.clone(),
            turns: self.reader.turns(spec.cut_turn.as_ref()),
            copies: self.reader.copies(spec.copies.as_ref()),
            id: format!("title.{}", self.name),
            page: self.reader.page_named(spec.page.as_ref(), 0),
            at: spec.at.clone(),
            turn,
            size,
            parts,
            across_spread: false,
            fit: None,
            match_pattern: false,
            other_page: None,
            raised: raised::height(self.reader, spec.raised.as_ref(), None),
            place: words.place,
            ..Block::default()
        })
    }

    /// The words set, and how.
    fn word(&mut self) -> Option<(Word, Setting)> {
        let spans = self.spans()?;
        let fallbacks = self.fallbacks()?;
        let style = self.style()?;
        match set_words(&spans, &fallbacks, &style) {
            Ok(word) => {
                self.tell_fallbacks(&word, &fallbacks);
                Some((word, Setting { spans, fallbacks, style }))
            }
            Err(error) => {
                let help = self.help_with(&error);
                self.reader.problem(self.spec.words.place, error.message, help);
                None
            }
        }
    }
}

/// Layers as the parts of a block whose top left is that of the outermost.
fn in_block(layers: Vec<Layer>) -> (Size, Vec<Part>) {
    let bounds = layers
        .iter()
        .map(|layer| layer.outline.bounding_box())
        .reduce(|all, one| all.union(one))
        .unwrap_or_default();
    let place =
        |at: [f64; 2]| [Length::inches(at[0] - bounds.x0), Length::inches(at[1] - bounds.y0)];
    let parts = layers.into_iter().map(|layer| {
        let [left, top] = place(layer.at);
        layer.part.moved(left, top)
    });
    (Size::inches(bounds.width(), bounds.height()), parts.collect())
}

/// A path moved in the group's frame.
fn moved(path: &BezPath, by: [f64; 2]) -> BezPath {
    Affine::translate((by[0], by[1])) * path
}
