//! Relations that contradict each other: a chain of them that leads back to where it began, longer than it
//! may be.

use super::system::{Edge, Kind, Relation, Relations};

/// A chain of relations that can't all be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The relations, each beginning where the one before ends.
    pub chain: Vec<Relation>,
    /// By how many marks they are too much.
    pub excess: i64,
}

/// `to >= from + marks`, from a relation by its place.
#[derive(Clone, Copy)]
struct Step {
    from: Edge,
    to: Edge,
    marks: i64,
    relation: usize,
}

impl Relations {
    /// A chain of relations that contradict each other, if they do: a cycle of positive length among the
    /// difference constraints (Bellman & Ford).
    pub fn conflict(&self) -> Option<Conflict> {
        let steps: Vec<Step> = self.steps().collect();
        let mut reach = vec![0_i64; self.edges];
        let mut came: Vec<Option<usize>> = vec![None; self.edges];
        let mut moved = None;
        for _ in 0..=self.edges {
            moved = None;
            for (number, step) in steps.iter().enumerate() {
                let wanted = reach[step.from.0] + step.marks;
                if wanted > reach[step.to.0] {
                    reach[step.to.0] = wanted;
                    came[step.to.0] = Some(number);
                    moved = Some(step.to);
                }
            }
            moved?;
        }
        let before = |edge: Edge| came[edge.0].map(|number| &steps[number]);
        // As many steps back as there are edges lead into the cycle.
        let mut within = moved?;
        for _ in 0..self.edges {
            within = before(within)?.from;
        }
        let mut chain = Vec::new();
        let (mut edge, mut excess) = (within, 0);
        loop {
            let step = before(edge)?;
            chain.push(self.relations[step.relation]);
            excess += step.marks;
            edge = step.from;
            if edge == within {
                break;
            }
        }
        chain.reverse();
        Some(Conflict { chain, excess })
    }

    fn steps(&self) -> impl Iterator<Item = Step> + '_ {
        self.relations.iter().enumerate().flat_map(|(number, relation)| {
            let Relation { from, to, kind, marks, .. } = *relation;
            let there = Step { from, to, marks, relation: number };
            let back = Step { from: to, to: from, marks: -marks, relation: number };
            let back = (kind == Kind::Exactly).then_some(back);
            std::iter::once(there).chain(back)
        })
    }
}
