//! What all searches share: a handle to stop and count them, and numbers that look random and are the same
//! on every machine.

mod chance;
mod handle;
mod scatter;

pub(crate) use chance::Chance;
pub use handle::Search;
pub(crate) use scatter::Scatter;
