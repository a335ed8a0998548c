//! Trimmer cuts in words: cuts at one setting of the fence, one after the other, are one step.

use crate::lettering::label::isolated;
use crate::model::length::Units;
use crate::record::{Cut, Fall, Falls, Record, Sheet};

use super::super::parts;
use super::super::sheet_layout::number_of;
use super::entries::Step;
use super::{shown, shown_size};

/// The steps of a sheet: its cuts in order, those at one setting and in one direction together.
pub(super) fn steps(record: &Record, sheet: &Sheet, cuts: &[Cut]) -> Vec<Step> {
    let runs = cuts.chunk_by(|one, other| is_down(one) == is_down(other) && same_fence(one, other));
    let mut steps: Vec<Step> = Vec::new();
    let mut last: Option<&Cut> = None;
    for run in runs {
        let (Some(first), Some(end)) = (run.first(), run.last()) else { continue };
        let way = if is_down(first) { "top to bottom" } else { "left to right" };
        let stays = last.is_some_and(|last| same_fence(last, first));
        let way = match (times(run.len()), stays) {
            (Some(times), false) => format!("{times}, {way}"),
            (Some(times), true) => format!("{times}, {way}; the fence stays"),
            (None, true) => format!("{way}; the fence stays"),
            (None, false) => way.to_owned(),
        };
        let told = Told { record, sheet, run };
        steps.push(Step {
            cuts: [first.number, end.number],
            fence: format!("Fence {}", shown(first.fence, record.shown_units())),
            way,
            parts: told.parts(),
        });
        last = Some(end);
    }
    steps
}

fn is_down(cut: &Cut) -> bool {
    (cut.from[0] - cut.to[0]).abs() < 1e-9
}

fn same_fence(one: &Cut, other: &Cut) -> bool {
    (one.fence - other.fence).abs() < 1e-9
}

/// How often, from twice.
fn times(count: usize) -> Option<String> {
    const WORDS: [&str; 9] =
        ["twice", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    match count {
        0 | 1 => None,
        2 => Some(WORDS[0].to_owned()),
        3..=10 => Some(format!("{} times", WORDS[count - 2])),
        _ => Some(format!("{count} times")),
    }
}

/// A run of cuts at one setting.
struct Told<'a> {
    record: &'a Record,
    sheet: &'a Sheet,
    run: &'a [Cut],
}

