//! A sketch on a page as relations: its rooms, the banks in them, the photos in those.

use crate::description::LineUp;
use crate::model::length::Size;
use crate::model::{Facing, PageName};

use super::arrangement::Arrangement;
use super::file::Held;
use super::reading::{Bank, Holds, Room, Sketch, nearest_mark, on_page};
use super::wanted::Wanted;
use crate::relations::{Edge, MARKS_PER_INCH, ORIGIN, Relations};

/// Half of what lies between things of neighbouring rooms at least, in marks.
const BESIDE: i64 = 2;
/// How far things keep from the edge of paper that covers their room, in marks.
const ON_PAPER: i64 = 4;
/// The least room for a title, a story and a cluster, in marks.
const LEAST: [(Held, [i64; 2]); 3] =
    [(Held::Title, [44, 14]), (Held::Story, [32, 22]), (Held::Cluster, [16, 16])];
/// What wishes weigh (own choice, looked at): a room at its share, rooms of a size, things in the middle of
/// their room, white alike beside each other, edges together, balance of a page.
const SHARE: f64 = 1.0;
const ALIKE: f64 = 0.05;
const MIDDLE: f64 = 1.0;
const WHITE: f64 = 0.5;
const TOGETHER: f64 = 4.0;
const BALANCE: f64 = 0.3;
/// How far a photo whose people look aside lies off the middle of its room, in marks.
const AHEAD: f64 = 8.0;

/// Why photos keep to their line, which no message need tell.
pub(super) const IN_LINE: &str = "photos lie in their line";

/// Left, right; top, bottom.
pub(super) type Edges = [[Edge; 2]; 2];

/// A page with its marks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paper {
    pub size: Size,
    /// Whole marks on it.
    pub marks: [i64; 2],
}

impl Paper {
    pub fn of(size: Size) -> Self {
        let whole = |length: crate::model::length::Length| {
            let nearest = nearest_mark(length);
            let over = crate::model::length::Length::part(nearest, MARKS_PER_INCH) > length;
            nearest - i64::from(over)
        };
        Self { size, marks: [whole(size.width), whole(size.height)] }
    }

    fn side(self, axis: usize) -> crate::model::length::Length {
        [self.size.width, self.size.height][axis]
    }
}

/// What an edge of a room is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Border {
    Page,
    Gutter,
    Inner,
}

/// A room with its edges.
#[derive(Clone, Debug)]
pub(super) struct Framed<'a> {
    pub room: &'a Room,
    pub page: usize,
    pub edges: Edges,
    pub borders: [[Border; 2]; 2],
    /// How far things keep from its edges.
    pub pads: [[i64; 2]; 2],
}

/// A sketch as relations across and down.
#[derive(Clone, Debug)]
pub(super) struct Frame<'a> {
    pub sketch: &'a Sketch,
    pub paper: Paper,
    pub relations: [Relations; 2],
    pub rooms: Vec<Framed<'a>>,
    /// The mats' outer edges, or the photos' where there is none, by bank.
    pub banks: Vec<Edges>,
    /// By photo.
    pub photos: Vec<Option<Edges>>,
    /// Groups of edges that could not be kept together.
    pub missed: usize,
    /// Photos of different banks that stand closer than they should, in pairs.
    pub close: usize,
    roomy: bool,
}

const AXES: [[&str; 3]; 2] = [["wide", "left", "right"], ["high", "top", "bottom"]];

