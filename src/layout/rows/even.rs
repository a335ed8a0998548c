//! Even distances in whole nanometres.

use crate::model::length::Length;

/// Pieces of a row at most: more is a mistake.
pub(super) const MOST: u32 = 200;

/// How a row is filled.
#[derive(Clone, Copy, Debug)]
pub(super) enum By {
    /// So many pieces.
    Count(u32),
    /// A piece each so far.
    Pitch(Length),
}

/// Where each piece of a row begins: `width` wide, on a row of `length`. Distances that don't divide into
/// whole nanometres differ by one, and the whole comes out exactly.
pub(super) fn starts(length: Length, width: Length, ends: Option<Length>, by: By) -> Vec<Length> {
    match by {
        By::Count(count) => {
            let number = i64::from(count);
            let (first, free, gaps) = match ends {
                None => (Length::ZERO, length - width * number, number + 1),
                Some(_) if count == 1 => return vec![(length - width) / 2],
                Some(ends) => (ends, length - ends * 2 - width * number, number - 1),
            };
            let before = |piece: i64| if ends.is_none() { piece + 1 } else { piece };
            (0..number)
                .map(|piece| first + width * piece + share(free, before(piece), gaps))
                .collect()
        }
        By::Pitch(step) => {
            let taken = |steps: i64| step * steps + width;
            let number = most(length, width, ends, step);
            let first = (length - taken(number - 1)) / 2;
            (0..number).map(|piece| first + step * piece).collect()
        }
    }
}

/// How many pieces there is room for, one each `step`.
pub(super) fn most(length: Length, width: Length, ends: Option<Length>, step: Length) -> i64 {
    let free = length - ends.unwrap_or(Length::ZERO) * 2 - width;
    if free < Length::ZERO {
        return 0;
    }
    free.to_nanometres() / step.to_nanometres().max(1) + 1
}

/// So many parts of a length of several equal ones, to the whole nanometre.
pub(super) fn share(length: Length, part: i64, parts: i64) -> Length {
    Length::nanometres((length.to_nanometres() * part).div_euclid(parts.max(1)))
}
