//! Photos that end flush: a row of one height or a column of one width, as long as is asked for, and rows or
//! columns of one length one after the other.
//!
//! Photos are cropped, enlarged or matted, each as little as can be: the sum of squares of what is changed is
//! as small as the relations let it be ([`crate::relations`]). Which photos stand in which row is chosen by
//! an exact dynamic programme over their order, as paragraphs are broken (Knuth & Plass, Software: Practice
//! and Experience 11, 1981).

use crate::description::BankBy;
use crate::model::length::{Length, Units};
use crate::relations::{Edge, ORIGIN, Relations, Settled};

use super::line::{Clash, in_marks, mark, side_of};

/// The shortest side that a photo is cropped to (common practice, no source).
const LEAST: Length = Length::part(1, 2);

/// A photo as it is before anything is done to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Print {
    /// What it is called.
    pub name: String,
    /// Its width and height; with its mat, if it gets one of its own.
    pub size: [Length; 2],
}

/// What is asked of the photos.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flush {
    /// Along which axis photos follow each other in a line: 0 for rows, 1 for columns.
    pub along: usize,
    /// What is done to them.
    pub by: BankBy,
    /// What lies between them.
    pub gap: Length,
    /// How long a line is, if that is asked for.
    pub long: Option<Length>,
    /// How thick it is, if that is asked for.
    pub thick: Option<Length>,
    /// Whose marks are kept.
    pub units: Units,
}

/// A line of photos.
#[derive(Clone, Debug)]
pub struct FlushLine {
    /// How many photos stand in it.
    pub count: usize,
    /// The length of each along it.
    pub long: Vec<Length>,
    /// How thick all of them are.
    pub thick: Length,
    /// What was solved along the line and over it.
    pub solved: Vec<(Relations, Settled)>,
}

/// Sides of a photo in marks: along the line, over it.
type Sides = [i64; 2];

impl Flush {
    /// The sides of a photo in whole marks: no more than it has where it is cropped, no less where it is
    /// matted.
    fn sides(&self, print: &Print) -> Sides {
        [self.along, 1 - self.along].map(|axis| {
            let (marks, beyond) = in_marks(print.size[axis], self.units);
            marks + i64::from(self.by == BankBy::Mat && beyond > Length::ZERO)
        })
    }

    /// One line of photos.
    pub fn line(&self, prints: &[Print]) -> Result<FlushLine, Clash> {
        let sides: Vec<Sides> = prints.iter().map(|print| self.sides(print)).collect();
        let gaps = i64::try_from(prints.len()).unwrap_or(1) - 1;
        let (gap, beyond) = in_marks(self.gap, self.units);
        let room = self.long.map(|long| in_marks(long - beyond * gaps, self.units).0);
        let thick = self.thickness(prints, &sides, room.map(|room| room - gap * gaps))?;
        let thickness = thick.1.at(thick.2);
        let ratio = |[long, thick]: &Sides| *long as f64 / (*thick).max(1) as f64;
        let mut along = Relations::default();
        let mut edges: Vec<[Edge; 2]> = Vec::new();
        let show = |marks: i64| (mark(self.units) * marks).show(self.units);
        let way = side_of(self.along);
        for (print, size) in prints.iter().zip(&sides) {
            let [start, end] = [along.edge(), along.edge()];
            match edges.last() {
                None => along.exactly(ORIGIN, start, 0, ""),
                Some([_, before]) => {
                    let why =
                        if gap == 0 { String::new() } else { format!("gaps of {}", show(gap)) };
                    along.exactly(*before, start, gap, &why);
                }
            }
            let (least, most) = self.bounds(size[0]);
            let name = &print.name;
            along.at_least(start, end, least, &format!("{name} is {} {way} at least", show(least)));
            if let Some(most) = most {
                along.at_least(
                    end,
                    start,
                    -most,
                    &format!("{name} is {} {way} at most", show(most)),
                );
            }
            let wished = match self.by {
                BankBy::Enlarge => ratio(size) * thickness as f64,
                BankBy::Crop | BankBy::Mat => size[0] as f64,
            };
            along.wish(&[(end, 1.0), (start, -1.0)], wished, 1.0);
            edges.push([start, end]);
        }
        if let (Some(room), Some([_, last])) = (room, edges.last()) {
            let line = ["row", "column"][self.along];
            let long = self.long.unwrap_or_default().show(self.units);
            along.exactly(ORIGIN, *last, room, &format!("the {line} is {long} long"));
        }
        let settled = self.settle(&along)?;
        let long = edges
            .iter()
            .map(|[start, end]| mark(self.units) * (settled.at(*end) - settled.at(*start)));
        let (over, over_settled, _) = thick;
        Ok(FlushLine {
            count: prints.len(),
            long: long.collect(),
            thick: mark(self.units) * thickness,
            solved: vec![(along, settled), (over, over_settled)],
        })
    }