impl<'a> Frame<'a> {
    /// The rooms alone; `roomy` gives those of photos as much as the others can spare.
    pub fn rooms(sketch: &'a Sketch, paper: Paper, roomy: bool) -> Self {
        let mut frame = Self {
            sketch,
            paper,
            relations: [Relations::default(), Relations::default()],
            rooms: Vec::new(),
            banks: Vec::new(),
            photos: Vec::new(),
            missed: 0,
            close: 0,
            roomy,
        };
        for (page, (name, room)) in sketch.pages.iter().enumerate() {
            let mut borders = [[Border::Page; 2]; 2];
            match name {
                PageName::Left => borders[0][1] = Border::Gutter,
                PageName::Right => borders[0][0] = Border::Gutter,
                PageName::Single => {}
            }
            let edges = frame.new_edges();
            let start = i64::try_from(page).unwrap_or(0) * paper.marks[0];
            for (axis, start) in [start, 0].into_iter().enumerate() {
                let side = paper.marks[axis];
                let why = format!("the page is {} {}", inches(side), AXES[axis][0]);
                let relations = &mut frame.relations[axis];
                relations.exactly(ORIGIN, edges[axis][0], start, &why);
                relations.exactly(ORIGIN, edges[axis][1], start + side, &why);
            }
            frame.room(page, room, edges, borders, false);
        }
        frame
    }

    /// Edges of something new.
    pub fn new_edges(&mut self) -> Edges {
        [0, 1].map(|axis| [self.relations[axis].edge(), self.relations[axis].edge()])
    }

    fn room(
        &mut self,
        page: usize,
        room: &'a Room,
        edges: Edges,
        borders: [[Border; 2]; 2],
        on_paper: bool,
    ) {
        // Words keep as far from paper beside them as from the edge of paper beneath.
        let is_words = matches!(room.holds, Holds::Other(Held::Title | Held::Story));
        let on_paper = on_paper || room.paper.is_some();
        let far = on_paper || is_words;
        let pads = borders.map(|sides| {
            sides.map(|border| match border {
                Border::Page | Border::Gutter => self.sketch.margin,
                Border::Inner if far => ON_PAPER,
                Border::Inner => BESIDE,
            })
        });
        self.rooms.push(Framed { room, page, edges, borders, pads });
        match &room.holds {
            Holds::Nothing | Holds::Photos(_) => {}
            Holds::Other(held) => self.least_room(*held, edges, pads),
            Holds::Rooms(axis, rooms) => self.split(page, *axis, rooms, edges, borders, on_paper),
        }
    }

    fn least_room(&mut self, held: Held, edges: Edges, pads: [[i64; 2]; 2]) {
        let least =
            LEAST.iter().find(|(known, _)| *known == held).map_or([0; 2], |(_, least)| *least);
        for axis in [0, 1] {
            let needed = least[axis] + pads[axis][0] + pads[axis][1];
            let why = format!("the {held} needs {} {}", inches(needed), side_of(axis));
            let [start, end] = edges[axis];
            self.relations[axis].at_least(start, end, needed, &why);
        }
    }

    fn split(
        &mut self,
        page: usize,
        axis: usize,
        rooms: &'a [Room],
        edges: Edges,
        borders: [[Border; 2]; 2],
        on_paper: bool,
    ) {
        let mut start = edges[axis][0];
        let mut within: Vec<(Edge, Edge, bool)> = Vec::new();
        for (number, room) in rooms.iter().enumerate() {
            let is_last = number + 1 == rooms.len();
            let relations = &mut self.relations[axis];
            let end = if is_last { edges[axis][1] } else { relations.edge() };
            // Neither paper nor white that parts things dwindles to nothing.
            let wished = match &room.share {
                Some((share, true)) => on_page(share, self.paper.side(axis)) / 2,
                Some((_, false)) | None => 0,
            };
            let least = wished.max(self.sketch.margin);
            let why = format!("`{}` is {} {} at least", room.id, inches(least), AXES[axis][0]);
            relations.at_least(start, end, least, &why);
            if let Some((share, about)) = &room.share {
                let marks = on_page(share, self.paper.side(axis));
                let marks = if self.roomy && *about && !room.has_photos() { 0 } else { marks };
                if *about {
                    relations.wish(&[(end, 1.0), (start, -1.0)], marks as f64, SHARE);
                } else {
                    let why = format!(
                        "`{}` is {} {}, {} of the page",
                        room.id,
                        inches(marks),
                        AXES[axis][0],
                        share.text().trim().trim_end_matches("page").trim()
                    );
                    relations.exactly(start, end, marks, &why);
                }
            }
            within.push((start, end, room.share.is_some()));
            let mut its_edges = edges;
            its_edges[axis] = [start, end];
            let mut its_borders = borders;
            if number > 0 {
                its_borders[axis][0] = Border::Inner;
            }
            if !is_last {
                its_borders[axis][1] = Border::Inner;
            }
            self.room(page, room, its_edges, its_borders, on_paper);
            start = end;
        }
        let free: Vec<_> = within.into_iter().filter(|(_, _, shared)| !shared).collect();
        for pair in free.windows(2) {
            let terms = [(pair[0].1, 1.0), (pair[0].0, -1.0), (pair[1].1, -1.0), (pair[1].0, 1.0)];
            self.relations[axis].wish(&terms, 0.0, ALIKE);
        }
    }

