//! Photos that end flush: a row of one height or a column of one width, as long as is asked for, and rows or
//! columns of one length one after the other.
//!
//! Photos are cropped, enlarged or matted, each as little as can be: the sum of squares of what is changed is
//! as small as the relations let it be ([`crate::relations`]). Which photos stand in which row is chosen by
//! an exact dynamic programme over their order, as paragraphs are broken (Knuth & Plass, Software: Practice
//! and Experience 11, 1981).

use crate::description::BankBy;
use crate::model::length::Length;
use crate::relations::{Edge, ORIGIN, Relations, Settled};

use super::breaking::Breaking;
use super::line::{Clash, in_marks, mark, side_of};
use super::prints::{EQUAL, Sides, ratios};

pub use super::prints::{Flush, Print};

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

impl Flush {
    /// One line of photos, exactly as long and as thick as is asked for: what that has beyond whole marks,
    /// the last photo that can be so much longer takes.
    pub fn line(&self, prints: &[Print]) -> Result<FlushLine, Clash> {
        let sides: Vec<Sides> = prints.iter().map(|print| self.sides(print)).collect();
        let gaps = i64::try_from(prints.len()).unwrap_or(1) - 1;
        let (gap, _) = in_marks(self.gap, self.units);
        let room = self.long.map(|long| self.room(long, prints.len()));
        let thick = self.thickness(prints, &sides, room.map(|(room, _)| room))?;
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
                    let why = match self.gap {
                        Length::ZERO => String::new(),
                        gap => format!("gaps of {}", gap.show(self.units)),
                    };
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
        if let (Some((room, rest)), Some([_, last])) = (room, edges.last()) {
            let sum: i64 = sides.iter().map(|[long, _]| long).sum();
            let beyond = prints.iter().map(|print| in_marks(print.size[self.along], self.units).1);
            let is_short = self.is_short([sum, room], rest, beyond.max().unwrap_or_default());
            let room = room + gap * gaps + i64::from(is_short);
            let line = ["row", "column"][self.along];
            let long = self.long.unwrap_or_default().show(self.units);
            along.exactly(ORIGIN, *last, room, &format!("the {line} is {long} long"));
        }
        let settled = self.settle(&along)?;
        let mut long: Vec<Length> = edges
            .iter()
            .map(|[start, end]| mark(self.units) * (settled.at(*end) - settled.at(*start)))
            .collect();
        if let Some((_, rest)) = room {
            let takes = |(long, print): &(&mut Length, &Print)| {
                self.by != BankBy::Crop || **long + rest <= print.size[self.along]
            };
            if let Some((last, _)) = long.iter_mut().zip(prints).rev().find(takes) {
                *last += rest;
            }
        }
        let (over, over_settled, _) = thick;
        Ok(FlushLine {
            count: prints.len(),
            long,
            thick: self.thick.unwrap_or(mark(self.units) * thickness),
            solved: vec![(along, settled), (over, over_settled)],
        })
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
            let (marks, rest) = in_marks(thick, self.units);
            let is_short = prints.iter().zip(sides).any(|(print, size)| {
                let beyond = in_marks(print.size[1 - self.along], self.units).1;
                self.is_short([size[1], marks], rest, beyond)
            });
            over.exactly(ORIGIN, edge, marks + i64::from(is_short), &why);
        }
        let settled = self.settle(&over)?;
        Ok((over, settled, edge))
    }

    fn settle(&self, relations: &Relations) -> Result<Settled, Clash> {
        relations.settle().map_err(|conflict| Clash::of(relations, &conflict, self.units))
    }

    /// Lines of one length, the photos in their order: those whose photos change least, of lengths that cost
    /// the same the one that makes the bank most like a square. Nothing where no lines can be of one length.
    pub fn lines(&self, prints: &[Print]) -> Option<Result<Vec<FlushLine>, Clash>> {
        let breaking = Breaking::of(self, prints);
        let lengths = match self.long {
            Some(long) => vec![long],
            None => breaking.natural_lengths(),
        };
        let square = breaking.square();
        let mut best: Option<([f64; 2], Length, Vec<usize>)> = None;
        for long in lengths {
            let Some((cost, counts)) = breaking.broken(long) else { continue };
            let marks = long.to_inches() / mark(self.units).to_inches();
            let off = (marks / square).ln().abs();
            let is_better = |[least, nearest]: [f64; 2]| {
                cost < least - EQUAL || (cost <= least + EQUAL && off < nearest - EQUAL)
            };
            if best.as_ref().is_none_or(|(known, ..)| is_better(*known)) {
                best = Some(([cost, off], long, counts));
            }
        }
        let (_, long, counts) = best?;
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
}
