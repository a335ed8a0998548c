//! Whether one set of polygon edges runs along another: a grid of edges, asked for nearness.

use crate::geometry::boolean::polygon::{Polygons, edges, gap};

/// Cells along the longer side of the grid; 128 keeps a word's few thousand edges at some per cell.
const CELLS: f64 = 128.0;

/// Points tried along long edges lie no further apart than this, in inches.
const STEP: f64 = 0.05;

/// The least size of a cell in inches, so that a speck doesn't make a grid of specks.
const LEAST_CELL: f64 = 0.01;

/// Edges of polygons, findable by place.
pub(crate) struct Edge {
    edges: Vec<[[f64; 2]; 2]>,
    cells: Vec<Vec<usize>>,
    from: [f64; 2],
    cell: f64,
    columns: usize,
    rows: usize,
}

impl Edge {
    /// The edges of every ring.
    pub(crate) fn of(polygons: &Polygons) -> Self {
        let edges: Vec<_> = polygons.rings().flat_map(edges).collect();
        let mut from = [f64::INFINITY; 2];
        let mut to = [f64::NEG_INFINITY; 2];
        for point in edges.iter().flatten() {
            for axis in 0..2 {
                from[axis] = from[axis].min(point[axis]);
                to[axis] = to[axis].max(point[axis]);
            }
        }
        if edges.is_empty() {
            (from, to) = ([0.0; 2], [0.0; 2]);
        }
        let cell = ((to[0] - from[0]).max(to[1] - from[1]) / CELLS).max(LEAST_CELL);
        let columns = whole((to[0] - from[0]) / cell) + 1;
        let rows = whole((to[1] - from[1]) / cell) + 1;
        let mut grid =
            Self { edges, cells: vec![Vec::new(); columns * rows], from, cell, columns, rows };
        for index in 0..grid.edges.len() {
            let [one, other] = grid.edges[index];
            let low = [one[0].min(other[0]), one[1].min(other[1])];
            let high = [one[0].max(other[0]), one[1].max(other[1])];
            for cell in grid.cells_between(low, high) {
                grid.cells[cell].push(index);
            }
        }
        grid
    }

    /// Whether every point of these edges lies within `reach` of the other edges.
    pub(crate) fn lies_along(&self, other: &Self, reach: f64) -> bool {
        self.every_point(|at| other.is_within(at, reach))
    }

    /// Whether every point of these edges lies at least the one distance from the other edges, and at most
    /// the other.
    pub(crate) fn lies_between(&self, other: &Self, [least, most]: [f64; 2]) -> bool {
        self.every_point(|at| {
            other.is_within(at, most) && !(least > 0.0 && other.is_within(at, least))
        })
    }

    fn every_point(&self, holds: impl Fn([f64; 2]) -> bool) -> bool {
        self.edges.iter().all(|&[one, two]| {
            let steps = ((two[0] - one[0]).hypot(two[1] - one[1]) / STEP).ceil().max(1.0);
            (0..whole(steps)).all(|step| {
                let share = f64::from(u32::try_from(step).unwrap_or(u32::MAX)) / steps;
                holds([one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1])])
            })
        })
    }

    /// Whether some edge lies nearer than `reach`.
    pub(crate) fn is_within(&self, at: [f64; 2], reach: f64) -> bool {
        let low = [at[0] - reach, at[1] - reach];
        let high = [at[0] + reach, at[1] + reach];
        self.cells_between(low, high)
            .into_iter()
            .any(|cell| self.cells[cell].iter().any(|&edge| gap(self.edges[edge], at) <= reach))
    }

    fn cells_between(&self, low: [f64; 2], high: [f64; 2]) -> Vec<usize> {
        let column = |x: f64| whole((x - self.from[0]) / self.cell).min(self.columns - 1);
        let row = |y: f64| whole((y - self.from[1]) / self.cell).min(self.rows - 1);
        let mut cells = Vec::new();
        for row in row(low[1])..=row(high[1]) {
            for column in column(low[0])..=column(high[0]) {
                cells.push(row * self.columns + column);
            }
        }
        cells
    }
}

/// The whole number at or below a number; 0 for what is negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates, which is meant"
)]
fn whole(number: f64) -> usize {
    number.floor() as usize
}
