//! Which offcuts serve: of those that do, the ones with the least left over, then the oldest.
//!
//! The searches take offcuts as they come by and look for cheap new sheets. So once a plan stands, the pieces
//! that it cuts from offcuts are tried on every other choice of a few offcuts, the choice that leaves least
//! first, until one holds them all. New sheets and what lies on them stay as they are.

use std::collections::BTreeMap;

use super::task::{Candidate, Task};
use crate::nest::guillotine::Proof;
use crate::nest::rectangles::{bounding_size, sheet_size};
use crate::nest::worth::{Worth, fine};
use crate::nest::{Effort, Fall, Item, Job, Nested, SheetCut, Tool};

/// Pieces up to which each choice is tried: so many rectangles are still searched to the end.
const MOST_PIECES: usize = 20;
/// Most offcuts of a choice: the number of choices grows with the power of this.
const MOST_TOGETHER: usize = 3;
/// Most choices that are tried; those that leave least come first.
const MOST_TRIED: usize = 48;
/// The same where the machine cuts some of the pieces: a fill takes longer.
const MOST_TRIED_BY_MACHINE: usize = 12;
/// Steps of the search for one choice.
const STEPS: u64 = 2_000;

/// Offcuts by place in the job's stock, in rising order; one of several alike is named as often as it is
/// taken.
type Choice = Vec<usize>;

impl Task<'_> {
    /// The plan with other offcuts in place of those it uses, if others leave less.
    pub fn choose_offcuts(&self, best: &mut Option<Candidate>) {
        let Some(known) = best.as_ref() else { return };
        let job = self.job;
        let is_old = |sheet: &&SheetCut| job.stock.get(sheet.stock).is_some_and(|s| s.is_old());
        let mut pieces: BTreeMap<usize, Vec<u32>> = BTreeMap::new();
        for one in known.nested.sheets.iter().filter(is_old).flat_map(|sheet| &sheet.placed) {
            pieces.entry(one.item).or_default().push(one.copy);
        }
        let count: usize = pieces.values().map(Vec::len).sum();
        let is_alone = known.nested.sheets.iter().filter(is_old).all(|sheet| sheet.count == 1);
        if count == 0 || count > MOST_PIECES || !is_alone {
            return;
        }
        let by_machine = pieces.keys().any(|&item| job.items[item].tool == Tool::Machine);
        let most = if by_machine { MOST_TRIED_BY_MACHINE } else { MOST_TRIED };
        let choices = self.choices(&pieces, &known.worth);
        for choice in choices.into_iter().take(most) {
            if self.search.is_stopped() {
                return;
            }
            let Some(sheets) = self.on_choice(&choice, &pieces) else { continue };
            let others = known.nested.sheets.iter().filter(|sheet| !is_old(sheet)).cloned();
            let sheets = sheets.into_iter().chain(others).collect();
            let nested = Nested { sheets, ..known.nested.clone() };
            let worth = Worth::of(job, &nested);
            let left_out = known.left_out.clone();
            let (open, proof) = (Vec::new(), Proof::default());
            self.better(best, Candidate { worth, nested, left_out, open, proof });
            return;
        }
    }

    /// The choices that have paper enough for some pieces and are better than what a plan uses, the best
    /// first.
    fn choices(&self, pieces: &BTreeMap<usize, Vec<u32>>, known: &Worth) -> Vec<Choice> {
        let items = &self.job.items;
        let copies = |copies: &Vec<u32>| i128::try_from(copies.len()).unwrap_or(i128::MAX);
        let asked: i128 =
            pieces.iter().map(|(&item, of)| fine(items[item].area()) * copies(of)).sum();
        let useful = |size: [i64; 2]| pieces.keys().any(|&item| may_lie(&items[item], size));
        let offcuts = self
            .job
            .stock
            .iter()
            .enumerate()
            .filter(|(_, stock)| stock.is_old() && sheet_size(stock).is_some_and(useful));
        let offcuts: Vec<(usize, i128)> = offcuts
            .flat_map(|(place, stock)| {
                let count = (stock.count as usize).min(MOST_TOGETHER);
                std::iter::repeat_n((place, fine(stock.size.area())), count)
            })
            .collect();
        let mut choices: Vec<(i128, Choice)> = Vec::new();
        let mut begun: Vec<(usize, i128, Choice)> = vec![(0, 0, Vec::new())];
        while let Some((next, area, choice)) = begun.pop() {
            for (number, &(place, of_one)) in offcuts.iter().enumerate().skip(next) {
                let area = area + of_one;
                let left = area - asked;
                if left > known.offcuts_left {
                    continue;
                }
                let choice: Choice = choice.iter().copied().chain([place]).collect();
                if left >= 0 && (left, &choice) < (known.offcuts_left, &known.ages) {
                    choices.push((left, choice.clone()));
                }
                if choice.len() < MOST_TOGETHER {
                    begun.push((number + 1, area, choice));
                }
            }
        }
        choices.sort();
        choices.dedup();
        choices.into_iter().map(|(_, choice)| choice).collect()
    }

    /// Pieces on a choice of offcuts, if they all find room there.
    fn on_choice(
        &self,
        choice: &[usize],
        pieces: &BTreeMap<usize, Vec<u32>>,
    ) -> Option<Vec<SheetCut>> {
        let mut job = Job { effort: Effort::Quick, ..self.job.clone() };
        for (place, stock) in job.stock.iter_mut().enumerate() {
            stock.count = choice.iter().map(|&chosen| u32::from(chosen == place)).sum();
        }
        for (place, item) in job.items.iter_mut().enumerate() {
            item.copies = pieces.get(&place).map_or(0, |copies| copies.iter().map(|_| 1).sum());
        }
        let task = Task::new(&job, self.search);
        // A bound already says that they don't do.
        if task.least.sheets > 0 {
            return None;
        }
        let mut found = None;
        task.search_in_steps(&mut found, Effort::Quick, STEPS, false);
        let found = found.filter(|found| found.worth.left_out == 0)?;
        let mut sheets = found.nested.sheets;
        // Copies are numbered as in the whole job.
        let numbered = |item: usize, copy: u32| pieces.get(&item)?.get(copy as usize).copied();
        for sheet in &mut sheets {
            for one in &mut sheet.placed {
                one.copy = numbered(one.item, one.copy)?;
            }
            for falls in sheet.cuts.iter_mut().flat_map(|cut| [&mut cut.keeps, &mut cut.drops]) {
                if let Fall::Piece(item, copy) = &mut falls.what {
                    *copy = numbered(*item, *copy)?;
                }
            }
        }
        Some(sheets)
    }
}

/// Whether an item may lie on paper of some size, so far as its bounding box tells.
fn may_lie(item: &Item, size: [i64; 2]) -> bool {
    let Some([width, height]) = bounding_size(item) else { return false };
    let (long, short) = (width.max(height), width.min(height));
    // A piece of the machine may lie aslant.
    long <= size[0].max(size[1]) && short <= size[0].min(size[1]) || item.tool == Tool::Machine
}
