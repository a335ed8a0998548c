//! The search for a better place for one piece: samples all over the sheets and near by, then descent
//! from the best of them (the search step of Gardeyn, Vanden Berghe & Wauters, arXiv 2509.13329).

use std::f32::consts::TAU;

use jagua_rs::geometry::primitives::SPolygon;

use super::arrangement::{Arrangement, Pose, room};
use crate::search::Chance;

/// Samples all over the sheets.
const ALL_OVER: usize = 50;
/// Samples near where the piece lies.
const NEAR_BY: usize = 25;
/// Places from which a descent starts.
const STARTS: usize = 3;
/// Steps of a descent, first and least, as a share of the piece's lesser side: the first descent, and
/// the second from the best place of the first.
const STEPS: [[f32; 2]; 2] = [[0.25, 0.02], [0.01, 0.001]];
/// Steps of a turn in radians, first and least, in the same two descents.
const TURN_STEPS: [[f32; 2]; 2] = [[0.15, 0.01], [0.01, 0.001]];
/// How a step grows when it helped.
const LONGER: f32 = 1.1;
/// How a step shrinks when it didn't help.
const SHORTER: f32 = 0.5;
/// Places nearer to each other than this share of the piece's lesser side count as one.
const SAME: f32 = 0.05;

/// The search for one piece.
pub(super) struct CandidateSearch<'a, 'b> {
    arrangement: &'b Arrangement<'a>,
    piece: usize,
    probe: SPolygon,
    chance: &'b mut Chance,
    /// Places looked at.
    pub evaluations: u64,
}

impl<'a, 'b> CandidateSearch<'a, 'b> {
    /// A search for a piece of an arrangement.
    pub fn new(arrangement: &'b Arrangement<'a>, piece: usize, chance: &'b mut Chance) -> Self {
        Self { arrangement, piece, probe: arrangement.probe(piece), chance, evaluations: 0 }
    }

    /// The best place found and its weighted overlap.
    pub fn best(&mut self, sheets: &[usize]) -> Option<(Pose, f32)> {
        let mut best: Vec<(Pose, f32)> = Vec::with_capacity(STARTS + 1);
        let here = self.arrangement.poses()[self.piece];
        if sheets.contains(&here.sheet) {
            let overlap = self.arrangement.weighted(self.piece);
            best.push((here, overlap));
            for _ in 0..NEAR_BY {
                if let Some(pose) = self.near(here) {
                    self.consider(pose, &mut best);
                }
            }
        }
        for _ in 0..ALL_OVER {
            if let Some(pose) = self.anywhere(sheets) {
                self.consider(pose, &mut best);
            }
        }
        for (pose, overlap) in &mut best {
            self.descend(pose, overlap, 0);
        }
        let mut best = best.into_iter().min_by(|one, other| one.1.total_cmp(&other.1))?;
        self.descend(&mut best.0, &mut best.1, 1);
        Some(best)
    }

    /// A place among the best so far, if it is one.
    fn consider(&mut self, pose: Pose, best: &mut Vec<(Pose, f32)>) {
        let bound = if best.len() < STARTS { f32::INFINITY } else { best[best.len() - 1].1 };
        let overlap = self.overlap(&pose, bound);
        if overlap >= bound {
            return;
        }
        let same = SAME * self.arrangement.form(self.piece).narrow_side();
        let twin = best.iter().position(|(other, _)| {
            other.sheet == pose.sheet
                && other.turn == pose.turn
                && (0..2).all(|axis| (other.at[axis] - pose.at[axis]).abs() < same)
        });
        match twin {
            Some(twin) if best[twin].1 <= overlap => return,
            Some(twin) => {
                best.remove(twin);
            }
            None => {}
        }
        let place = best.partition_point(|(_, other)| *other <= overlap);
        best.insert(place, (pose, overlap));
        best.truncate(STARTS);
    }

    fn overlap(&mut self, pose: &Pose, most: f32) -> f32 {
        self.evaluations += 1;
        self.arrangement.overlap_at(self.piece, pose, &mut self.probe, most)
    }

    fn any_turn(&mut self) -> f32 {
        let turns = &self.arrangement.form(self.piece).turns;
        if turns.is_empty() {
            self.chance.between(0.0, TAU)
        } else {
            turns[self.chance.place(turns.len())].0
        }
    }

    fn anywhere(&mut self, sheets: &[usize]) -> Option<Pose> {
        let sheet = *sheets.get(self.chance.place(sheets.len()))?;
        let turn = self.any_turn();
        let bounds = self.arrangement.form(self.piece).at_turn(turn);
        let [low, high] = room(self.arrangement.sheets()[sheet], bounds)?;
        let at = [0, 1].map(|axis| self.chance.between(low[axis], high[axis]));
        Some(Pose { sheet, turn, at })
    }

    fn near(&mut self, here: Pose) -> Option<Pose> {
        let turn = self.any_turn();
        let around = self.arrangement.bounds(self.piece);
        let at = [
            self.chance.between(around.x_min, around.x_max),
            self.chance.between(around.y_min, around.y_max),
        ];
        self.arrangement.inside(self.piece, Pose { turn, at, ..here })
    }

    /// Walks downhill along changing directions with shrinking steps.
    fn descend(&mut self, pose: &mut Pose, overlap: &mut f32, round: usize) {
        let side = self.arrangement.form(self.piece).narrow_side();
        let free = self.arrangement.form(self.piece).turns.is_empty();
        let [first, least] = STEPS[round].map(|share| share * side);
        let [first_turn, least_turn] = TURN_STEPS[round];
        let mut steps = [first, first];
        let mut turn_step = if free { first_turn } else { 0.0 };
        while *overlap > 0.0 && (steps[0] > least || steps[1] > least || turn_step > least_turn) {
            let ways = if free { 5 } else { 4 };
            let way = self.chance.place(ways);
            let (dx, dy, turned) = match way {
                0 => (steps[0], 0.0, 0.0),
                1 => (0.0, steps[1], 0.0),
                2 => (steps[0], steps[1], 0.0),
                3 => (steps[0], -steps[1], 0.0),
                _ => (0.0, 0.0, turn_step),
            };
            let mut better = false;
            for sign in [1.0, -1.0] {
                let moved = Pose {
                    at: [pose.at[0] + sign * dx, pose.at[1] + sign * dy],
                    turn: pose.turn + sign * turned,
                    ..*pose
                };
                let Some(moved) = self.arrangement.inside(self.piece, moved) else { continue };
                if moved == *pose {
                    continue;
                }
                let found = self.overlap(&moved, *overlap);
                if found < *overlap {
                    (*pose, *overlap, better) = (moved, found, true);
                    break;
                }
            }
            let scale = if better { LONGER } else { SHORTER };
            match way {
                0 => steps[0] *= scale,
                1 => steps[1] *= scale,
                2 | 3 => steps = steps.map(|step| step * scale.sqrt()),
                _ => turn_step *= scale,
            }
        }
    }
}
