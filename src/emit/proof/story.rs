//! The story of the proof: its strips in the order in which they are read, with their emphasis.

use super::{Proof, counted, section, text};
use crate::emit::drawing::color;
use crate::emit::sheet_layout::number_of;
use crate::lettering::shaping::visual_order;
use crate::record::{Record, Strip};

/// What the name of a leaning font holds.
const LEANING: [&str; 3] = ["Italic", "Oblique", "Slanted"];

impl Proof<'_> {
    /// Every strip, with a box to tick when it is glued down.
    pub(super) fn story(&self) -> String {
        let mut strips: Vec<&Strip> = self.record.strips.iter().collect();
        if strips.is_empty() {
            return String::new();
        }
        // The pieces are listed as they are read, the strips as they are printed.
        strips.sort_by_key(|strip| number_of(self.record, &strip.id));
        let usual = usual_font(self.record);
        let items: String = strips.iter().map(|strip| self.strip(strip, usual)).collect();
        let pages: std::collections::BTreeSet<u32> =
            strips.iter().map(|strip| strip.page).collect();
        let about = format!(
            "<p>{} on {} of print/strips.pdf, in the order in which they are read.</p>\n",
            counted(strips.len(), "strip", "strips"),
            counted(pages.len(), "page", "pages"),
        );
        let body = format!("{about}<ol class=\"story\">\n{items}</ol>");
        section("card story-part", "story", "The story in strips", &body)
    }

    fn strip(&self, strip: &Strip, usual: usize) -> String {
        let paper = self.record.papers.iter().find(|paper| paper.name == strip.paper);
        let ground = if strip.ground.is_empty() {
            color(paper.map_or("", |paper| &paper.color))
        } else {
            color(&strip.ground)
        };
        format!(
            "<li>{} <q dir=\"auto\" style=\"background:{ground};color:{}\">{}</q> \
             <span>{}, {}, printed page {}</span></li>\n",
            self.tick("glued", &strip.id, "is glued down"),
            color(&strip.ink),
            self.with_emphasis(strip, usual),
            self.paper(&strip.paper),
            self.size(strip.size),
            strip.page,
        )
    }

    /// The words of a strip; those in another face than the story's usual one are marked so.
    fn with_emphasis(&self, strip: &Strip, usual: usize) -> String {
        let Some(fonts) = fonts_of_letters(strip) else { return text(&strip.text) };
        let name = |font: usize| self.record.fonts.get(font).map_or("", |font| &font.family);
        let leans = |font: usize| LEANING.iter().any(|word| name(font).contains(word));
        let is_bold = |font: usize| name(font).contains("Bold");
        let letters: Vec<(char, usize)> = strip.text.chars().zip(fonts).collect();
        let mut html = String::new();
        for run in letters.chunk_by(|(_, one), (_, other)| one == other) {
            let words: String = run.iter().map(|(letter, _)| *letter).collect();
            let mut words = text(&words);
            let font = run[0].1;
            let strong = is_bold(font) && !is_bold(usual);
            let leaning = leans(font) && !leans(usual);
            if font != usual && (leaning || !strong) {
                words = format!("<em>{words}</em>");
            }
            if strong {
                words = format!("<strong>{words}</strong>");
            }
            html += &words;
        }
        html
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
