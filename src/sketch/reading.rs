//! A sketch's file to a [`Sketch`]: lengths on the ruler, names that are there, rooms that hold one thing.

use std::collections::BTreeSet;

use crate::description::{
    self, BankRun, Distance, FileKind, LineUp, Marked, Place, Problem, Problems, Written, slug,
};
use crate::model::PageName;
use crate::model::length::{Length, LengthSum, Size, Units};

use super::file::{BankSpec, Form, Held, Role, RoomSpec, SketchFile, StripAcross, Takes};
use crate::relations::MARKS_PER_INCH;

/// A sketch, as messages speak of it.
const SKETCH: FileKind = FileKind {
    name: "sketch",
    too_long: "a sketch holds rooms, not stories",
    begin: "`name: …` and `single:`, or `left:` and `right:`",
    keys: "docs/sketches.md lists every key",
};

/// Distances where a sketch gives none, in marks (common practice, no source).
const MARGIN: i64 = 6;
const GAP: i64 = 2;
const REVEAL: i64 = 3;

/// A sketch.
#[derive(Clone, Debug, PartialEq)]
pub struct Sketch {
    /// Its name.
    pub name: String,
    /// What it is.
    pub about: String,
    /// Page sizes that it is made for.
    pub made_for: Vec<Size>,
    /// Distance from the page's edges and the gutter, in marks.
    pub margin: i64,
    /// Distance between photos of a bank, in marks.
    pub gap: i64,
    /// Its pages, left to right.
    pub pages: Vec<(PageName, Room)>,
    /// Strips across all pages.
    pub strips: Vec<Strip>,
    /// Edges that keep together: of which room, and which side along which axis (0 across, 1 down).
    pub keep: Vec<Vec<EdgeName>>,
}

/// The edge of a bank or of what else a room holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EdgeName {
    /// The room.
    pub room: String,
    /// 0 for left and right, 1 for top and bottom.
    pub axis: usize,
    /// 0 for left and top, 1 for right and bottom.
    pub side: usize,
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Its name.
    pub id: String,
    /// Its share of the page, and whether that may change.
    pub share: Option<(LengthSum, bool)>,
    /// Paper that covers it.
    pub paper: Option<Role>,
    /// What it is for.
    pub holds: Holds,
}

/// What a room is for.
#[derive(Clone, Debug, PartialEq)]
pub enum Holds {
    /// Nothing: it stays free.
    Nothing,
    /// Rooms side by side (0) or one below the other (1).
    Rooms(usize, Vec<Room>),
    /// Photos.
    Photos(Bank),
    /// Something else.
    Other(Held),
}

/// Places for photos.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bank {
    /// How many.
    pub takes: Takes,
    /// How they run.
    pub run: BankRun,
    /// Which photos it is for.
    pub prefers: Form,
    /// How much they weigh.
    pub weight: f64,
    /// The mat round them.
    pub mat: Option<Role>,
    /// How much of the mat shows, in marks; 0 without one.
    pub reveal: i64,
    /// Where they lie in their room, across and down.
    pub lies: [LineUp; 2],
}

/// A strip across all pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Its paper.
    pub paper: Role,
    /// How wide it is, in marks.
    pub width: i64,
    /// Where it lies.
    pub lies: StripLies,
}

/// Where a strip lies.
#[derive(Clone, Debug, PartialEq)]
pub enum StripLies {
    /// Its upper edge so far below the page's.
    Below(LengthSum),
    /// Its middle on an edge.
    Along(EdgeName),
}

impl Sketch {
    /// Reads a sketch.
    pub fn read(text: &str) -> Result<Self, Problems> {
        let (file, _) = description::read::<SketchFile>(text, &SKETCH)?;
        let mut reader = Reader::default();
        let sketch = reader.sketch(&file);
        if reader.problems.is_empty() { Ok(sketch) } else { Err(Problems(reader.problems)) }
    }

    /// Its banks in order: page by place, room, bank.
    pub fn banks(&self) -> Vec<(usize, &Room, &Bank)> {
        let mut banks = Vec::new();
        for (page, (_, room)) in self.pages.iter().enumerate() {
            room.each(&mut |room| {
                if let Holds::Photos(bank) = &room.holds {
                    banks.push((page, room, bank));
                }
            });
        }
        banks
    }

    /// How many photos it takes, least and most.
    pub fn takes(&self) -> (usize, usize) {
        let banks = self.banks();
        let sum = |of: fn(&Takes) -> usize| banks.iter().map(|(_, _, bank)| of(&bank.takes)).sum();
        (sum(|takes| takes.least), sum(|takes| takes.most))
    }
}

impl Room {
    /// Whether photos may be in it.
    pub fn has_photos(&self) -> bool {
        let mut found = false;
        self.each(&mut |room| found |= matches!(room.holds, Holds::Photos(_)));
        found
    }

