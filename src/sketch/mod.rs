//! Sketches that fit the photos at hand.

pub mod assignment;
pub mod file;
mod reading;
pub mod relations;
pub mod wanted;

pub use reading::{Bank, EdgeName, Holds, Room, Sketch, Strip};
