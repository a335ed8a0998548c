//! A story as a block on a card: several lines on one piece.

use super::JournalError;
use super::strips::{Faces, POINTS, Setting, StoryStrip, runs, told};

/// How the lines of a card are aligned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// Flush with the left padding.
    #[default]
    Left,
    /// Each in the middle.
    Center,
    /// Flush with the right padding.
    Right,
}

/// A story and the card it goes on; lengths in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The story; a line break starts a new paragraph, stars mark words.
    pub text: String,
    /// Width and height of the card.
    pub size: [f64; 2],
    /// Paper round the text, at least.
    pub pad: f64,
    /// How lines are aligned.
    pub align: Align,
    /// Distance of baselines in type sizes.
    pub leading: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Whether words may be broken with hyphens.
    pub hyphens: bool,
}

/// Sets a story on a card, its lines in the middle of the card's height.
pub fn set_card(card: &Card, faces: &Faces<'_>) -> Result<StoryStrip, JournalError> {
    let told = told(&card.text)?;
    let room = card.size[0] - 2.0 * card.pad;
    if room <= 0.0 {
        return Err(JournalError::new(
            "the padding leaves no room for text",
            "write a larger card or less padding",
        ));
    }
    let setting = Setting { faces, type_size: card.type_size, hyphens: card.hyphens };
    let mut lines = Vec::new();
    for paragraph in &told {
        lines.extend(setting.within(paragraph, room)?);
    }
    let font = faces.plain();
    let em = card.type_size / POINTS;
    let [above, below] = [font.cap_height, (-font.descender).clamp(0.0, 0.3)].map(|part| part * em);
    let step = card.leading * em;
    let gaps = (lines.len() - 1) as f64;
    let height = above + gaps * step + below;
    if height > card.size[1] - 2.0 * card.pad + 1e-9 {
        return Err(JournalError::new(
            format!("the story needs {} lines, more than the card has room for", lines.len()),
            "make the card larger, the type or the leading smaller, or the story shorter",
        ));
    }
    let mut all = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        let spare = room - setting.width(line)?;
        let pen = card.pad
            + match card.align {
                Align::Left => 0.0,
                Align::Center => spare / 2.0,
                Align::Right => spare,
            };
        all.extend(runs(&setting, line, pen, -(number as f64) * step)?);
    }
    let text: Vec<String> = lines.iter().map(super::strips::Line::text).collect();
    Ok(StoryStrip {
        text: text.join(" "),
        size: card.size,
        baseline: (card.size[1] - height) / 2.0 + above,
        runs: all,
    })
}
