//! How large pictures are printed for a sketch, and to which form they are cropped.
//!
//! All pictures are first fitted in their own form, at each level of size. At the levels that rank best,
//! those forms are tried as well that suit the places better by the costs of being there, and squares
//! throughout; what is cropped away costs points. So a sketch is fitted at most [`LEVELS`] times, and
//! [`MOST_CROPPED`] levels three times more.

use crate::model::length::Size;

use super::fit::{Fit, Refusal};
use super::fitter::{Fitter, no_way};
use super::prints::{LEVELS, Shape};
use super::reading::Sketch;
use super::wanted::Wanted;

/// Levels at which other forms are tried, where some fit and where none does.
const MOST_CROPPED: usize = 2;
/// Ways to fill the banks for which forms are chosen.
const MOST_FILLINGS: usize = 2;

/// Fits a sketch to photos on pages of that size.
pub fn fit(sketch: &Sketch, page: Size, wanted: &[Wanted]) -> Result<Fit, Refusal> {
    let (least, most) = sketch.takes();
    let all_on_hand = wanted.iter().all(|photo| !photo.is_to_print());
    if all_on_hand || !(least..=most).contains(&wanted.len()) {
        return Fitter::new(sketch, page, wanted)?.fit();
    }
    let mut search = Search { sketch, page, tried: Vec::new(), best: None, refusal: None };
    let mut own: Vec<(f64, Vec<Wanted>, usize)> = Vec::new();
    for level in (0..LEVELS).rev() {
        let printed: Vec<Wanted> = wanted.iter().map(|photo| photo.at_level(level)).collect();
        if own.iter().any(|(_, other, _)| *other == printed) {
            continue;
        }
        let score = search.score(&printed);
        own.push((score.unwrap_or(-1.0), printed, level));
    }
    // The best first; where none fits, the smallest.
    own.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.2.cmp(&other.2)));
    for (_, printed, level) in own.iter().take(MOST_CROPPED) {
        search.cropped(wanted, printed, *level);
    }
    search.best.ok_or_else(|| search.refusal.unwrap_or_else(|| no_way(sketch)))
}

struct Search<'a> {
    sketch: &'a Sketch,
    page: Size,
    tried: Vec<Vec<Wanted>>,
    best: Option<Fit>,
    refusal: Option<Refusal>,
}

impl Search<'_> {
    /// The points of the fit to photos of these sizes, if there is one that has not been tried.
    fn score(&mut self, printed: &[Wanted]) -> Option<f64> {
        if self.tried.iter().any(|other| other == printed) {
            return None;
        }
        self.tried.push(printed.to_vec());
        match Fitter::new(self.sketch, self.page, printed).and_then(|fitter| fitter.fit()) {
            Ok(fit) => {
                let score = fit.rank.score;
                if self.best.as_ref().is_none_or(|best| score > best.rank.score) {
                    self.best = Some(fit);
                }
                Some(score)
            }
            Err(why) => {
                self.refusal = Some(why);
                None
            }
        }
    }

    /// Tries other forms of pictures at a level.
    fn cropped(&mut self, wanted: &[Wanted], printed: &[Wanted], level: usize) {
        let refusal = self.refusal.clone();
        let ways: Vec<Vec<Wanted>> = wanted
            .iter()
            .zip(printed)
            .map(|(photo, own)| {
                let others =
                    Shape::ALL.into_iter().filter_map(|shape| photo.as_shape(shape, level));
                std::iter::once(own.clone()).chain(others).collect()
            })
            .collect();
        let sketch = self.sketch;
        if let Ok(fitter) = Fitter::new(sketch, self.page, printed) {
            for filling in fitter.fillings().iter().take(MOST_FILLINGS) {
                if let Some(suited) = fitter.suited(filling, &ways) {
                    self.score(&suited);
                }
            }
        }
        let square = |ways: &Vec<Wanted>| {
            let square = ways.iter().find(|way| way.cropped == Some(Shape::Square));
            square.or(ways.first()).cloned()
        };
        let squares: Vec<Wanted> = ways.iter().filter_map(square).collect();
        self.score(&squares);
        // What stands in the way is told of the photos as they are.
        self.refusal = refusal;
    }
}
