//! A sheet's pattern to the end: of all ways to cut a handful of pieces from one sheet those with the
//! largest rest, then the fewest cuts, then the fewest measures.
//!
//! Every way is tried to cut a part off that holds some of the pieces and is as narrow as they permit
//! ([`super::pattern`] knows how narrow that is): a wider part would only take from the rest. Of the
//! ways to cut a set from a rectangle those are kept that no other beats in rest, cuts and measures at
//! once. Steps are counted; when they run out, the sheet stays as it was.

use std::collections::HashMap;
use std::rc::Rc;

use super::pattern::{List, Patterns, Set, Spent, form, pieces_of};
use crate::nest::guillotine::problem::CuttingProblem;
use crate::nest::guillotine::rank::rank;
use crate::nest::guillotine::tree::{Forest, Kind, number};
use crate::nest::rectangles::{Rectangle, holds};

/// Most pieces on a sheet that is searched to the end.
const MOST_PIECES: usize = 20;
/// Most sets that the pieces of a sheet make, equal pieces taken as one kind: each is cut from many
/// rectangles.
const MOST_SETS: usize = 600;
/// Most sheets that are searched.
const MOST_SHEETS: usize = 12;
/// Most ways kept of one set on one rectangle.
const MOST_WAYS: usize = 12;

/// A way to cut a set from a rectangle.
#[derive(Clone, Debug)]
struct Cutting {
    /// Area of the largest rest.
    largest: i128,
    cuts: u32,
    /// The measures, by place in the list of all, one bit each.
    measures: u128,
    made: Made,
}

#[derive(Clone, Copy, Debug)]
enum Made {
    Nothing,
    Piece,
    Cut { axis: usize, extent: i64, first: (Key, usize), rest: (Key, usize) },
}

/// A set on a rectangle, and the axis along which it may not be cut first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Key {
    set: Set,
    size: [i64; 2],
    not: Option<usize>,
}

/// The search on one sheet.
struct Sheet<'a> {
    problem: &'a CuttingProblem,
    patterns: Patterns,
    measures: Vec<i64>,
    known: HashMap<Key, Rc<[Cutting]>>,
}

/// A sheet that was searched to the end: its search, all of it as a key, and the best ways to cut it.
type Solved<'a> = (Sheet<'a>, Key, Rc<[Cutting]>);

/// The plan with the pattern of each sheet searched to the end, as far as the steps last.
pub(in crate::nest::guillotine) fn perfect_sheets(
    problem: &CuttingProblem,
    forest: Forest,
    steps: u64,
) -> Forest {
    if problem.levels.is_some() || forest.sheets.len() > MOST_SHEETS || steps == 0 {
        return forest;
    }
    let each = steps / forest.sheets.len().max(1) as u64;
    let mut solved: Vec<Option<Solved<'_>>> =
        (0..forest.sheets.len()).map(|index| solve(problem, &forest, index, each)).collect();
    let largest = solved.iter().flatten().flat_map(|(.., ways)| ways.iter().map(|way| way.largest));
    let Some(largest) = largest.max() else { return forest };
    let effort = |way: &Cutting| (way.cuts, way.measures.count_ones());
    // The best way with the largest rest on one sheet, and the least to cut on all the others.
    let least = |ways: &[Cutting], rest: i128| {
        let possible = (0..ways.len()).filter(|&place| ways[place].largest >= rest);
        possible.min_by_key(|&place| effort(&ways[place]))
    };
    let extra = |ways: &[Cutting]| {
        let (with, without) = (least(ways, largest)?, least(ways, 0)?);
        Some(ways[with].cuts - ways[without].cuts)
    };
    let keeper = solved
        .iter()
        .enumerate()
        .filter_map(|(index, one)| Some((extra(&one.as_ref()?.2)?, index)))
        .min()
        .map(|(_, index)| index);
    let mut better = problem.blank();
    // Sheets that stay as they were take their own pieces first.
    for (index, sheet) in forest.sheets.iter().enumerate() {
        if solved[index].is_none() {
            better.adopt(&forest.pattern(index), problem.sheets[sheet.stock as usize].cost);
        }
    }
    for (index, sheet) in forest.sheets.iter().enumerate() {
        let Some((solver, key, ways)) = &mut solved[index] else { continue };
        let rest = if keeper == Some(index) { largest } else { 0 };
        let Some(way) = least(ways, rest) else { return forest };
        let sheets = problem.sheets[sheet.stock as usize];
        let root = better.open(sheet.stock as usize, sheets.size, sheets.cost);
        if solver.build(&mut better, root, *key, way).is_none() {
            return forest;
        }
    }
    let mut fences = Vec::new();
    let [one, other] = [&better, &forest].map(|plan| rank(plan, problem, &mut fences).0);
    if one.beats(&other) { better } else { forest }
}

