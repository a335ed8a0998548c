//! Patterns to begin with: whole kits and parts of them, one piece alone, offcuts, and what prices find.

use super::demand::share;
use super::rounds::{HAIR, Rounds};
use crate::nest::Job;
use crate::nest::guillotine::{Patterned, priced_patterns};
use crate::nest::joint::draft::Open;

/// Numbers of kits that are nested at once.
const KITS: [u32; 10] = [1, 2, 3, 4, 5, 6, 8, 12, 16, 24];
/// Most pieces of which a sheet is filled with copies of one alone, those that cover most.
const MOST_ALONE: usize = 8;

impl Rounds<'_, '_> {
    /// Finds patterns to begin with, of whole kits and on offcuts; returns the copies that fit a sheet at
    /// all.
    pub fn begin(&mut self) -> Vec<u32> {
        let demand = self.demand;
        let mut jobs = Vec::new();
        self.of_kits(&vec![true; demand.units.len()], &mut jobs);
        jobs.extend(self.on_offcuts());
        for sheets in self.nest(&jobs) {
            self.pool.learn(demand, &sheets);
        }
        // One of each lies in the first kit.
        let mut fits = vec![0; demand.units.len()];
        for &(unit, _) in self.pool.all().iter().flat_map(|pattern| &pattern.counts) {
            fits[unit] = demand.units[unit].copies;
        }
        fits
    }

    /// Finds more patterns: of parts of kits, of one piece alone, and by prices.
    pub fn more(&mut self, fits: &[u32]) {
        let mut jobs = Vec::new();
        for some in self.selections() {
            self.of_kits(&some, &mut jobs);
        }
        jobs.extend(self.alone());
        for sheets in self.nest(&jobs) {
            self.pool.learn(self.demand, &sheets);
        }
        self.by_prices(fits);
    }

    /// The classes of new sheets.
    fn new_classes(&self) -> Vec<usize> {
        let classes = &self.demand.classes;
        (0..classes.len()).filter(|&class| classes[class].new).collect()
    }

    /// Which units are nested together, beside all of them: those of the machine, and all but the largest,
    /// which fill sheets best by themselves.
    fn selections(&self) -> Vec<Vec<bool>> {
        let demand = self.demand;
        let all = vec![true; demand.units.len()];
        let machine: Vec<bool> = (0..all.len()).map(|unit| demand.is_machine(unit)).collect();
        let mut selections = Vec::new();
        if machine.contains(&true) && machine.contains(&false) {
            selections.push(machine.clone());
        }
        let mut largest: Vec<usize> = (0..all.len()).collect();
        largest.sort_by(|&one, &other| {
            demand.units[other].area.total_cmp(&demand.units[one].area).then(one.cmp(&other))
        });
        // Of trimmer pieces alone, prices find the patterns.
        let without = if machine.contains(&true) { self.budget.without } else { 0 };
        let mut some = all;
        for &unit in largest.iter().take(without.min(largest.len().saturating_sub(1))) {
            some[unit] = false;
            if !selections.contains(&some) {
                selections.push(some.clone());
            }
        }
        selections
    }

    /// Jobs of one kit of some units, of two, and so on, on sheets of all sizes and of each alone.
    fn of_kits(&self, some: &[bool], jobs: &mut Vec<Job>) {
        let demand = self.demand;
        let new = self.new_classes();
        for kits in KITS.into_iter().filter(|&kits| kits <= demand.kits) {
            let mut copies = demand.in_kits(kits);
            for (copies, _) in copies.iter_mut().zip(some).filter(|(_, some)| !**some) {
                *copies = 0;
            }
            let pieces = demand.pieces(&copies);
            if kits > 1 && pieces > self.budget.kits {
                break;
            }
            jobs.push(self.job(&copies, |class| match demand.classes[class].new {
                true => pieces,
                false => share(demand.classes[class].count, kits, demand.kits),
            }));
            for &alone in new.iter().filter(|_| new.len() > 1) {
                jobs.push(self.job(&copies, |class| if class == alone { pieces } else { 0 }));
            }
        }
    }

    /// Adds the patterns of the trimmer's pieces that their prices find.
    fn by_prices(&mut self, fits: &[u32]) {
        let demand = self.demand;
        let of_trimmer = |unit: usize| if demand.is_machine(unit) { 0 } else { fits[unit] };
        let copies: Vec<u32> = (0..fits.len()).map(of_trimmer).collect();
        let job = self.job(&copies, |class| demand.classes[class].count);
        let (kerf, margin) = (self.task.kerf, self.task.margin);
        let priced = priced_patterns(&job, kerf, margin, self.budget.steps, self.task.search);
        let open = priced.into_iter().map(|found| {
            let Patterned { stock, root } = found;
            Open { stock, root: Some(root), part: None }
        });
        self.pool.learn(demand, &open.collect::<Vec<_>>());
    }

    /// Jobs of one sheet with as many copies of one unit as may fit.
    fn alone(&self) -> Vec<Job> {
        let demand = self.demand;
        let mut units: Vec<usize> = (0..demand.units.len()).collect();
        let covers = |&unit: &usize| demand.units[unit].area * f64::from(demand.units[unit].copies);
        units.sort_by(|one, other| covers(other).total_cmp(&covers(one)).then(one.cmp(other)));
        let mut jobs = Vec::new();
        for unit in units.into_iter().take(MOST_ALONE) {
            for class in self.new_classes() {
                let most = demand.classes[class].area / demand.units[unit].area.max(HAIR);
                let most =
                    (0..self.budget.rest).take_while(|&count| f64::from(count) < most).count();
                let most = u32::try_from(most).unwrap_or(0).min(demand.units[unit].copies);
                if most > 1 {
                    let mut copies = vec![0; demand.units.len()];
                    copies[unit] = most;
                    jobs.push(self.job(&copies, |one| u32::from(one == class)));
                }
            }
        }
        jobs
    }

    /// Jobs on offcuts alone, as many kits as may fit.
    fn on_offcuts(&self) -> Vec<Job> {
        let demand = self.demand;
        let one = demand.in_kits(1);
        let in_one = demand.area(&one).max(HAIR);
        let offcuts = (0..demand.classes.len()).filter(|&class| !demand.classes[class].new);
        let job = |class: usize| {
            let kits = KITS
                .into_iter()
                .find(|&kits| f64::from(kits) * in_one >= demand.classes[class].area);
            let copies = demand.in_kits(kits.unwrap_or(KITS[KITS.len() - 1]).min(demand.kits));
            (demand.pieces(&copies) <= self.budget.rest || copies == one)
                .then(|| self.job(&copies, |other| u32::from(other == class)))
        };
        offcuts.filter_map(job).collect()
    }
}
