//! Edges of neighbouring banks that would miss each other by a hair are brought into one line.

use super::arrangement::Arrangement;
use super::fit::{Field, Fit};
use super::frame::{Edges, Frame};
use crate::relations::{Edge, Settled};

/// Edges that miss each other by less look like a slip, in marks (common practice, no source: 1/8 in).
const A_HAIR: i64 = 2;
/// Things further apart than this are not compared, in marks.
const NEAR: i64 = 48;
/// Gaps between photos of different banks are this wide at least where they can be, in marks: narrower ones
/// look like uneven gaps of one bank (common practice, no source: 3/8 in more than a gap of 1/8).
const MEANT: i64 = 9;
/// Lines that are tried along an axis at most.
const MOST_LINED: usize = 6;

impl Frame<'_> {
    /// Brings edges of different banks that miss each other by a hair into one line, where relations permit
    /// it. Nothing if a relation would then be broken.
    pub fn line_up(&mut self, arranged: &[Arrangement], settled: &mut [Settled; 2]) -> Option<()> {
        let things = self.things(arranged);
        self.part(&things, settled)?;
        for axis in [0, 1] {
            let mut tried: Vec<[Edge; 2]> = Vec::new();
            for _ in 0..MOST_LINED {
                let next = near_miss(&things, settled, axis, &tried);
                let Some(pair) = next else { break };
                tried.push(pair);
                let why = "edges that nearly meet lie in one line";
                if self.relations[axis].exactly_if_possible(pair[0], pair[1], 0, why) {
                    settled[axis] = self.relations[axis].settle().ok()?;
                }
            }
        }
        Some(())
    }

    /// Parts photos of different banks that lie beside each other by more than a gap, where relations permit
    /// it.
    fn part(&mut self, things: &[(usize, usize, Edges)], settled: &mut [Settled; 2]) -> Option<()> {
        for axis in [0, 1] {
            let pairs = beside(things, settled, axis);
            let mut parted = false;
            for [from, to] in pairs {
                let why = "photos of different rooms lie apart";
                parted |= self.relations[axis].at_least_if_possible(from, to, MEANT, why);
            }
            if parted {
                settled[axis] = self.relations[axis].settle().ok()?;
            }
        }
        self.close = (0..2).map(|axis| beside(things, settled, axis).len()).sum();
        Some(())
    }

    /// Photos and shared mats: their bank, their page, their edges.
    fn things(&self, arranged: &[Arrangement]) -> Vec<(usize, usize, Edges)> {
        let rooms = self.bank_rooms();
        let mut things = Vec::new();
        for (bank, arrangement) in arranged.iter().enumerate() {
            let Some((room, held)) = rooms.get(bank) else { continue };
            let page = self.rooms[*room].page;
            if held.mat.is_some() && arrangement.rim(held.reveal) > 0 {
                things.extend(self.banks.get(bank).map(|edges| (bank, page, *edges)));
            }
            let photos = arrangement.lines.iter().flatten();
            let edges = photos.filter_map(|&photo| self.photos.get(photo).copied().flatten());
            things.extend(edges.map(|edges| (bank, page, edges)));
        }
        things
    }
}

/// Edges between things of different banks that face each other over a gap that looks like a slip.
fn beside(things: &[(usize, usize, Edges)], settled: &[Settled; 2], axis: usize) -> Vec<[Edge; 2]> {
    let span = |edges: &Edges, axis: usize| edges[axis].map(|edge| settled[axis].at(edge));
    let mut pairs = Vec::new();
    for (bank, page, edges) in things {
        for (_, _, next) in things.iter().filter(|(other, on, _)| other != bank && on == page) {
            let gap = span(next, axis)[0] - span(edges, axis)[1];
            let [one, other] = [edges, next].map(|edges| span(edges, 1 - axis));
            let shared = one[1].min(other[1]) - one[0].max(other[0]);
            let smaller = (one[1] - one[0]).min(other[1] - other[0]);
            if (0..MEANT).contains(&gap) && 2 * shared >= smaller {
                pairs.push([edges[axis][1], next[axis][0]]);
            }
        }
    }
    pairs
}

fn near_miss(
    things: &[(usize, usize, Edges)],
    settled: &[Settled; 2],
    axis: usize,
    tried: &[[Edge; 2]],
) -> Option<[Edge; 2]> {
    let span = |edges: &Edges, axis: usize| edges[axis].map(|edge| settled[axis].at(edge));
    things.iter().enumerate().find_map(|(number, (bank, page, edges))| {
        let later = things[number + 1..].iter();
        let others = later.filter(|(other, on, _)| other != bank && on == page);
        others.into_iter().find_map(|(_, _, other)| {
            let [one_over, other_over] = [edges, other].map(|edges| span(edges, 1 - axis));
            let apart = (one_over[0] - other_over[1]).max(other_over[0] - one_over[1]);
            let [one_span, other_span] = [edges, other].map(|edges| span(edges, axis));
            let off = [other_span[0] - one_span[0], other_span[1] - one_span[1]];
            if apart > NEAR || off.contains(&0) || off[0] + off[1] == 0 {
                return None;
            }
            (0..2).find_map(|side| {
                let pair = [edges[axis][side], other[axis][side]];
                (off[side].abs() < A_HAIR && !tried.contains(&pair)).then_some(pair)
            })
        })
    })
}

/// A mark further or back where an edge of a field would miss that of another thing on its page by a hair.
/// `ends` says which sides of the field count.
pub(super) fn nudge(fit: &Fit, pages: &[usize], field: Field, axis: usize, ends: &[usize]) -> i64 {
    let spans = |field: &Field| [field.at[axis], field.at[axis] + field.size[axis]];
    let own = |bank: usize| fit.banks[bank].each.map_or(0, |(_, shows)| shows);
    let photos = fit.photos.iter().filter(|photo| pages.contains(&photo.page));
    let photos = photos.map(|photo| photo.field.widened(own(photo.bank)));
    let mats =
        fit.banks.iter().filter(|bank| bank.bank.mat.is_some() && pages.contains(&bank.page));
    let things: Vec<Field> =
        photos.chain(mats.map(|bank| bank.field)).filter(|one| !one.size.contains(&0)).collect();
    let misses = |by: i64| {
        let mine = spans(&field);
        let near = |one: &&Field| {
            let off = [0, 1].map(|side| spans(one)[side] - mine[side] - by);
            !off.contains(&0) && ends.iter().any(|&side| off[side].abs() < A_HAIR)
        };
        things.iter().filter(near).count()
    };
    [0, 1, -1, 2, -2].into_iter().min_by_key(|by| (misses(*by), by.abs())).unwrap_or(0)
}
