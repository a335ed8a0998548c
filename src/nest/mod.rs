//! Pieces onto sheets: trimmer patterns, free-form nesting, offcuts.
//!
//! In comes a [`Job`] for one paper: what is on hand and what has to be cut. Out comes a [`Nested`]:
//! which sheets are used, where each piece lies, the trimmer's cuts in order, and what is left over.
//! This room knows sizes and outlines; it never hears of titles, photos or pages.

pub mod bounds;
mod guillotine;
pub mod gutting;
pub mod irregular;
mod job;
mod joint;
pub mod mat;
mod nested;
mod reason;
mod rectangles;
pub mod worth;

pub use crate::model::{Area, Effort, Rules, Stock, Tool, Turns};
pub use crate::search::Search;
pub use guillotine::{printed, printed_below};
pub use job::{Form, Item, Job, Together};
pub use joint::{Begun, least_price, least_sheets, nest, nest_in_steps};
pub use nested::{Cut, CutLine, Fall, Falls, LeftOut, Nested, PlacedItem, SheetCut};
pub use reason::{Limit, Note};
