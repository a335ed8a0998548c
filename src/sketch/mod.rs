//! Sketches that fit the photos at hand.

pub mod assignment;
pub mod relations;
