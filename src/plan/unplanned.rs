//! What is known of a spread before anything is nested: what lies on its pages.

use crate::layout::Layout;
use crate::record::Record;

use super::filling::{PaperUse, StoryPage};
use super::story_pages::{OnPage, Page};
use super::totals::Totals;
use super::whole::Plan;

/// The record of a layout of which nothing is planned yet: pieces, photos and strips on their pages, and no
/// sheet. It is for a picture of the spread alone; where strips lie on printed pages isn't known.
pub fn unplanned(layout: &Layout) -> Record {
    let on_page = |strip: usize| OnPage { strip, copy: 0, at: [0.0; 2] };
    let strips = || layout.strips.iter().enumerate();
    let pages = (0..layout.papers.len()).map(|paper| {
        let strips = strips().filter(|(_, strip)| strip.paper == paper);
        let strips = strips.map(|(number, _)| on_page(number)).collect();
        StoryPage { paper, page: Page { strips, ..Page::default() }, ..StoryPage::default() }
    });
    let papers = layout.papers.len();
    let plan = Plan {
        spread: layout.clone(),
        papers: vec![PaperUse::default(); papers],
        pages: pages.filter(|page| !page.page.strips.is_empty()).collect(),
        warnings: layout.warnings.clone(),
        totals: Totals { used_of_papers: vec![0.0; papers], ..Totals::default() },
        ..Plan::default()
    };
    plan.record()
}
