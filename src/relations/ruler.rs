//! Edges from between marks onto the ruler, with every relation kept.
//!
//! If `to >= from + marks` holds anywhere, then `floor(to + t) >= floor(from + t) + marks` holds for every t,
//! since `marks` is whole: so all edges are taken down to marks from one common threshold, and the threshold
//! that costs least is kept. Groups of edges then move by a mark, with all that they push, as long as that
//! makes the cost smaller (steepest descent as for L-natural convex functions: Murota, Discrete Convex
//! Analysis, 2003, chapter 10).

use super::conflict::Conflict;
use super::system::{Edge, Kind, ORIGIN, Relations};

/// Nearer than this, in marks, two places are one: what a solver's rounding may add.
const NOISE: f64 = 1e-5;
/// How often all groups are tried at most.
const MOST_ROUNDS: usize = 200;

/// Edges on the ruler.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    at: Vec<i64>,
    /// What the wishes cost there.
    pub cost: f64,
    /// What they cost between marks: no more than on the ruler.
    pub least: f64,
}

impl Settled {
    /// Where an edge lies, in marks from the origin.
    pub fn at(&self, edge: Edge) -> i64 {
        self.at.get(edge.0).copied().unwrap_or(0)
    }

    /// All edges in order, the origin first.
    pub fn all(&self) -> &[i64] {
        &self.at
    }
}

/// Edges that relations hold at exact distances of each other move as one.
struct Groups {
    /// The group of each edge.
    of: Vec<usize>,
    /// How far each edge lies behind its group's place.
    behind: Vec<i64>,
    /// `to >= from + marks` between groups.
    between: Vec<(usize, usize, i64)>,
    /// The group of the origin.
    fixed: usize,
}

impl Groups {
    fn of(relations: &Relations) -> Self {
        let edges = relations.edges;
        let (mut of, mut behind) = ((0..edges).collect::<Vec<_>>(), vec![0_i64; edges]);
        for relation in relations.relations.iter().filter(|one| one.kind == Kind::Exactly) {
            let (from, to) = (relation.from.0, relation.to.0);
            let (kept, joined) = (of[from], of[to]);
            if kept == joined {
                continue;
            }
            // `to` shall lie `marks` behind `from`: the whole group of `to` is told from the group of `from`.
            let shift = behind[from] + relation.marks - behind[to];
            for edge in (0..edges).filter(|&edge| of[edge] == joined).collect::<Vec<_>>() {
                of[edge] = kept;
                behind[edge] += shift;
            }
        }
        let between = relations.relations.iter().filter(|one| one.kind == Kind::AtLeast);
        let between = between.map(|one| {
            let marks = one.marks + behind[one.from.0] - behind[one.to.0];
            (of[one.from.0], of[one.to.0], marks)
        });
        let between = between.filter(|(from, to, _)| from != to).collect();
        let fixed = of[ORIGIN.0];
        Self { of, behind, between, fixed }
    }

    /// All edges with the groups at these places.
    fn edges(&self, places: &[i64]) -> Vec<i64> {
        let origin = places[self.fixed] + self.behind[ORIGIN.0];
        self.of.iter().zip(&self.behind).map(|(&of, behind)| places[of] + behind - origin).collect()
    }

    /// A group and all that it pushes, moved by a mark; nothing where that would move the origin.
    fn pushed(&self, places: &[i64], group: usize, by: i64) -> Option<Vec<i64>> {
        let mut moved = places.to_vec();
        let mut pushing = vec![group];
        moved[group] += by;
        while let Some(one) = pushing.pop() {
            if one == self.fixed {
                return None;
            }
            for &(from, to, marks) in &self.between {
                if moved[to] - moved[from] >= marks {
                    continue;
                }
                let next = if by > 0 { to } else { from };
                moved[next] += by;
                pushing.push(next);
            }
        }
        Some(moved)
    }
}

impl Relations {
    /// The edges on the ruler: all relations kept, in whole numbers, at a cost as small as is found.
    pub fn settle(&self) -> Result<Settled, Conflict> {
        if let Some(conflict) = self.conflict() {
            return Err(conflict);
        }
        let groups = Groups::of(self);
        let between = self.smallest();
        let cost = |places: &[i64]| self.cost_on_ruler(&groups.edges(places));
        let kept = |places: &Vec<i64>| self.broken(&groups.edges(places)).is_none();
        let thresholds = between.as_deref().map(|at| thresholds(at, &groups)).unwrap_or_default();
        let best = thresholds
            .into_iter()
            .filter(kept)
            .map(|places| (cost(&places), places))
            .min_by(|one, other| one.0.total_cmp(&other.0));
        let (mut least, mut places) = best.unwrap_or_else(|| {
            let places = self.leftmost(&groups);
            (cost(&places), places)
        });
        for _ in 0..MOST_ROUNDS {
            let before = least;
            for group in (0..self.edges).filter(|&group| groups.of[group] == group) {
                for by in [1, -1] {
                    let Some(moved) = groups.pushed(&places, group, by) else { continue };
                    let now = cost(&moved);
                    if now < least - NOISE && kept(&moved) {
                        (least, places) = (now, moved);
                    }
                }
            }
            if least >= before {
                break;
            }
        }
        let at = groups.edges(&places);
        let smallest = between.map_or(least, |at| self.cost(&at));
        Ok(Settled { at, cost: least, least: smallest })
    }

    fn cost_on_ruler(&self, at: &[i64]) -> f64 {
        self.cost(&at.iter().map(|marks| *marks as f64).collect::<Vec<_>>())
    }

    /// Groups as far to the left as the relations let them, which is a place for all where there is one.
    fn leftmost(&self, groups: &Groups) -> Vec<i64> {
        let mut places = vec![0_i64; self.edges];
        for _ in 0..=self.edges {
            for &(from, to, marks) in &groups.between {
                places[to] = places[to].max(places[from] + marks);
            }
        }
        places
    }
}

/// The groups' places taken down to marks, once for each threshold that makes a difference.
fn thresholds(at: &[f64], groups: &Groups) -> Vec<Vec<i64>> {
    let place = |group: usize| at[group] - groups.behind[group] as f64;
    let heads: Vec<usize> = (0..at.len()).filter(|&edge| groups.of[edge] == edge).collect();
    // Shares of a mark behind the group of the origin, which stays where it is.
    let start = place(groups.fixed);
    let behind = |group: usize| {
        let behind = place(group) - start;
        if (behind - behind.round()).abs() < NOISE { behind.round() } else { behind }
    };
    let mut shares: Vec<f64> = heads.iter().map(|&head| behind(head).rem_euclid(1.0)).collect();
    shares.push(1.0);
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|one, other| (*one - *other).abs() < NOISE);
    let taken = |pair: &[f64]| {
        let threshold = 1.0 - f64::midpoint(pair[0], pair[1]);
        let mut places = vec![0; at.len()];
        for &head in &heads {
            places[head] = whole(behind(head) + threshold);
        }
        places
    };
    shares.windows(2).map(taken).collect()
}

#[expect(clippy::cast_possible_truncation, reason = "edges lie within a few spreads")]
fn whole(marks: f64) -> i64 {
    marks.floor().clamp(-1e9, 1e9) as i64
}
