//! The outline of an offcut: any shape with straight, square sides, as a trimmer and a machine leave it.

use serde::{Deserialize, Serialize};

use crate::model::length::{Length, Size};

/// Corners that a shape may have; what cuts leave has far fewer.
const MOST_CORNERS: usize = 200;

/// A shape with straight, square sides: corners round it in order, and openings in it. The least corner of
/// its bounding box is at 0, 0; lengths grow to the right and down.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(into = "Vec<Vec<[f64; 2]>>", try_from = "Vec<Vec<[f64; 2]>>")]
pub struct Shape {
    corners: Vec<[Length; 2]>,
    holes: Vec<Vec<[Length; 2]>>,
}

impl Shape {
    /// A rectangle.
    pub fn rectangle(size: Size) -> Self {
        let (zero, Size { width, height }) = (Length::ZERO, size);
        let corners = vec![[zero, zero], [width, zero], [width, height], [zero, height]];
        Self { corners, holes: Vec::new() }
    }

    /// A shape from its corners and openings, moved to 0, 0; or why it is none.
    ///
    /// ```
    /// use cutleaf::model::length::{Length, Size};
    /// use cutleaf::stock::Shape;
    /// let inches = |corners: &[[f64; 2]]| corners.iter().map(|at| at.map(Length::inches)).collect();
    /// let el = Shape::new(inches(&[[0., 0.], [6., 0.], [6., 2.], [2., 2.], [2., 5.], [0., 5.]]), vec![]);
    /// let el = el.unwrap();
    /// assert_eq!(el.area(), 18.0);
    /// assert!(el.place_for(Size::inches(2.0, 5.0)).is_some());
    /// assert!(el.place_for(Size::inches(3.0, 3.0)).is_none());
    /// assert!(Shape::new(inches(&[[0., 0.], [6., 0.], [3., 4.]]), vec![]).is_err());
    /// ```
    pub fn new(
        corners: Vec<[Length; 2]>,
        holes: Vec<Vec<[Length; 2]>>,
    ) -> Result<Self, &'static str> {
        if corners.len() + holes.iter().map(Vec::len).sum::<usize>() > MOST_CORNERS {
            return Err("it has more corners than cuts leave");
        }
        let corners = straightened(corners)?;
        let holes: Vec<_> = holes.into_iter().map(straightened).collect::<Result<_, _>>()?;
        let rings: Vec<&Vec<_>> = std::iter::once(&corners).chain(&holes).collect();
        if rings.iter().enumerate().any(|(number, ring)| {
            touches_itself(ring) || rings[..number].iter().any(|other| touch(ring, other))
        }) {
            return Err("its sides cross or touch each other");
        }
        let outside = |hole: &Vec<[Length; 2]>| hole.iter().any(|at| !inside(&corners, *at));
        let within = |one: &Vec<_>, other: &Vec<_>| one != other && inside(other, one[0]);
        if holes.iter().any(outside)
            || holes.iter().any(|one| holes.iter().any(|other| within(one, other)))
        {
            return Err("an opening lies outside it, or in another");
        }
        let least = |axis: usize| corners.iter().map(|at| at[axis]).min().unwrap_or(Length::ZERO);
        let (left, top) = (least(0), least(1));
        let move_all = |ring: Vec<[Length; 2]>| -> Vec<[Length; 2]> {
            ring.into_iter().map(|[x, y]| [x - left, y - top]).collect()
        };
        let holes = holes.into_iter().map(move_all).collect();
        Ok(Self { corners: move_all(corners), holes })
    }

    /// Its corners, round it in order.
    pub fn corners(&self) -> &[[Length; 2]] {
        &self.corners
    }

    /// Its openings, each as corners.
    pub fn holes(&self) -> &[Vec<[Length; 2]>] {
        &self.holes
    }

    /// The outline and the openings.
    pub fn rings(&self) -> impl Iterator<Item = &Vec<[Length; 2]>> {
        std::iter::once(&self.corners).chain(&self.holes)
    }

    /// Whether a point that lies on none of its sides is paper.
    pub fn covers(&self, at: [Length; 2]) -> bool {
        inside(&self.corners, at) && !self.holes.iter().any(|hole| inside(hole, at))
    }

    /// The size of its bounding box.
    pub fn bounds(&self) -> Size {
        let most =
            |axis: usize| self.corners.iter().map(|at| at[axis]).max().unwrap_or(Length::ZERO);
        Size::new(most(0), most(1))
    }

    /// Its size, if it is a rectangle.
    pub fn as_rectangle(&self) -> Option<Size> {
        (self.corners.len() == 4 && self.holes.is_empty()).then(|| self.bounds())
    }

    /// Its area in square inches.
    pub fn area(&self) -> f64 {
        ring_area(&self.corners) - self.holes.iter().map(|hole| ring_area(hole)).sum::<f64>()
    }

    /// Where a rectangle fits into it as it lies, the highest place, then the leftmost.
    pub fn place_for(&self, size: Size) -> Option<[Length; 2]> {
        let largest = self.largest_rectangles();
        let fitting = largest.into_iter().filter(|(_, room)| room.holds(size));
        fitting.map(|(at, _)| at).min_by_key(|[x, y]| [*y, *x])
    }

    /// All rectangles in it that can't grow on any side, each with its place.
    pub fn largest_rectangles(&self) -> Vec<([Length; 2], Size)> {
        if let Some(size) = self.as_rectangle() {
            return vec![([Length::ZERO; 2], size)];
        }
        let lines = |axis: usize| -> Vec<Length> {
            let mut lines: Vec<Length> = self.rings().flatten().map(|at| at[axis]).collect();
            lines.sort_unstable();
            lines.dedup();
            lines
        };
        let (xs, ys) = (lines(0), lines(1));
        let middle = |pair: &[Length]| (pair[0] + pair[1]) / 2;
        let cells: Vec<Vec<bool>> = ys
            .windows(2)
            .map(|row| xs.windows(2).map(|c| self.covers([middle(c), middle(row)])).collect())
            .collect();
        let mut found = Vec::new();
        // For each band of rows, the widest runs of columns that are paper in all of them.
        for top in 0..cells.len() {
            let mut open = vec![true; xs.len().saturating_sub(1)];
            for bottom in top..cells.len() {
                for (open, cell) in open.iter_mut().zip(&cells[bottom]) {
                    *open &= cell;
                }
                for (from, to) in runs(&open) {
                    let grows = |row: Option<&Vec<bool>>| {
                        row.is_some_and(|row| row[from..to].iter().all(|cell| *cell))
                    };
                    let above = top.checked_sub(1).and_then(|row| cells.get(row));
                    if !grows(above) && !grows(cells.get(bottom + 1)) {
                        let at = [xs[from], ys[top]];
                        let size = Size::new(xs[to] - xs[from], ys[bottom + 1] - ys[top]);
                        found.push((at, size));
                    }
                }
            }
        }
        found
    }
}

