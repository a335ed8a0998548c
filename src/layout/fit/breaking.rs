//! Which photos stand in which line of a grid whose lines end flush.
//!
//! The photos keep their order, so a way to break them is the shortest path over the places between them;
//! what each line costs follows from sums over the first so many photos, and is told at once.

use crate::description::BankBy;
use crate::model::length::Length;

use super::line::{in_marks, mark};
use super::prints::{EQUAL, Flush, LEAST, Print, Sides, ratios};

/// Photos that are to be broken into lines.
pub(super) struct Breaking<'a> {
    flush: &'a Flush,
    /// Of each photo in marks.
    sides: Vec<Sides>,
    /// What each has beyond them along the line.
    beyond: Vec<Length>,
    /// Over the first so many photos, in marks: what they are long; thick; long for each mark that they are
    /// thick; and the squares of these, the first of them times the last too.
    sums: Vec<Sums>,
}

/// Sums over photos.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    long: i64,
    thick: f64,
    ratio: f64,
    long_squared: f64,
    thick_squared: f64,
    ratio_squared: f64,
    ratio_long: f64,
}

/// What is known of the photos of a line while it grows.
#[derive(Clone, Copy, Debug)]
struct Extremes {
    thinnest: i64,
    thickest: i64,
    shortest: i64,
    beyond: Length,
}

impl<'a> Breaking<'a> {
    pub fn of(flush: &'a Flush, prints: &[Print]) -> Self {
        let sides: Vec<Sides> = prints.iter().map(|print| flush.sides(print)).collect();
        let beyond = prints.iter().map(|print| in_marks(print.size[flush.along], flush.units).1);
        let mut sums = vec![Sums::default()];
        let mut sum = Sums::default();
        for side in &sides {
            let ratio = ratios(std::slice::from_ref(side));
            let [long, thick] = side.map(|side| side as f64);
            sum = Sums {
                long: sum.long + side[0],
                thick: sum.thick + thick,
                ratio: sum.ratio + ratio,
                long_squared: sum.long_squared + long * long,
                thick_squared: sum.thick_squared + thick * thick,
                ratio_squared: sum.ratio_squared + ratio * ratio,
                ratio_long: sum.ratio_long + ratio * long,
            };
            sums.push(sum);
        }
        Self { flush, beyond: beyond.collect(), sides, sums }
    }

    /// The lengths of all runs of photos as they are.
    pub fn natural_lengths(&self) -> Vec<Length> {
        let mut lengths = std::collections::BTreeSet::new();
        for start in 0..self.sides.len() {
            for end in start + 1..=self.sides.len() {
                let gaps = self.flush.gap * (count(end - start) - 1);
                let marks = self.sums[end].long - self.sums[start].long;
                lengths.insert(mark(self.flush.units) * marks + gaps);
            }
        }
        lengths.into_iter().collect()
    }

    /// How long a line is, in marks, where the photos as they are make a square.
    pub fn square(&self) -> f64 {
        let gap = self.flush.gap.to_inches() / mark(self.flush.units).to_inches();
        let areas = self.sides.iter().map(|side| side.map(|side| side as f64 + gap));
        (areas.map(|[long, thick]| long * thick).sum::<f64>().sqrt() - gap).max(1.0)
    }

    /// How many photos stand in each line, where lines of one length cost least, and what they cost: an
    /// exact dynamic programme.
    pub fn broken(&self, long: Length) -> Option<(f64, Vec<usize>)> {
        let count = self.sides.len();
        let mut best: Vec<Option<(f64, usize)>> = vec![None; count + 1];
        best[0] = Some((0.0, 0));
        for start in 0..count {
            let Some((before, _)) = best[start] else { continue };
            let mut of: Option<Extremes> = None;
            for (end, best) in best.iter_mut().enumerate().skip(start + 1) {
                let now = self.extremes(of, end - 1);
                of = Some(now);
                let Some(cost) = self.cost([start, end], &now, long) else { continue };
                if best.is_none_or(|(least, _)| before + cost < least - EQUAL) {
                    *best = Some((before + cost, start));
                }
            }
        }
        let (cost, _) = best[count]?;
        let mut counts = Vec::new();
        let mut end = count;
        while end > 0 {
            let (_, start) = best[end]?;
            counts.push(end - start);
            end = start;
        }
        counts.reverse();
        Some((cost, counts))
    }