impl Told<'_> {
    fn units(&self) -> Units {
        self.record.shown_units()
    }

    fn parts(&self) -> Vec<String> {
        let mut parts = self.side("At the fence", |cut| &cut.keeps);
        parts.extend(self.side("Falls off", |cut| &cut.drops));
        parts
    }

    /// What one side of the blade becomes, cut by cut; what is alike is said once.
    fn side(&self, name: &str, of: impl Fn(&Cut) -> &Falls) -> Vec<String> {
        let shown: Vec<(&Cut, &Falls)> =
            self.run.iter().map(|cut| (cut, of(cut))).filter(|one| !self.goes_on(one.1)).collect();
        let mut lines = Vec::new();
        if shown.is_empty() {
            return lines;
        }
        let alike = shown.chunk_by(|(_, one), (_, other)| self.is_alike(one, other));
        let alike: Vec<&[(&Cut, &Falls)]> = alike.collect();
        for (place, group) in alike.iter().enumerate() {
            let (Some((first, falls)), Some((last, _))) = (group.first(), group.last()) else {
                continue;
            };
            // Which cuts of a step a line is about, where it isn't all of them.
            let which = match (self.run.len(), group.len()) {
                (all, some) if all == some => String::new(),
                (_, 1) => format!("cut\u{a0}{}: ", first.number),
                _ => format!("cuts\u{a0}{} to\u{a0}{}: ", first.number, last.number),
            };
            let names: Vec<String> = group.iter().filter_map(|(_, one)| self.name(one)).collect();
            let next: Vec<u32> =
                group.iter().filter_map(|(_, one)| self.next(one)).map(|cut| cut.number).collect();
            let told = self.becomes(falls, &names, &next, group.len());
            lines.push(match (place, which.is_empty()) {
                (0, true) => format!("{name}: {told}."),
                (0, false) => format!("{name}, {which}{told}."),
                _ => format!("{which}{told}."),
            });
        }
        lines
    }

    /// Whether a part is taken up by the next cut of this very run: that needs no words.
    fn goes_on(&self, falls: &Falls) -> bool {
        falls.what == Fall::More
            && self.run.len() > 1
            && self.next(falls).is_some_and(|next| self.run.contains(next))
    }

    fn next(&self, falls: &Falls) -> Option<&Cut> {
        self.sheet.cuts.iter().find(|cut| cut.in_hand == falls.area)
    }

    fn is_alike(&self, one: &Falls, other: &Falls) -> bool {
        let sizes = [one, other].map(|falls| shown_size(falls.area.size, self.units()));
        let is_alike = match (&one.what, &other.what) {
            (Fall::Piece(one), Fall::Piece(other)) => self.pile(one) == self.pile(other),
            (Fall::Offcut(_), Fall::Offcut(_)) => true,
            (Fall::Part(_), _) => false,
            (one, other) => one == other,
        };
        is_alike && sizes[0] == sizes[1]
    }

    /// A piece with its number, or what is kept by its name.
    fn name(&self, falls: &Falls) -> Option<String> {
        match &falls.what {
            Fall::Piece(_) | Fall::Offcut(_) => falls.what.id().map(|id| numbered(self.record, id)),
            Fall::Part(_)
            | Fall::More
            | Fall::Machine
            | Fall::Spent
            | Fall::Scrap
            | Fall::PrintedBefore => None,
        }
    }

    fn pile(&self, id: &str) -> String {
        pile(self.record, id)
    }

    /// What so many alike parts become; `next` are the cuts that take them up.
    fn becomes(&self, falls: &Falls, names: &[String], next: &[u32], count: usize) -> String {
        let size = shown_size(falls.area.size, self.units());
        let each = if count > 1 { format!("each {size}") } else { size.clone() };
        let names = counted_names(names);
        match &falls.what {
            Fall::Piece(id) => format!("{names} ({each}), {}", self.pile(id)),
            Fall::Offcut(_) => format!("keep {size} as {names}"),
            Fall::Part(id) => format!("{} ({size})", parts::told(self.record, id)),
            Fall::Machine => format!("the machine's part ({size}), put aside"),
            Fall::Spent => format!("what the machine has left ({size})"),
            Fall::PrintedBefore => format!("what was printed before ({size})"),
            Fall::Scrap if count > 1 => format!("scrap ({each})"),
            Fall::Scrap => format!("scrap ({size})"),
            Fall::More => match (count, next) {
                (1, [next]) => format!("a part ({size}) for cut\u{a0}{next}"),
                (1, _) => format!("a part to cut on ({size})"),
                (_, next) if next.len() == count => {
                    format!("parts ({each}) for cuts\u{a0}{}", ranges(next))
                }
                _ => format!("parts to cut on ({each})"),
            },
        }
    }
}

/// Names in their order; of copies of one piece, how many there are.
fn counted_names(names: &[String]) -> String {
    let mut counted: Vec<(&String, usize)> = Vec::new();
    for name in names {
        match counted.iter_mut().find(|(known, _)| *known == name) {
            Some((_, count)) => *count += 1,
            None => counted.push((name, 1)),
        }
    }
    let told = counted.into_iter().map(|(name, count)| match count {
        1 => name.clone(),
        count => format!("{count}\u{a0}\u{d7}\u{a0}{name}"),
    });
    told.collect::<Vec<_>>().join(", ")
}

/// Numbers in their order, those that follow on each other as a range.
pub(super) fn ranges(numbers: &[u32]) -> String {
    let runs = numbers.chunk_by(|one, other| other.checked_sub(1) == Some(*one));
    let told = runs.map(|run| match run {
        [first, .., last] => format!("{first} to\u{a0}{last}"),
        _ => run.iter().map(u32::to_string).collect(),
    });
    told.collect::<Vec<_>>().join(", ")
}

/// A piece or photo with its number in the proof, or a part by its name.
pub(super) fn numbered(record: &Record, id: &str) -> String {
    match number_of(record, id) {
        Some(number) => format!("{} no.\u{a0}{number}", isolated(id)),
        None => isolated(id),
    }
}

/// The pile that a finished piece or photo goes to.
pub(super) fn pile(record: &Record, id: &str) -> String {
    let piece = record.pieces.iter().find(|piece| piece.id == id);
    let photo = record.photos.iter().find(|photo| photo.id == id);
    let page = piece.map(|piece| &piece.page).or_else(|| photo.map(|photo| &photo.page));
    match (piece.is_some_and(|piece| !piece.gutted.is_empty()), page) {
        (true, _) => "gut it next".to_owned(),
        (false, Some(page)) if record.pages.len() > 1 => format!("done: {page}\u{a0}page"),
        (false, _) => "done".to_owned(),
    }
}
