//! Pieces in a line between two ends: where each lies and, where its size is left open, how large it is, all
//! on the marks of a ruler.
//!
//! What is fixed may lie off the marks, as 100 mm does on a ruler in inches. What it has beyond whole marks
//! is taken from the room first and given back to it where it lies; the rest is solved in whole marks by
//! [`crate::relations`]. Pieces whose sizes are open all get the same, so that they are cut at one setting of
//! the fence. What is then left of the room, less than a mark for each of these, is shared by both ends.

use crate::model::length::{Length, Units};
use crate::relations::{Conflict, Edge, ORIGIN, Relations, Settled};

/// What the marks of a ruler are apart: 1/16 in, the finest that craft rulers and trimmers share, or 1 mm
/// (common practice, no source).
pub const fn mark(units: Units) -> Length {
    match units {
        Units::Inches => Length::part(1, 16),
        Units::Millimetres => Length::nanometres(1_000_000),
    }
}

/// A length in whole marks, rounded down, and what it has beyond them.
pub fn in_marks(length: Length, units: Units) -> (i64, Length) {
    let mark = mark(units).to_nanometres();
    let marks = length.to_nanometres().div_euclid(mark);
    (marks, Length::nanometres(length.to_nanometres().rem_euclid(mark)))
}

/// How a length along an axis is said: wide, high.
pub fn side_of(axis: usize) -> &'static str {
    if axis == 0 { "wide" } else { "high" }
}

/// One piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// What it is called.
    pub name: String,
    /// How long it is along the line; nothing if that is to be fitted.
    pub size: Option<Length>,
}

/// What lies between pieces of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spacing {
    /// So much.
    Gap(Length),
    /// As much as at the ends.
    Even,
}

/// Pieces between two ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// 0 for a row, 1 for a column.
    pub axis: usize,
    /// What the ends are called.
    pub ends: [String; 2],
    /// How far they are apart; less than nothing where they overlap.
    pub room: Length,
    /// How far the first and the last piece keep from the ends, at least.
    pub margin: Length,
    /// What lies between the pieces.
    pub spacing: Spacing,
    /// The pieces in their order.
    pub members: Vec<Member>,
    /// Whose marks are kept.
    pub units: Units,
}

/// Where the pieces of a line lie.
#[derive(Clone, Debug)]
pub struct Placed {
    /// How far each begins behind the line's first end, and how long it is.
    pub spans: Vec<[Length; 2]>,
    /// What lies between pieces.
    pub gap: Length,
    /// What lies before the first and behind the last.
    pub ends: [Length; 2],
    /// What was solved.
    pub relations: Relations,
    /// And how.
    pub settled: Settled,
}

/// Why a line can't be: what is asked for, one thing after the other, and by how much that is too much.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// What can't all be kept.
    pub chain: Vec<String>,
    /// By how much.
    pub excess: Length,
}

impl Clash {
    /// The chain of a contradiction.
    pub fn of(relations: &Relations, conflict: &Conflict, units: Units) -> Self {
        let mut chain: Vec<String> = Vec::new();
        for relation in &conflict.chain {
            let why = relations.reason(relation);
            if !why.is_empty() && !chain.iter().any(|known| known == why) {
                chain.push(why.to_owned());
            }
        }
        Self { chain, excess: mark(units) * conflict.excess }
    }
}

/// A line in whole marks, with what each length has beyond them.
struct InMarks {
    room: i64,
    rest: Length,
    margin: (i64, Length),
    gap: (i64, Length),
    sizes: Vec<Option<(i64, Length)>>,
}

