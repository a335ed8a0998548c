//! A sketch fitted to photos: every measure on the ruler.

use crate::model::PageName;
use crate::model::length::Size;

use super::file::{Held, Role};
use super::reading::Bank;
use super::wanted::Wanted;
use crate::relations::{Relations, Settled};

/// A rectangle on its page, in marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Field {
    /// Left and top.
    pub at: [i64; 2],
    /// Width and height.
    pub size: [i64; 2],
}

impl Field {
    /// The rectangle with its sides farther out by so many marks.
    #[must_use]
    pub fn widened(self, by: i64) -> Self {
        Self { at: self.at.map(|at| at - by), size: self.size.map(|size| size + 2 * by) }
    }
}

/// A photo at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitPhoto {
    /// Which, of those wanted.
    pub photo: usize,
    /// Its bank.
    pub bank: usize,
    /// Its page, by place.
    pub page: usize,
    /// Where it lies.
    pub field: Field,
}

/// A bank at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct FitBank {
    /// Its name in the sketch.
    pub id: String,
    /// Its page, by place.
    pub page: usize,
    /// Its mat, or what its photos cover.
    pub field: Field,
    /// The room it has.
    pub room: Field,
    /// As the sketch tells it, but without a mat where each photo has its own or none has.
    pub bank: Bank,
    /// The mat that each of its photos has for itself, and how much shows of it, in marks.
    pub each: Option<(Role, i64)>,
}

/// Paper on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitPanel {
    /// Its page, by place.
    pub page: usize,
    /// Where it lies.
    pub field: Field,
    /// Whether it reaches the page's left, right; top, bottom edge.
    pub bleeds: [[bool; 2]; 2],
    /// Which paper.
    pub paper: Role,
}

/// A sketch with the photos in it.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The sketch's name and what it is.
    pub sketch: String,
    /// What it is.
    pub about: String,
    /// The page.
    pub page: Size,
    /// The page's whole marks.
    pub marks: [i64; 2],
    /// Names of the pages, left to right.
    pub pages: Vec<PageName>,
    /// The photos as they are placed: those of a folder may have changed their size.
    pub wanted: Vec<Wanted>,
    /// Panels, the lowest first.
    pub panels: Vec<FitPanel>,
    /// Strips across all pages: paper, upper edge and width in marks.
    pub strips: Vec<(Role, i64, i64)>,
    /// The banks.
    pub banks: Vec<FitBank>,
    /// The photos, in the order in which they were asked for.
    pub photos: Vec<FitPhoto>,
    /// Where title, story and clusters go.
    pub others: Vec<(Held, usize, Field)>,
    /// How good it is, and why.
    pub rank: Rank,
    /// The relations across and down, and where the edges lie.
    pub relations: [(Relations, Settled); 2],
}

/// Why a sketch can't take the photos.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The sketch.
    pub sketch: String,
    /// What stands in the way.
    pub message: String,
    /// The least change that would help.
    pub help: String,
    /// By how many marks the photos are too much, where that is known.
    pub excess: Option<i64>,
}

/// How good a fit is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rank {
    /// Of 100.
    pub score: f64,
    /// What speaks for it.
    pub merits: Vec<String>,
    /// What speaks against it, with the points that it costs.
    pub faults: Vec<(String, f64)>,
}
