//! Sketches that fit the photos at hand.
//!
//! A sketch says where photos, title and story go, whatever the photos are: rooms of the page, banks in them,
//! strips, edges that keep together. In come sketches ([`Sketch`]) and the photos asked for ([`wanted`]); out
//! come fits with every measure on the ruler, the best first, each with its reasons, and for each sketch that
//! can't take the photos what stands in the way ([`offers`]). A fit becomes an ordinary spec ([`spec`]), with
//! which everything else goes on as for any spec, and a picture ([`gallery`]).

mod arrangement;
pub mod assignment;
mod bank;
mod candidates;
mod color_names;
mod contradiction;
mod costs;
mod drawing;
pub mod file;
mod fit;
mod fitter;
mod frame;
mod gallery;
mod library;
mod lining;
mod notes;
mod offers;
mod paper_sets;
mod papers;
pub mod photo_colors;
mod printing;
mod prints;
mod ranking;
mod reading;
mod swatches;
mod telling;
mod title;
pub mod wanted;
mod writing;

pub use fit::{Field, Fit, FitBank, FitPanel, FitPhoto, Rank, Refusal};
pub use gallery::gallery;
pub use library::texts;
pub use offers::{Offers, offers, serves};
pub use paper_sets::Proposals;
pub use papers::Papers;
pub use printing::fit;
pub use reading::{Bank, EdgeName, Holds, Room, Sketch, Strip, StripLies};
pub use writing::{Words, spec};

/// The JSON Schema of a sketch, made from the same types that read one.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(file::SketchFile).to_value()
}