impl Line {
    /// Places the pieces.
    ///
    /// ```
    /// use cutleaf::layout::fit::line::{Line, Member, Spacing};
    /// use cutleaf::model::length::{Length, Units};
    /// let photo = |name: &str| Member { name: name.to_owned(), size: Some(Length::inches(3.0)) };
    /// let line = Line {
    ///     axis: 0,
    ///     ends: ["the left edge", "the right edge"].map(str::to_owned),
    ///     room: Length::inches(12.0),
    ///     margin: Length::ZERO,
    ///     spacing: Spacing::Even,
    ///     members: vec![photo("gull"), photo("pier"), photo("kite")],
    ///     units: Units::Inches,
    /// };
    /// let placed = line.solve().unwrap();
    /// assert_eq!(placed.gap, Length::inches(0.75));
    /// assert_eq!(placed.spans[1][0], Length::inches(4.5));
    /// ```
    pub fn solve(&self) -> Result<Placed, Clash> {
        let marks = self.in_marks();
        let (mean, candidates) = self.candidates(&marks);
        let mut best: Option<(f64, Placed)> = None;
        let mut clash = None;
        for candidate in candidates {
            let (relations, edges) = self.relations(&marks, candidate, mean);
            match relations.settle() {
                Ok(settled) => {
                    let inner = self.inner_cost(candidate, mean);
                    let cost = settled.cost + inner;
                    if best.as_ref().is_none_or(|(least, _)| cost < least - 1e-9) {
                        let placed = self.placed(&marks, candidate, &edges, (relations, settled));
                        best = Some((cost, placed));
                    }
                }
                Err(conflict) => {
                    let one = Clash::of(&relations, &conflict, self.units);
                    if clash.as_ref().is_none_or(|known: &Clash| one.excess < known.excess) {
                        clash = Some(one);
                    }
                }
            }
        }
        best.map(|(_, placed)| placed).ok_or_else(|| {
            clash.unwrap_or_else(|| Clash { chain: Vec::new(), excess: Length::ZERO })
        })
    }

    fn in_marks(&self) -> InMarks {
        let of = |length| in_marks(length, self.units);
        let margin = of(self.margin);
        let gap = match self.spacing {
            Spacing::Gap(gap) => of(gap),
            Spacing::Even => (0, Length::ZERO),
        };
        let sizes: Vec<_> = self.members.iter().map(|member| member.size.map(of)).collect();
        let beyond: Length = sizes.iter().flatten().map(|(_, beyond)| *beyond).sum();
        let gaps = count(self.members.len()) - 1;
        let (room, rest) = of(self.room - beyond - margin.1 * 2 - gap.1 * gaps);
        InMarks { room, rest, margin, gap, sizes }
    }

    /// What a gap would be, or an open size, in marks between marks; and the whole marks that are tried.
    fn candidates(&self, marks: &InMarks) -> (f64, Vec<i64>) {
        let pieces = count(self.members.len());
        let fixed: i64 = marks.sizes.iter().flatten().map(|(size, _)| size).sum();
        let open = count(marks.sizes.iter().filter(|size| size.is_none()).count());
        let left = marks.room - fixed;
        let kept = left - 2 * marks.margin.0;
        if open > 0 {
            let left = kept - marks.gap.0 * (pieces - 1);
            return (left as f64 / open as f64, vec![left.div_euclid(open).max(1)]);
        }
        match self.spacing {
            Spacing::Gap(_) => (0.0, vec![marks.gap.0]),
            Spacing::Even => {
                let (left, parts) = match marks.margin.0 {
                    0 => (left, pieces + 1),
                    _ => (kept, (pieces - 1).max(1)),
                };
                let mean = left as f64 / parts as f64;
                let down = left.div_euclid(parts);
                let tried = (down - 1..=down + 2).filter(|gap| *gap >= 0);
                let mut tried: Vec<i64> = tried.collect();
                if tried.is_empty() {
                    tried.push(0);
                }
                (mean, tried)
            }
        }
    }

    /// What gaps cost that are not the mean.
    fn inner_cost(&self, gap: i64, mean: f64) -> f64 {
        let is_even =
            self.spacing == Spacing::Even && self.members.iter().all(|one| one.size.is_some());
        let gaps = self.members.len().saturating_sub(1) as f64;
        if is_even { gaps * (gap as f64 - mean).powi(2) } else { 0.0 }
    }

