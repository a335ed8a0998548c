//! What all sketches make of the photos at hand.

use rayon::prelude::*;

use crate::model::length::Size;

use super::fit::{Fit, Refusal};
use super::printing::fit;
use super::reading::Sketch;
use super::wanted::Wanted;

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
