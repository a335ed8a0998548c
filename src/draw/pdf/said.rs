//! What placed glyphs say when they are copied or read aloud.
//!
//! A font's text map (ISO 32000-1, 9.10.3) has one text for a glyph wherever it stands. That is enough where
//! each glyph stands for its letters. In scripts that join, reorder or stack letters a cluster has several
//! glyphs, or one glyph stands for different letters: such a cluster carries its text itself, as replacement
//! text (14.9.4).

use crate::model::Glyph;

use super::fonts::FontUse;

/// What is written for a text, step by step.
#[derive(Debug)]
pub(super) enum Step {
    /// To a place right of and above the text's own, in inches.
    Move([f64; 2]),
    /// Glyphs by their numbers in the file, before each the gap in thousandths of an em.
    Show(Vec<(f64, [u8; 2])>),
    /// What follows says this.
    Say(String),
    /// Here that ends.
    Said,
}

/// The steps that show glyphs, each at its place; an em is `em` inches. A glyph without a text belongs to the
/// cluster of the one before.
pub(super) fn glyphs(used: &mut FontUse, glyphs: &[Glyph], em: f64) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut show: Vec<(f64, [u8; 2])> = Vec::new();
    let (mut pen, mut base) = (f64::NAN, f64::NAN);
    for cluster in glyphs.chunk_by(|_, next| next.text.is_empty()) {
        let text = cluster.first().map_or("", |glyph| &glyph.text);
        let numbers: Vec<u16> =
            cluster.iter().map(|glyph| used.glyph(glyph.id, &glyph.text)).collect();
        let is_told = matches!(numbers[..], [only] if used.text(only) == text);
        if !is_told {
            flush(&mut show, &mut steps);
            steps.push(Step::Say(text.to_owned()));
        }
        for (glyph, number) in cluster.iter().zip(numbers) {
            if glyph.y != base {
                flush(&mut show, &mut steps);
                steps.push(Step::Move([glyph.x, glyph.y]));
                (pen, base) = (glyph.x, glyph.y);
            }
            show.push(((glyph.x - pen) / em * 1000.0, number.to_be_bytes()));
            pen = glyph.x + used.width(glyph.id) * em;
        }
        if !is_told {
            flush(&mut show, &mut steps);
            steps.push(Step::Said);
        }
    }
    flush(&mut show, &mut steps);
    steps
}

fn flush(show: &mut Vec<(f64, [u8; 2])>, steps: &mut Vec<Step>) {
    if !show.is_empty() {
        steps.push(Step::Show(std::mem::take(show)));
    }
}
