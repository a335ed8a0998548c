//! A story as a block on a card: several lines on one piece.

use super::rich::Paragraph;
use super::setting::{Faces, SetLine, Setting};
use super::strips::{SIZE_STEP, SMALLEST, StoryStrip, told};
use crate::model::Fault;

/// Largest type size that is offered, in half points.
const MOST_HALVES: u32 = 400;

pub use crate::lettering::words::Align;

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
pub fn set_card(card: &Card, faces: &Faces<'_>) -> Result<StoryStrip, Fault> {
    let told = told(&card.text)?;
    match block(card, faces, &told)? {
        Ok(block) => Ok(block),
        Err(lines) => Err(too_high(card, faces, &told, lines)),
    }
}

/// The story as a block, or the number of lines that are too many.
fn block(
    card: &Card,
    faces: &Faces<'_>,
    told: &[Paragraph],
) -> Result<Result<StoryStrip, usize>, Fault> {
    let room = card.size[0] - 2.0 * card.pad;
    if room <= 0.0 {
        return Err(Fault::new(
            "the padding leaves no room for text",
            "write a larger card or less padding",
        ));
    }
    let setting = Setting::new(faces, card.type_size, card.hyphens);
    let lines = setting.shaped_to(told, &[room])?;
    let font = faces.plain();
    let em = setting.em;
    let [above, below] = [font.cap_height, (-font.descender).clamp(0.0, 0.3)].map(|part| part * em);
    let step = card.leading * em;
    let gaps = (lines.len() - 1) as f64;
    let height = above + gaps * step + below;
    if height > card.size[1] - 2.0 * card.pad + 1e-9 {
        return Ok(Err(lines.len()));
    }
    let lines: Vec<SetLine> =
        lines.iter().map(|line| setting.set(line)).collect::<Result<_, _>>()?;
    let mut all = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        let spare = room - line.ink.width();
        let pen = card.pad - line.ink.left
            + match card.align {
                Align::Left => 0.0,
                Align::Center => spare / 2.0,
                Align::Right => spare,
            };
        all.extend(line.runs(pen, -(number as f64) * step));
    }
    let text: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
    Ok(Ok(StoryStrip {
        text: text.join(" "),
        size: card.size,
        baseline: (card.size[1] - height) / 2.0 + above,
        runs: all,
    }))
}

/// What to tell of a story that is too high for its card.
fn too_high(card: &Card, faces: &Faces<'_>, told: &[Paragraph], lines: usize) -> Fault {
    let message = format!("the story needs {lines} lines, more than the card has room for");
    // Smaller type never takes more room, so halving finds the largest that fits; in half points.
    let fits = |halves: u32| {
        let card = Card { type_size: f64::from(halves) * SIZE_STEP, ..card.clone() };
        block(&card, faces, told).is_ok_and(|block| block.is_ok())
    };
    let (mut low, mut high) = (0, 0);
    while f64::from(high + 1) * SIZE_STEP < card.type_size && high < MOST_HALVES {
        high += 1;
    }
    while low < high {
        let middle = (low + high).div_ceil(2);
        if fits(middle) { low = middle } else { high = middle - 1 }
    }
    let size = f64::from(low) * SIZE_STEP;
    let help = match size >= SMALLEST {
        true => format!("the largest size that fits is {size} pt; or make the card larger"),
        false => "make the card larger, the leading smaller, or the story shorter".to_owned(),
    };
    Fault::new(message, help)
}
