//! How the photos of a bank stand: in rows or in columns, like by like, as even as can be.

use crate::description::BankRun;

use super::wanted::Wanted;

/// Photos in lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Arrangement {
    /// Along which axis the photos of a line follow each other: 0 for rows, 1 for columns.
    pub along: usize,
    /// The photos of each line, by their places among those wanted.
    pub lines: Vec<Vec<usize>>,
    /// How much shows of the mat that each photo has of its own, in marks; 0 where they share one or have
    /// none.
    pub own: i64,
    /// Whether the photos go without the mat that their bank has.
    pub bare: bool,
}

impl Arrangement {
    /// How much of a shared mat shows round the photos.
    pub fn rim(&self, reveal: i64) -> i64 {
        if self.own > 0 || self.bare { 0 } else { reveal }
    }

    fn length(&self, line: &[usize], wanted: &[Wanted], gap: i64) -> i64 {
        let own = 2 * self.own * i64::try_from(line.len()).unwrap_or(0);
        length(line, wanted, self.along, gap) + own
    }

    /// Width and height over all, with photos at their sizes.
    pub fn extent(&self, wanted: &[Wanted], gap: i64) -> [i64; 2] {
        let (along, over) = (self.along, 1 - self.along);
        let mut extent = [0; 2];
        extent[along] =
            self.lines.iter().map(|line| self.length(line, wanted, gap)).max().unwrap_or(0);
        let side = |photo: &usize| wanted[*photo].size[over] + 2 * self.own;
        let thick: i64 = self.lines.iter().filter_map(|line| line.iter().map(side).max()).sum();
        extent[over] = thick + gap * gaps(self.lines.len());
        extent
    }

    /// The share of the bank that no photo covers.
    pub fn holes(&self, wanted: &[Wanted], gap: i64) -> f64 {
        let [width, height] = self.extent(wanted, gap);
        let area = |photo: &usize| {
            let [width, height] = wanted[*photo].size.map(|side| side + 2 * self.own);
            (width * height) as f64
        };
        let photos: f64 = self.lines.iter().flatten().map(area).sum();
        1.0 - photos / ((width * height) as f64).max(1.0)
    }

    /// The bounds within which all lines can be of one length, if there are such.
    pub fn flush(&self, wanted: &[Wanted], gap: i64) -> Option<[i64; 2]> {
        let of = |side: usize| {
            let axis = self.along;
            self.lines.iter().map(move |line| {
                let own = 2 * self.own;
                let sides = line.iter().map(|&photo| wanted[photo].bounds[side][axis] + own);
                sides.sum::<i64>() + gap * gaps(line.len())
            })
        };
        let (least, most) = (of(0).max()?, of(1).min()?);
        (least <= most).then_some([least, most])
    }

    /// The line that is longest.
    pub fn longest(&self, wanted: &[Wanted], gap: i64) -> &[usize] {
        let lines = self.lines.iter();
        lines.max_by_key(|line| self.length(line, wanted, gap)).map_or(&[], Vec::as_slice)
    }

    /// How far a line of rigid photos begins behind the bank's edge: lines are centred, but by an
    /// even number of marks, since prints are that long and edges would miss each other by a mark otherwise;
    /// and all gaps are equal, since nearly equal ones look like a slip.
    pub fn lead(&self, line: &[usize], wanted: &[Wanted], gap: i64) -> i64 {
        (self.extent(wanted, gap)[self.along] - self.length(line, wanted, gap)) / 4 * 2
    }
}

fn gaps(photos: usize) -> i64 {
    i64::try_from(photos).unwrap_or(0).saturating_sub(1).max(0)
}

fn length(line: &[usize], wanted: &[Wanted], axis: usize, gap: i64) -> i64 {
    line.iter().map(|&photo| wanted[photo].size[axis]).sum::<i64>() + gap * gaps(line.len())
}

