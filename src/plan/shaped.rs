//! Offcuts that are no rectangles, taken apart: by cuts from edge to edge of the paper in hand they become
//! rectangles, from which pieces are cut as from any offcut. What nothing is cut from comes back. A cut has
//! two sides: one that would leave three pieces of paper, as across the teeth of a comb, isn't made.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::geometry::Ring;
use crate::layout::{Layout, PaperOnHand, ShapedOffcut};
use crate::model::length::{Length, Size};
use crate::model::{Area, SheetSource, Stock};
use crate::stock::Shape;

use super::sheet::{Cut, Fall, Falls, Rest, Sheet};

/// Ways to take one offcut apart that are handed out at most, and looked at: what cuts leave has few corners.
const MOST_WAYS: usize = 12;
const MOST_LOOKED_AT: usize = 400;

/// A way to take an offcut apart.
#[derive(Clone, Debug)]
pub(super) struct Apart {
    /// How many rectangular offcuts of its paper are older.
    pub before: usize,
    /// The offcut as a sheet that is cut down to its parts, without a name.
    sheet: Sheet,
}

impl Apart {
    /// The ways to take an offcut apart, those with the largest rectangles first.
    pub fn ways(layout: &Layout, paper: &PaperOnHand, offcut: &ShapedOffcut) -> Vec<Self> {
        let grid = Grid::of(&offcut.shape);
        let mut looked_at = 0;
        let mut ways = grid.ways(&grid.paper(), &[], layout.rules.kerf, &mut looked_at);
        ways.sort_by_cached_key(|way| Reverse(way.areas()));
        ways.dedup_by_key(|way| way.areas());
        ways.truncate(MOST_WAYS);
        ways.iter().map(|way| Self::of(layout, paper, offcut, way)).collect()
    }

    fn of(layout: &Layout, paper: &PaperOnHand, offcut: &ShapedOffcut, way: &Way) -> Self {
        let kept = way.parts.iter().filter(|area| layout.rules.keeps(area.size));
        let named = (1..).zip(kept).map(|(number, &area)| {
            let id = layout.free_offcut_id(format!("{}-part-{number}", offcut.id));
            Rest { id, area, ..Rest::default() }
        });
        let offcuts: Vec<Rest> = named.collect();
        let falls = |area: Area| {
            let what = match offcuts.iter().find(|rest| rest.area == area) {
                Some(rest) => Fall::Offcut(rest.id.clone()),
                None if way.parts.contains(&area) => Fall::Scrap,
                None => Fall::More,
            };
            Falls { what, area }
        };
        let cuts = way.cuts.iter().map(|cut| Cut {
            in_hand: cut.in_hand,
            from: cut.from,
            to: cut.to,
            fence: cut.fence,
            keeps: falls(cut.sides[0]),
            drops: falls(cut.sides[1]),
        });
        let sheet = Sheet {
            paper: paper.name.clone(),
            size: offcut.shape.bounds(),
            source: SheetSource::Offcut(offcut.id.clone()),
            cuts: cuts.collect(),
            outline: outline(&offcut.shape),
            offcuts,
            ..Sheet::default()
        };
        Self { before: offcut.before, sheet }
    }

    /// Its parts as paper on hand.
    pub fn stock(&self) -> impl Iterator<Item = Stock> {
        self.sheet.offcuts.iter().map(|part| Stock {
            size: part.area.size,
            count: 1,
            offcut: Some(part.id.clone()),
            ..Stock::default()
        })
    }

    /// Whether some paper is a part of it.
    pub fn has(&self, id: &str) -> bool {
        self.sheet.offcuts.iter().any(|part| part.id.as_str() == id)
    }

    /// The offcut as the sheet of that name.
    pub fn sheet(&self, id: &str) -> Sheet {
        Sheet { id: id.into(), ..self.sheet.clone() }
    }
}

/// The outline and openings of a shape, in inches.
fn outline(shape: &Shape) -> Vec<Ring> {
    let ring = |ring: &Vec<[Length; 2]>| ring.iter().map(|at| at.map(Length::to_inches)).collect();
    shape.rings().map(ring).collect()
}

/// A shape on the lines through its corners.
struct Grid<'a> {
    shape: &'a Shape,
    /// The lines across and down.
    lines: [Vec<Length>; 2],
}

/// Cells of a grid: column and row.
type Cells = BTreeSet<[usize; 2]>;

/// A cut before its falls are named.
#[derive(Clone, Debug)]
struct PlainCut {
    in_hand: Area,
    from: [Length; 2],
    to: [Length; 2],
    fence: Length,
    /// What lies before the blade, and beyond it.
    sides: [Area; 2],
}

/// A way to cut a shape into rectangles.
#[derive(Clone, Debug, Default)]
struct Way {
    cuts: Vec<PlainCut>,
    parts: Vec<Area>,
}

impl Way {
    /// The areas of its parts in thousandths of a square inch, the largest first.
    fn areas(&self) -> Vec<i128> {
        let square = |size: Size| {
            i128::from(size.width.to_nanometres()) * i128::from(size.height.to_nanometres())
        };
        let mut areas: Vec<i128> = self.parts.iter().map(|part| square(part.size)).collect();
        areas.sort_unstable_by_key(|area| Reverse(*area));
        areas
    }
}

