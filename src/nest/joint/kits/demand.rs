//! What a job of many copies asks for, the sheets there are for it, and the small jobs nested on the way.

use crate::nest::joint::irregular_part::machine_fits;
use crate::nest::joint::task::Task;
use crate::nest::rectangles::{MOST_COPIES, Patch, bounding_size, costs, sheet_size};
use crate::nest::{Effort, Item, Job, Tool};

/// Pieces that are always cut together, in so many copies.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// The items, by place in the job, and how many of each make one copy of the unit.
    pub parts: Vec<(usize, u32)>,
    /// Copies that are wanted.
    pub copies: u32,
    /// Area of one copy in square inches.
    pub area: f64,
}

impl Unit {
    /// Pieces in one copy.
    pub fn pieces(&self) -> u32 {
        self.parts.iter().map(|(_, each)| each).sum()
    }
}

/// Sheets that are alike but for their price and their names: new ones of a size, or offcuts of a size.
#[derive(Clone, Debug)]
pub(super) struct Class {
    /// The stock, by place in the job, in the order in which it is used up: the cheapest first.
    pub members: Vec<usize>,
    /// How many sheets there are.
    pub count: u32,
    /// Area of one in square inches.
    pub area: f64,
    /// Whether they are new.
    pub new: bool,
}

/// What a job asks for.
pub(super) struct Demand<'a> {
    pub job: &'a Job,
    pub units: Vec<Unit>,
    pub classes: Vec<Class>,
    /// The class of each stock that can be worked with.
    pub class_of: Vec<Option<usize>>,
    /// Cost of a sheet of each stock.
    pub costs: Vec<i128>,
    /// Most copies of a unit: the number of kits.
    pub kits: u32,
}

impl<'a> Demand<'a> {
    /// The demand of a job.
    pub fn of(task: &Task<'a>) -> Self {
        let job = task.job;
        let costs = costs(job);
        let units = units(job);
        let kits = units.iter().map(|unit| unit.copies).max().unwrap_or(0);
        let mut classes: Vec<(([i64; 2], bool), Class)> = Vec::new();
        let mut class_of = vec![None; job.stock.len()];
        for (place, stock) in job.stock.iter().enumerate().filter(|(_, stock)| stock.count > 0) {
            let Some(size) = sheet_size(stock) else { continue };
            let key = (size, stock.offcut.is_none());
            let known = classes.iter().position(|(other, _)| *other == key);
            let class = known.unwrap_or_else(|| {
                let area = Patch { at: [0; 2], size }.square_inches();
                classes.push((key, Class { members: Vec::new(), count: 0, area, new: key.1 }));
                classes.len() - 1
            });
            classes[class].1.members.push(place);
            classes[class].1.count = classes[class].1.count.saturating_add(stock.count);
            class_of[place] = Some(class);
        }
        let mut classes: Vec<Class> = classes.into_iter().map(|(_, class)| class).collect();
        for class in &mut classes {
            class.members.sort_by_key(|&stock| (costs[stock], stock));
        }
        Self { job, units, classes, class_of, costs, kits }
    }

    /// Whether the machine cuts a unit.
    pub fn is_machine(&self, unit: usize) -> bool {
        let parts = &self.units[unit].parts;
        parts.iter().any(|&(item, _)| self.job.items[item].tool == Tool::Machine)
    }

    /// Pieces in so many copies of each unit.
    pub fn pieces(&self, copies: &[u32]) -> u32 {
        let pieces = self.units.iter().zip(copies).map(|(unit, &copies)| unit.pieces() * copies);
        pieces.fold(0, u32::saturating_add)
    }

    /// Area of so many copies of each unit, in square inches.
    pub fn area(&self, copies: &[u32]) -> f64 {
        self.units.iter().zip(copies).map(|(unit, &copies)| unit.area * f64::from(copies)).sum()
    }

    /// The copies in so many kits: each unit's share, rounded; of the first kit at least one of each.
    pub fn in_kits(&self, kits: u32) -> Vec<u32> {
        let share = |unit: &Unit| {
            let copies = u64::from(unit.copies) * u64::from(kits);
            let share = (2 * copies + u64::from(self.kits)) / (2 * u64::from(self.kits.max(1)));
            let share = u32::try_from(share).unwrap_or(u32::MAX).max(u32::from(kits == 1));
            share.min(unit.copies)
        };
        self.units.iter().map(share).collect()
    }