/// All arrangements of photos that a bank may have, each photo on a mat of its own that shows so much if that
/// is more than 0.
pub(super) fn arrangements(
    run: BankRun,
    photos: &[usize],
    wanted: &[Wanted],
    gap: i64,
    own: i64,
) -> Vec<Arrangement> {
    if photos.is_empty() {
        return vec![Arrangement { along: 0, lines: Vec::new(), own: 0, bare: false }];
    }
    let one = |along| Arrangement {
        along,
        lines: vec![ordered(photos, wanted, along)],
        own,
        bare: false,
    };
    match run {
        BankRun::Across => vec![one(0)],
        BankRun::Down => vec![one(1)],
        BankRun::Grid => {
            let mut all = Vec::new();
            for along in [0, 1] {
                for order in orders(photos, wanted, along) {
                    let even = Even::of(&order, wanted, along, gap);
                    for lines in 1..=photos.len() {
                        let lines = even.lines(wanted, lines);
                        let arrangement = Arrangement { along, lines, own, bare: false };
                        let same = |other: &Arrangement| {
                            // A line of one photo each is the other way's single line.
                            *other == arrangement
                                || other.lines.len() == 1
                                    && arrangement.lines.iter().all(|line| line.len() == 1)
                        };
                        if !all.iter().any(same) {
                            all.push(arrangement);
                        }
                    }
                }
            }
            all
        }
    }
}

/// The photos of a line: in a row those who look right come first, else as they were asked for.
fn ordered(photos: &[usize], wanted: &[Wanted], along: usize) -> Vec<usize> {
    let mut line = photos.to_vec();
    if along == 0 {
        line.sort_by_key(|&photo| (wanted[photo].looks(), photo));
    } else {
        line.sort_unstable();
    }
    line
}

/// Orders in which photos are taken into lines: like by like, as they were asked for, and long with short.
fn orders(photos: &[usize], wanted: &[Wanted], along: usize) -> [Vec<usize>; 3] {
    let by = |axis: usize| {
        let mut sorted = photos.to_vec();
        sorted.sort_by_key(|&photo| std::cmp::Reverse(wanted[photo].size[axis]));
        sorted
    };
    let long = by(along);
    let half = long.len().div_ceil(2);
    let (first, rest) = long.split_at(half);
    let mut mixed = Vec::new();
    for (place, photo) in first.iter().enumerate() {
        mixed.push(*photo);
        mixed.extend(rest.len().checked_sub(place + 1).and_then(|at| rest.get(at)));
    }
    [by(1 - along), photos.to_vec(), mixed]
}

/// Photos in an order, in any number of lines with the least sum of squared lengths: the way that paragraphs
/// are broken (Knuth & Plass, Software: Practice and Experience 11, 1981).
struct Even<'a> {
    sorted: &'a [usize],
    along: usize,
    /// Where the last line begins of the first so many photos in so many lines.
    starts: Vec<Vec<usize>>,
}

impl<'a> Even<'a> {
    fn of(sorted: &'a [usize], wanted: &[Wanted], along: usize, gap: i64) -> Self {
        let count = sorted.len();
        // How long the first photos are in one line, with a gap behind each.
        let mut long = vec![0; count + 1];
        for (place, &photo) in sorted.iter().enumerate() {
            long[place + 1] = long[place] + wanted[photo].size[along] + gap;
        }
        let mut starts = vec![vec![0; count + 1]; count + 1];
        // The least cost of the first photos in one line less.
        let mut before = vec![i64::MAX; count + 1];
        before[0] = 0;
        for (line, starts) in starts.iter_mut().enumerate().skip(1) {
            let mut best = vec![i64::MAX; count + 1];
            for end in line..=count {
                for start in (line - 1)..end {
                    if before[start] == i64::MAX {
                        continue;
                    }
                    let long = long[end] - long[start] - gap;
                    let cost = before[start] + long * long;
                    if cost < best[end] {
                        best[end] = cost;
                        starts[end] = start;
                    }
                }
            }
            before = best;
        }
        Self { sorted, along, starts }
    }

    fn lines(&self, wanted: &[Wanted], lines: usize) -> Vec<Vec<usize>> {
        let mut taken = Vec::new();
        let mut end = self.sorted.len();
        for line in (1..=lines).rev() {
            let start = self.starts[line][end];
            taken.push(ordered(&self.sorted[start..end], wanted, self.along));
            end = start;
        }
        taken.reverse();
        if self.along == 1 {
            // Columns whose people look right come first.
            let looks = |line: &Vec<usize>| -> i32 {
                line.iter().map(|&photo| i32::from(wanted[photo].looks())).sum()
            };
            taken.sort_by_key(looks);
        }
        taken
    }
}

impl Wanted {
    /// Which way its people look, as it is placed in a row: those who look right come first.
    pub(super) fn looks(&self) -> i8 {
        match self.facing {
            Some(crate::model::Facing::Right) => -1,
            None => 0,
            Some(crate::model::Facing::Left) => 1,
        }
    }
}