/// Runs of what is true: from, and to without it.
fn runs(open: &[bool]) -> Vec<(usize, usize)> {
    let mut runs = Vec::new();
    let mut from = None;
    for (at, is_open) in open.iter().chain(&[false]).enumerate() {
        match (from, *is_open) {
            (None, true) => from = Some(at),
            (Some(start), false) => {
                runs.push((start, at));
                from = None;
            }
            _ => {}
        }
    }
    runs
}

/// A ring without corners on its straight sides, whose sides are across and down by turns; or why it isn't
/// so.
fn straightened(ring: Vec<[Length; 2]>) -> Result<Vec<[Length; 2]>, &'static str> {
    let mut kept: Vec<[Length; 2]> = Vec::new();
    for at in ring {
        if kept.last() != Some(&at) {
            kept.push(at);
        }
    }
    if kept.len() > 1 && kept.first() == kept.last() {
        kept.pop();
    }
    let is_level = |one: [Length; 2], other: [Length; 2]| one[1] == other[1];
    let is_upright = |one: [Length; 2], other: [Length; 2]| one[0] == other[0];
    let count = kept.len();
    let sides = (0..count).map(|at| (kept[at], kept[(at + 1) % count]));
    if sides.clone().any(|(one, other)| !is_level(one, other) && !is_upright(one, other)) {
        return Err("a side of it is neither level nor upright");
    }
    let corner = |at: usize| {
        let (before, here, after) =
            (kept[(at + count - 1) % count], kept[at], kept[(at + 1) % count]);
        is_level(before, here) != is_level(here, after)
    };
    let ring: Vec<[Length; 2]> = (0..count).filter(|at| corner(*at)).map(|at| kept[at]).collect();
    if ring.len() < 4 || ring_area(&ring) <= 0.0 {
        return Err("it has fewer than four corners");
    }
    Ok(ring)
}

/// Area in square inches.
fn ring_area(ring: &[[Length; 2]]) -> f64 {
    let inches: Vec<[f64; 2]> = ring.iter().map(|at| at.map(Length::to_inches)).collect();
    let next = |at: usize| inches[(at + 1) % inches.len()];
    let twice: f64 =
        (0..inches.len()).map(|at| inches[at][0] * next(at)[1] - next(at)[0] * inches[at][1]).sum();
    (twice / 2.0).abs()
}

/// The sides of a ring as spans: least and greatest corner.
fn sides(ring: &[[Length; 2]]) -> Vec<[[Length; 2]; 2]> {
    let next = |at: usize| ring[(at + 1) % ring.len()];
    let ordered = |one: [Length; 2], other: [Length; 2]| {
        [[one[0].min(other[0]), one[1].min(other[1])], [one[0].max(other[0]), one[1].max(other[1])]]
    };
    (0..ring.len()).map(|at| ordered(ring[at], next(at))).collect()
}

fn meet(one: &[[Length; 2]; 2], other: &[[Length; 2]; 2]) -> bool {
    (0..2).all(|axis| one[0][axis] <= other[1][axis] && other[0][axis] <= one[1][axis])
}

/// Whether sides of a ring that don't follow each other meet.
fn touches_itself(ring: &[[Length; 2]]) -> bool {
    let sides = sides(ring);
    let count = sides.len();
    (0..count).any(|one| {
        (one + 2..count)
            .filter(|other| (other + 1) % count != one)
            .any(|other| meet(&sides[one], &sides[other]))
    })
}

fn touch(one: &[[Length; 2]], other: &[[Length; 2]]) -> bool {
    let others = sides(other);
    sides(one).iter().any(|side| others.iter().any(|other| meet(side, other)))
}

/// Whether a point that lies on no side is inside a ring: by the sides above it.
fn inside(ring: &[[Length; 2]], [x, y]: [Length; 2]) -> bool {
    let above = |side: &&[[Length; 2]; 2]| {
        let [from, to] = **side;
        from[1] == to[1] && from[1] < y && from[0] <= x && x < to[0]
    };
    sides(ring).iter().filter(above).count() % 2 == 1
}
