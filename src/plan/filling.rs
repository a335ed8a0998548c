//! Sheets with everything that is cut from them, whatever it serves: sheets cut down for the printer, what
//! the nester laid, pages in register, the story.

use crate::layout::Layout;
use crate::model::{SheetSource, Stock};

use super::paper_plan::PaperPlan;
use super::reasons;
use super::sheet::{Laid, Printing, Sheet, count_of, filled};
use super::story_pages::Page;
use super::supply::{self, Taken};

/// A page of the story.
#[derive(Clone, Debug, Default)]
pub struct StoryPage {
    /// Its paper, by place in the layout.
    pub paper: usize,
    /// The id of the sheet that it is.
    pub sheet: String,
    /// What is printed on it.
    pub page: Page,
}

/// What is used and left of a paper.
#[derive(Clone, Debug, Default)]
pub struct PaperUse {
    /// Whole sheets that are left, kind by kind.
    pub left: Vec<Stock>,
    /// Offcuts that were on hand and are not used.
    pub offcuts_left: Vec<Stock>,
    /// New sheets that are used.
    pub new_sheets: u32,
    /// The fewest new sheets that any plan could do with, as far as the bounds can tell.
    pub bound: u32,
    /// What limits the number of sheets, and what would save one.
    pub notes: Vec<String>,
}

/// The sheets of all papers, and the story's pages.
pub(super) fn fill(layout: &Layout, papers: &[PaperPlan]) -> (Vec<Sheet>, Vec<StoryPage>) {
    let mut sheets: Vec<Sheet> = Vec::new();
    for (paper, plan) in papers.iter().enumerate() {
        sheets.extend(nested(layout, paper, plan));
    }
    let mut pages = 0;
    for (paper, plan) in papers.iter().enumerate() {
        let Some(in_register) = &plan.in_register else { continue };
        let first = plan.supply.cut_down.len() + plan.gutted.nested.sheets.len() + 1;
        let taken = (first..).zip(plan.taken_in_register()).map(|(number, taken)| {
            pages += 1;
            for_printer(layout, paper, number, taken, Printing::InRegister(pages))
        });
        let taken = taken.collect();
        sheets.extend(in_register.filled(layout, taken));
    }
    let mut story: Vec<StoryPage> = Vec::new();
    for (paper, plan) in papers.iter().enumerate() {
        let first = plan.supply.cut_down.len()
            + plan.gutted.nested.sheets.len()
            + plan.taken_in_register().len()
            + 1;
        for (number, (page, taken)) in (first..).zip(plan.pages.iter().zip(plan.taken_for_story()))
        {
            let printed = Printing::Page(count_of(story.len() + 1));
            let sheet = for_printer(layout, paper, number, taken, printed);
            story.push(StoryPage { paper, sheet: sheet.id.clone(), page: page.clone() });
            sheets.push(page.filled(layout, sheet));
        }
    }
    let cut_down: Vec<Sheet> =
        papers.iter().flat_map(|plan| &plan.supply.cut_down).cloned().collect();
    let all: Vec<&Sheet> = cut_down.iter().chain(&sheets).collect();
    let cut_down = supply::with_named_parts(&cut_down, &all);
    (cut_down.into_iter().chain(sheets).collect(), story)
}

/// What the nester laid on sheets of a paper.
fn nested(layout: &Layout, paper: usize, plan: &PaperPlan) -> Vec<Sheet> {
    let name = &layout.papers[paper].name;
    let laid: Vec<Laid<'_>> =
        plan.pieces.iter().map(|&index| Laid::of(&layout.pieces[index])).collect();
    let first = plan.supply.cut_down.len() + 1;
    let sheet = |(number, cut): (usize, &crate::nest::SheetCut)| {
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
            source,
            to_buy: stock.to_buy,
            ..Sheet::default()
        };
        filled(layout, &laid, cut, sheet)
    };
    (first..).zip(&plan.gutted.nested.sheets).map(sheet).collect()
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
        source: taken.source.clone(),
        to_buy: taken.to_buy,
        printing: Some(printing),
        ..Sheet::default()
    }
}

/// What is used and left of every paper; `savings` are what small changes would save.
pub(super) fn use_of_papers(papers: &[PaperPlan], savings: Vec<Vec<String>>) -> Vec<PaperUse> {
    let count = |taken: &[Taken]| count_of(taken.iter().filter(|taken| taken.new).count());
    let mut story_before = false;
    let use_of_paper = |(plan, savings): (&PaperPlan, Vec<String>)| {
        let (nested, stock) = (&plan.gutted.nested, &plan.gutted.stock);
        let left = left_of(plan);
        let in_register = count(plan.taken_in_register());
        let bound_in_register = plan.in_register.as_ref().map_or(0, |nested| nested.bound());
        let story = plan.taken_for_story();
        // One page is needed for a story; that more are is not proven by a bound.
        let first_page = story.first().filter(|_| !story_before);
        let bound_of_story = u32::from(first_page.is_some_and(|taken| taken.new));
        story_before |= !story.is_empty();
        let nested_new = count_of(nested.new_sheets(stock));
        let mut notes = reasons::notes(&nested.notes, &plan.job.items);
        notes.extend(savings);
        let is_whole = |stock: &&Stock| stock.offcut.is_none() && !stock.to_buy;
        let is_offcut = |stock: &&Stock| {
            let id = stock.offcut.as_deref().filter(|_| stock.count > 0);
            id.is_some_and(|id| plan.supply.cut_down_to(id).is_none())
        };
        PaperUse {
            left: left.iter().filter(is_whole).cloned().collect(),
            offcuts_left: left.iter().filter(is_offcut).cloned().collect(),
            new_sheets: nested_new + in_register + count(story),
            bound: nested.bound + bound_in_register.min(in_register) + bound_of_story,
            notes,
        }
    };
    papers.iter().zip(savings).map(use_of_paper).collect()
}

/// The stock of a paper less what the nester took of it.
fn left_of(plan: &PaperPlan) -> Vec<Stock> {
    let mut left = plan.gutted.stock.clone();
    for sheet in &plan.gutted.nested.sheets {
        left[sheet.stock].count = left[sheet.stock].count.saturating_sub(1);
    }
    left
}