    /// The least and the most marks that a side may have, which had so many.
    fn bounds(&self, side: i64) -> (i64, Option<i64>) {
        let least = in_marks(LEAST, self.units).0;
        match self.by {
            BankBy::Crop => (least.min(side), Some(side)),
            BankBy::Enlarge => (least, None),
            BankBy::Mat => (side, None),
        }
    }

    /// How thick the line is: what its photos are, as near as can be, or what its length asks for.
    fn thickness(
        &self,
        prints: &[Print],
        sides: &[Sides],
        long: Option<i64>,
    ) -> Result<(Relations, Settled, Edge), Clash> {
        let mut over = Relations::default();
        let edge = over.edge();
        let way = side_of(1 - self.along);
        for (print, size) in prints.iter().zip(sides) {
            let (least, most) = self.bounds(size[1]);
            let show = |marks: i64| (mark(self.units) * marks).show(self.units);
            let name = &print.name;
            over.at_least(
                ORIGIN,
                edge,
                least,
                &format!("{name} is {} {way} at least", show(least)),
            );
            if let Some(most) = most {
                over.at_least(
                    edge,
                    ORIGIN,
                    -most,
                    &format!("{name} is {} {way} at most", show(most)),
                );
            }
            let wished = match (self.by, long) {
                (BankBy::Enlarge, Some(long)) => long as f64 / ratios(sides).max(1e-9),
                _ => size[1] as f64,
            };
            over.wish(&[(edge, 1.0)], wished, 1.0);
        }
        if let Some(thick) = self.thick {
            let why = format!("the bank is {} {way} within its mats", thick.show(self.units));
            over.exactly(ORIGIN, edge, in_marks(thick, self.units).0, &why);
        }
        let settled = self.settle(&over)?;
        Ok((over, settled, edge))
    }

    fn settle(&self, relations: &Relations) -> Result<Settled, Clash> {
        relations.settle().map_err(|conflict| Clash::of(relations, &conflict, self.units))
    }

    /// Lines of one length, the photos in their order: those whose photos change least. Nothing where no
    /// lines can be of one length.
    pub fn lines(&self, prints: &[Print]) -> Option<Result<Vec<FlushLine>, Clash>> {
        let sides: Vec<Sides> = prints.iter().map(|print| self.sides(print)).collect();
        let (gap, beyond) = in_marks(self.gap, self.units);
        let gap = gap + i64::from(beyond > Length::ZERO);
        let lengths: Vec<i64> = match self.long {
            Some(long) => vec![in_marks(long, self.units).0],
            None => natural_lengths(&sides, gap),
        };
        let mut best: Option<(f64, i64, Vec<usize>)> = None;
        for long in lengths {
            let Some((cost, counts)) = self.broken(&sides, gap, long) else { continue };
            if best.as_ref().is_none_or(|(least, _, _)| cost < least - 1e-9) {
                best = Some((cost, long, counts));
            }
        }
        let (_, long, counts) = best?;
        let long = self.long.unwrap_or(mark(self.units) * long);
        let line = Self { long: Some(long), thick: None, ..*self };
        let mut rest = prints;
        let mut lines = Vec::new();
        for count in counts {
            let (these, after) = rest.split_at(count);
            match line.line(these) {
                Ok(line) => lines.push(line),
                Err(clash) => return Some(Err(clash)),
            }
            rest = after;
        }
        Some(Ok(lines))
    }