    /// The rooms of photos, in the order of the sketch's banks.
    pub fn bank_rooms(&self) -> Vec<(usize, &'a Bank)> {
        let rooms = self.rooms.iter().enumerate();
        rooms
            .filter_map(|(at, framed)| match &framed.room.holds {
                Holds::Photos(bank) => Some((at, bank)),
                Holds::Nothing | Holds::Rooms(..) | Holds::Other(_) => None,
            })
            .collect()
    }

    /// The rooms with banks of photos in them.
    pub fn with_photos(mut self, wanted: &[Wanted], arranged: &[Arrangement]) -> Self {
        self.photos = vec![None; wanted.len()];
        let rooms = self.bank_rooms();
        for ((at, bank), arrangement) in rooms.into_iter().zip(arranged) {
            let framed = self.rooms[at].clone();
            let mat = self.new_edges();
            self.banks.push(mat);
            if arrangement.lines.is_empty() {
                for axis in [0, 1] {
                    let [start, end] = framed.edges[axis];
                    let why = format!("`{}` stays free", framed.room.id);
                    self.relations[axis].at_least(start, mat[axis][0], 0, &why);
                    self.relations[axis].exactly(mat[axis][0], mat[axis][1], 0, &why);
                    self.relations[axis].at_least(mat[axis][1], end, 0, &why);
                }
                continue;
            }
            self.bank_in_room(&framed, bank, mat, arrangement, wanted);
            self.photos_of_bank(bank, mat, arrangement, wanted);
        }
        self.even_white();
        self
    }

    fn bank_in_room(
        &mut self,
        framed: &Framed<'_>,
        bank: &Bank,
        mat: Edges,
        arrangement: &Arrangement,
        wanted: &[Wanted],
    ) {
        for axis in [0, 1] {
            let [first, last] = framed.pads[axis];
            let [start, end] = framed.edges[axis];
            let relations = &mut self.relations[axis];
            for (side, (border, pad)) in framed.borders[axis].iter().zip([first, last]).enumerate()
            {
                let what = match border {
                    Border::Page => "the page's edge",
                    Border::Gutter => "the gutter",
                    Border::Inner => "the edge of its room",
                };
                let id = &framed.room.id;
                let why = format!("`{id}` keeps {} from {what}", inches(pad));
                match side {
                    0 => relations.at_least(start, mat[axis][0], pad, &why),
                    _ => relations.at_least(mat[axis][1], end, pad, &why),
                }
            }
            // Someone who looks aside has the room before her.
            let lone = match arrangement.lines.as_slice() {
                [line] if line.len() == 1 && axis == 0 => wanted[line[0]].facing,
                _ => None,
            };
            let aside = match lone {
                Some(Facing::Left) => AHEAD,
                Some(Facing::Right) => -AHEAD,
                None => 0.0,
            };
            let ends = [mat[axis], [start, end]];
            match bank.lies[axis] {
                LineUp::Center => {
                    let terms = [(ends[0][0], 1.0), (ends[0][1], 1.0), (start, -1.0), (end, -1.0)];
                    relations.wish(&terms, (first - last) as f64 + aside, MIDDLE);
                }
                LineUp::Start => {
                    relations.wish(&[(ends[0][0], 1.0), (start, -1.0)], first as f64, MIDDLE);
                }
                LineUp::End => {
                    relations.wish(&[(ends[0][1], 1.0), (end, -1.0)], -last as f64, MIDDLE);
                }
            }
        }
    }

