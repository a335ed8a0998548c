//! Sheets with everything that is cut from them, whatever it serves: sheets cut down for the printer, what
//! the nester laid, pages in register, the story.

use crate::layout::{Layout, PaperOnHand};
use crate::model::{OffcutId, SheetId, SheetSource};

use super::account::Account;
use super::alike;
use super::paper_plan::PaperPlan;
use super::reasons;
use super::redo;
use super::saving::{OffcutUse, Savings};
use super::sheet::{Laid, Printing, Sheet, count_of, filled, in_all, times};
use super::story_pages::Page;
use super::supply::{self, Taken};

/// A page of the story.
#[derive(Clone, Debug, Default)]
pub struct StoryPage {
    /// Its paper, by place in the layout.
    pub paper: usize,
    /// The id of the sheet that it is.
    pub sheet: SheetId,
    /// What is printed on it.
    pub page: Page,
}

/// What is used and left of a paper.
#[derive(Clone, Debug, Default)]
pub struct PaperUse {
    /// What is taken, bought and left of it.
    pub account: Account,
    /// The fewest new sheets that any plan could do with, as far as the bounds can tell.
    pub bound: u32,
    /// What limits the number of sheets.
    pub notes: Vec<String>,
    /// The offcuts from earlier that are used, and the area of what is cut from each in square inches.
    pub offcuts: Vec<(OffcutUse, f64)>,
}

/// The sheets of all papers, those that are cut as they were last, and the story's pages.
pub(super) fn fill(
    layout: &Layout,
    papers: &[PaperPlan],
    repeated: &[Sheet],
) -> (Vec<Sheet>, Vec<StoryPage>) {
    let mut sheets: Vec<Sheet> = Vec::new();
    for (paper, plan) in papers.iter().enumerate() {
        sheets.extend(nested(layout, paper, plan));
    }
    let mut pages = 0;
    for (paper, plan) in papers.iter().enumerate() {
        let Some(in_register) = &plan.in_register else { continue };
        let mut number = plan.supply.cut_down_in_all() + nested_in_all(plan) + 1;
        let taken = plan.taken_in_register().iter().map(|taken| {
            pages += 1;
            let sheet = for_printer(layout, paper, number, taken, Printing::InRegister(pages));
            number += taken.count.places();
            (taken.page.saturating_sub(plan.pages.len()), taken.before, sheet)
        });
        let taken = taken.collect();
        sheets.extend(in_register.filled(layout, taken));
    }
    let mut story: Vec<StoryPage> = Vec::new();
    for (paper, plan) in papers.iter().enumerate() {
        let in_register = plan.taken_in_register().iter().map(|taken| taken.count.places());
        let mut number =
            plan.supply.cut_down_in_all() + nested_in_all(plan) + in_register.sum::<usize>() + 1;
        for taken in plan.taken_for_story() {
            let Some(page) = plan.pages.get(taken.page) else { continue };
            let page = page.after(taken.before, taken.count);
            let printed = Printing::Page(count_of(story.len() + 1));
            let sheet = for_printer(layout, paper, number, taken, printed);
            number += taken.count.places();
            sheets.push(page.filled(layout, sheet.clone()));
            story.push(StoryPage { paper, sheet: sheet.id, page });
        }
    }
    let cut_down: Vec<Sheet> =
        papers.iter().flat_map(|plan| &plan.supply.cut_down).cloned().collect();
    let all: Vec<&Sheet> = cut_down.iter().chain(&sheets).collect();
    let cut_down = supply::with_named_parts(&cut_down, &all);
    let mut sheets: Vec<Sheet> = cut_down.into_iter().chain(sheets).collect();
    for sheet in repeated {
        let before = in_all(sheets.iter().filter(|other| other.paper == sheet.paper));
        let id = layout.sheet_id(&sheet.paper, before + 1);
        sheets.push(redo::named(layout, sheet, id));
    }
    (sheets, story)
}

