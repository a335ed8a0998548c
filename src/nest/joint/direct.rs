//! The direct search for a job: the trimmer's plan, the machine in what it leaves, then both searched
//! together.

use super::blocks;
use super::draft::Draft;
use super::task::{Candidate, Task};
use crate::nest::guillotine::{self, Course, steps, trim};
use crate::nest::{Effort, Job, Search};

/// The best plan that the direct search finds with an effort, and with all that are less.
pub(super) fn directly(job: &Job, search: &Search) -> Option<Candidate> {
    let task = Task::new(job, search);
    let mut best = None;
    for effort in Effort::ALL {
        task.search_in_steps(&mut best, effort, steps(effort), effort == Effort::Long);
        if effort == job.effort || search.is_stopped() {
            break;
        }
    }
    best
}

impl Task<'_> {
    /// Looks for a better plan, then for the offcuts that leave least.
    pub fn improve(&self, best: &mut Option<Candidate>, effort: Effort, steps: u64, patient: bool) {
        self.search_in_steps(best, effort, steps, patient);
        self.choose_offcuts(best);
    }

    /// Looks for a better plan.
    pub fn search_in_steps(
        &self,
        best: &mut Option<Candidate>,
        effort: Effort,
        steps: u64,
        patient: bool,
    ) {
        let course =
            Course { steps, sheet_bound: self.sheet_bound, ends_idle: patient, kept: None };
        let trimmed = trim(self.job, self.kerf, self.margin, &course, self.search);
        let mut draft = Draft::of(&trimmed);
        let copies = self.machine.copies(&mut draft.left_out);
        let mut preferences = self.machine.preferences();
        preferences.truncate(if effort == Effort::Quick || copies.is_empty() { 1 } else { 3 });
        let mut chosen = 0;
        for (place, preference) in preferences.iter().enumerate() {
            // The usual order gets all the effort, the others a glance.
            let effort = if place == 0 { effort } else { Effort::Quick };
            let mut draft = draft.clone();
            self.machine.lay(&mut draft, &copies, preference, effort);
            if self.consider(best, draft, trimmed.proof) && place > 0 {
                chosen = place;
            }
        }
        if chosen > 0 {
            self.machine.lay(&mut draft, &copies, &preferences[chosen], effort);
            self.consider(best, draft, trimmed.proof);
        }
        let at_bound = best
            .as_ref()
            .is_some_and(|best| best.worth.left_out == 0 && best.worth.cost <= self.cost_bound);
        let both = !copies.is_empty() && !trimmed.blocks.is_empty();
        match effort {
            Effort::Normal | Effort::Long if both && !at_bound => {
                blocks::improve(self, best, &copies, effort, steps);
            }
            // Nothing costs less: only the rest may still grow.
            Effort::Long if both => {
                let effort = Effort::Normal;
                blocks::improve(self, best, &copies, effort, guillotine::steps(effort));
            }
            Effort::Quick | Effort::Normal | Effort::Long => {}
        }
    }
}