    /// Shows each room of this one, itself first.
    pub fn each<'a>(&'a self, show: &mut dyn FnMut(&'a Room)) {
        show(self);
        if let Holds::Rooms(_, rooms) = &self.holds {
            rooms.iter().for_each(|room| room.each(show));
        }
    }
}

#[derive(Default)]
struct Reader {
    problems: Vec<Problem>,
    ids: BTreeSet<String>,
    reveal: i64,
}

impl Reader {
    fn problem(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        self.problems.push(Problem::at(place, message, help));
    }

    /// A value, or why it is none.
    fn value<T: Clone>(&mut self, written: &Written<T>) -> Option<T> {
        match &written.value {
            Ok(value) => Some(value.clone()),
            Err(fault) => {
                self.problem(written.place, &fault.message, &fault.help);
                None
            }
        }
    }

    fn word<T: Clone + Default>(&mut self, written: Option<&Written<T>>) -> T {
        written.and_then(|written| self.value(written)).unwrap_or_default()
    }

    /// A distance in marks.
    fn marks(&mut self, written: Option<&Written<Distance>>, usual: i64) -> i64 {
        let Some(written) = written else { return usual };
        let Some(Distance(sum)) = self.value(written) else { return usual };
        let length = match sum.in_units(Units::Inches) {
            Ok(measure) => measure.of(Length::ZERO),
            Err(fault) => {
                self.problem(written.place, fault.message, fault.help);
                return usual;
            }
        };
        match marks_of(length).filter(|marks| *marks >= 0) {
            Some(marks) => marks,
            None => {
                let message = format!("`{}` lies on no mark of 1/16 in", &*written.text);
                self.problem(written.place, message, "write it in sixteenths, such as 3/16");
                usual
            }
        }
    }

    fn sketch(&mut self, file: &SketchFile) -> Sketch {
        let name = file.name.value.trim().to_owned();
        if slug(&name).is_empty() {
            self.problem(file.name.place, "the name is empty", "write a name for the sketch");
        }
        let margin = self.marks(file.margin.as_ref(), MARGIN);
        let gap = self.marks(file.gap.as_ref(), GAP);
        self.reveal = self.marks(file.reveal.as_ref(), REVEAL);
        let made_for = self.pages_made_for(file);
        let written = match (&file.single, &file.left, &file.right) {
            (Some(single), None, None) => vec![(PageName::Single, single)],
            (None, Some(left), Some(right)) => {
                vec![(PageName::Left, left), (PageName::Right, right)]
            }
            _ => {
                let help = "write `left:` and `right:` for a spread, or `single:` for one page";
                self.problem(file.name.place, "the sketch has no page, or both kinds", help);
                Vec::new()
            }
        };
        let pages: Vec<(PageName, Room)> =
            written.into_iter().map(|(name, room)| (name, self.room(room))).collect();
        let strips = file.strips.iter().flatten().filter_map(|strip| self.strip(strip));
        let strips = strips.collect();
        let keep = file.keep.iter().flatten();
        let keep = keep.map(|group| self.kept(group)).collect();
        let about = file.about.as_ref().map(|about| about.value.trim().to_owned());
        let about = about.unwrap_or_default();
        let sketch = Sketch { name, about, made_for, margin, gap, pages, strips, keep };
        if sketch.banks().is_empty() && self.problems.is_empty() {
            let help = "write `photos: {takes: 1-3}` in a room";
            self.problem(file.name.place, "the sketch has no place for a photo", help);
        }
        sketch
    }

    fn strip(&mut self, strip: &Marked<StripAcross>) -> Option<Strip> {
        let Marked { value: StripAcross { paper, width, top, along }, place } = strip;
        let written = width;
        let width = self.marks(Some(written), 1);
        if width == 0 {
            let help = "write its width in sixteenths of an inch, such as 3/4";
            self.problem(written.place, "the strip has no width", help);
            return None;
        }
        let lies = match (top, along) {
            (Some(top), None) => StripLies::Below(self.value(top)?),
            (None, Some(along)) => match self.edge(along).filter(|edge| edge.axis == 1) {
                Some(edge) => StripLies::Along(edge),
                None => {
                    let message = format!("`{}` is no top or bottom of a room", &*along.value);
                    self.problem(along.place, message, "write a room's id and a side: words.top");
                    return None;
                }
            },
            _ => {
                let help = "write `top: 2/3 page`, or `along: words.top`";
                self.problem(*place, "the strip has no place, or two", help);
                return None;
            }
        };
        Some(Strip { paper: self.value(paper)?, width, lies })
    }

    fn edge(&self, written: &Marked<description::Text>) -> Option<EdgeName> {
        let sides = [("left", 0, 0), ("right", 0, 1), ("top", 1, 0), ("bottom", 1, 1)];
        let (room, side) = written.value.rsplit_once('.')?;
        let (_, axis, side) = sides.into_iter().find(|(name, _, _)| *name == side)?;
        Some(EdgeName { room: slug(room), axis, side }).filter(|edge| self.ids.contains(&edge.room))
    }

