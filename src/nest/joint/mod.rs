//! One paper's job from pieces to sheets, trimmer and machine searched together.
//!
//! `nest` chooses the search and says what is known of the answer; `direct` is the search for jobs of few
//! copies, `kits` the one for many; `blocks` lays the machine's pieces first;
//! `irregular_part` finds paper for them in a draft; `task` holds the job and which of two plans stays.

mod blocks;
mod direct;
mod draft;
mod free_paper;
mod irregular_part;
mod kits;
mod nest;
mod offcuts;
mod task;

pub use nest::{Begun, least_price, least_sheets, nest, nest_in_steps};
