//! What all searches share: numbers that look random and are the same on every machine.

mod chance;
mod scatter;

pub(crate) use chance::Chance;
pub(crate) use scatter::Scatter;
