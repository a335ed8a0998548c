//! Edges, relations and wishes.

use serde::Serialize;

/// Marks in an inch: the finest that craft rulers and trimmers share.
pub const MARKS_PER_INCH: i64 = 16;

/// An edge that is placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Edge(pub(super) usize);

/// Where counting begins: the left or upper edge of the spread.
pub const ORIGIN: Edge = Edge(0);

/// How far one edge lies behind another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Kind {
    /// So many marks or more.
    AtLeast,
    /// So many marks.
    Exactly,
}

/// One edge lies so far behind another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Relation {
    /// The edge from which is measured.
    pub from: Edge,
    /// The edge to which is measured.
    pub to: Edge,
    /// Whether that is a least distance.
    pub kind: Kind,
    /// The distance, in marks.
    pub marks: i64,
    /// Why, by its place among the reasons.
    pub reason: usize,
}

/// A square that is wished small: `weight * (sum of factor * edge - target)²`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wish {
    /// Edges with their factors.
    pub terms: Vec<(Edge, f64)>,
    /// What the sum is wished to be, in marks.
    pub target: f64,
    /// How much it matters.
    pub weight: f64,
}

/// Edges, relations and wishes along one side.
#[derive(Clone, Debug, Serialize)]
pub struct Relations {
    pub(super) edges: usize,
    pub(super) relations: Vec<Relation>,
    reasons: Vec<String>,
    pub(super) wishes: Vec<Wish>,
}

impl Default for Relations {
    fn default() -> Self {
        let (relations, reasons, wishes) = (Vec::new(), Vec::new(), Vec::new());
        Self { edges: 1, relations, reasons, wishes }
    }
}

impl Relations {
    /// A new edge.
    pub fn edge(&mut self) -> Edge {
        self.edges += 1;
        Edge(self.edges - 1)
    }

    /// `to` lies `marks` or more behind `from`.
    pub fn at_least(&mut self, from: Edge, to: Edge, marks: i64, why: &str) {
        self.relate(from, to, Kind::AtLeast, marks, why);
    }

    /// `to` lies `marks` behind `from`.
    pub fn exactly(&mut self, from: Edge, to: Edge, marks: i64, why: &str) {
        self.relate(from, to, Kind::Exactly, marks, why);
    }

    fn relate(&mut self, from: Edge, to: Edge, kind: Kind, marks: i64, why: &str) {
        if self.reasons.last().is_none_or(|last| last != why) {
            self.reasons.push(why.to_owned());
        }
        let reason = self.reasons.len() - 1;
        self.relations.push(Relation { from, to, kind, marks, reason });
    }

    /// A square to make small.
    pub fn wish(&mut self, terms: &[(Edge, f64)], target: f64, weight: f64) {
        self.wishes.push(Wish { terms: terms.to_vec(), target, weight });
    }

    /// Keeps a relation if the others permit it; says whether they do.
    pub fn exactly_if_possible(&mut self, from: Edge, to: Edge, marks: i64, why: &str) -> bool {
        self.if_possible(from, to, Kind::Exactly, marks, why)
    }

    /// The same of a least distance.
    pub fn at_least_if_possible(&mut self, from: Edge, to: Edge, marks: i64, why: &str) -> bool {
        self.if_possible(from, to, Kind::AtLeast, marks, why)
    }

    fn if_possible(&mut self, from: Edge, to: Edge, kind: Kind, marks: i64, why: &str) -> bool {
        self.relate(from, to, kind, marks, why);
        let kept = self.conflict().is_none();
        if !kept {
            self.relations.pop();
        }
        kept
    }

    /// Why a relation is kept.
    pub fn reason(&self, relation: &Relation) -> &str {
        self.reasons.get(relation.reason).map_or("", String::as_str)
    }

    /// The relations.
    pub fn relations(&self) -> &[Relation] {
        &self.relations
    }

    /// The first relation that edges at these marks break, in whole numbers.
    pub fn broken(&self, at: &[i64]) -> Option<&Relation> {
        let place = |edge: Edge| at.get(edge.0).copied();
        self.relations.iter().find(|relation| {
            let (Some(from), Some(to)) = (place(relation.from), place(relation.to)) else {
                return true;
            };
            match relation.kind {
                Kind::AtLeast => to - from < relation.marks,
                Kind::Exactly => to - from != relation.marks,
            }
        })
    }

    /// What the wishes cost with edges at these marks.
    pub fn cost(&self, at: &[f64]) -> f64 {
        let of = |wish: &Wish| {
            let sum: f64 = wish.terms.iter().map(|(edge, factor)| factor * at[edge.0]).sum();
            wish.weight * (sum - wish.target).powi(2)
        };
        self.wishes.iter().map(of).sum()
    }
}
