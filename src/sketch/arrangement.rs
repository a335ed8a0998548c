//! How the photos of a bank stand: in rows or in columns, like by like, as even as can be.

use crate::description::BankRun;

use super::wanted::Wanted;

/// Gaps of a line are widened by this much each at most, in marks, so that it ends where its neighbours do;
/// a line that lacks more is centred.
const MOST_STRETCH: i64 = 6;

/// Photos in lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Arrangement {
    /// Along which axis the photos of a line follow each other: 0 for rows, 1 for columns.
    pub along: usize,
    /// The photos of each line, by their places among those wanted.
    pub lines: Vec<Vec<usize>>,
}

impl Arrangement {
    /// Width and height over all, with photos at their sizes.
    pub fn extent(&self, wanted: &[Wanted], gap: i64) -> [i64; 2] {
        let (along, over) = (self.along, 1 - self.along);
        let mut extent = [0; 2];
        extent[along] =
            self.lines.iter().map(|line| length(line, wanted, along, gap)).max().unwrap_or(0);
        let thick = |line: &Vec<usize>| line.iter().map(|&photo| wanted[photo].size[over]).max();
        let thick: i64 = self.lines.iter().filter_map(thick).sum();
        extent[over] = thick + gap * gaps(self.lines.len());
        extent
    }

    /// The share of the bank that no photo covers.
    pub fn holes(&self, wanted: &[Wanted], gap: i64) -> f64 {
        let [width, height] = self.extent(wanted, gap);
        let photos: f64 = self.lines.iter().flatten().map(|&photo| wanted[photo].area()).sum();
        1.0 - photos / ((width * height) as f64).max(1.0)
    }

    /// The bounds within which all lines can be of one length, if there are such.
    pub fn flush(&self, wanted: &[Wanted], gap: i64) -> Option<[i64; 2]> {
        let of = |side: usize| {
            let axis = self.along;
            self.lines.iter().map(move |line| {
                let sides = line.iter().map(|&photo| wanted[photo].bounds[side][axis]);
                sides.sum::<i64>() + gap * gaps(line.len())
            })
        };
        let (least, most) = (of(0).max()?, of(1).min()?);
        (least <= most).then_some([least, most])
    }

    /// The line that is longest.
    pub fn longest(&self, wanted: &[Wanted], gap: i64) -> &[usize] {
        let lines = self.lines.iter();
        lines.max_by_key(|line| length(line, wanted, self.along, gap)).map_or(&[], Vec::as_slice)
    }

    /// How far a line of rigid photos begins behind the bank's edge, and how much wider than usual each of
    /// its gaps is, so that lines end together or are centred.
    pub fn spread(&self, line: &[usize], wanted: &[Wanted], gap: i64) -> (i64, Vec<i64>) {
        let lacks = self.extent(wanted, gap)[self.along] - length(line, wanted, self.along, gap);
        let between = gaps(line.len());
        if between == 0 || lacks > MOST_STRETCH * between {
            return (lacks / 2, vec![0; line.len().saturating_sub(1)]);
        }
        let (each, more) = (lacks / between, lacks % between);
        (0, (0..between).map(|number| each + i64::from(number < more)).collect())
    }
}

fn gaps(photos: usize) -> i64 {
    i64::try_from(photos).unwrap_or(0).saturating_sub(1).max(0)
}

fn length(line: &[usize], wanted: &[Wanted], axis: usize, gap: i64) -> i64 {
    line.iter().map(|&photo| wanted[photo].size[axis]).sum::<i64>() + gap * gaps(line.len())
}

/// All arrangements of photos that a bank may have, the most even first for each number of lines.
pub(super) fn arrangements(
    run: BankRun,
    photos: &[usize],
    wanted: &[Wanted],
    gap: i64,
) -> Vec<Arrangement> {
    if photos.is_empty() {
        return vec![Arrangement { along: 0, lines: Vec::new() }];
    }
    let one = |along| {
        let mut line = photos.to_vec();
        if along == 0 {
            line.sort_by_key(|&photo| (wanted[photo].looks(), photo));
        }
        Arrangement { along, lines: vec![line] }
    };
    match run {
        BankRun::Across => vec![one(0)],
        BankRun::Down => vec![one(1)],
        BankRun::Grid => {
            let mut all = Vec::new();
            for along in [0, 1] {
                for lines in 1..=photos.len() {
                    let lines = even(photos, wanted, along, lines, gap);
                    let arrangement = Arrangement { along, lines };
                    let same = |other: &Arrangement| {
                        // A line of one photo each is the other way's single line.
                        other.lines.len() == 1
                            && arrangement.lines.iter().all(|line| line.len() == 1)
                    };
                    if !all.iter().any(same) {
                        all.push(arrangement);
                    }
                }
            }
            all
        }
    }
}

/// Photos in so many lines, those of like thickness together, with the least sum of squared lengths: the way
/// that paragraphs are broken (Knuth & Plass, Software: Practice and Experience 11, 1981).
fn even(
    photos: &[usize],
    wanted: &[Wanted],
    along: usize,
    lines: usize,
    gap: i64,
) -> Vec<Vec<usize>> {
    let mut sorted = photos.to_vec();
    sorted.sort_by_key(|&photo| std::cmp::Reverse(wanted[photo].size[1 - along]));
    let count = sorted.len();
    // Least cost of the first photos in so many lines, and where the last of these begins.
    let mut best = vec![vec![(i64::MAX, 0_usize); count + 1]; lines + 1];
    best[0][0] = (0, 0);
    for line in 1..=lines {
        for end in line..=count {
            for start in (line - 1)..end {
                let (before, _) = best[line - 1][start];
                if before == i64::MAX {
                    continue;
                }
                let long = length(&sorted[start..end], wanted, along, gap);
                let cost = before + long * long;
                if cost < best[line][end].0 {
                    best[line][end] = (cost, start);
                }
            }
        }
    }
    let mut taken = Vec::new();
    let mut end = count;
    for line in (1..=lines).rev() {
        let (_, start) = best[line][end];
        let mut photos = sorted[start..end].to_vec();
        if along == 0 {
            photos.sort_by_key(|&photo| (wanted[photo].looks(), photo));
        } else {
            photos.sort_unstable();
        }
        taken.push(photos);
        end = start;
    }
    taken.reverse();
    if along == 1 {
        // Columns whose people look right come first.
        let looks = |line: &Vec<usize>| -> i32 {
            line.iter().map(|&photo| i32::from(wanted[photo].looks())).sum()
        };
        taken.sort_by_key(looks);
    }
    taken
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
