//! The story's strips (or its card) on their page, staggered.

use std::sync::Arc;

use crate::description::{
    CardSpec, Distance, JournalingSpec, Marked, OneOrMany, Place, StripSpec, Text, Written,
};
use crate::journal::{self, Align, Card, Face, Faces, Lines, Story, StoryStrip};
use crate::lettering::fonts::{Font, FontBook};
use crate::model::Run;
use crate::model::length::{Length, LengthSum, Size, Units};

use super::blocks::{Block, Part};
use super::ink::TYPE_INK;
use super::print_on_paper::{self, Impairment, Inked, Printed};
use super::reading::{Along, Reader};
use super::slanted::Style;
use super::{Layout, StoryPiece, title};

/// Type size where none is written, in points (common practice, no source).
const TYPE_SIZE: f64 = 11.0;
/// Strips are cut to a multiple of this width in inches: the finest mark of a craft ruler, and half a
/// millimetre.
const RULER_MARK: f64 = 1.0 / 32.0;
const METRIC_MARK: f64 = 0.5 / 25.4;
/// The longest story, in letters; a spread holds a few hundred words.
const LONGEST_STORY: usize = 50_000;
/// Most widths in a list and most strips that may be asked for.
const MOST_STRIPS: usize = 100;
/// Most strips of a story however it is cut: a spread of two 12 x 12 in pages, covered with strips 5/16 in
/// high and 1 1/2 in wide, holds 600.
const MOST_CUT: usize = 600;
/// Distance of a card's baselines in type sizes, if the spec says nothing (common practice, no source).
pub(super) const LEADING: f64 = 1.4;

/// Adds a block with a piece for each strip, and the strips themselves to the layout.
pub(super) fn add(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    blocks: &mut Vec<Block>,
    fonts: &FontBook,
) {
    let spec = reader.spec;
    let Some(journaling) = &spec.journaling else { return };
    let place = journaling.value.text.place;
    let Some(block) = story(reader, layout, fonts, &journaling.value, place) else { return };
    blocks.push(block);
}

/// The type of a story: its fonts by face, their places in the layout, and its size in points.
pub(super) struct Type {
    pub fonts: [Arc<Font>; 4],
    pub places: [usize; 4],
    pub size: f64,
}

/// The keys that say how words are set.
pub(super) struct TypeSpec<'a> {
    /// The words.
    pub text: &'a Marked<Text>,
    pub font: Option<&'a Marked<Text>>,
    pub emphasis: Option<&'a Marked<Text>>,
    pub strong: Option<&'a Marked<Text>>,
    pub size: Option<&'a Written<LengthSum>>,
}

fn story(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    fonts: &FontBook,
    written: &JournalingSpec,
    place: Place,
) -> Option<Block> {
    if written.text.value.len() > LONGEST_STORY {
        let message = format!("the story is longer than {LONGEST_STORY} letters");
        reader.problem(place, message, "split it over several spreads");
        return None;
    }
    let of = TypeSpec {
        text: &written.text,
        font: written.font.as_ref(),
        emphasis: written.emphasis.as_ref(),
        strong: written.strong.as_ref(),
        size: written.size.as_ref(),
    };
    let faces = faces(reader, layout, fonts, &of)?;
    let gap = reader.distance(written.gap.as_ref(), Length::part(1, 16), "gap");
    let ground = written.background.as_ref().map(|color| reader.color(Some(color), TYPE_INK));
    let papers: Vec<usize> = written.paper.each().map(|paper| reader.paper(&paper)).collect();
    if papers.is_empty() {
        reader.problem(written.paper.place, "the story has no paper", "name one, or a list");
        return None;
    }
    let usual = print_on_paper::usual_ink(layout, &papers, ground);
    let ink = reader.color(written.ink.as_ref(), usual);
    print_on_paper::tell(
        reader,
        layout,
        &Printed {
            id: "journaling",
            piece: "journaling.1",
            line: place.line,
            papers: &papers,
            ground,
            ground_key: "background",
            picture: false,
            inks: vec![Inked { what: Impairment::Type(faces.size), ink }],
        },
    );
    let last_page = reader.pages.len().saturating_sub(1);
    let page = reader.page_named(written.page.as_ref(), last_page);
    let stagger = title::steps(reader, written.stagger.as_ref());
    let strips = set(reader, written, &faces, place)?;
    if strips.len() > MOST_CUT {
        let message = format!("the story makes {} strips", strips.len());
        let help = format!("a spread holds {MOST_CUT} at most: cut wider strips, or shorten it");
        reader.problem(place, message, help);
        return None;
    }
    let (mut size, mut top, mut parts) = (Size::default(), Length::ZERO, Vec::new());
    for (index, strip) in strips.into_iter().enumerate() {
        let id = format!("journaling.{}", index + 1);
        let trim = Size::inches(strip.size[0], strip.size[1]);
        let push = stagger.get(index % stagger.len().max(1)).copied().unwrap_or(0.0);
        let left = Length::inches(push);
        let paper = papers[index % papers.len()];
        let part = Part::rectangle(id.clone(), "journaling", paper, trim).moved(left, top);
        size.width = size.width.max(left + trim.width);
        size.height = top + trim.height;
        top += trim.height + gap;
        parts.push(part);
        let font = |face: Face| faces.places[face as usize];
        let runs = strip.runs.into_iter();
        layout.strips.push(StoryPiece {
            id: id.into(),
            text: strip.text,
            paper,
            size: trim,
            baseline: strip.baseline,
            type_size: faces.size,
            ink,
            ground,
            runs: runs.map(|(face, glyphs)| Run { font: font(face), glyphs }).collect(),
        });
    }
    Some(Block {
        turns: None,
        copies: 1,
        print: None,
        gut: None,
        id: "journaling".to_owned(),
        page,
        at: written.at.clone(),
        turn: 0.0,
        size,
        parts,
        across_spread: false,
        fit: None,
        match_pattern: false,
        other_page: None,
        raised: None,
        place,
        ..Block::default()
    })
}

