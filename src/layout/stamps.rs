//! Stamps at even distances: where each motif begins.

use crate::description::{Marked, StampSpec, nearest};
use crate::model::length::{Length, Size};
use crate::model::naming::{by_end, or_list};

use super::Layout;
use super::reading::{Along, Reader};

/// Rows in one spread, and motifs in one row: more is a mistake.
const MOST_ROWS: usize = 50;
const MOST_MOTIFS: u32 = 500;

/// A motif at even distances along a row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StampRow {
    /// What it runs along: a piece's id, or its length in words.
    pub along: String,
    /// Length of the row.
    pub length: Length,
    /// Width of the motif.
    pub stamp: Length,
    /// Where each motif begins, in inches from the row's start.
    pub starts: Vec<f64>,
}

/// The rows of a spread.
pub(super) fn rows(reader: &mut Reader<'_>, layout: &Layout) -> Vec<StampRow> {
    let spec = reader.spec;
    if let Some(extra) = spec.stamps.get(MOST_ROWS) {
        let message = format!("there are more than {MOST_ROWS} rows of stamps");
        reader.problem(extra.place, message, "leave some out");
        return Vec::new();
    }
    spec.stamps.iter().filter_map(|row| self::row(reader, layout, row)).collect()
}

fn row(reader: &mut Reader<'_>, layout: &Layout, written: &Marked<StampSpec>) -> Option<StampRow> {
    let row = &written.value;
    let stamp = reader.positive(&row.stamp, Along::Width, "stamp");
    let (along, length) = length(reader, layout, written)?;
    if stamp <= Length::ZERO || length <= Length::ZERO {
        return None;
    }
    let ends = row.ends.as_ref().map(|ends| reader.distance(Some(ends), Length::ZERO, "ends"));
    let units = reader.units;
    let free = length - ends.unwrap_or(Length::ZERO) * 2;
    if stamp > free {
        let message = format!("a stamp of {} doesn't fit", stamp.show(units));
        let help = format!("the row has {} for it", free.max(Length::ZERO).show(units));
        reader.problem(row.stamp.place, message, help);
        return None;
    }
    let [stamp_in, length_in, free_in] = [stamp, length, free].map(Length::to_inches);
    let (first, step, count) = match (&row.count, &row.pitch) {
        (Some(count), None) => {
            let most = motifs(free, stamp).min(MOST_MOTIFS);
            if count.value == 0 || count.value > most {
                let message = format!("{} motifs don't fit side by side", count.value);
                let help = format!("there is room for 1 to {most} of {}", stamp.show(units));
                reader.problem(count.place, message, help);
                return None;
            }
            let number = f64::from(count.value);
            match ends {
                None => {
                    let gap = (length_in - number * stamp_in) / (number + 1.0);
                    (gap, gap + stamp_in, count.value)
                }
                Some(_) if count.value == 1 => ((length_in - stamp_in) / 2.0, 0.0, 1),
                Some(ends) => {
                    let gap = (free_in - number * stamp_in) / (number - 1.0);
                    (ends.to_inches(), gap + stamp_in, count.value)
                }
            }
        }
        (None, Some(pitch)) => {
            let step = reader.positive(pitch, Along::Width, "pitch");
            if step < stamp {
                if step > Length::ZERO {
                    let message = format!("motifs {} apart overlap", step.show(units));
                    let help = format!("write {} or more", stamp.show(units));
                    reader.problem(pitch.place, message, help);
                }
                return None;
            }
            let count = motifs(free - stamp + step, step);
            if count > MOST_MOTIFS {
                let message = format!("{count} motifs would stand in one row");
                let help = format!("a row takes {MOST_MOTIFS} at most: write a larger pitch");
                reader.problem(pitch.place, message, help);
                return None;
            }
            let step = step.to_inches();
            let taken = f64::from(count - 1) * step + stamp_in;
            ((length_in - taken) / 2.0, step, count)
        }
        (count, _) => {
            let place = count.as_ref().map_or(row.stamp.place, |count| count.place);
            let message = "it takes one of `count` and `pitch` to space a stamp";
            reader.problem(place, message, "write how many motifs, or how far apart they are");
            return None;
        }
    };
    Some(StampRow {
        along,
        length,
        stamp,
        starts: (0..count).map(|number| first + step * f64::from(number)).collect(),
    })
}

/// How many motifs a length has room for, each taking some of it.
fn motifs(room: Length, each: Length) -> u32 {
    u32::try_from(room.to_nanometres() / each.to_nanometres()).unwrap_or(u32::MAX)
}

/// What a row runs along and how long it is.
fn length(
    reader: &mut Reader<'_>,
    layout: &Layout,
    written: &Marked<StampSpec>,
) -> Option<(String, Length)> {
    let row = &written.value;
    match (&row.along, &row.length) {
        (Some(along), None) => {
            let id: &str = &along.value;
            let known = || layout.pieces.iter().map(|piece| piece.id.as_str());
            let named = by_end(id, known());
            let found = layout.pieces.iter().find(|piece| [piece.id.as_str()] == named[..]);
            if let Some(piece) = found {
                let size = piece.finished.as_ref().map_or(piece.size, |finished| {
                    let [width, height] = finished.size();
                    Size::inches(width, height)
                });
                return Some((piece.id.to_string(), size.width.max(size.height)));
            }
            let help = match (nearest(id, known()), named.len()) {
                (_, 2..) => or_list(&named),
                (Some(near), _) => format!("did you mean `{near}`?"),
                (None, _) => "`cutleaf check` lists the pieces".to_owned(),
            };
            reader.problem(along.place, format!("there is no piece `{id}`"), help);
            None
        }
        (None, Some(length)) => {
            let length = reader.positive(length, Along::Width, "length of the row");
            Some((format!("a row of {}", length.show(reader.units)), length))
        }
        (along, _) => {
            let place = along.as_ref().map_or(row.stamp.place, |along| along.place);
            let message = "it takes one of `along` and `length` to know how long the row is";
            reader.problem(place, message, "name a piece, or write a length");
            None
        }
    }
}