/// What the nester laid on sheets of a paper.
fn nested(layout: &Layout, paper: usize, plan: &PaperPlan) -> Vec<Sheet> {
    let name = &layout.papers[paper].name;
    let laid: Vec<Laid<'_>> =
        plan.pieces.iter().map(|&index| Laid::of(&layout.pieces[index])).collect();
    let mut next = plan.supply.cut_down_in_all() + 1;
    let sheet = |cut: &crate::nest::SheetCut| {
        let (number, count) = (next, times(cut));
        next += count.places();
        let stock = &plan.gutted.stock[cut.stock];
        let source = match &stock.offcut {
            // What follows on the job's own stock is hidden middles.
            Some(middle) if cut.stock >= plan.job.stock.len() => {
                SheetSource::Middle(middle.clone())
            }
            Some(_) | None => plan.supply.source(stock),
        };
        let sheet = Sheet {
            id: layout.sheet_id(name, number),
            paper: name.clone(),
            size: stock.size,
            count,
            source,
            to_buy: stock.to_buy,
            ..Sheet::default()
        };
        filled(layout, &laid, cut, sheet)
    };
    let sheets = alike::told_once(&plan.gutted.nested.sheets, &plan.gutted.stock);
    sheets.iter().map(sheet).collect()
}

/// How many sheets the nester laid.
fn nested_in_all(plan: &PaperPlan) -> usize {
    plan.gutted.nested.sheets.iter().map(|cut| times(cut).places()).sum()
}

/// A sheet of the printer's size, with nothing on it yet.
fn for_printer(
    layout: &Layout,
    paper: usize,
    number: usize,
    taken: &Taken,
    printing: Printing,
) -> Sheet {
    let name = &layout.papers[paper].name;
    Sheet {
        id: layout.sheet_id(name, number),
        paper: name.clone(),
        size: layout.printer.paper,
        count: taken.count,
        source: taken.source.clone(),
        to_buy: taken.to_buy,
        printing: Some(printing),
        ..Sheet::default()
    }
}

/// What is used and left of every paper by the `sheets` of the plan; `savings` are what small changes would
/// save, and the offcuts that are used.
pub(super) fn use_of_papers(
    layout: &Layout,
    papers: &[PaperPlan],
    sheets: &[Sheet],
    savings: Vec<Savings>,
) -> Vec<PaperUse> {
    let count = |taken: &[Taken]| {
        let new = taken.iter().filter(|taken| taken.new);
        new.fold(0_u32, |sum, taken| sum.saturating_add(taken.count.get()))
    };
    let mut story_before = false;
    let use_of_paper = |((on_hand, plan), savings): ((&PaperOnHand, &PaperPlan), Savings)| {
        let mut account = Account::open(&on_hand.name, &on_hand.stock);
        // What follows on the job's own stock is hidden middles.
        account.add_middles(plan.gutted.stock.get(plan.job.stock.len()..).unwrap_or_default());
        sheets.iter().filter(|sheet| sheet.paper == on_hand.name).for_each(|sheet| {
            account.enter(sheet);
        });
        let nested = &plan.gutted.nested;
        let bound_in_register = plan.in_register.as_ref().map_or(0, |nested| nested.bound());
        let in_register = count(plan.taken_in_register());
        let story = plan.taken_for_story();
        // One page is needed for a story; that more are is not proven by a bound.
        let first_page = story.first().filter(|_| !story_before);
        let bound_of_story = u32::from(first_page.is_some_and(|taken| taken.new));
        story_before |= !story.is_empty();
        let mut notes = reasons::notes(&nested.notes, &plan.job.items);
        notes.extend(savings.notes);
        let cut_from = |offcut: OffcutUse| {
            let area = covered(sheets, &offcut.id);
            (offcut, area)
        };
        let offcuts = savings.offcuts.into_iter().map(cut_from).collect();
        let bound = nested.bound + bound_in_register.min(in_register) + bound_of_story;
        PaperUse { account, bound, notes, offcuts }
    };
    layout.papers.iter().zip(papers).zip(savings).map(use_of_paper).collect()
}

/// The area of what is cut from an offcut, in square inches, on the parts that it is cut down to as well.
fn covered(sheets: &[Sheet], id: &OffcutId) -> f64 {
    let mut from: Vec<&SheetId> = Vec::new();
    let mut area = 0.0;
    for sheet in sheets {
        let comes_from = match &sheet.source {
            SheetSource::Offcut(of) => of == id,
            SheetSource::Part { whole, .. } => from.contains(&whole),
            SheetSource::New | SheetSource::Middle(_) | SheetSource::FedOnce(_) => false,
        };
        if comes_from {
            from.push(&sheet.id);
            area += sheet.covered() * f64::from(sheet.count.get());
        }
    }
    area
}