    /// The lines of one length that cost least, and what they cost: an exact dynamic programme.
    fn broken(&self, sides: &[Sides], gap: i64, long: i64) -> Option<(f64, Vec<usize>)> {
        let count = sides.len();
        let mut best: Vec<Option<(f64, usize)>> = vec![None; count + 1];
        best[0] = Some((0.0, 0));
        for end in 1..=count {
            for start in 0..end {
                let Some((before, _)) = best[start] else { continue };
                let Some(cost) = self.cost(&sides[start..end], gap, long) else { continue };
                if best[end].is_none_or(|(least, _)| before + cost < least - 1e-9) {
                    best[end] = Some((before + cost, start));
                }
            }
        }
        let (cost, _) = best[count]?;
        let mut counts = Vec::new();
        let mut end = count;
        while end > 0 {
            let (_, start) = best[end]?;
            counts.push(end - start);
            end = start;
        }
        counts.reverse();
        Some((cost, counts))
    }

    /// What a line of a length costs, between marks: the sum of squares of what its photos change. Nothing
    /// where they can't be of that length.
    fn cost(&self, sides: &[Sides], gap: i64, long: i64) -> Option<f64> {
        let gaps = gap * (i64::try_from(sides.len()).ok()? - 1);
        let room = long - gaps;
        let sum: i64 = sides.iter().map(|[long, _]| long).sum();
        let over = sides.iter().map(|[_, thick]| *thick);
        let least = in_marks(LEAST, self.units).0 * i64::try_from(sides.len()).ok()?;
        let thick = match self.by {
            BankBy::Enlarge if room > 0 => room as f64 / ratios(sides).max(1e-9),
            BankBy::Crop if sum >= room && room >= least => over.min()? as f64,
            BankBy::Mat if sum <= room => over.max()? as f64,
            BankBy::Enlarge | BankBy::Crop | BankBy::Mat => return None,
        };
        let share = self.share(sides, room);
        let becomes = |[long, over]: &Sides| match self.by {
            BankBy::Enlarge => *long as f64 / (*over).max(1) as f64 * thick,
            BankBy::Crop | BankBy::Mat => (*long as f64 + share).max(self.bounds(*long).0 as f64),
        };
        let change = |side: &Sides| {
            (becomes(side) - side[0] as f64).powi(2) + (thick - side[1] as f64).powi(2)
        };
        Some(sides.iter().map(change).sum())
    }

    /// What each photo takes on so that the line has a length, the sum of squares the least: the same for all
    /// but those that would be too short by it, which stay as short as a photo may be (projection onto a
    /// simplex with bounds, found by fixing one bound after the other).
    fn share(&self, sides: &[Sides], room: i64) -> f64 {
        let mut free: Vec<i64> = sides.iter().map(|[long, _]| *long).collect();
        let mut left = room;
        loop {
            let share = (left - free.iter().sum::<i64>()) as f64 / free.len().max(1) as f64;
            let stays = |long: &i64| *long as f64 + share >= self.bounds(*long).0 as f64;
            let (still, short): (Vec<i64>, Vec<i64>) = free.iter().partition(|long| stays(long));
            if short.is_empty() || still.is_empty() {
                return share;
            }
            left -= short.iter().map(|long| self.bounds(*long).0).sum::<i64>();
            free = still;
        }
    }
}

/// The sum of what photos are long for each mark that they are thick.
fn ratios(sides: &[Sides]) -> f64 {
    sides.iter().map(|[long, thick]| *long as f64 / (*thick).max(1) as f64).sum()
}

/// The lengths of all runs of photos as they are.
fn natural_lengths(sides: &[Sides], gap: i64) -> Vec<i64> {
    let mut lengths = std::collections::BTreeSet::new();
    for start in 0..sides.len() {
        let mut long = -gap;
        for side in &sides[start..] {
            long += side[0] + gap;
            lengths.insert(long);
        }
    }
    lengths.into_iter().collect()
}
