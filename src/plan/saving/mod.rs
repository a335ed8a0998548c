//! What limits the sheets of a paper, and the smallest change that would save some of them.
//!
//! A change is offered only after it was made: laid out and nested again as a build would do it, with
//! everything it touches, other papers too.

mod offcuts;
mod spent;

use crate::layout::{Changed, Layout};
use crate::model::length::{Length, Units};
use crate::model::{Advice, AdviceKind, Effort};
use crate::nest::gutting::Gutted;
use crate::nest::{self, Form, Item, Job, Search};

use super::jobs::job_of;
use super::paper_plan::PaperPlan;
use super::reasons::{self, Apart};
use super::{gutting, purchase};
use spent::{Difference, difference};

pub use offcuts::OffcutUse;
pub use spent::Spared;

/// By how much a piece is made smaller in search of a saving: what nobody sees on a page.
const STEPS: [Length; 3] = [Length::part(1, 16), Length::part(2, 16), Length::part(4, 16)];
/// The same in millimetres.
const METRIC_STEPS: [Length; 3] =
    [Length::nanometres(1_000_000), Length::nanometres(2_000_000), Length::nanometres(5_000_000)];
/// Changes that are tried quickly for one paper at most; the smallest come first.
const MOST_TRIED: usize = 24;
/// Changes that are nested with the build's own patience at most, after a quick try was promising.
const MOST_PROVEN: usize = 2;
/// Copies of all pieces of a paper up to which changes are tried for kits.
const MOST_COPIES: u32 = 200;
/// Names told in a note at most.
const MOST_NAMED: usize = 4;

/// Everything that is nested, by paper.
pub(super) struct Planned<'a> {
    /// The layout, before middles were cut out of it.
    pub layout: &'a Layout,
    /// The search, which may be stopped.
    pub search: &'a Search,
    /// The plan of each paper.
    pub papers: &'a [PaperPlan],
}

/// What is told of savings on one paper.
#[derive(Clone, Debug, Default)]
pub(super) struct Savings {
    /// What limits its sheets.
    pub notes: Vec<String>,
    /// The smallest change that saves a sheet.
    pub advice: Option<Advice>,
    /// The offcuts that are used.
    pub offcuts: Vec<OffcutUse>,
}