/// The fonts of some words: the one named, its italic and its bold.
pub(super) fn faces(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    fonts: &FontBook,
    written: &TypeSpec<'_>,
) -> Option<Type> {
    let place = written.font.map_or(written.text.place, |name| name.place);
    let (at, font) = title::font(reader, layout, fonts, written.font, "text")?;
    let family = written.font.map_or("text", |name| &name.value);
    let told = journal::paragraphs(&written.text.value).unwrap_or_default();
    let marked =
        |face: Face| told.iter().flat_map(|one| &one.faces).any(|(_, other)| *other == face);
    let mut other =
        |reader: &mut Reader<'_>, face: Face, written: Option<&Marked<Text>>, style: Style| {
            if !marked(face) {
                return Some((at, Arc::clone(&font)));
            }
            if written.is_some() {
                return title::font(reader, layout, fonts, written, "text");
            }
            let Some(font) = style.of(fonts, family, &font) else {
                let message = format!("the font `{family}` has no {}", style.told());
                let help =
                    if style.slanted { "emphasis: text italic" } else { "strong: text bold" };
                reader.problem(place, message, format!("name a font, such as `{help}`"));
                return None;
            };
            Some((title::used(layout, &font), font))
        };
    let [slanted, bold] = [true, false].map(|slanted| Style { slanted, bold: !slanted });
    let emphasis = other(reader, Face::Emphasis, written.emphasis, slanted)?;
    let strong = other(reader, Face::Strong, written.strong, bold)?;
    // Words that are both take the font of one where there is none for both.
    let both = Style { slanted: true, bold: true };
    let lacking = marked(Face::StrongEmphasis) && both.of(fonts, family, &font).is_none();
    let either = if lacking { written.emphasis.or(written.strong) } else { None };
    let both = other(reader, Face::StrongEmphasis, either, both)?;
    let all = [(at, font), emphasis, strong, both];
    let names = [written.font, written.emphasis, written.strong, written.font];
    for ((_, font), name) in all.iter().zip(names) {
        if let Some(why) = font.barred_from_pdf() {
            let message =
                format!("the font {} can't be embedded in a print file: {why}", font.family);
            let place = name.map_or(place, |name| name.place);
            let help =
                "use another font for what is printed; titles that are cut are not concerned";
            reader.problem(place, message, help);
            return None;
        }
    }
    let size = match written.size {
        Some(text) => reader.positive(text, Along::Height, "type size").to_points(),
        None => TYPE_SIZE,
    };
    let places = [0, 1, 2, 3].map(|face: usize| all[face].0);
    let fonts = all.map(|(_, font)| font);
    (size > 0.0).then_some(Type { fonts, places, size })
}

/// The story cut as the spec says.
fn set(
    reader: &mut Reader<'_>,
    written: &JournalingSpec,
    faces: &Type,
    place: Place,
) -> Option<Vec<StoryStrip>> {
    let fonts = Faces([0, 1, 2, 3].map(|face: usize| &*faces.fonts[face]));
    let set = match (&written.strip, &written.card) {
        (Some(_), Some(card)) => {
            let help = "keep `strip` or `card`";
            reader.problem(card.place, "the story can't be strips and a card as well", help);
            return None;
        }
        (None, None) => {
            reader.problem(place, "nothing says how the story is cut", "write `strip` or `card`");
            return None;
        }
        (Some(strip), None) => {
            journal::break_story(&strips(reader, written, strip, faces.size)?, &fonts)
        }
        (None, Some(card)) => {
            let card = self::card(reader, written, &card.value, faces.size)?;
            journal::set_card(&card, &fonts).map(|card| vec![card])
        }
    };
    set.map_err(|error| reader.problem(place, error.message, error.help)).ok()
}

