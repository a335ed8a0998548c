//! What all searches share: a handle to stop and count them, and numbers that look random and are the same
//! on every machine.

mod chance;
mod handle;

pub(crate) use chance::Chance;
pub use handle::Search;
