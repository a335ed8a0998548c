//! All that is cut from one paper: sheets for the printer first, then the pieces of trimmer and machine.
//!
//! A sheet for the printer is taken from what is on hand. Where something has to be bought after all, that
//! may be the dearer way: a 12 x 12 on hand that is cut down for the story is lacking elsewhere, where only
//! another 12 x 12 will do, while a sheet of the printer's size would have cost less; or one 12 x 12, cut
//! down, costs less than two smaller sheets. So the paper is then planned with other sheets for the printer
//! as well, and the plan that buys for less is kept.

use std::cmp::Reverse;

use crate::description::Problem;
use crate::layout::Layout;
use crate::nest::gutting::{Gutted, Middle};
use crate::nest::worth::{Worth, fine};
use crate::nest::{Effort, Job, Search, Stock};

use super::jobs::{job_of, missing};
use super::shaped::Apart;
use super::sheet::times;
use super::story_pages::{self, Page};
use super::supply::{self, Supply, Taken};
use super::{gutting, in_register, purchase};

/// Other ways to supply the printer that are planned to the end for one paper at most, and for one kind of
/// sheet.
const MOST_TRIED: usize = 12;
const MOST_OF_A_KIND: usize = 4;
/// Offcuts of a paper that are no rectangles and are looked at, at most: each is a few more plans.
const MOST_SHAPED: usize = 4;

/// The plan of a paper.
pub(super) struct PaperPlan {
    /// The story's pages.
    pub pages: Vec<Page>,
    /// The pieces that are printed before they are cut.
    pub in_register: Option<in_register::OfPaper>,
    /// The sheets that the printer gets: for the pages, then for those pieces.
    pub supply: Supply,
    /// What else is cut, from what is on hand and to buy.
    pub job: Job,
    /// The layout's pieces behind the job's items.
    pub pieces: Vec<usize>,
    /// Their hidden middles.
    pub middles: Vec<Middle>,
    /// How they are cut.
    pub gutted: Gutted,
}

impl PaperPlan {
    /// The sheets that the story is printed on.
    pub fn taken_for_story(&self) -> &[Taken] {
        self.supply.taken.get(..self.first_in_register()).unwrap_or_default()
    }

    /// The sheets that are printed, then cut in register.
    pub fn taken_in_register(&self) -> &[Taken] {
        let taken = self.supply.taken.get(self.first_in_register()..).unwrap_or_default();
        if self.in_register.is_some() { taken } else { &[] }
    }

    /// The first of the sheets taken that is none of the story's.
    fn first_in_register(&self) -> usize {
        self.supply.taken.iter().take_while(|taken| taken.page < self.pages.len()).count()
    }
}

/// Plans a paper; or says what is missing.
pub(super) fn plan(
    layout: &Layout,
    search: &Search,
    paper: usize,
) -> Result<PaperPlan, Vec<Problem>> {
    let pages = story_pages::pages(layout, paper).map_err(|problem| vec![problem])?;
    let available = |most: u32| match layout.strict {
        true => Supply::of(layout, paper, &[most], None).taken_in_all(),
        false => most,
    };
    let mut needed: Vec<u32> = pages.iter().map(Page::needs).collect();
    let of_story = needed.iter().fold(0_u32, |sum, count| sum.saturating_add(*count));
    if available(of_story) < of_story {
        return Err(vec![story_pages::no_sheet(layout, paper)]);
    }
    let in_register = in_register::nest(layout, search, paper, |most| {
        available(of_story.saturating_add(most)).saturating_sub(of_story)
    })?;
    needed.extend(in_register.iter().flat_map(in_register::OfPaper::sheets));
    let (_, pieces) = job_of(layout, paper, &[]);
    let middles = gutting::middles(layout, &pieces);
    let (needed, middles_of) = (needed.as_slice(), middles.as_slice());
    let effort = layout.effort;
    let ways = Ways { layout, search, paper, needed, middles: middles_of, effort };
    let Way { mut supply, job, gutted, .. } = ways.with_shaped_offcuts(ways.best());
    supply.taken.splice(..0, pages.first().and_then(Taken::fed_once));
    let problems = missing(layout, paper, &job, &pieces, &gutted.nested);
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(PaperPlan { pages, in_register, supply, job, pieces, middles, gutted })
}