/// All ways to cut what lies on a sheet.
fn solve<'a>(
    problem: &'a CuttingProblem,
    forest: &Forest,
    index: usize,
    steps: u64,
) -> Option<Solved<'a>> {
    let blocks = forest.pattern(index).blocks();
    if blocks.is_empty() || blocks.len() > MOST_PIECES {
        return None;
    }
    let shapes: Vec<Rectangle> =
        blocks.iter().map(|&block| Rectangle { copies: 1, ..problem.shapes[block] }).collect();
    let mut counts = std::collections::BTreeMap::new();
    for shape in &shapes {
        *counts.entry(form(shape)).or_insert(1_usize) += 1;
    }
    if counts.values().fold(1, |sets: usize, &count| sets.saturating_mul(count)) > MOST_SETS {
        return None;
    }
    let size = problem.sheets[forest.sheets[index].stock as usize].size;
    let pieces = pieces_of(&shapes, problem.kerf);
    let all = (0..pieces.len()).fold(0, |set, place| set | 1 << place);
    let patterns = Patterns::new(pieces, vec![size], problem.kerf, None, steps, &problem.search);
    let mut sheet = Sheet { problem, patterns, measures: Vec::new(), known: HashMap::new() };
    let key = Key { set: all, size, not: None };
    let ways = sheet.ways(key).ok()?;
    (!ways.is_empty()).then_some((sheet, key, ways))
}

