//! The nest behind the page: quick first, then as thorough as the spec asks, while the page is used on.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use serde::Serialize;

use crate::description::Problem;
use crate::emit::kept_sheets::kept_sheet_svg;
use crate::layout::Layout;
use crate::model::length::Size;
use crate::nest::{Effort, Search};
use crate::plan;
use crate::record::Record;

use super::view::{Note, View, label_font};
use super::workshop::Workshop;

/// How long the nest waits: what was laid out is drawn first, and whoever edits on soon is not held up.
const PICTURE_FIRST: Duration = Duration::from_millis(100);

/// How far the nest has come.
#[derive(Clone, Copy, Debug, Default, Eq, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Stage {
    /// Nothing is nested yet.
    #[default]
    Waiting,
    /// A quick nest is shown, and a better one searched for.
    Quick,
    /// The nest that a build gives is shown.
    Done,
    /// There is none: paper is missing, or the spec has a mistake.
    Failed,
}

/// A sheet with what is cut from it.
#[derive(Debug, Serialize)]
pub(super) struct SheetShown {
    pub id: String,
    pub paper: String,
    pub told: String,
    pub pieces: Vec<String>,
    pub picture: String,
}

/// What is known of the sheets of a version of the text.
#[derive(Debug, Default, Serialize)]
pub(super) struct Sheets {
    /// The version of the text that they are for.
    pub version: u64,
    pub stage: Stage,
    pub sheets: Vec<SheetShown>,
    /// What has to be bought, or why nothing can be cut.
    pub told: Vec<String>,
}

/// What was found for a version of the text.
#[derive(Debug)]
pub(super) enum Found {
    Sheets(Sheets),
    Advice(u64, Vec<Note>),
}

/// How far a version has come: what is found is not searched for again.
#[derive(Clone, Copy, Debug, Default)]
struct Reached {
    version: u64,
    /// How many of its efforts are done.
    efforts: usize,
    /// Whether its advice is known.
    is_advised: bool,
}

/// The nest that is searched for now.
#[derive(Debug, Default)]
pub(super) struct Nesting {
    now: Mutex<(u64, Option<Search>)>,
    reached: Arc<Mutex<Reached>>,
    /// Held while advice is sought: of searches that overtake each other, one alone at a time.
    advising: Arc<Mutex<()>>,
}

impl Nesting {
    /// Stops what is searched for, and searches for what isn't found yet of the nest of a view; `found` is
    /// called with each. A version that a newer one has overtaken is not searched for.
    pub(super) fn begin(
        &self,
        version: u64,
        view: &Arc<View>,
        workshop: &Arc<dyn Workshop>,
        found: impl Fn(Found) + Send + 'static,
    ) {
        let search = Search::new();
        {
            let mut now = held(&self.now);
            if now.0 > version {
                return;
            }
            let (_, earlier) = std::mem::replace(&mut *now, (version, Some(search.clone())));
            if let Some(earlier) = earlier {
                earlier.stop();
            }
            let mut reached = held(&self.reached);
            if reached.version != version {
                *reached = Reached { version, ..Reached::default() };
            }
            if reached.is_advised {
                now.1 = None;
                return;
            }
        }
        let reached = Arc::clone(&self.reached);
        let (view, workshop) = (Arc::clone(view), Arc::clone(workshop));
        let advising = Arc::clone(&self.advising);
        std::thread::spawn(move || {
            std::thread::sleep(PICTURE_FIRST);
            if search.is_stopped() {
                return;
            }
            nest(version, &view, workshop.as_ref(), &search, &advising, &reached, &found);
        });
    }

    /// Stops what is searched for while something is laid out, unless that is for a newer version.
    pub(super) fn pause(&self, version: u64) {
        let mut now = held(&self.now);
        if now.0 <= version
            && let Some(search) = now.1.take()
        {
            search.stop();
        }
    }

    /// Stops what is searched for, unless that is for a newer version.
    pub(super) fn stop(&self, version: u64) {
        let mut now = held(&self.now);
        if now.0 > version {
            return;
        }
        now.0 = version;
        if let Some(search) = now.1.take() {
            search.stop();
        }
    }
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn nest(
    version: u64,
    view: &View,
    workshop: &dyn Workshop,
    search: &Search,
    advising: &Mutex<()>,
    reached: &Mutex<Reached>,
    found: &dyn Fn(Found),
) {
    let note = |reach: &dyn Fn(&mut Reached)| {
        let mut reached = held(reached);
        if reached.version == version {
            reach(&mut reached);
        }
    };
    let done = held(reached).efforts;
    let mut layout = Layout::clone(&view.layout);
    let wanted = layout.effort;
    let efforts = [Effort::Quick, wanted].into_iter().skip(usize::from(wanted == Effort::Quick));
    for (number, effort) in efforts.enumerate().skip(done) {
        layout.effort = effort;
        let planned = plan::record_in(&layout, search);
        if search.is_stopped() {
            return;
        }
        let stage = if effort == wanted { Stage::Done } else { Stage::Quick };
        found(Found::Sheets(match planned {
            Ok(record) => shown(version, stage, &layout, &record),
            Err(problems) => {
                let told = |problem: &Problem| format!("{}: {}", problem.message, problem.help);
                let told = problems.0.iter().map(told).collect();
                Sheets { version, stage: Stage::Failed, told, ..Sheets::default() }
            }
        }));
        note(&|reached| reached.efforts = number + 1);
    }
    let _alone = held(advising);
    if search.is_stopped() {
        return;
    }
    workshop.advise(&mut layout);
    if !search.is_stopped() {
        found(Found::Advice(version, view.advice(&layout)));
        note(&|reached| reached.is_advised = true);
    }
}

fn shown(version: u64, stage: Stage, layout: &Layout, record: &Record) -> Sheets {
    let Ok(font) = label_font(layout) else {
        return Sheets { version, stage: Stage::Failed, ..Sheets::default() };
    };
    let units = record.shown_units();
    let sheets = record.sheets.iter().map(|sheet| {
        let size = Size::of_inches(sheet.size).show(units);
        let source = if sheet.to_buy { ", to buy" } else { "" };
        SheetShown {
            id: sheet.id.to_string(),
            paper: sheet.paper.clone(),
            told: format!("{size}{source}, {:.0} % used", sheet.used * 100.0),
            pieces: sheet.placed.iter().map(|placed| placed.piece.to_string()).collect(),
            picture: kept_sheet_svg(record, sheet, &font).to_string(),
        }
    });
    let buys = record.totals.shopping.iter().filter(|line| line.buy > 0);
    let told = buys.map(|line| {
        let size = Size::of_inches(line.size).show(units);
        format!("To buy: {} x {} {size}", line.buy, line.paper)
    });
    Sheets { version, stage, sheets: sheets.collect(), told: told.collect() }
}
