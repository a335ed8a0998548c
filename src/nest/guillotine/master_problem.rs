//! What pieces are worth: the linear relaxation of covering all of them by sheet patterns.
//!
//! Every pattern may be used in part. The least cost of covering the pieces then bounds what whole sheets
//! cost, so far as all patterns are known, and its dual values say what a copy of each shape is worth and
//! what a further sheet of a stock that runs out would save (Gilmore & Gomory, Operations Research 9,
//! 1961). The dual problem is the smaller one and is what is solved, by an interior point method
//! (Goulart & Chen, arXiv 2405.12762): its prices lie in the middle of all best ones, which lets column
//! generation settle sooner.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, SolverStatus, SupportedConeT,
};

/// A pattern that may be used.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest) struct Column<'a> {
    /// The sheet's stock.
    pub stock: usize,
    /// Copies by shape.
    pub counts: &'a [(usize, u32)],
    /// Cost of the sheet, all in one unit.
    pub cost: f64,
}

/// What is to be covered.
#[derive(Debug)]
pub(in crate::nest) struct Covering {
    /// Copies by shape.
    pub copies: Vec<u32>,
    /// How many sheets there are of each stock, if they can run out.
    pub sheets: Vec<Option<u32>>,
    /// Cost of a copy that stays uncovered, more than that of any sheet.
    pub uncovered: f64,
}

/// The relaxation's answer, costs in the unit of the columns.
#[derive(Debug)]
pub(in crate::nest) struct DualValues {
    /// Worth of a copy by shape.
    pub shapes: Vec<f64>,
    /// Worth of a further sheet by stock.
    pub stocks: Vec<f64>,
    /// How often every column is used.
    pub shares: Vec<f64>,
    /// What covering everything costs.
    pub cost: f64,
}

/// Covers the pieces by parts of patterns at the least cost; nothing where the numbers don't allow it.
pub(in crate::nest) fn dual_values(
    columns: &[Column<'_>],
    wanted: &Covering,
) -> Option<DualValues> {
    let shapes: Vec<usize> =
        (0..wanted.copies.len()).filter(|&shape| wanted.copies[shape] > 0).collect();
    let stocks: Vec<usize> =
        (0..wanted.sheets.len()).filter(|&stock| wanted.sheets[stock].is_some()).collect();
    let (matrix, limits) = constraints(columns, wanted, &shapes, &stocks);
    let copies = shapes.iter().map(|&shape| -f64::from(wanted.copies[shape]));
    let sheets = stocks.iter().map(|&stock| f64::from(wanted.sheets[stock].unwrap_or(0)));
    let goal: Vec<f64> = copies.chain(sheets).collect();
    let settings = DefaultSettingsBuilder::default().verbose(false).build().ok()?;
    let cones = [SupportedConeT::NonnegativeConeT(limits.len())];
    let quadratic = CscMatrix::zeros((goal.len(), goal.len()));
    let mut solver =
        DefaultSolver::new(&quadratic, &goal, &matrix, &limits, &cones, settings).ok()?;
    solver.solve();
    let found = &solver.solution;
    if !matches!(found.status, SolverStatus::Solved | SolverStatus::AlmostSolved) {
        return None;
    }
    let mut prices = DualValues {
        shapes: vec![0.0; wanted.copies.len()],
        stocks: vec![0.0; wanted.sheets.len()],
        shares: found.z[..columns.len()].to_vec(),
        cost: -found.obj_val,
    };
    let (of_shapes, of_stocks) = found.x.split_at(shapes.len());
    for (&shape, &price) in shapes.iter().zip(of_shapes) {
        prices.shapes[shape] = price.max(0.0);
    }
    for (&stock, &price) in stocks.iter().zip(of_stocks) {
        prices.stocks[stock] = price.max(0.0);
    }
    Some(prices)
}

/// A row for each column: its pieces are worth no more than the sheet. Then the bounds of each price. The
/// prices are those of shapes, then of stocks.
fn constraints(
    columns: &[Column<'_>],
    wanted: &Covering,
    shapes: &[usize],
    stocks: &[usize],
) -> (CscMatrix<f64>, Vec<f64>) {
    let mut row_of = vec![None; wanted.copies.len()];
    for (price, &shape) in shapes.iter().enumerate() {
        row_of[shape] = Some(price);
    }
    let mut entries: Vec<Vec<(usize, f64)>> = vec![Vec::new(); shapes.len() + stocks.len()];
    let mut limits = Vec::with_capacity(columns.len() + 2 * entries.len());
    for column in columns {
        for &(shape, count) in column.counts {
            if let Some(price) = row_of[shape] {
                let count = count.min(wanted.copies[shape]);
                entries[price].push((limits.len(), f64::from(count)));
            }
        }
        if let Some(place) = stocks.iter().position(|&stock| stock == column.stock) {
            entries[shapes.len() + place].push((limits.len(), -1.0));
        }
        limits.push(column.cost);
    }
    for (place, entries) in entries.iter_mut().enumerate() {
        entries.push((limits.len(), -1.0));
        limits.push(0.0);
        if place < shapes.len() {
            entries.push((limits.len(), 1.0));
            limits.push(wanted.uncovered);
        }
    }
    let mut starts = vec![0];
    for entries in &entries {
        starts.push(starts[starts.len() - 1] + entries.len());
    }
    let (rows, values) = entries.iter().flatten().copied().unzip();
    (CscMatrix::new(limits.len(), entries.len(), starts, rows, values), limits)
}