impl Sheet<'_> {
    fn ways(&mut self, key: Key) -> Result<Rc<[Cutting]>, Spent> {
        if let Some(known) = self.known.get(&key) {
            return Ok(Rc::clone(known));
        }
        self.patterns.step(1)?;
        let mut found: Vec<Cutting> = Vec::new();
        if key.set == 0 {
            let largest = i128::from(key.size[0].max(0)) * i128::from(key.size[1].max(0));
            found.push(Cutting { largest, cuts: 0, measures: 0, made: Made::Nothing });
        } else if self.patterns.area(key.set) <= self.patterns.room(key.size) * (1.0 + 1e-9) {
            self.whole(key, &mut found);
            for axis in [0, 1].into_iter().filter(|&axis| key.not != Some(axis)) {
                self.cuts(key, axis, &mut found)?;
            }
        }
        let found: Rc<[Cutting]> = found.into();
        self.known.insert(key, Rc::clone(&found));
        Ok(found)
    }

    /// The rectangle is the piece.
    fn whole(&self, key: Key, found: &mut Vec<Cutting>) {
        if key.set.count_ones() == 1 {
            let form = self.patterns.pieces[key.set.trailing_zeros() as usize].form;
            if form.ways().iter().any(|&way| form.lying(way) == key.size) {
                found.push(Cutting { largest: 0, cuts: 0, measures: 0, made: Made::Piece });
            }
        }
    }

    /// Every first cut along an axis.
    fn cuts(&mut self, key: Key, axis: usize, found: &mut Vec<Cutting>) -> Result<(), Spent> {
        let mut first = key.set;
        while first != 0 {
            if self.patterns.is_plain(first) {
                let rest = self.patterns.plain(key.set & !first);
                for extent in self.extents(first, key.size, axis)? {
                    self.cut(key, axis, extent, [first, rest], found)?;
                }
            }
            first = (first - 1) & key.set;
        }
        Ok(())
    }

    /// How narrow a part may be that holds a set.
    fn extents(&mut self, set: Set, size: [i64; 2], axis: usize) -> Result<Vec<i64>, Spent> {
        let patterns = self.patterns.of(List::free(set))?;
        let fitting = patterns.iter().filter(|pattern| holds(size, pattern.size));
        let mut extents: Vec<i64> = fitting.map(|pattern| pattern.size[axis]).collect();
        extents.sort_unstable();
        extents.dedup();
        // The narrowest holds the set already.
        extents.truncate(1);
        extents.retain(|&extent| extent < size[axis]);
        Ok(extents)
    }

    fn cut(
        &mut self,
        key: Key,
        axis: usize,
        extent: i64,
        [first, rest]: [Set; 2],
        found: &mut Vec<Cutting>,
    ) -> Result<(), Spent> {
        let (mut near, mut far) = (key.size, key.size);
        near[axis] = extent;
        far[axis] = (key.size[axis] - extent - self.problem.kerf).max(0);
        let first = Key { set: first, size: near, not: Some(axis) };
        let rest = Key { set: rest, size: far, not: None };
        let ones = self.ways(first)?;
        if ones.is_empty() {
            return Ok(());
        }
        let others = self.ways(rest)?;
        self.patterns.step((ones.len() * others.len()) as u64)?;
        let measure = self.measure(extent).ok_or(Spent)?;
        for (place, one) in ones.iter().enumerate() {
            for (other_place, other) in others.iter().enumerate() {
                let way = Cutting {
                    largest: one.largest.max(other.largest),
                    cuts: one.cuts + other.cuts + 1,
                    measures: one.measures | other.measures | measure,
                    made: Made::Cut {
                        axis,
                        extent,
                        first: (first, place),
                        rest: (rest, other_place),
                    },
                };
                keep(found, way);
            }
        }
        Ok(())
    }

    /// The bit of a measure, as long as there are bits.
    fn measure(&mut self, extent: i64) -> Option<u128> {
        let known = self.measures.iter().position(|&measure| measure == extent);
        let place = known.unwrap_or_else(|| {
            self.measures.push(extent);
            self.measures.len() - 1
        });
        1_u128.checked_shl(u32::try_from(place).ok()?)
    }

    /// Cuts a leftover, that nothing lies behind, in one of the ways.
    fn build(&mut self, forest: &mut Forest, slot: u32, key: Key, way: usize) -> Option<()> {
        match self.ways(key).ok()?.get(way)?.made {
            Made::Nothing => {}
            Made::Piece => {
                let wanted =
                    form(&self.patterns.pieces.get(key.set.trailing_zeros() as usize)?.form);
                let (block, turned) =
                    self.problem.shapes.iter().enumerate().find_map(|(block, shape)| {
                        let mut ways = shape.ways().iter().copied();
                        let turned = ways.find(|&way| shape.lying(way) == key.size)?;
                        let alike = forest.waiting[block] > 0 && form(shape) == wanted;
                        alike.then_some((block, turned))
                    })?;
                forest.waiting[block] -= 1;
                let kind = Kind::Piece { block: number(block), turned };
                forest.nodes[slot as usize].kind = kind;
            }
            Made::Cut { axis, extent, first, rest } => {
                let mut fresh = Vec::new();
                let part = forest.part(slot, axis, extent, &mut fresh);
                self.build(forest, part, first.0, first.1)?;
                if let Some(&behind) = fresh.first() {
                    self.build(forest, behind, rest.0, rest.1)?;
                }
            }
        }
        Some(())
    }
}

/// Keeps a way that no other beats.
fn keep(found: &mut Vec<Cutting>, way: Cutting) {
    let as_good = |one: &Cutting, other: &Cutting| {
        one.largest >= other.largest
            && one.cuts <= other.cuts
            && one.measures & !other.measures == 0
    };
    if found.iter().any(|known| as_good(known, &way)) {
        return;
    }
    found.retain(|known| !as_good(&way, known));
    found.push(way);
    if found.len() > MOST_WAYS {
        // Beyond what is kept only measures are at stake.
        found.sort_by_key(|way| {
            (std::cmp::Reverse(way.largest), way.cuts, way.measures.count_ones())
        });
        found.truncate(MOST_WAYS);
    }
}