    fn extremes(&self, of: Option<Extremes>, photo: usize) -> Extremes {
        let ([long, thick], beyond) = (self.sides[photo], self.beyond[photo]);
        let Some(of) = of else {
            return Extremes { thinnest: thick, thickest: thick, shortest: long, beyond };
        };
        Extremes {
            thinnest: of.thinnest.min(thick),
            thickest: of.thickest.max(thick),
            shortest: of.shortest.min(long),
            beyond: of.beyond.max(beyond),
        }
    }

    /// What a line of a length costs, between marks: the sum of squares of what its photos change. Nothing
    /// where they can't be of that length.
    fn cost(&self, [start, end]: [usize; 2], of: &Extremes, whole: Length) -> Option<f64> {
        let (from, to) = (&self.sums[start], &self.sums[end]);
        let photos = count(end - start);
        let (room, rest) = self.flush.room(whole, end - start);
        let sum = to.long - from.long;
        let least = in_marks(LEAST, self.flush.units).0;
        let has_room = room >= least * photos;
        let is_thick = of.thinnest >= least.min(of.thickest);
        let is_short = self.flush.is_short([sum, room], rest, of.beyond);
        let each = photos as f64;
        let (thick, along) = match self.flush.by {
            BankBy::Enlarge if has_room => {
                let thick = room as f64 / (to.ratio - from.ratio).max(1e-9);
                let ratio_squared = to.ratio_squared - from.ratio_squared;
                let ratio_long = to.ratio_long - from.ratio_long;
                let long_squared = to.long_squared - from.long_squared;
                (thick, ratio_squared * thick * thick - 2.0 * ratio_long * thick + long_squared)
            }
            BankBy::Crop if sum >= room && has_room && is_thick && !is_short => {
                (of.thinnest as f64, self.cropped([start, end], of.shortest, [sum, room]))
            }
            BankBy::Mat if sum <= room => {
                (of.thickest as f64, ((room - sum) as f64).powi(2) / each)
            }
            BankBy::Enlarge | BankBy::Crop | BankBy::Mat => return None,
        };
        let (thick_sum, squared) = (to.thick - from.thick, to.thick_squared - from.thick_squared);
        let over = each * thick * thick - 2.0 * thick * thick_sum + squared;
        Some(along.max(0.0) + over.max(0.0))
    }

    /// What it costs that cropped photos get a length together.
    fn cropped(&self, [start, end]: [usize; 2], shortest: i64, [sum, room]: [i64; 2]) -> f64 {
        let each = (end - start) as f64;
        let share = (room - sum) as f64 / each;
        if share == 0.0 || shortest as f64 + share >= in_marks(LEAST, self.flush.units).0 as f64 {
            return each * share * share;
        }
        let sides = &self.sides[start..end];
        let share = self.share(sides, room);
        let change = |[long, _]: &Sides| {
            let least = self.flush.bounds(*long).0 as f64;
            ((*long as f64 + share).max(least) - *long as f64).powi(2)
        };
        sides.iter().map(change).sum()
    }

    /// What each photo takes on so that the line has a length, the sum of squares the least: the same for all
    /// but those that would be too short by it, which stay as short as a photo may be (projection onto a
    /// simplex with bounds, found by fixing one bound after the other).
    fn share(&self, sides: &[Sides], room: i64) -> f64 {
        let mut free: Vec<i64> = sides.iter().map(|[long, _]| *long).collect();
        let mut left = room;
        loop {
            let share = (left - free.iter().sum::<i64>()) as f64 / free.len().max(1) as f64;
            let stays = |long: &i64| *long as f64 + share >= self.flush.bounds(*long).0 as f64;
            let (still, short): (Vec<i64>, Vec<i64>) = free.iter().partition(|long| stays(long));
            if short.is_empty() || still.is_empty() {
                return share;
            }
            left -= short.iter().map(|long| self.flush.bounds(*long).0).sum::<i64>();
            free = still;
        }
    }
}

fn count(photos: usize) -> i64 {
    i64::try_from(photos).unwrap_or(0)
}
