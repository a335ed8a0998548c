//! The plan as one: data of which the record is written.

use std::collections::BTreeMap;

use crate::layout::Layout;
use crate::model::{Advice, OffcutId, PieceId, Warning};

use super::filling::{PaperUse, StoryPage};
use super::marks::Mark;
use super::prints::Prints;
use super::route::Route;
use super::sheet::Sheet;
use super::totals::Totals;

/// How a spread is cut and printed.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// The spread, with a window in each piece that is gutted.
    pub spread: Layout,
    /// Every sheet that is cut, in the order of work.
    pub sheets: Vec<PlannedSheet>,
    /// What is used and left of each paper, by place in the layout.
    pub papers: Vec<PaperUse>,
    /// The story's pages.
    pub pages: Vec<StoryPage>,
    /// Photos on photo paper.
    pub prints: Prints,
    /// The pieces that are cut in each opening, by the opening's name.
    pub held: BTreeMap<OffcutId, Vec<PieceId>>,
    /// What the user should know, the layout's warnings first.
    pub warnings: Vec<Warning>,
    /// How it could look better, and what would save a sheet.
    pub advice: Vec<Advice>,
    /// Shares and sums.
    pub totals: Totals,
}

/// A sheet with what the machine does on it.
#[derive(Clone, Debug, Default)]
pub struct PlannedSheet {
    /// The sheet.
    pub sheet: Sheet,
    /// Its registration marks.
    pub marks: Vec<Mark>,
    /// What the machine draws and cuts.
    pub route: Route,
}
