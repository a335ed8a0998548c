//! The story's strips on their page, staggered.

use crate::journal::{self, Story};
use crate::length::{Length, Size};
use crate::outline::fonts::FontBook;
use crate::spec::{JournalingSpec, Place};

use super::blocks::{Block, Part};
use super::reading::{Along, Reader};
use super::{Layout, StoryPiece, title};

/// The colour of type where none is written: near black, kinder to the eye than black.
const TYPE_INK: &str = "#33312e";
/// Type size where none is written, in points (common practice, no source).
const TYPE_SIZE: f64 = 11.0;
/// The longest story, in letters; a spread holds a few hundred words.
const LONGEST_STORY: usize = 50_000;

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
    let (font_index, font) = title::font(reader, layout, fonts, written.font.as_ref(), "text")?;
    if !font.embedding.allows_pdf() {
        let message = format!(
            "the font {} may not be embedded in a print file ({})",
            font.family, font.embedding
        );
        let place = written.font.as_ref().map_or(place, |name| name.place);
        reader.problem(place, message, "use another font for the story; titles are not concerned");
        return None;
    }
    let strip_height = reader.positive(&written.strip.height, Along::Height, "strip height");
    let widest = reader.positive(&written.strip.widest, Along::Width, "widest width");
    let pad = reader.distance(written.strip.pad.as_ref(), Length::part(1, 8), "padding");
    let gap = reader.distance(written.gap.as_ref(), Length::part(1, 16), "gap");
    let type_size = match &written.size {
        Some(text) => reader.positive(text, Along::Height, "type size").to_points(),
        None => TYPE_SIZE,
    };
    let ink = reader.color(written.ink.as_ref(), TYPE_INK);
    let paper = reader.paper(&written.paper);
    let last_page = reader.pages.len().saturating_sub(1);
    let page = reader.page_named(written.page.as_ref(), last_page);
    let stagger = title::steps(reader, written.stagger.as_ref());
    if strip_height <= Length::ZERO || widest <= Length::ZERO || type_size <= 0.0 {
        return None;
    }
    let story = Story {
        text: written.text.value.0.clone(),
        strip_height: strip_height.to_inches(),
        widest: widest.to_inches(),
        pad: pad.to_inches(),
        type_size,
        hyphens: written.hyphens,
        most: written.most.as_ref().and_then(|most| usize::try_from(most.value).ok()),
    };
    let strips = match journal::break_story(&story, &font) {
        Ok(strips) => strips,
        Err(error) => {
            reader.problem(place, error.message, error.help);
            return None;
        }
    };
    let (mut size, mut top, mut parts) = (Size::default(), Length::ZERO, Vec::new());
    for (index, strip) in strips.into_iter().enumerate() {
        let id = format!("journaling.{}", index + 1);
        let trim = Size::inches(strip.size[0], strip.size[1]);
        let push = stagger.get(index % stagger.len().max(1)).copied().unwrap_or(0.0);
        let left = Length::inches(push);
        let part = Part::rectangle(id.clone(), "journaling", paper, trim).moved(left, top);
        size.width = size.width.max(left + trim.width);
        size.height = top + trim.height;
        top += trim.height + gap;
        parts.push(part);
        layout.strips.push(StoryPiece {
            id,
            text: strip.text,
            paper,
            size: trim,
            baseline: strip.baseline,
            type_size,
            ink: ink.clone(),
            font: font_index,
            glyphs: strip.glyphs,
        });
    }
    Some(Block {
        turns: None,
        gut: None,
        id: "journaling".to_owned(),
        page,
        at: written.at.clone(),
        turn: 0.0,
        size,
        parts,
        across_spread: false,
        place,
    })
}