    /// White beside things of neighbouring rooms is wished alike, and photos balance on each page.
    fn even_white(&mut self) {
        let rooms = self.bank_rooms();
        for pair in rooms.windows(2) {
            let banks = [0, 1].map(|side| rooms.iter().position(|room| room.0 == pair[side].0));
            let [Some(one), Some(other)] = banks else { continue };
            let (first, second) = (&self.rooms[pair[0].0], &self.rooms[pair[1].0]);
            for axis in [0, 1] {
                if first.edges[axis][1] != second.edges[axis][0] {
                    continue;
                }
                let (mats, rooms) =
                    ([self.banks[one], self.banks[other]], [first.edges, second.edges]);
                let terms = [
                    (rooms[0][axis][1], 1.0),
                    (rooms[0][axis][0], -1.0),
                    (mats[0][axis][1], -1.0),
                    (mats[0][axis][0], 1.0),
                    (rooms[1][axis][1], -1.0),
                    (rooms[1][axis][0], 1.0),
                    (mats[1][axis][1], 1.0),
                    (mats[1][axis][0], -1.0),
                ];
                let pads = |framed: &Framed<'_>| framed.pads[axis][0] + framed.pads[axis][1];
                let target = (pads(first) - pads(second)) as f64;
                self.relations[axis].wish(&terms, target, WHITE);
            }
        }
        for page in 0..self.sketch.pages.len() {
            let on_page: Vec<&Edges> = rooms
                .iter()
                .zip(&self.banks)
                .filter(|((room, _), _)| self.rooms[*room].page == page)
                .map(|(_, mat)| mat)
                .collect();
            let share = 1.0 / on_page.len().max(1) as f64;
            for axis in [0, 1] {
                let terms: Vec<(Edge, f64)> = on_page
                    .iter()
                    .flat_map(|mat| mat[axis].map(|edge| (edge, share / 2.0)))
                    .collect();
                let begins = if axis == 0 { page as f64 * self.paper.marks[0] as f64 } else { 0.0 };
                let middle = begins + self.paper.marks[axis] as f64 / 2.0;
                if !terms.is_empty() {
                    self.relations[axis].wish(&terms, middle, BALANCE);
                }
            }
        }
    }

    /// Keeps edges together where the photos permit it.
    pub fn keep_together(&mut self) {
        for group in &self.sketch.keep {
            let edges: Vec<Edge> = group
                .iter()
                .filter_map(|name| {
                    let at = self.rooms.iter().position(|framed| framed.room.id == name.room)?;
                    let bank = self.bank_rooms().iter().position(|(room, _)| *room == at);
                    let edges = bank.map_or(self.rooms[at].edges, |bank| self.banks[bank]);
                    Some(edges[name.axis][name.side])
                })
                .collect();
            let Some(axis) = group.first().map(|first| first.axis) else { continue };
            let mut missed = false;
            for pair in edges.windows(2) {
                let why = "these edges keep together";
                if !self.relations[axis].exactly_if_possible(pair[0], pair[1], 0, why) {
                    self.relations[axis].wish(&[(pair[0], 1.0), (pair[1], -1.0)], 0.0, TOGETHER);
                    missed = true;
                }
            }
            self.missed += usize::from(missed);
        }
    }
}

/// What a length along an axis is called: wide, high.
pub(super) fn side_of(axis: usize) -> &'static str {
    AXES[axis][0]
}

/// Marks as a ruler shows them.
pub(super) fn inches(marks: i64) -> String {
    use crate::model::length::{Length, Units};
    Length::part(marks, MARKS_PER_INCH).show(Units::Inches)
}

/// A cost, or a number of marks, without its fraction.
#[expect(clippy::cast_possible_truncation, reason = "costs are small")]
pub(super) fn whole(cost: f64) -> i64 {
    cost.clamp(0.0, 1e9) as i64
}