/// What is needed of a paper, and the ways to get it.
#[derive(Clone, Copy)]
struct Ways<'a> {
    layout: &'a Layout,
    search: &'a Search,
    paper: usize,
    /// Sheets for the printer, page by page.
    needed: &'a [u32],
    middles: &'a [Middle],
    /// How long to search.
    effort: Effort,
}

/// One way.
struct Way {
    supply: Supply,
    job: Job,
    gutted: Gutted,
    spent: Spent,
}

/// What ways are compared by, the lesser one is better: copies left out; the price of what is bought, the
/// area of all new sheets; then what plans are compared by otherwise ([`Worth`]): area from offcuts, what is
/// left over in them, their ages, the largest rest, cuts, settings of the fence.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Spent {
    left_out: u64,
    bought: i128,
    area: i128,
    rest: (Reverse<i128>, i128, Vec<usize>, Reverse<i128>, usize, usize),
}

impl Ways<'_> {
    /// The way that buys for the least: what is on hand goes to the printer first, unless something has to
    /// be bought and another way comes cheaper.
    fn best(&self) -> Way {
        let mut best = self.planned(Supply::of(self.layout, self.paper, self.needed, None));
        if self.needed.is_empty() {
            return best;
        }
        let mut seen = vec![best.supply.begun.clone()];
        let kinds = if best.is_short() { self.kinds() } else { Vec::new() };
        for kind in kinds {
            let mut tried = 0;
            for count in 1..=self.needed.iter().fold(0_u32, |sum, one| sum.saturating_add(*one)) {
                if tried == MOST_OF_A_KIND || seen.len() > MOST_TRIED || self.search.is_stopped() {
                    break;
                }
                let preferred = Stock { count, ..kind.clone() };
                let supply = Supply::of(self.layout, self.paper, self.needed, Some(&preferred));
                // More of the kind costs no less.
                if self.bought(&supply.begun, &[]) > best.spent.bought {
                    break;
                }
                if seen.contains(&supply.begun) {
                    continue;
                }
                seen.push(supply.begun.clone());
                tried += 1;
                let other = self.planned(supply);
                if other.spent < best.spent {
                    best = other;
                }
            }
        }
        best
    }

    /// The same or a better way that cuts from offcuts which are no rectangles too: first with each taken
    /// apart into the largest rectangles, then with one after the other taken apart otherwise. Which way is
    /// the best is told by quick searches.
    fn with_shaped_offcuts(&self, plain: Way) -> Way {
        let Some(paper) = self.layout.papers.get(self.paper) else { return plain };
        let ways = |offcut| Apart::ways(self.layout, paper, offcut);
        let ways: Vec<Vec<Apart>> = paper
            .shaped
            .iter()
            .map(ways)
            .filter(|ways| !ways.is_empty())
            .take(MOST_SHAPED)
            .collect();
        if ways.is_empty() || plain.job.items.is_empty() {
            return plain;
        }
        let base = plain.supply.clone();
        let mut chosen: Vec<&Apart> = ways.iter().filter_map(|ways| ways.first()).collect();
        let quick = Self { effort: Effort::Quick, ..*self };
        let mut best = quick.planned_with(base.clone(), &chosen);
        for (place, ways) in ways.iter().enumerate() {
            for other in ways.iter().skip(1) {
                if self.search.is_stopped() {
                    break;
                }
                let before = std::mem::replace(&mut chosen[place], other);
                let found = quick.planned_with(base.clone(), &chosen);
                if found.spent < best.spent {
                    best = found;
                } else {
                    chosen[place] = before;
                }
            }
        }
        if self.effort != quick.effort {
            best = self.planned_with(base, &chosen);
        }
        if best.spent < plain.spent { best } else { plain }
    }

    /// Plans the other pieces with what the printer leaves and with offcuts that are taken apart.
    fn planned_with(&self, mut supply: Supply, apart: &[&Apart]) -> Way {
        for one in apart.iter().rev() {
            let at = one.before.min(supply.stock.len());
            supply.stock.splice(at..at, one.stock());
        }
        let mut way = self.planned(supply);
        let name = self.layout.papers.get(self.paper).map_or("", |paper| &paper.name);
        for one in apart {
            let taken = way.gutted.nested.sheets.iter().any(|sheet| {
                let stock = way.gutted.stock.get(sheet.stock);
                stock.and_then(|stock| stock.offcut.as_deref()).is_some_and(|id| one.has(id))
            });
            if taken {
                let number = way.supply.cut_down_in_all() + 1;
                way.supply.cut_down.push(one.sheet(&self.layout.sheet_id(name, number)));
            }
        }
        way.spent = self.spent(&way.supply, &way.job, &way.gutted);
        way
    }

    /// The kinds of new sheets, on hand and to buy, from which a sheet for the printer can come.
    fn kinds(&self) -> Vec<Stock> {
        let Some(on_hand) = self.layout.papers.get(self.paper) else { return Vec::new() };
        let mut kinds = if self.layout.strict {
            Vec::new()
        } else {
            purchase::on_offer(self.layout, on_hand, 1)
        };
        kinds.extend(on_hand.stock.iter().filter(|stock| stock.offcut.is_none()).cloned());
        kinds.retain(|kind| {
            kind.count > 0 && supply::from_one(self.layout, self.paper, kind.size) > 0
        });
        kinds
    }

    /// Plans the other pieces with what the printer leaves.
    fn planned(&self, supply: Supply) -> Way {
        let (job, _) = job_of(self.layout, self.paper, &supply.stock);
        let job = Job { effort: self.effort, ..job };
        let offers = |count| {
            let paper = self.layout.papers.get(self.paper);
            paper.map_or_else(Vec::new, |paper| purchase::on_offer(self.layout, paper, count))
        };
        let (job, gutted) = purchase::nest(self.layout, self.search, job, self.middles, offers);
        let spent = self.spent(&supply, &job, &gutted);
        Way { supply, job, gutted, spent }
    }

    fn spent(&self, supply: &Supply, job: &Job, gutted: &Gutted) -> Spent {
        let Worth { left_out, from_offcuts, offcuts_left, ages, largest, cuts, settings, .. } =
            Worth::of(job, &gutted.nested);
        let begun: Vec<Stock> = gutted
            .nested
            .sheets
            .iter()
            .filter_map(|sheet| {
                let stock = gutted.stock.get(sheet.stock)?;
                Some(Stock { count: times(sheet).get(), ..stock.clone() })
            })
            .filter(|stock| stock.offcut.is_none())
            .collect();
        let new = supply.begun.iter().chain(&begun);
        let cuts = cuts + supply.cuts();
        Spent {
            left_out,
            bought: self.bought(&supply.begun, &begun),
            area: new.map(|stock| fine(stock.size.area()) * i128::from(stock.count)).sum(),
            rest: (from_offcuts, offcuts_left, ages, largest, cuts, settings),
        }
    }

    /// What is paid for those of some new sheets that have to be bought.
    fn bought(&self, printed: &[Stock], others: &[Stock]) -> i128 {
        let paper = self.layout.papers.get(self.paper);
        let offers = paper.map_or_else(Vec::new, |paper| purchase::on_offer(self.layout, paper, 1));
        let weights = purchase::Weights::of(&offers);
        let all = printed.iter().chain(others);
        all.map(|stock| fine(weights.weigh(stock)) * i128::from(stock.count)).sum()
    }
}

impl Way {
    /// Whether something is lacking or has to be bought.
    fn is_short(&self) -> bool {
        self.spent.left_out > 0 || self.spent.bought > 0
    }
}
