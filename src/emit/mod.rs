//! What is handed out: cut files, pictures, the proof.
//!
//! In comes a [`crate::record::Record`] with the fonts and pictures that it names; out come files as
//! text or bytes. Every emitter is a pure function that draws what the record says and decides nothing
//! about the spread.

mod cautions;
pub mod cut_svg;
mod drawing;
mod folder;
pub mod font_sheet;
pub mod guide;
pub mod in_register;
mod labels;
pub mod marks;
mod parts;
mod pattern_places;
pub mod photos;
mod pictures;
pub mod placement;
mod printed_page;
mod sheet_drawing;
mod sheet_in_letters;
mod sheet_layout;
mod small_copies;
pub mod strips;

pub mod kept_sheets;
pub mod proof;
pub mod raster;
pub mod sheet_picture;
pub mod spread;
pub mod stamps;
pub mod stock;
pub mod stock_pictures;
mod work;

pub use folder::all;
pub use sheet_in_letters::sheet_in_letters;
pub use small_copies::SmallCopies;
