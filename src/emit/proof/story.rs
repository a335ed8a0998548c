//! The story of the proof: its strips in the order in which they are read, with their emphasis.

use maud::{Markup, html};

use super::{Proof, counted, section};
use crate::emit::sheet_layout::number_of;
use crate::lettering::shaping::visual_order;
use crate::model::Color;
use crate::record::{Record, Strip};

/// What the name of a leaning font holds.
const LEANING: [&str; 3] = ["Italic", "Oblique", "Slanted"];

impl Proof<'_> {
    /// Every strip, with a box to tick when it is glued down.
    pub(super) fn story(&self) -> Markup {
        let mut strips: Vec<&Strip> = self.record.strips_once().collect();
        if strips.is_empty() {
            return html! {};
        }
        // The pieces are listed as they are read, the strips as they are printed.
        strips.sort_by_key(|strip| number_of(self.record, &strip.id));
        let usual = usual_font(self.record);
        let pages: std::collections::BTreeSet<u32> =
            strips.iter().map(|strip| strip.page).collect();
        let (count, pages) =
            (counted(strips.len(), "strip", "strips"), counted(pages.len(), "page", "pages"));
        let body = html! {
            p { (count) " on " (pages) " of print/strips.pdf, in the order in which they are read." }
            ol class="story" { @for strip in strips { li { (self.strip(strip, usual)) } } }
        };
        section("card story-part", "story", "The story in strips", &body)
    }

    fn strip(&self, strip: &Strip, usual: usize) -> Markup {
        let paper = self.record.papers.iter().find(|paper| paper.name == strip.paper);
        let ground = strip.ground.or(paper.map(|paper| paper.color)).unwrap_or(Color::UNKNOWN);
        html! {
            (self.tick("glued", &strip.id, "is glued down")) " "
            q dir="auto" style={ "background:" (ground) ";color:" (strip.ink) } {
                (self.with_emphasis(strip, usual))
            }
            " "
            span {
                (self.paper(&strip.paper)) ", " (self.size(strip.size)) ", printed page " (strip.page)
            }
        }
    }

    /// The words of a strip; those in another face than the story's usual one are marked so.
    fn with_emphasis(&self, strip: &Strip, usual: usize) -> Markup {
        let Some(fonts) = fonts_of_letters(strip) else { return html! { (strip.text) } };
        let name = |font: usize| self.record.fonts.get(font).map_or("", |font| &font.family);
        let leans = |font: usize| LEANING.iter().any(|word| name(font).contains(word));
        let is_bold = |font: usize| name(font).contains("Bold");
        let letters: Vec<(char, usize)> = strip.text.chars().zip(fonts).collect();
        let runs = letters.chunk_by(|(_, one), (_, other)| one == other).map(|run| {
            let words: String = run.iter().map(|(letter, _)| *letter).collect();
            let font = run[0].1;
            let strong = is_bold(font) && !is_bold(usual);
            let leaning = leans(font) && !leans(usual);
            let words = match font != usual && (leaning || !strong) {
                true => html! { em { (words) } },
                false => html! { (words) },
            };
            if strong {
                html! { strong { (words) } }
            } else {
                words
            }
        });
        html! { @for run in runs { (run) } }
    }
}

/// The font of most glyphs of the story.
fn usual_font(record: &Record) -> usize {
    let mut counts = std::collections::BTreeMap::new();
    for run in record.strips.iter().flat_map(|strip| &strip.runs) {
        *counts.entry(run.font).or_insert(0_usize) += run.glyphs.len();
    }
    counts.into_iter().max_by_key(|(_, count)| *count).map_or(0, |(font, _)| font)
}

/// The font of each letter of a strip, in the text's order; blanks have that of what stands before them.
/// Nothing where glyphs and text can't be told to be the same.
fn fonts_of_letters(strip: &Strip) -> Option<Vec<usize>> {
    let blank = |at: usize| strip.text.get(at..)?.chars().next().map(char::is_whitespace);
    let seen = visual_order(&strip.text).into_iter().filter(|at| blank(*at) == Some(false));
    let glyphs = strip.runs.iter().flat_map(|run| run.glyphs.iter().map(|glyph| (run.font, glyph)));
    let fonts = glyphs.flat_map(|(font, glyph)| {
        glyph.text.chars().filter(|letter| !letter.is_whitespace()).map(move |_| font)
    });
    let (seen, fonts): (Vec<usize>, Vec<usize>) = (seen.collect(), fonts.collect());
    if seen.len() != fonts.len() {
        return None;
    }
    let by_place: std::collections::BTreeMap<usize, usize> = seen.into_iter().zip(fonts).collect();
    let mut last = by_place.values().next().copied().unwrap_or_default();
    let letters = strip.text.char_indices().map(|(at, _)| {
        last = by_place.get(&at).copied().unwrap_or(last);
        last
    });
    Some(letters.collect())
}
