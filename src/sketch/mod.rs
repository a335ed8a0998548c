//! Sketches that fit the photos at hand.
//!
//! A sketch says where photos, title and story go, whatever the photos are: rooms of the page, banks in them,
//! strips, edges that keep together. In come sketches ([`Sketch`]) and the photos asked for ([`wanted`]); out
//! come fits with every measure on the ruler, the best first, each with its reasons, and for each sketch that
//! can't take the photos what stands in the way ([`offers`]). A fit becomes an ordinary spec ([`spec`]), with
//! which everything else goes on as for any spec, and a picture ([`gallery`]).

mod arrangement;
pub mod assignment;
mod costs;
mod drawing;
pub mod file;
mod fit;
mod fitter;
mod frame;
mod gallery;
mod library;
mod papers;
mod ranking;
mod reading;
pub mod relations;
mod telling;
pub mod wanted;
mod writing;

use rayon::prelude::*;

use crate::model::length::Size;

pub use fit::{Field, Fit, FitBank, FitPanel, FitPhoto, Refusal, fit};
pub use gallery::gallery;
pub use library::texts;
pub use papers::Papers;
pub use ranking::Rank;
pub use reading::{Bank, EdgeName, Holds, Room, Sketch, Strip, StripLies};
use wanted::Wanted;
pub use writing::{Words, spec};

/// The JSON Schema of a sketch, made from the same types that read one.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(file::SketchFile).to_value()
}

/// What sketches make of photos.
#[derive(Clone, Debug, Default)]
pub struct Offers {
    /// Fits, the best first.
    pub fits: Vec<Fit>,
    /// Sketches that can't take them, in their order.
    pub refusals: Vec<Refusal>,
}

/// Sides of pages differ by this share at most, for a sketch to serve a page that it is not made for.
const LIKE: f64 = 0.12;

/// Whether a sketch serves pages of a size: one of nearly the same shape that is no smaller.
pub fn serves(sketch: &Sketch, page: Size) -> bool {
    let near = |one: f64, other: f64| (one / other - 1.0).abs() <= LIKE;
    sketch.made_for.iter().any(|size| {
        let ([width, height], [on, down]) = (size.to_inches(), page.to_inches());
        near(width, on) && near(height, down)
    })
}

/// Fits all sketches that serve a page to photos, side by side, and ranks what fits.
pub fn offers(sketches: &[Sketch], page: Size, wanted: &[Wanted]) -> Offers {
    let serving: Vec<&Sketch> = sketches.iter().filter(|sketch| serves(sketch, page)).collect();
    let tried: Vec<_> = serving.par_iter().map(|sketch| fit(sketch, page, wanted)).collect();
    let mut offers = Offers::default();
    for one in tried {
        match one {
            Ok(fit) => offers.fits.push(fit),
            Err(refusal) => offers.refusals.push(refusal),
        }
    }
    offers.fits.sort_by(|one, other| {
        other.rank.score.total_cmp(&one.rank.score).then_with(|| one.sketch.cmp(&other.sketch))
    });
    offers
}