    /// A job of some copies of each unit, on some of each stock.
    pub fn job_of(&self, copies: &[u32], stock: &[u32], effort: Effort) -> Job {
        let mut items: Vec<Item> =
            self.job.items.iter().map(|item| Item { copies: 0, ..item.clone() }).collect();
        for (unit, &copies) in self.units.iter().zip(copies) {
            for &(item, each) in &unit.parts {
                items[item].copies = each * copies;
            }
        }
        let mut sheets = self.job.stock.clone();
        for (sheets, &count) in sheets.iter_mut().zip(stock) {
            sheets.count = count;
        }
        Job { stock: sheets, items, rules: self.job.rules, effort }
    }

    /// Stock of one member of each class alone, its dearest, as many as `count` says.
    pub fn dearest(&self, count: impl Fn(usize, &Class) -> u32) -> Vec<u32> {
        let mut stock = vec![0; self.job.stock.len()];
        for (place, class) in self.classes.iter().enumerate() {
            if let Some(&member) = class.members.last() {
                stock[member] = count(place, class);
            }
        }
        stock
    }

    /// What is left of each stock where some sheets of each class are used.
    pub fn left(&self, used: &[u32]) -> Vec<u32> {
        let mut left: Vec<u32> = self.job.stock.iter().map(|stock| stock.count).collect();
        for (class, &used) in self.classes.iter().zip(used) {
            let mut used = used;
            for &member in &class.members {
                let some = left[member].min(used);
                left[member] -= some;
                used -= some;
            }
        }
        left
    }

    /// What some sheets of each class cost, the cheapest used up first.
    pub fn cost(&self, used: &[u32]) -> i128 {
        let left = self.left(used);
        let stock = self.job.stock.iter().zip(left).zip(&self.costs);
        stock.map(|((stock, left), cost)| i128::from(stock.count - left) * cost).sum()
    }
}

/// The units of a job: what lies together, and every other item alone.
fn units(job: &Job) -> Vec<Unit> {
    let mut units: Vec<Unit> = Vec::new();
    let mut words: Vec<&str> = Vec::new();
    let mut room = [MOST_COPIES; 2];
    for (place, item) in job.items.iter().enumerate().filter(|(_, item)| item.copies > 0) {
        let machine = item.tool == Tool::Machine;
        let word = item.word().filter(|_| !machine);
        let group: Vec<usize> = match word {
            Some(word) if words.contains(&word) => continue,
            Some(word) => {
                words.push(word);
                let of_it = |other: &Item| {
                    other.tool != Tool::Machine && other.copies > 0 && other.word() == Some(word)
                };
                let others = job.items.iter().enumerate().skip(place);
                others.filter(|(_, other)| of_it(other)).map(|(place, _)| place).collect()
            }
            None => vec![place],
        };
        let fits = |&item: &usize| match machine {
            true => machine_fits(job, &job.items[item]),
            false => bounding_size(&job.items[item]).is_some(),
        };
        if !group.iter().all(fits) {
            continue;
        }
        let alike = group.iter().all(|&other| job.items[other].copies == item.copies);
        let each = |&other: &usize| {
            let copies = job.items[other].copies.min(MOST_COPIES);
            (other, if alike { 1 } else { copies })
        };
        let parts: Vec<(usize, u32)> = group.iter().map(each).collect();
        let area = parts.iter().map(|&(one, each)| job.items[one].area() * f64::from(each)).sum();
        let mut unit = Unit { parts, copies: 1, area };
        let room = &mut room[usize::from(machine)];
        unit.copies = if alike { item.copies } else { 1 }.min(*room / unit.pieces().max(1));
        *room -= unit.copies * unit.pieces();
        if unit.copies > 0 {
            units.push(unit);
        }
    }
    units
}

/// `part` of `whole` of a number, rounded down.
pub(super) fn share(number: u32, part: u32, whole: u32) -> u32 {
    let share = u64::from(number) * u64::from(part) / u64::from(whole.max(1));
    u32::try_from(share).unwrap_or(u32::MAX)
}
