//! The story as strips: broken into lines, measured, arranged on printed pages.
//!
//! In come the story's text, its font and the sizes of a strip; out come strips, each with its text
//! shaped and placed, and where each lies on the printer's paper.

mod breaking;
mod card;
mod fitting;
mod glyphs;
mod pages;
mod rich;
mod segments;
mod setting;
mod strips;

pub use breaking::{Breaks, LineCount, best_lines, line_cost};
pub use card::{Align, Card, set_card};
pub use pages::{
    BLEED, RULER_DOWN, RULER_ROOM, StripPlace, arrange, arrange_below, blank_from, room_below,
};
pub use rich::{Face, Paragraph, paragraphs};
pub use setting::Faces;
pub use strips::{Lines, Story, StoryStrip, break_story};
