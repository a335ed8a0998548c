//! The plan: which sheet each piece is cut from, and how.
//!
//! This is where the stages meet. It decides nothing about form or place itself: strips are arranged by
//! `journal`, pieces by `nest`. Each stage is a function that gives what it adds:
//!
//! ```text
//! layout ──> paper_plan   a paper: story pages, sheets for the printer, the nest of all else
//!            saving       what a small change would save
//!            filling      sheets with pieces, cuts and offcuts, whatever serves them
//!            windows, marks, route, on_mat, purchase   what is known of those sheets
//!            prints       photos on photo paper
//!            account      what is taken, bought and left of each paper, photo paper too
//!            totals       shares and sums
//!         ──> Plan ──> writing   the record, once, at the end
//! ```
//!
//! A redo takes the same way: [`redo_layout`] makes a layout of what a record tells.

mod account;
mod alike;
mod fault;
mod filling;
mod gutting;
mod in_register;
mod jobs;
mod marks;
mod matched;
mod on_mat;
mod paper_plan;
mod prints;
mod purchase;
mod reasons;
mod redo;
pub mod route;
mod saving;
mod shaped;
mod sheet;
mod story_pages;
mod supply;
mod totals;
mod unplanned;
mod whole;
mod windows;
mod writing;

use rayon::prelude::*;

use crate::description::{Problem, Problems};
use crate::layout::Layout;
use crate::nest::Search;
use crate::record::Record;

use paper_plan::PaperPlan;

pub use account::{Account, ShoppingLine};
pub use filling::{PaperUse, StoryPage};
pub use marks::Mark;
pub use prints::Prints;
pub use redo::{
    Chain, Change, Changes, Redo, RunCut, Spending, add_bought, add_photos, below_start,
    changed_layout, changes, read_record, redo_layout, redo_name, repeat, select, wanted,
};
pub use saving::{OffcutUse, Spared};
pub use sheet::{Cut, Fall, Falls, Placed, Printing, Rest, Sheet};
pub use story_pages::{OnPage, Page};
pub use totals::Totals;
pub use unplanned::unplanned;
pub use whole::{Plan, PlannedSheet};
pub use writing::pictures;

/// Plans a layout and writes the plan down; or says what is missing.
pub fn record(layout: &Layout) -> Result<Record, Problems> {
    record_in(layout, &Search::new())
}

/// Like [`record`]; stopped, the search ends with the best found until then, and the record says so.
pub fn record_in(layout: &Layout, search: &Search) -> Result<Record, Problems> {
    Ok(plan(layout, search)?.record())
}

/// Plans how a layout is cut and printed; or says what is missing.
pub fn plan(layout: &Layout, search: &Search) -> Result<Plan, Problems> {
    plan_with(layout, &[], search)
}

/// The same for a redo in which some sheets are cut as they were ([`repeat`]).
pub fn plan_with(layout: &Layout, repeated: &[Sheet], search: &Search) -> Result<Plan, Problems> {
    let papers = papers(layout, search)?;
    let planned = saving::Planned { layout, search, papers: &papers };
    let savings: Vec<saving::Savings> =
        (0..papers.len()).into_par_iter().map(|paper| planned.savings(paper)).collect();
    let spread = windows::with_windows(layout, &papers);
    let saved = savings.iter().filter_map(|savings| savings.advice.clone());
    let advice = spread.advice.iter().cloned().chain(saved).collect();
    let (sheets, pages) = filling::fill(&spread, &papers, repeated);
    let held = windows::held(&spread, &sheets);
    let (marks, left_out) = marks::of_sheets(&spread, &sheets);
    let routes = route::of_sheets(&spread, &sheets);
    let small = on_mat::warnings(&spread, &sheets, &routes);
    let papers = filling::use_of_papers(&spread, &papers, &sheets, savings);
    let order = purchase::order(&spread, &sheets);
    let unmatched = matched::warnings(&spread, &sheets);
    let overflow = story_pages::overflow(&spread, &pages);
    let warnings = spread
        .warnings
        .iter()
        .cloned()
        .chain(left_out)
        .chain(small)
        .chain(overflow)
        .chain(unmatched);
    let warnings = warnings.collect();
    let prints = prints::prints(&spread, search)?;
    let sheets = sheets.into_iter().zip(marks).zip(routes);
    let sheets = sheets.map(|((sheet, marks), route)| PlannedSheet { sheet, marks, route });
    let mut by_place: Vec<Option<PlannedSheet>> = sheets.map(Some).collect();
    let sheets = order.into_iter().filter_map(|place| by_place.get_mut(place)?.take()).collect();
    let plan =
        Plan { spread, sheets, papers, pages, prints, held, warnings, advice, ..Plan::default() };
    let (sheets, routes): (Vec<_>, Vec<_>) =
        plan.sheets.iter().map(|one| (&one.sheet, &one.route)).unzip();
    let totals = totals::totals(&plan.spread, &plan.papers, &sheets, &routes, &plan.prints);
    Ok(Plan { totals, ..plan })
}

/// Plans every paper; or says all that is missing.
fn papers(layout: &Layout, search: &Search) -> Result<Vec<PaperPlan>, Problems> {
    let papers = 0..layout.papers.len();
    let plans: Vec<_> =
        papers.into_par_iter().map(|paper| paper_plan::plan(layout, search, paper)).collect();
    let (mut papers, mut problems): (Vec<PaperPlan>, Vec<Problem>) = (Vec::new(), Vec::new());
    for plan in plans {
        match plan {
            Ok(plan) => papers.push(plan),
            Err(missing) => problems.extend(missing),
        }
    }
    if problems.is_empty() { Ok(papers) } else { Err(Problems(problems)) }
}
