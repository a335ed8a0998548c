//! The trimmer cuts that free the strips of a printed page.

use crate::record::{Area, Cut, Falls, rounded};

/// Lengths that differ by less are one, in inches.
const SAME: f64 = 1e-6;

/// The cuts of a page of `paper` that frees strips given by id, top left and size, in inches. First
/// the blank rest below `blank`, if any, is cut off as an offcut of the given id; then the page is cut
/// down to columns, then each column across between strips, then each strip to its width. Each cut
/// takes `kerf` from what falls off, so strips have to be arranged that far apart.
pub fn cuts(
    paper: [f64; 2],
    strips: &[(String, [f64; 2], [f64; 2])],
    blank: Option<(f64, &str)>,
    kerf: f64,
) -> Vec<Cut> {
    let mut plan = Plan { cuts: Vec::new(), kerf };
    let mut lefts: Vec<f64> = strips.iter().map(|(_, at, _)| at[0]).collect();
    lefts.sort_by(f64::total_cmp);
    lefts.dedup_by(|one, other| (*one - *other).abs() < SAME);
    let mut page = Area { at: [0.0, 0.0], size: paper };
    if let Some((from, id)) = blank {
        let [printed, rest] = plan.halves(page, 1, from);
        plan.cut(page, 1, from, falls("more", "", printed), falls("offcut", id, rest));
        page = printed;
    }
    let columns = lefts.len();
    for (number, left) in lefts.into_iter().enumerate() {
        let column: Vec<_> =
            strips.iter().filter(|(_, at, _)| (at[0] - left).abs() < SAME).collect();
        let right = column.iter().map(|(_, at, size)| at[0] + size[0]).fold(0.0, f64::max);
        let bottom = column.iter().map(|(_, at, size)| at[1] + size[1]).fold(0.0, f64::max);
        let top = column.iter().map(|(_, at, _)| at[1]).fold(f64::INFINITY, f64::min);
        // Off with what is left of the column, then the column itself comes free.
        plan.drop_before(&mut page, 0, left);
        let mut block = if number + 1 < columns {
            plan.take_before(&mut page, 0, right)
        } else {
            plan.keep_before(&mut page, 0, right)
        };
        plan.drop_before(&mut block, 1, top);
        for (id, at, size) in column {
            let row = at[1] + size[1];
            let mut strip = if row < bottom - SAME {
                plan.take_before(&mut block, 1, row)
            } else {
                plan.keep_before(&mut block, 1, row)
            };
            plan.finish(&mut strip, id, at[0] + size[0]);
        }
    }
    plan.cuts
}

struct Plan {
    cuts: Vec<Cut>,
    kerf: f64,
}

impl Plan {
    /// Cuts at `at` across `axis`; the part before the blade is scrap, the rest stays in hand.
    fn drop_before(&mut self, hand: &mut Area, axis: usize, at: f64) {
        let [mut before, mut after] = self.halves(*hand, axis, at - self.kerf);
        before.size[axis] = rounded(before.size[axis].max(0.0));
        after.at[axis] = rounded(at);
        after.size[axis] = rounded(hand.at[axis] + hand.size[axis] - at);
        if at - hand.at[axis] > SAME {
            self.cut(*hand, axis, at, falls("more", "", after), falls("scrap", "", before));
        }
        *hand = after;
    }

    /// Cuts at `at`; the part before the blade is worked on, the rest is cut later.
    fn take_before(&mut self, hand: &mut Area, axis: usize, at: f64) -> Area {
        let [before, after] = self.halves(*hand, axis, at);
        if hand.at[axis] + hand.size[axis] - at > SAME {
            self.cut(*hand, axis, at, falls("more", "", before), falls("more", "", after));
        }
        *hand = after;
        before
    }

    /// Cuts at `at`; the part before the blade is worked on, the rest is scrap.
    fn keep_before(&mut self, hand: &mut Area, axis: usize, at: f64) -> Area {
        let [before, after] = self.halves(*hand, axis, at);
        if hand.at[axis] + hand.size[axis] - at > SAME {
            self.cut(*hand, axis, at, falls("more", "", before), falls("scrap", "", after));
        }
        *hand = after;
        before
    }

    /// Cuts a strip to its width; without a cut, the last one already made it a piece.
    fn finish(&mut self, strip: &mut Area, id: &str, right: f64) {
        let [piece, rest] = self.halves(*strip, 0, right);
        if strip.at[0] + strip.size[0] - right > SAME {
            self.cut(*strip, 0, right, falls("piece", id, piece), falls("scrap", "", rest));
            return;
        }
        let last = self.cuts.iter_mut().rev().flat_map(|cut| [&mut cut.keeps, &mut cut.drops]);
        for fall in last {
            if fall.what == "more" && same(fall.area, *strip) {
                *fall = falls("piece", id, *strip);
                return;
            }
        }
    }

    /// What lies before a cut across an axis, and what lies after it once the blade took its kerf.
    fn halves(&self, area: Area, axis: usize, at: f64) -> [Area; 2] {
        let (mut before, mut after) = (area, area);
        let end = area.at[axis] + area.size[axis];
        before.size[axis] = rounded(at - area.at[axis]);
        after.at[axis] = rounded((at + self.kerf).min(end));
        after.size[axis] = rounded((end - at - self.kerf).max(0.0));
        [before, after]
    }

    fn cut(&mut self, in_hand: Area, axis: usize, at: f64, keeps: Falls, drops: Falls) {
        let number = u32::try_from(self.cuts.len() + 1).unwrap_or(u32::MAX);
        let [left, top] = in_hand.at;
        let (right, bottom) = (left + in_hand.size[0], top + in_hand.size[1]);
        let (from, to) = match axis {
            0 => ([at, top], [at, bottom]),
            _ => ([left, at], [right, at]),
        };
        let fence = rounded(keeps.area.size[axis]);
        self.cuts.push(Cut {
            number,
            in_hand,
            from: from.map(rounded),
            to: to.map(rounded),
            fence,
            keeps,
            drops,
        });
    }
}

fn same(one: Area, other: Area) -> bool {
    (0..2).all(|axis| {
        (one.at[axis] - other.at[axis]).abs() < SAME
            && (one.size[axis] - other.size[axis]).abs() < SAME
    })
}

fn falls(what: &str, id: &str, area: Area) -> Falls {
    Falls { what: what.to_owned(), id: id.to_owned(), area }
}