impl<'a> Grid<'a> {
    fn of(shape: &'a Shape) -> Self {
        let lines = [0, 1].map(|axis| {
            let lines: BTreeSet<Length> = shape.rings().flatten().map(|at| at[axis]).collect();
            lines.into_iter().collect()
        });
        Self { shape, lines }
    }

    /// The cells that are paper.
    fn paper(&self) -> Cells {
        let middle =
            |axis: usize, cell: usize| (self.lines[axis][cell] + self.lines[axis][cell + 1]) / 2;
        let [columns, rows] = [0, 1].map(|axis| self.lines[axis].len().saturating_sub(1));
        let all = (0..rows).flat_map(|row| (0..columns).map(move |column| [column, row]));
        all.filter(|&[column, row]| self.shape.covers([middle(0, column), middle(1, row)]))
            .collect()
    }

    /// The first and the last cells of some paper along each axis.
    fn span(cells: &Cells) -> [[usize; 2]; 2] {
        [0, 1].map(|axis| {
            let along = cells.iter().map(|cell| cell[axis]);
            [along.clone().min().unwrap_or(0), along.max().unwrap_or(0)]
        })
    }

    /// The box round some paper; along the lines `cut` a blade has taken the kerf from it.
    fn area(&self, cells: &Cells, cut: &[(usize, usize)], kerf: Length) -> Area {
        let span = Self::span(cells);
        let [[left, right], [top, bottom]] = [0, 1].map(|axis| {
            let [first, last] = span[axis];
            let lost = if cut.contains(&(axis, first)) { kerf } else { Length::ZERO };
            [self.lines[axis][first] + lost, self.lines[axis][last + 1]]
        });
        let size = Size::new((right - left).max(Length::ZERO), (bottom - top).max(Length::ZERO));
        Area { left, top, size }
    }

    /// All ways to cut some paper into rectangles, so far as both sides of every cut are one piece of paper.
    fn ways(
        &self,
        cells: &Cells,
        cut: &[(usize, usize)],
        kerf: Length,
        looked_at: &mut usize,
    ) -> Vec<Way> {
        let in_hand = self.area(cells, cut, kerf);
        let [[left, right], [top, bottom]] = Self::span(cells);
        if cells.len() == (right + 1 - left) * (bottom + 1 - top) {
            return vec![Way { cuts: Vec::new(), parts: vec![in_hand] }];
        }
        let mut ways = Vec::new();
        let across = (left + 1..=right).map(|line| (0, line));
        for (axis, line) in across.chain((top + 1..=bottom).map(|line| (1, line))) {
            *looked_at += 1;
            if *looked_at > MOST_LOOKED_AT {
                break;
            }
            let (before, beyond): (Cells, Cells) = cells.iter().partition(|cell| cell[axis] < line);
            if !is_one_piece(&before) || !is_one_piece(&beyond) {
                continue;
            }
            let cut_beyond: Vec<(usize, usize)> =
                cut.iter().copied().chain([(axis, line)]).collect();
            let sides = [self.area(&before, cut, kerf), self.area(&beyond, &cut_beyond, kerf)];
            let [from, to] = self.ends(cells, axis, line, in_hand);
            let start = if axis == 0 { in_hand.left } else { in_hand.top };
            let fence = self.lines[axis][line] - start;
            let first = PlainCut { in_hand, from, to, fence, sides };
            let firsts = self.ways(&before, cut, kerf, looked_at);
            let lasts = self.ways(&beyond, &cut_beyond, kerf, looked_at);
            for one in &firsts {
                for other in &lasts {
                    let cuts = [first.clone()].into_iter();
                    let cuts =
                        cuts.chain(one.cuts.iter().cloned()).chain(other.cuts.iter().cloned());
                    let parts = one.parts.iter().chain(&other.parts).copied();
                    ways.push(Way { cuts: cuts.collect(), parts: parts.collect() });
                }
            }
            ways.truncate(MOST_LOOKED_AT);
        }
        ways
    }

    /// Where a cut enters and leaves the paper.
    fn ends(&self, cells: &Cells, axis: usize, line: usize, in_hand: Area) -> [[Length; 2]; 2] {
        let least = [in_hand.left, in_hand.top];
        let other = 1 - axis;
        let met = cells.iter().filter(|cell| cell[axis] == line || cell[axis] + 1 == line);
        let along = met.map(|cell| cell[other]);
        let (first, last) = (along.clone().min().unwrap_or(0), along.max().unwrap_or(0));
        [first, last + 1].map(|end| {
            let mut at = [self.lines[axis][line]; 2];
            // Where an earlier cut has taken its kerf, the paper begins later.
            at[other] = self.lines[other][end].max(least[other]);
            at
        })
    }
}

/// Whether cells hang together.
fn is_one_piece(cells: &Cells) -> bool {
    let Some(&first) = cells.first() else { return false };
    let (mut reached, mut open) = (Cells::from([first]), vec![first]);
    while let Some([column, row]) = open.pop() {
        let mut beside = vec![[column + 1, row], [column, row + 1]];
        beside.extend(column.checked_sub(1).map(|column| [column, row]));
        beside.extend(row.checked_sub(1).map(|row| [column, row]));
        for cell in beside {
            if cells.contains(&cell) && reached.insert(cell) {
                open.push(cell);
            }
        }
    }
    reached.len() == cells.len()
}
