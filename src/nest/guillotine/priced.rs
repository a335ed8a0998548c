//! Sheet patterns of a job of many copies, found by prices: the trimmer's cutting stock problem.
//!
//! The copies are demands and a pattern may be cut any number of times (Gilmore & Gomory, Operations Research
//! 9, 1961, and for two dimensions 13, 1965). How often each is cut is chosen elsewhere.

use super::column_generation::Columns;
use super::trim::{Course, Patterned, Trimmed, problem, reading};
use crate::nest::rectangles::{blocks, inside_rim};
use crate::nest::{Job, Search};

/// Patterns that are kept for each shape, and beside.
const KEPT: (usize, usize) = (6, 24);

/// Patterns that are worth their sheet or nearly so by the prices of the trimmer's pieces; each names its
/// copies from 0.
pub(in crate::nest) fn priced_patterns(
    job: &Job,
    kerf: i64,
    margin: i64,
    steps: u64,
    search: &Search,
) -> Vec<Patterned> {
    let mut trimmed = Trimmed {
        used: vec![0; job.stock.len()],
        left_out: vec![0; job.items.len()],
        blocks: blocks(job, kerf),
        ..Trimmed::default()
    };
    let none = vec![0; trimmed.blocks.len()];
    let mut problem =
        problem(job, kerf, margin, &Course { steps, ..Course::default() }, &trimmed, &none);
    problem.search = search.clone();
    if problem.pieces() == 0 {
        return Vec::new();
    }
    let (each, beside) = KEPT;
    let patterns = Columns::new(&problem, steps).settled(each * problem.shapes.len() + beside);
    let mut found = Vec::with_capacity(patterns.len());
    for pattern in patterns {
        let inside = job.stock.get(pattern.stock).and_then(|stock| inside_rim(stock, margin));
        let Some(patch) = inside else { continue };
        let mut forest = problem.blank();
        forest.adopt(&pattern, 0);
        let Some(sheet) = forest.sheets.first() else { continue };
        let mut numbers = none.clone();
        let root = reading(&forest, &mut trimmed, &mut numbers, sheet.root, patch.at);
        found.push(Patterned { stock: pattern.stock, root });
    }
    found
}
