//! A title set in the room that a sketch gives it.

use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;

use super::fit::Field;

/// Heights of a title's capitals, in marks: the most and the least (common practice, no source).
const TITLE: [i64; 2] = [28, 10];
/// Share of its room that a title fills across and down.
const TITLE_SHARE: [f64; 2] = [0.92, 0.62];
/// A title has no more lines, and one of more words is not parted.
const MOST_LINES: usize = 3;
const MOST_WORDS: usize = 12;
/// From one line of a title to the next, as a share of its capitals' height (common practice, no source).
const LEADING: f64 = 1.4;

/// A title in its room.
pub(super) struct SetTitle {
    /// Its lines: several where one would be too wide.
    pub lines: Vec<String>,
    /// Height of the capitals, in marks, on 1/8 in.
    pub height: i64,
    /// From one baseline to the next, in marks.
    pub leading: i64,
}

impl SetTitle {
    /// The title that fills its room best, in as few lines as let it have the usual least height.
    pub fn of(words: &str, room: Field, font: &Font) -> Self {
        let words: Vec<&str> = words.split_whitespace().collect();
        let mut best = Self::set(vec![words.join(" ")], room, font);
        let most = if words.len() > MOST_WORDS { 1 } else { MOST_LINES };
        for rows in 2..=most {
            if best.1 {
                break;
            }
            for lines in parted(&words, rows) {
                let title = Self::set(lines, room, font);
                if title.2 > best.2 {
                    best = title;
                }
            }
        }
        best.0
    }

    /// Lines as high as their room lets them be, whether that is high enough, and how high that is in marks.
    fn set(lines: Vec<String>, room: Field, font: &Font) -> (Self, bool, f64) {
        let stand_ins = font.with_its_stand_ins();
        let widest = lines.iter().map(|line| label_width(&stand_ins, line)).fold(0.1, f64::max);
        let [across, down] = [0, 1].map(|axis| room.size[axis] as f64 * TITLE_SHARE[axis]);
        let rows = lines.len() as f64;
        let fits = (across * font.cap_height / widest).min(down / (1.0 + (rows - 1.0) * LEADING));
        let [most, least] = TITLE;
        let eighths = (0..=most / 2).rev().map(|eighths| eighths * 2);
        let height = eighths.into_iter().find(|marks| *marks as f64 <= fits).unwrap_or(0);
        let kept = height.clamp(least, most);
        let leading = (0..).find(|marks| *marks as f64 >= kept as f64 * LEADING).unwrap_or(kept);
        (Self { lines, height: kept, leading }, height >= least, fits)
    }

    /// Where it begins in its room: the top left of its capitals.
    pub fn place(&self, room: Field) -> [i64; 2] {
        let rows = i64::try_from(self.lines.len()).unwrap_or(1);
        let height = self.height + (rows - 1) * self.leading;
        [room.at[0], room.at[1] + (room.size[1] - height) / 2]
    }
}

/// All ways to part words into so many lines.
fn parted(words: &[&str], rows: usize) -> Vec<Vec<String>> {
    if rows == 1 {
        return vec![vec![words.join(" ")]];
    }
    let firsts = 1..=words.len().saturating_sub(rows - 1);
    let ways = firsts.flat_map(|first| {
        let (line, rest) = words.split_at(first);
        let line = line.join(" ");
        parted(rest, rows - 1).into_iter().map(move |mut lines| {
            lines.insert(0, line.clone());
            lines
        })
    });
    ways.collect()
}
