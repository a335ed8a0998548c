//! A sheet made shorter and shorter while its pieces still find room: what is beyond them stays whole.
//!
//! Two phases, as in Gardeyn, Vanden Berghe & Wauters (arXiv 2509.13329): exploration keeps to a
//! length until it works, starting over from earlier failures with two large pieces exchanged;
//! compression shortens what works by ever smaller steps.

use super::arrangement::{Arrangement, Pose};
use super::separation::{Budget, Patience, Separator};
use crate::nest::Search;
use crate::search::Chance;

/// Shortening in exploration, as a share of the length: at first, and at the least, to which it is
/// halved at each failure.
const STRIDES: [f32; 2] = [0.01, 0.001];
/// Shortening in compression, at first and at the end.
const FINE_STRIDES: [f32; 2] = [0.0005, 0.00001];
/// Share of the budget that is kept for compression.
const COMPRESSING: f32 = 0.2;
const EXPLORING_PATIENCE: Patience = Patience { rounds: 200, returns: 3 };
const COMPRESSING_PATIENCE: Patience = Patience { rounds: 100, returns: 5 };
/// What laying a piece on a shortened sheet counts as, in evaluations: even a sheet with nothing in the way
/// is not shortened for ever.
const EVALUATIONS_A_PIECE: u64 = 10;
/// Deviation with which an earlier failure is chosen, as a share of their list, best first.
const SCATTER: f32 = 0.25;
/// Pieces are large if they are among those that make up this share of the forms' area.
const LARGE: f32 = 0.5;

/// A sheet that is being shortened.
pub(super) struct Shortening<'a> {
    movers: Separator<'a>,
    sheet: usize,
    axis: usize,
    sheets: Vec<usize>,
    length: f32,
    best: Vec<Pose>,
    chance: Chance,
}

impl<'a> Shortening<'a> {
    /// An arrangement in which nothing overlaps; pieces move among `sheets`, of which `sheet` is shortened
    /// along an axis (0 across, 1 down).
    pub fn new(
        arrangement: Arrangement<'a>,
        sheet: usize,
        axis: usize,
        sheets: Vec<usize>,
    ) -> Self {
        let best = arrangement.poses().to_vec();
        let length = arrangement.sheets()[sheet][axis];
        let movers = Separator::new(arrangement);
        Self { movers, sheet, axis, sheets, length, best, chance: Chance::new(7) }
    }

    /// The length that is left and where the pieces lie.
    pub fn best(&self) -> (f32, &[Pose]) {
        (self.length, &self.best)
    }

    /// Shortens the sheet until the budget is spent, or until `idle` evaluations went by without a gain.
    pub fn run(&mut self, evaluations: u64, idle: u64, search: &Search) {
        let kept = share(evaluations, COMPRESSING);
        let mut budget = Budget::new(evaluations - kept, search);
        self.explore(&mut budget, idle);
        budget.evaluations += kept;
        self.compress(&mut budget, idle);
    }

    /// Lays the pieces as in `poses` on the sheet made `length` long; those beyond a random line move
    /// up with the end.
    fn shorten(&mut self, length: f32, poses: &[Pose], budget: &mut Budget) -> bool {
        let pieces = u64::try_from(poses.len()).unwrap_or(u64::MAX);
        budget.spend(pieces.saturating_mul(EVALUATIONS_A_PIECE));
        let mut size = self.movers.arrangement().sheets()[self.sheet];
        let by = size[self.axis] - length;
        let line = self.chance.between(0.0, size[self.axis]);
        size[self.axis] = length;
        let moved: Vec<Pose> = poses
            .iter()
            .map(|pose| {
                let mut pose = *pose;
                if pose.sheet == self.sheet && pose.at[self.axis] > line {
                    pose.at[self.axis] -= by;
                }
                pose
            })
            .collect();
        self.movers.resize(self.sheet, size, &moved)
    }

