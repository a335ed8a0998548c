//! The wishes at their smallest, edges anywhere between marks: a convex quadratic programme, solved by an
//! interior point method (Goulart & Chen, arXiv 2405.12762).

use std::collections::BTreeMap;

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, SolverStatus, SupportedConeT,
};

use super::system::{Edge, Kind, ORIGIN, Relations, Wish};

/// How exactly relations and the optimum are met, in marks and in squares of marks. The latter is never taken
/// as a share of the cost: without its constant that is large.
const TOLERANCE: f64 = 1e-9;
const NO_SHARE: f64 = 1e-15;

/// A sparse matrix as its entries by column, then row.
type Entries = BTreeMap<(usize, usize), f64>;

impl Relations {
    /// Where all edges lie with the smallest cost, the origin first; nothing where the numbers don't allow
    /// it.
    pub fn smallest(&self) -> Option<Vec<f64>> {
        let unknown = self.edges - 1;
        if unknown == 0 {
            return Some(vec![0.0]);
        }
        let (square, linear) = self.goal();
        let (rows, limits, equalities) = self.rows();
        let settings = DefaultSettingsBuilder::default()
            .verbose(false)
            .tol_feas(TOLERANCE)
            .tol_gap_abs(TOLERANCE)
            .tol_gap_rel(NO_SHARE)
            .build()
            .ok()?;
        let cones = [
            SupportedConeT::ZeroConeT(equalities),
            SupportedConeT::NonnegativeConeT(limits.len() - equalities),
        ];
        let square = matrix(unknown, unknown, &square);
        let rows = matrix(limits.len(), unknown, &rows);
        let mut solver =
            DefaultSolver::new(&square, &linear, &rows, &limits, &cones, settings).ok()?;
        solver.solve();
        let found = &solver.solution;
        if !matches!(found.status, SolverStatus::Solved | SolverStatus::AlmostSolved) {
            return None;
        }
        Some(std::iter::once(0.0).chain(found.x.iter().copied()).collect())
    }

    /// The sum of wishes as `x P x / 2 + q x`, without its constant: the upper half of P, and q.
    fn goal(&self) -> (Entries, Vec<f64>) {
        let mut square = Entries::new();
        let mut linear = vec![0.0; self.edges - 1];
        for Wish { terms, target, weight } in &self.wishes {
            let terms: Vec<(usize, f64)> = terms
                .iter()
                .filter(|(edge, _)| *edge != ORIGIN)
                .map(|(edge, factor)| (edge.0 - 1, *factor))
                .collect();
            for &(one, factor) in &terms {
                linear[one] -= 2.0 * weight * factor * target;
                for &(other, second) in terms.iter().filter(|(other, _)| *other >= one) {
                    // An edge that is named twice in a wish meets itself in both orders.
                    *square.entry((other, one)).or_default() += 2.0 * weight * factor * second;
                }
            }
        }
        (square, linear)
    }

    /// The relations as rows, equalities first: `row x = limit`, then `row x <= limit`.
    fn rows(&self) -> (Entries, Vec<f64>, usize) {
        let (mut rows, mut limits) = (Entries::new(), Vec::new());
        let exact = self.relations.iter().filter(|relation| relation.kind == Kind::Exactly);
        let least = self.relations.iter().filter(|relation| relation.kind == Kind::AtLeast);
        let equalities = exact.clone().count();
        for relation in exact.chain(least) {
            let mut add = |edge: Edge, factor: f64| {
                if edge != ORIGIN {
                    *rows.entry((edge.0 - 1, limits.len())).or_default() += factor;
                }
            };
            add(relation.from, 1.0);
            add(relation.to, -1.0);
            limits.push(-(relation.marks as f64));
        }
        (rows, limits, equalities)
    }
}

fn matrix(height: usize, width: usize, entries: &Entries) -> CscMatrix<f64> {
    let mut starts = vec![0; width + 1];
    for (column, _) in entries.keys() {
        starts[column + 1] += 1;
    }
    for column in 0..width {
        starts[column + 1] += starts[column];
    }
    let rows = entries.keys().map(|(_, row)| *row).collect();
    let values = entries.values().copied().collect();
    CscMatrix::new(height, width, starts, rows, values)
}