    fn pages_made_for(&mut self, file: &SketchFile) -> Vec<Size> {
        let Some(written) = &file.page else { return vec![Size::inches(12.0, 12.0)] };
        let mut sizes = Vec::new();
        for written in written.each() {
            let Some(sides) = self.value(&written) else { continue };
            match sides.in_units(Units::Inches) {
                [Ok(width), Ok(height)] => {
                    let [width, height] = [width, height].map(|side| side.of(Length::ZERO));
                    if width < Length::inches(1.0) || height < Length::inches(1.0) {
                        let message = format!("a page of `{}` can't be made", &*written.text);
                        self.problem(written.place, message, "write sides of 1 in or more");
                    }
                    sizes.push(Size::new(width, height));
                }
                [Err(fault), _] | [_, Err(fault)] => {
                    self.problem(written.place, fault.message, fault.help);
                }
            }
        }
        sizes
    }

    fn room(&mut self, marked: &Marked<RoomSpec>) -> Room {
        let RoomSpec { id, share, columns, bands, paper, photos, holds } = &marked.value;
        let several = [columns.is_some(), bands.is_some(), photos.is_some(), holds.is_some()];
        if several.into_iter().filter(|given| *given).count() > 1 {
            let help = "give it columns, bands, photos or what it holds, and only one of them";
            self.problem(marked.place, "a room holds several things", help);
        }
        let id = match id {
            Some(id) => slug(&id.value),
            None => format!("room-{}", self.ids.len() + 1),
        };
        if !self.ids.insert(id.clone()) {
            let message = format!("two rooms are called `{id}`");
            self.problem(marked.place, message, "give each a name of its own");
        }
        let share = share.as_ref().and_then(|share| self.value(share));
        let paper = paper.as_ref().and_then(|paper| self.value(paper));
        let holds = if let Some(rooms) = columns {
            Holds::Rooms(0, rooms.iter().map(|room| self.room(room)).collect())
        } else if let Some(rooms) = bands {
            Holds::Rooms(1, rooms.iter().map(|room| self.room(room)).collect())
        } else if let Some(bank) = photos {
            self.bank(&bank.value).map_or(Holds::Nothing, Holds::Photos)
        } else {
            holds.as_ref().and_then(|held| self.value(held)).map_or(Holds::Nothing, Holds::Other)
        };
        Room { id, share: share.map(|share| (share.length, share.about)), paper, holds }
    }

    fn bank(&mut self, bank: &BankSpec) -> Option<Bank> {
        let takes = self.value(&bank.takes)?;
        let mat = bank.mat.as_ref().and_then(|mat| self.value(mat));
        let reveal = self.marks(bank.reveal.as_ref(), self.reveal);
        let weight = match &bank.weight {
            Some(weight) if !(0.0..=100.0).contains(&weight.value) => {
                let help = "write a number from 0 to 100; most are 1";
                self.problem(weight.place, "the weight is out of reach", help);
                1.0
            }
            Some(weight) => weight.value,
            None => 1.0,
        };
        let lies = [&bank.across, &bank.down].map(|lies| match lies {
            None => LineUp::Center,
            Some(written) => written.value.clone().unwrap_or_else(|fault| {
                self.problems.push(Problem::at(written.place, fault.message, fault.help));
                LineUp::Center
            }),
        });
        Some(Bank {
            takes,
            run: self.word(bank.run.as_ref()),
            prefers: self.word(bank.prefers.as_ref()),
            weight,
            mat,
            reveal: if mat.is_some() { reveal } else { 0 },
            lies,
        })
    }

    fn kept(&mut self, group: &Marked<Vec<Marked<description::Text>>>) -> Vec<EdgeName> {
        let mut edges: Vec<EdgeName> = Vec::new();
        for written in &group.value {
            match self.edge(written) {
                Some(edge) if edges.first().is_none_or(|first| first.axis == edge.axis) => {
                    edges.push(edge);
                }
                Some(_) => self.problem(
                    written.place,
                    format!("`{}` runs the other way than the first edge", &*written.value),
                    "keep tops and bottoms together, or lefts and rights",
                ),
                None => self.problem(
                    written.place,
                    format!("`{}` is no edge of a room", &*written.value),
                    "write a room's id and a side: first.top, first.left",
                ),
            }
        }
        edges
    }
}

/// A length in marks, if it lies on one.
pub(super) fn marks_of(length: Length) -> Option<i64> {
    let mark = Length::part(1, MARKS_PER_INCH).to_nanometres();
    (length.to_nanometres() % mark == 0).then(|| length.to_nanometres() / mark)
}

/// The mark nearest to a length.
pub(super) fn nearest_mark(length: Length) -> i64 {
    let mark = Length::part(1, MARKS_PER_INCH).to_nanometres();
    (length.to_nanometres() + mark / 2).div_euclid(mark)
}

/// A length along a side of the page, at the nearest mark.
pub(super) fn on_page(length: &LengthSum, side: Length) -> i64 {
    length.in_units(Units::Inches).map_or(0, |measure| nearest_mark(measure.of(side)))
}
