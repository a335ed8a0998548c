//! The title: letters in their papers, each word group with its backing.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::{Affine, BezPath};

use crate::length::{Length, Size, parse_length};
use crate::outline::fonts::{Font, FontBook};
use crate::outline::offset::{self, Holes};
use crate::outline::thin::thin_parts;
use crate::outline::words::{Height, Word, WordStyle, set_word};
use crate::outline::{Drawing, boolean};
use crate::record::Warning;
use crate::spec::{BackingSpec, Marked, OneOrMany, Place, Text, TitleSpec, slug};

use super::Layout;
use super::blocks::{Block, Part};
use super::reading::{Along, Reader};

/// Strokes thinner than this tear when cut in cardstock (common practice, no source), in inches.
const THINNEST_STROKE: f64 = 1.0 / 16.0;
/// Letters in one word group; a title has a dozen.
const MOST_LETTERS: usize = 200;

/// Adds a block for each word group of the title.
pub(super) fn add(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    blocks: &mut Vec<Block>,
    fonts: &FontBook,
) {
    let spec = reader.spec;
    let mut taken: Vec<String> = Vec::new();
    for group in &spec.title {
        let name = name_of(&group.value);
        let name = std::iter::once(name.clone())
            .chain((2..).map(|number| format!("{name}-{number}")))
            .find(|name| !taken.contains(name))
            .unwrap_or_default();
        taken.push(name.clone());
        if let Some(block) = word_group(reader, layout, fonts, &group.value, &name) {
            blocks.push(block);
        }
    }
}

/// The id of a word group: as written, or its first word.
fn name_of(group: &TitleSpec) -> String {
    match &group.id {
        Some(id) => slug(&id.value),
        None => slug(group.words.value.split_whitespace().next().unwrap_or_default()),
    }
}

/// A font by name or file; its place among the layout's fonts.
pub(super) fn font(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    fonts: &FontBook,
    name: Option<&Marked<Text>>,
    otherwise: &str,
) -> Option<(usize, Arc<Font>)> {
    let wanted = name.map_or(otherwise, |name| &name.value);
    match fonts.find(wanted) {
        Ok(font) => {
            let known = layout.fonts.iter().position(|other| other.sha256 == font.sha256);
            let index = known.unwrap_or_else(|| {
                layout.fonts.push(Arc::clone(&font));
                layout.fonts.len() - 1
            });
            Some((index, font))
        }
        Err(error) => {
            let place = name.map_or(Place::default(), |name| name.place);
            reader.problem(place, error.message, error.help);
            None
        }
    }
}

/// How tall the words are, by the one key that says so.
fn height(reader: &mut Reader<'_>, group: &TitleSpec) -> Option<Height> {
    type Named<'a> = (&'a Option<Marked<Text>>, Along, &'static str, fn(f64) -> Height);
    let keys: [Named<'_>; 4] = [
        (&group.height, Along::Height, "height", Height::Cap),
        (&group.x_height, Along::Height, "x-height", Height::SmallLetters),
        (&group.total_height, Along::Height, "total height", Height::Total),
        (&group.width, Along::Width, "width", Height::Width),
    ];
    let mut written = keys
        .iter()
        .filter_map(|(text, along, name, height)| Some((text.as_ref()?, *along, *name, *height)));
    let Some((text, along, name, height)) = written.next() else {
        let help = "write `height`, `x-height`, `total height` or `width`";
        reader.problem(group.words.place, "nothing says how large the words are", help);
        return None;
    };
    if let Some((other, _, second, _)) = written.next() {
        let message = format!("`{name}` and `{second}` both say how large the words are");
        reader.problem(other.place, message, "keep one of the two");
        return None;
    }
    let length = reader.positive(text, along, name);
    (length > Length::ZERO).then(|| height(length.to_inches()))
}

