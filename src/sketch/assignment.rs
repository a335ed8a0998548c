//! Which photo goes to which place: the assignment of least cost, by a library's Hungarian method (Kuhn,
//! Naval Research Logistics 2, 1955; Munkres, SIAM Journal 5, 1957).

use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

/// What a pairing costs that must not be: more than any sum of those that may.
pub const NEVER: i64 = 1_000_000_000;

/// The place of each photo, and what all of them cost together. `costs` has a row for each photo and a column
/// for each place; nothing where there are fewer places than photos, or no photos.
///
/// ```
/// let costs = [vec![4, 1, 3], vec![2, 0, 5]];
/// assert_eq!(cutleaf::sketch::assignment::assign(&costs), Some((3, vec![1, 0])));
/// ```
pub fn assign(costs: &[Vec<i64>]) -> Option<(i64, Vec<usize>)> {
    let places = costs.first()?.len();
    if places < costs.len() || costs.iter().any(|row| row.len() != places) {
        return None;
    }
    let costs = Matrix::from_rows(costs.iter().cloned()).ok()?;
    Some(kuhn_munkres_min(&costs))
}
