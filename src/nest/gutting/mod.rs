//! Nesting with gutting: the hidden middles of pieces are paper for smaller ones.
//!
//! A middle is an offcut that exists once its piece is cut: a rectangle. Where the machine cuts the
//! piece, its middle may also have its true shape: an opening of the piece, in which smaller pieces lie
//! on the same sheet and are cut in the same pass. A job is nested without the middles that need not be
//! cut, then again with them; another answer stands only if it needs fewer new sheets, and then every
//! middle it can do without is given back.

mod middle;
mod order;
mod search;

pub use middle::{Gutted, Middle};
pub use search::nest_with_middles;