fn word_group(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    fonts: &FontBook,
    group: &TitleSpec,
    name: &str,
) -> Option<Block> {
    let words = &group.words;
    if words.value.trim().is_empty() {
        reader.problem(words.place, "the title has no words", "write its words, or leave it out");
        return None;
    }
    if words.value.chars().count() > MOST_LETTERS {
        let message = format!("the words have more than {MOST_LETTERS} letters");
        reader.problem(words.place, message, "split them into several word groups");
        return None;
    }
    let (_, font) = font(reader, layout, fonts, group.font.as_ref(), "display")?;
    let height = height(reader, group)?;
    let paper = reader.paper(&group.paper);
    let page = reader.page_named(group.page.as_ref(), 0);
    let style = WordStyle {
        height,
        letter_spacing: reader
            .distance(group.spacing.as_ref(), Length::ZERO, "spacing")
            .to_inches(),
        lift: steps(reader, group.lift.as_ref()),
    };
    let word = match set_word(&font, words.value.trim(), &style) {
        Ok(word) => word,
        Err(error) => {
            reader.problem(words.place, error.message, error.help);
            return None;
        }
    };
    let mut parts = letters(reader, &word, paper, name, words.place);
    let [width, height] = word.size;
    let mut size = Size::inches(width, height);
    if let Some(backing) = &group.backing {
        let (whole, layer) = self::backing(reader, backing, &word, name)?;
        let shift = (whole.width - size.width) / 2;
        let drop = (whole.height - size.height) / 2;
        parts = parts.into_iter().map(|part| part.moved(shift, drop)).collect();
        parts.insert(0, layer);
        size = whole;
    }
    let turn = group.turn.as_ref().map_or(0.0, |turn| turn.value);
    if !(turn.is_finite() && turn.abs() <= 360.0) {
        let place = group.turn.as_ref().map_or(words.place, |turn| turn.place);
        reader.problem(place, "the turn is not within 360 degrees", "write degrees");
    }
    Some(Block {
        gut: None,
        turns: reader.turns(group.cut_turn.as_ref()),
        id: format!("title.{name}"),
        page,
        at: group.at.clone(),
        turn,
        size,
        parts,
        across_spread: false,
        place: words.place,
    })
}

/// A repeated pattern of lengths, in inches.
pub(super) fn steps(
    reader: &mut Reader<'_>,
    pattern: Option<&Marked<OneOrMany<Text>>>,
) -> Vec<f64> {
    let Some(pattern) = pattern else { return Vec::new() };
    let mut steps = Vec::new();
    for step in &pattern.value.0 {
        match parse_length(&step.value, reader.units) {
            Ok(length) => steps.push(length.to_inches()),
            Err(error) => {
                let place = if step.place.line > 0 { step.place } else { pattern.place };
                reader.problem(place, error.message, error.help);
            }
        }
    }
    steps
}

/// A piece for each letter, with a warning for what is too thin to cut well.
fn letters(
    reader: &mut Reader<'_>,
    word: &Word,
    paper: usize,
    name: &str,
    place: Place,
) -> Vec<Part> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut parts = Vec::new();
    for letter in &word.letters {
        let text = letter_name(&letter.text);
        // Ids that differ only in case would clash on some file systems and to the ear.
        let count = seen.entry(text.to_lowercase()).or_default();
        *count += 1;
        let id = match *count {
            1 => format!("title.{name}.{text}"),
            count => format!("title.{name}.{text}-{count}"),
        };
        let bounds = kurbo::Shape::bounding_box(&letter.outline);
        if let Some(thin) = thin_parts(&letter.outline, THINNEST_STROKE)
            .into_iter()
            .min_by(|one, other| one.width.total_cmp(&other.width))
        {
            let width = Length::inches(thin.width).show(reader.units);
            reader.warn(Warning {
                kind: "thin stroke".to_owned(),
                message: format!("`{}` has a stroke {width} wide", letter.text),
                help: "strokes under 1/16 in tear in cardstock: make the letters larger or bolder"
                    .to_owned(),
                piece: id.clone(),
                line: place.line,
            });
        }
        let kind = if word.joined { "word" } else { "letter" };
        let part = Part::drawn(id, kind, paper, Drawing::of(letter.outline.clone()));
        parts.push(part.moved(Length::inches(bounds.x0), Length::inches(bounds.y0)));
    }
    parts
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

/// The layer behind the letters and its size.
fn backing(
    reader: &mut Reader<'_>,
    backing: &Marked<BackingSpec>,
    word: &Word,
    name: &str,
) -> Option<(Size, Part)> {
    let written = &backing.value;
    let margin = reader.positive(&written.margin, Along::Height, "margin");
    let paper = reader.paper(&written.paper);
    let counters =
        reader.choice(written.counters.as_ref(), &["filled", "kept"], "way to treat counters");
    if margin <= Length::ZERO {
        return None;
    }
    let holes = if counters == "kept" { Holes::Keep } else { Holes::Fill };
    let outlines: Vec<BezPath> = word.letters.iter().map(|letter| letter.outline.clone()).collect();
    let whole = boolean::union(&outlines);
    let layer = offset::outward(&whole, margin.to_inches(), holes);
    let outsides = boolean::contours(&layer).iter().filter(|contour| contour.depth == 0).count();
    let id = format!("title.{name}.backing");
    if outsides > 1 {
        reader.warn(Warning {
            kind: "backing in parts".to_owned(),
            message: format!("the backing falls into {outsides} parts"),
            help: "a wider margin or less space between letters joins them".to_owned(),
            piece: id.clone(),
            line: backing.place.line,
        });
    }
    let mut layer = layer;
    layer.apply_affine(Affine::translate((margin.to_inches(), margin.to_inches())));
    let part = Part::drawn(id, "backing", paper, Drawing::of(layer));
    Some((part.size, part))
}