    fn explore(&mut self, budget: &mut Budget, idle: u64) {
        let mut stride = STRIDES[0];
        let mut gained = budget.evaluations;
        'shorter: while !budget.is_spent() {
            let length = self.length * (1.0 - stride);
            let best = self.best.clone();
            if !self.restored() || !self.shorten(length, &best, budget) {
                return;
            }
            let mut failures: Vec<(f32, Vec<Pose>)> = Vec::new();
            while !self.movers.separate(&self.sheets, EXPLORING_PATIENCE, budget) {
                if budget.is_spent() || gained - budget.evaluations > idle {
                    break 'shorter;
                }
                if stride > STRIDES[1] {
                    stride = (stride / 2.0).max(STRIDES[1]);
                    continue 'shorter;
                }
                self.start_over(&mut failures);
            }
            self.keep();
            gained = budget.evaluations;
        }
    }

    /// Back to the best, on a sheet of its length.
    fn restored(&mut self) -> bool {
        let mut size = self.movers.arrangement().sheets()[self.sheet];
        size[self.axis] = self.length;
        let best = self.best.clone();
        self.movers.resize(self.sheet, size, &best)
    }

    fn keep(&mut self) {
        self.length = self.movers.arrangement().sheets()[self.sheet][self.axis];
        self.best = self.movers.arrangement().poses().to_vec();
    }

    /// Notes a failure and lays the pieces as in one of the failures, the better the likelier, with two
    /// large pieces exchanged.
    fn start_over(&mut self, failures: &mut Vec<(f32, Vec<Pose>)>) {
        let overlap = self.movers.arrangement().overlap();
        let place = failures.partition_point(|(other, _)| *other <= overlap);
        failures.insert(place, (overlap, self.movers.arrangement().poses().to_vec()));
        let scattered = (self.chance.scattered() * SCATTER).abs().min(0.999);
        let chosen = whole(scattered * whole_as_part(failures.len())).min(failures.len() - 1);
        let mut poses = failures[chosen].1.clone();
        exchange(self.movers.arrangement(), &mut poses, &mut self.chance);
        self.movers.lay_all(&poses);
    }

    fn compress(&mut self, budget: &mut Budget, idle: u64) {
        let whole = budget.evaluations.max(1);
        let mut gained = budget.evaluations;
        while !budget.is_spent() && gained - budget.evaluations <= idle {
            let left = share_of(budget.evaluations, whole);
            let stride = FINE_STRIDES[1] + (FINE_STRIDES[0] - FINE_STRIDES[1]) * left;
            let length = self.length * (1.0 - stride);
            let best = self.best.clone();
            if !self.restored() || !self.shorten(length, &best, budget) {
                return;
            }
            if self.movers.separate(&self.sheets, COMPRESSING_PATIENCE, budget) {
                self.keep();
                gained = budget.evaluations;
            }
        }
    }
}

/// Exchanges the places of two large pieces of unlike form, if there are two.
pub(super) fn exchange(arrangement: &Arrangement<'_>, poses: &mut [Pose], chance: &mut Chance) {
    let area = |piece: usize| arrangement.form(piece).solid.shape.surrogate().convex_hull_area;
    let mut by_area: Vec<usize> = (0..arrangement.len()).collect();
    by_area.sort_by(|&one, &other| area(other).total_cmp(&area(one)).then(one.cmp(&other)));
    let sum: f32 = by_area.iter().map(|&piece| area(piece)).sum();
    let mut large = Vec::new();
    let mut seen = 0.0;
    for piece in by_area {
        if large.len() >= 2 && seen > LARGE * sum {
            break;
        }
        seen += area(piece);
        large.push(piece);
    }
    let one = large[chance.place(large.len())];
    let others: Vec<usize> =
        large.into_iter().filter(|&other| !arrangement.alike(one, other)).collect();
    if others.is_empty() {
        return;
    }
    let other = others[chance.place(others.len())];
    let (first, second) = (poses[one], poses[other]);
    let moved = |piece: usize, own: Pose, to: Pose| {
        arrangement.inside(piece, Pose { turn: own.turn, ..to }).unwrap_or(own)
    };
    poses[one] = moved(one, first, second);
    poses[other] = moved(other, second, first);
}

/// A share of a count.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a count")]
fn share(count: u64, share: f32) -> u64 {
    (count as f64 * f64::from(share)) as u64
}

fn share_of(part: u64, whole: u64) -> f32 {
    super::collision_polygon::narrow(part as f64 / whole as f64)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative, small")]
fn whole(part: f32) -> usize {
    part.max(0.0) as usize
}

fn whole_as_part(count: usize) -> f32 {
    super::collision_polygon::narrow(count as f64)
}