fn strips(
    reader: &mut Reader<'_>,
    written: &JournalingSpec,
    strip: &Marked<StripSpec>,
    type_size: f64,
) -> Option<Story> {
    let sizes = &strip.value;
    let strip_height = reader.positive(&sizes.height, Along::Height, "strip height");
    let pad = reader.distance(sizes.pad.as_ref(), Length::part(1, 8), "padding");
    let widest = sizes.widest.as_ref();
    let widest = widest.map(|text| reader.positive(text, Along::Width, "widest width").to_inches());
    let ways = usize::from(sizes.count.is_some())
        + usize::from(sizes.widths.is_some())
        + usize::from(sizes.one_word);
    if ways > 1 || (ways == 1 && widest.is_some() && sizes.count.is_none()) {
        let message = "the strips are cut in more than one way";
        let help = "keep one of `widest`, `count` (with or without `widest`), `widths`, `one word`";
        reader.problem(strip.place, message, help);
        return None;
    }
    let lines = match (&sizes.count, &sizes.widths, sizes.one_word, widest) {
        (Some(count), ..) => {
            let number = usize::try_from(count.value).unwrap_or(usize::MAX);
            if !(1..=MOST_STRIPS).contains(&number) {
                let message = format!("{number} is no number of strips");
                reader.problem(count.place, message, format!("write 1 to {MOST_STRIPS}"));
                return None;
            }
            Lines::Count(number, widest)
        }
        (_, Some(widths), ..) => Lines::Widths(self::widths(reader, widths)?),
        (_, _, true, _) => Lines::Words,
        (.., Some(widest)) => Lines::Widest(widest),
        (.., None) => {
            let help = "write `widest`, `count`, `widths` or `one word: true`";
            reader.problem(strip.place, "nothing says how wide the strips are", help);
            return None;
        }
    };
    let sound = strip_height > Length::ZERO && widest.is_none_or(|widest| widest > 0.0);
    sound.then(|| Story {
        text: written.text.value.0.clone(),
        strip_height: strip_height.to_inches(),
        lines,
        pad: pad.to_inches(),
        type_size,
        hyphens: written.hyphens,
        most: written.most.as_ref().and_then(|most| usize::try_from(most.value).ok()),
        ruler_mark: if reader.units == Units::Millimetres { METRIC_MARK } else { RULER_MARK },
    })
}

/// A list of widths in inches.
fn widths(
    reader: &mut Reader<'_>,
    list: &Marked<OneOrMany<Written<Distance>>>,
) -> Option<Vec<f64>> {
    let mut widths = Vec::new();
    for written in list.each() {
        let place = written.place;
        match reader.fixed(&written) {
            Ok(width) if width > Length::ZERO => widths.push(width.to_inches()),
            Ok(_) => reader.problem(place, "a strip has no width", "write more than 0"),
            Err(error) => reader.problem(place, error.message, error.help),
        }
    }
    if widths.is_empty() || widths.len() > MOST_STRIPS {
        let message = format!("{} widths are listed", widths.len());
        reader.problem(list.place, message, format!("list 1 to {MOST_STRIPS}"));
        return None;
    }
    (widths.len() == list.value.0.len()).then_some(widths)
}

fn card(
    reader: &mut Reader<'_>,
    written: &JournalingSpec,
    card: &CardSpec,
    type_size: f64,
) -> Option<Card> {
    let size = reader.size(&card.size);
    let pad = reader.distance(card.pad.as_ref(), Length::part(1, 4), "padding");
    let align = reader.choice(card.align.as_ref(), Align::Left);
    let leading = leading(reader, card.leading.as_ref(), LEADING)?;
    (size.width > Length::ZERO && size.height > Length::ZERO).then(|| Card {
        text: written.text.value.0.clone(),
        size: size.to_inches(),
        pad: pad.to_inches(),
        align,
        leading,
        type_size,
        hyphens: written.hyphens,
    })
}

/// A distance of baselines in type sizes; nothing when a problem was noted.
pub(super) fn leading(
    reader: &mut Reader<'_>,
    written: Option<&Marked<f64>>,
    otherwise: f64,
) -> Option<f64> {
    let Some(Marked { value, place }) = written else { return Some(otherwise) };
    if !(0.8..=5.0).contains(value) {
        let help = "write 0.8 to 5, in type sizes";
        reader.problem(*place, format!("`{value}` is no leading"), help);
        return None;
    }
    Some(*value)
}
