//! The words that every room shares: what cuts, how paper may be turned, what is done along a line.
//!
//! A word that a person writes is a [`Choice`]: an enum whose choices know their word and what they mean,
//! so that reading, messages, the JSON Schema and records say the same. This room uses no
//! other.

mod advice;
mod area;
mod choice;
mod color;
mod count;
mod effort;
mod facing;
mod fall;
mod fault;
mod fitted;
mod form;
mod glyph;
mod grid;
mod gutting;
mod ids;
mod inks;
pub mod length;
mod lettering;
mod mark;
pub mod naming;
mod page;
mod pattern;
mod picture_fill;
mod picture_format;
mod price;
pub mod printer;
mod process;
mod rect;
mod rules;
mod sheet_source;
mod stock;
mod tool;
mod turns;
mod warning;
pub mod yaml;

pub use advice::{Advice, AdviceKind};
pub use area::Area;
pub use choice::Choice;
pub(crate) use choice::{choices, read_choice};
pub use color::Color;
pub use count::Count;
pub use effort::Effort;
pub use facing::Facing;
pub use fall::Fall;
pub use fault::Fault;
pub use fitted::{Fitted, FittedKind};
pub use form::{Notches, Pennant};
pub use glyph::{Glyph, Run};
pub use grid::{PATH_DECIMALS, rounded};
pub use gutting::When;
pub use ids::{OffcutId, PieceId, SheetId};
pub use inks::Inks;
pub use lettering::{Align, Joined, Side};
pub use mark::MarkKind;
pub use page::{MOST_PHOTOS, PageName};
pub use pattern::{Band, DOT, GRID_LINE, Pattern, PatternKind, Repeat, zigzag};
pub use picture_fill::PictureFill;
pub use picture_format::PictureFormat;
pub use price::Price;
pub use process::Process;
pub use rect::Rect;
pub use rules::Rules;
pub(crate) use rules::keepable;
pub use sheet_source::SheetSource;
pub use stock::Stock;
pub use tool::Tool;
pub use turns::Turns;
pub use warning::Warning;