impl Planned<'_> {
    /// What is told of one paper.
    pub fn savings(&self, paper: usize) -> Savings {
        let (notes, advice) = (self.notes(paper), self.advice(paper));
        Savings { notes, advice, offcuts: self.offcuts_used(paper) }
    }

    /// The smallest change that saves a sheet of a paper, unless nobody wants to know.
    fn advice(&self, paper: usize) -> Option<Advice> {
        let PaperPlan { job, gutted, .. } = &self.papers[paper];
        let is_wanted = !self.layout.without_advice.contains(&AdviceKind::SavesASheet);
        let is_whole =
            gutted.nested.left_out.is_empty() && gutted.nested.new_sheets(&gutted.stock) > 0;
        let is_small = job.effort != Effort::Quick && !is_large(job);
        (is_wanted && is_whole && is_small).then(|| self.next_change(paper)).flatten()
    }

    /// The notes on one paper's sheets.
    fn notes(&self, paper: usize) -> Vec<String> {
        let Gutted { nested, stock, .. } = &self.papers[paper].gutted;
        let new = nested.new_sheets(stock);
        let company = if new > 1 { self.company(paper, new) } else { None };
        reasons::limits(nested.limit, company)
    }

    /// Which pieces can't share a sheet.
    fn company(&self, paper: usize, new: usize) -> Option<Apart> {
        let PaperPlan { job, pieces, middles, .. } = &self.papers[paper];
        let middles: Vec<[Length; 2]> = middles
            .iter()
            .map(|middle| [middle.area.size.width, middle.area.size.height])
            .collect();
        let leftovers: Vec<[Length; 2]> = job
            .stock
            .iter()
            .filter(|stock| stock.offcut.is_some() && stock.count > 0)
            .map(|stock| [stock.size.width, stock.size.height])
            .collect();
        // What fits in another's middle can share its sheet.
        let mut alone = nest::bounds::cannot_share(job);
        alone.retain(|&item| !fits_one(&job.items[item], &middles));
        let copies = |items: &[usize]| -> usize {
            items.iter().map(|&item| job.items[item].copies as usize).sum()
        };
        if copies(&alone) < 2 {
            return None;
        }
        let mut names: Vec<String> = alone
            .iter()
            .take(MOST_NAMED)
            .map(|&item| {
                let id = &self.layout.pieces[pieces[item]].id;
                match job.items[item].copies {
                    1 => format!("`{id}`"),
                    copies => format!("{copies} of `{id}`"),
                }
            })
            .collect();
        if alone.len() > MOST_NAMED {
            names.push(format!("{} more", alone.len() - MOST_NAMED));
        }
        let list = listed(&names);
        // Those that fit on no leftover need a new sheet each.
        alone.retain(|&item| !fits_one(&job.items[item], &leftovers));
        Some(Apart { list, proves: copies(&alone) >= new })
    }

    /// The smallest change of one element that saves paper.
    fn next_change(&self, paper: usize) -> Option<Advice> {
        let steps = match self.layout.units {
            Units::Inches => STEPS,
            Units::Millimetres => METRIC_STEPS,
        };
        let (mut tried, mut proven) = (0, 0);
        for less in steps {
            for change in self.layout.changes(paper, less) {
                let Some(mut changed) = self.layout.changed(change) else { continue };
                changed.find_middles(|one| one == paper);
                if !self.touches(&changed.layout, paper) || !self.could_save(&changed.layout, paper)
                {
                    continue;
                }
                if tried >= MOST_TRIED || self.search.is_stopped() {
                    return None;
                }
                tried += 1;
                changed.find_middles(|one| one != paper);
                let touched = self.touched(&changed.layout);
                if self.saves(&changed.layout, paper, &touched, Effort::Quick).is_none() {
                    continue;
                }
                if proven >= MOST_PROVEN {
                    return None;
                }
                proven += 1;
                if let Some(saves) =
                    self.saves(&changed.layout, paper, &touched, self.layout.effort)
                {
                    return Some(self.told(changed, &saves));
                }
            }
        }
        None
    }

    /// The papers that a change touches.
    fn touched(&self, changed: &Layout) -> Vec<usize> {
        (0..self.papers.len()).filter(|&paper| self.touches(changed, paper)).collect()
    }

    /// Whether a change touches a paper: a piece has another size, or there are other hidden middles.
    fn touches(&self, changed: &Layout, paper: usize) -> bool {
        let PaperPlan { pieces, middles, .. } = &self.papers[paper];
        let resized = |&piece: &usize| {
            changed.pieces.get(piece).map(|piece| piece.size)
                != self.layout.pieces.get(piece).map(|piece| piece.size)
        };
        pieces.iter().any(resized) || gutting::middles(changed, pieces) != *middles
    }

    /// Whether a change can save sheets of a paper at all, by bounds that take no search.
    fn could_save(&self, changed: &Layout, paper: usize) -> bool {
        let Gutted { nested, stock, .. } = &self.papers[paper].gutted;
        let (job, pieces) = job_of(changed, paper, &self.papers[paper].supply.stock);
        let is_short = nested.sheets.iter().any(|sheet| stock[sheet.stock].to_buy);
        // The bounds know neither middles nor what has to be bought.
        if is_short || !gutting::middles(changed, &pieces).is_empty() {
            return true;
        }
        let new = job.stock.iter().filter(|stock| stock.offcut.is_none() && stock.count > 0);
        if new.clone().count() > 0 && new.clone().all(|stock| stock.price.is_some()) {
            let cost = |sheet: &nest::SheetCut| stock[sheet.stock].cost() * f64::from(sheet.count);
            let used = nested.sheets.iter().map(cost).sum::<f64>();
            return nest::least_price(&job) < used - spent::HAIR;
        }
        // Of several unpriced sizes, another mix of as many sheets may be less paper.
        new.count() > 1 || (nest::least_sheets(&job) as usize) < nested.new_sheets(stock)
    }

    /// What a change saves, if it saves something of the paper that is `wanted` and is worse for no other
    /// that it touches.
    fn saves(
        &self,
        changed: &Layout,
        wanted: usize,
        touched: &[usize],
        effort: Effort,
    ) -> Option<Vec<String>> {
        let mut saves = Vec::new();
        for &paper in touched {
            let (job, pieces) = job_of(changed, paper, &self.papers[paper].supply.stock);
            let job = Job { effort, ..job };
            let middles = gutting::middles(changed, &pieces);
            let on_hand = &changed.papers[paper];
            let offers = |count| purchase::on_offer(changed, on_hand, count);
            let (_, after) = purchase::nest(changed, self.search, job, &middles, offers);
            match difference(&self.papers[paper].gutted, &after) {
                Difference::Worse => return None,
                Difference::Same if paper == wanted => return None,
                Difference::Same => {}
                Difference::Better(better) => {
                    saves.push(better.told(&on_hand.name, self.layout.units));
                }
            }
        }
        (!saves.is_empty()).then_some(saves)
    }

    /// A change that is proven, as advice.
    fn told(&self, changed: Changed, saves: &[String]) -> Advice {
        let before = &self.layout.pieces;
        let smaller: Vec<String> = before
            .iter()
            .zip(&changed.layout.pieces)
            .filter(|(before, after)| before.size != after.size)
            .map(|(piece, _)| format!("`{}`", piece.id))
            .collect();
        let share = if changed.share { ", a share of the page," } else { "" };
        let all = match smaller.len() {
            2.. => format!(" ({} become smaller)", listed(&smaller)),
            _ => String::new(),
        };
        let Changed { what, write, piece, place, .. } = changed;
        Advice {
            kind: AdviceKind::SavesASheet,
            message: format!("{what}{share}{all} {}", saves.join(" and ")),
            reason: "nobody sees so little on a page; the sheets were planned anew with it"
                .to_owned(),
            write: Some(write),
            piece: Some(piece),
            line: place.line,
        }
    }
}

/// Whether a job is of so many copies that nesting it again and again would take longer than all else.
fn is_large(job: &Job) -> bool {
    let copies = job.items.iter().fold(0_u32, |sum, item| sum.saturating_add(item.copies));
    job.items.iter().any(|item| item.copies > 1) && copies > MOST_COPIES
}

/// Whether an item fits in one of some rectangles.
fn fits_one(item: &Item, rooms: &[[Length; 2]]) -> bool {
    let Form::Rectangle(size) = &item.form else { return false };
    let [width, height] = [size.width, size.height];
    rooms.iter().any(|&[wide, high]| {
        (width <= wide && height <= high)
            || (item.turns.crosswise() && height <= wide && width <= high)
    })
}

/// A list in words.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