    /// The line as relations, with a gap or an open size of so many marks.
    fn relations(&self, marks: &InMarks, candidate: i64, mean: f64) -> (Relations, Vec<[Edge; 2]>) {
        let mut relations = Relations::default();
        let show = |length: Length| length.show(self.units);
        let end = relations.edge();
        let [first, second] = &self.ends;
        let room = match self.room {
            room if room < Length::ZERO => {
                format!("{first} and {second} overlap by {}", show(-room))
            }
            Length::ZERO => format!("there is no room between {first} and {second}: they meet"),
            room => format!("from {first} to {second} there are {}", show(room)),
        };
        relations.exactly(ORIGIN, end, marks.room, &room);
        let keeps = |end: &str| match self.margin {
            Length::ZERO => String::new(),
            margin => format!("a margin of {} from {end}", show(margin)),
        };
        let is_open = marks.sizes.iter().any(Option::is_none);
        let gap = if is_open || self.spacing != Spacing::Even { marks.gap.0 } else { candidate };
        let apart = match self.spacing {
            Spacing::Gap(Length::ZERO) | Spacing::Even => String::new(),
            Spacing::Gap(gap) => format!("gaps of {}", show(gap)),
        };
        let mut edges: Vec<[Edge; 2]> = Vec::new();
        for (member, size) in self.members.iter().zip(&marks.sizes) {
            let [start, close] = [relations.edge(), relations.edge()];
            match edges.last() {
                None => relations.at_least(ORIGIN, start, marks.margin.0, &keeps(first)),
                Some([_, before]) => relations.exactly(*before, start, gap, &apart),
            }
            let name = &member.name;
            let side = side_of(self.axis);
            match (size, member.size) {
                (Some((size, _)), Some(length)) => {
                    let why = format!("{name} is {} {side}", show(length));
                    relations.exactly(start, close, *size, &why);
                }
                _ => {
                    let why = format!("{name} is {} {side} at least", show(mark(self.units)));
                    relations.at_least(start, close, 1, &why);
                    // Without a mark for each there is no share to take, and no need to tell of one.
                    if mean >= 1.0 {
                        relations.exactly(
                            start,
                            close,
                            candidate,
                            &format!("{name} takes what is left"),
                        );
                    }
                }
            }
            edges.push([start, close]);
        }
        let (Some([first_start, _]), Some([_, last_end])) = (edges.first(), edges.last()) else {
            return (relations, edges);
        };
        relations.at_least(*last_end, end, marks.margin.0, &keeps(second));
        // At the ends as much as between, or as much at one as at the other.
        if self.spacing == Spacing::Even && !is_open {
            let wished = if marks.margin.0 == 0 { mean } else { marks.margin.0 as f64 };
            relations.wish(&[(*first_start, 1.0)], wished, 1.0);
            relations.wish(&[(end, 1.0), (*last_end, -1.0)], wished, 1.0);
        } else {
            relations.wish(&[(*first_start, 1.0), (*last_end, 1.0), (end, -1.0)], 0.0, 1.0);
        }
        (relations, edges)
    }

    fn placed(
        &self,
        marks: &InMarks,
        candidate: i64,
        edges: &[[Edge; 2]],
        (relations, settled): (Relations, Settled),
    ) -> Placed {
        let mark = mark(self.units);
        let mut before = marks.rest / 2 + marks.margin.1;
        let mut spans: Vec<[Length; 2]> = Vec::new();
        for ([start, close], size) in edges.iter().zip(&marks.sizes) {
            let beyond = size.map_or(Length::ZERO, |(_, beyond)| beyond);
            let long = mark * (settled.at(*close) - settled.at(*start)) + beyond;
            spans.push([mark * settled.at(*start) + before, long]);
            before += beyond + marks.gap.1;
        }
        let gap = match (self.spacing, self.members.iter().all(|one| one.size.is_some())) {
            (Spacing::Gap(gap), _) => gap,
            (Spacing::Even, true) => mark * candidate,
            (Spacing::Even, false) => Length::ZERO,
        };
        let first = spans.first().map_or(Length::ZERO, |[start, _]| *start);
        let last = spans.last().map_or(Length::ZERO, |[start, long]| self.room - *start - *long);
        Placed { spans, gap, ends: [first, last], relations, settled }
    }
}

fn count(pieces: usize) -> i64 {
    i64::try_from(pieces).unwrap_or(0)
}
