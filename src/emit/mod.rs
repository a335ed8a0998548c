//! What is handed out: cut files, pictures, the proof.
//!
//! In comes a [`crate::record::Record`]; out come files as text or bytes. Every emitter is a pure
//! function that draws what the record says and decides nothing about the spread.

pub mod cut_svg;
mod drawing;
mod folder;
pub mod guide;
pub mod strips;

pub mod pdf;
mod lettering;
pub mod proof;
pub mod raster;
pub mod sheet_picture;
pub mod spread;

pub use folder::all;
