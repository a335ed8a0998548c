//! What a person writes for what is to be done again.

use crate::description::{Problem, nearest};
use crate::model::PieceId;
use crate::model::naming::{by_end, or_list};
use crate::record::Record;

use super::{Chain, Redo, photos};

/// The group of the story's strips.
const STORY: &str = "journaling";
/// Ids that a message lists at most.
const MOST_LISTED: usize = 40;

/// The ids that some words stand for, each once, in the order of the records.
///
/// A word is an id (`left.sky`, a photo's among them), a group (`title.hold`, `journaling`, `right`: every id
/// that goes on after it with a dot), a letter by occurrence (`title.hold.o:2` is the second `o`, and
/// `title.hold.o:all` every one), or strips by number (`3,5-7`, `journaling.2-4`,
/// `journaling:2-4`).
pub fn select(chain: &Chain, words: &[String]) -> Result<Vec<PieceId>, Problem> {
    let record = chain.whole();
    let known: Vec<&str> = known(record);
    let mut wanted = Vec::new();
    for word in words {
        wanted.extend(ids(word.trim(), &known)?);
    }
    let in_order = known.iter().filter(|id| wanted.contains(*id));
    Ok(in_order.map(|id| PieceId::from(*id)).collect())
}

/// What some words ask for. Behind each may stand how many of a piece that is cut several times are meant:
/// `left.sky x 3`, or `left.sky x all`; without, one.
pub fn wanted(chain: &Chain, words: &[String]) -> Result<Vec<Redo>, Problem> {
    let mut wanted = Vec::new();
    for word in words {
        let Some((name, times)) = in_copies(word) else {
            wanted.extend(select(chain, std::slice::from_ref(word))?.into_iter().map(Redo::Piece));
            continue;
        };
        for id in select(chain, &[name.to_owned()])? {
            let made = copies_of(chain.whole(), &id);
            let copies = match times {
                "all" => made,
                times => times
                    .parse()
                    .ok()
                    .filter(|copies| (1..=made).contains(copies))
                    .ok_or_else(|| {
                        let message =
                            format!("`{id}` is made {made} times, so {times} can't be cut again");
                        let help = format!("write `{id} x {made}` or fewer, or `{id} x all`");
                        Problem::input(message, help)
                    })?,
            };
            wanted.push(Redo::Copies(id, copies));
        }
    }
    Ok(wanted)
}

/// A word with a number of copies behind it: `left.sky x 3`.
fn in_copies(word: &str) -> Option<(&str, &str)> {
    let (name, times) = word.trim().rsplit_once(char::is_whitespace)?;
    let name = name.trim_end().strip_suffix(['x', 'X'])?;
    let is_number = times == "all" || times.chars().all(|digit| digit.is_ascii_digit());
    (is_number && name.ends_with(char::is_whitespace)).then(|| (name.trim_end(), times))
}

/// How many of a piece or photo are made.
fn copies_of(record: &Record, id: &str) -> u32 {
    let pieces = record.pieces.iter().map(|piece| (&piece.id, piece.copies));
    let photos = record.photos.iter().map(|photo| (&photo.id, photo.copies.get()));
    let found = pieces.chain(photos).find(|(known, _)| *known == id);
    found.map_or(1, |(_, copies)| copies)
}

/// Everything that can be done again: pieces, and photos that are printed.
fn known(record: &Record) -> Vec<&str> {
    let pieces = record.pieces.iter().map(|piece| piece.id.as_str());
    pieces.chain(photos::printed(record)).collect()
}

fn ids<'a>(word: &str, known: &[&'a str]) -> Result<Vec<&'a str>, Problem> {
    if let Some(id) = known.iter().find(|id| **id == word) {
        return Ok(vec![*id]);
    }
    if let Some((word, kit)) = word.rsplit_once('@') {
        return of_kit(word, kit, known);
    }
    let group = of_group(word, known);
    if !group.is_empty() {
        return Ok(group);
    }
    if let Some((letter, occurrence)) = word.rsplit_once(':') {
        if letter == STORY
            && let Some(ranges) = ranges(occurrence)
        {
            return by_number(letter, &ranges, known);
        }
        return by_occurrence(letter, occurrence, known);
    }
    let (group, numbers) = word.rsplit_once('.').unwrap_or((STORY, word));
    if let Some(ranges) = ranges(numbers) {
        return by_number(group, &ranges, known);
    }
    Err(unknown("piece", word, known))
}

/// What a word stands for among the pieces of one kit: `title.name@anna`, or `@anna` for all of them.
fn of_kit<'a>(word: &str, kit: &str, known: &[&'a str]) -> Result<Vec<&'a str>, Problem> {
    let own =
        |id: &'a str| id.rsplit_once('@').filter(|(_, of)| *of == kit).map(|(own, _)| (own, id));
    let all: Vec<(&str, &'a str)> = known.iter().filter_map(|id| own(id)).collect();
    if all.is_empty() || word.is_empty() {
        let ids: Vec<&str> = all.into_iter().map(|(_, id)| id).collect();
        let kits: std::collections::BTreeSet<&str> =
            known.iter().filter_map(|id| Some(id.rsplit_once('@')?.1)).collect();
        let kits: Vec<&str> = kits.into_iter().collect();
        return if ids.is_empty() { Err(unknown("kit", kit, &kits)) } else { Ok(ids) };
    }
    let names: Vec<&str> = all.iter().map(|(own, _)| *own).collect();
    let found = ids(word, &names)?;
    Ok(all.into_iter().filter(|(own, _)| found.contains(own)).map(|(_, id)| id).collect())
}

/// The ids that go on after a word with a dot, or with a kit's name.
fn of_group<'a>(word: &str, known: &[&'a str]) -> Vec<&'a str> {
    let goes_on = |id: &&&str| {
        id.strip_prefix(word).is_some_and(|rest| !word.is_empty() && rest.starts_with(['.', '@']))
    };
    known.iter().filter(goes_on).copied().collect()
}

/// A letter's occurrence in its word: the first has the letter's id, the second `-2` behind it.
fn by_occurrence<'a>(
    letter: &str,
    occurrence: &str,
    known: &[&'a str],
) -> Result<Vec<&'a str>, Problem> {
    let number = |id: &str| match id.strip_prefix(letter)? {
        "" => Some(1),
        rest => rest.strip_prefix('-')?.parse::<u32>().ok().filter(|number| *number > 1),
    };
    let all: Vec<(u32, &str)> = known.iter().filter_map(|id| Some((number(id)?, *id))).collect();
    if all.is_empty() {
        return Err(unknown("piece", letter, known));
    }
    if occurrence == "all" {
        return Ok(all.into_iter().map(|(_, id)| id).collect());
    }
    let wanted = occurrence.parse().ok();
    let found = all.iter().find(|(number, _)| Some(*number) == wanted);
    found.map(|(_, id)| vec![*id]).ok_or_else(|| {
        let message = format!("there is no `{letter}` number `{occurrence}`");
        let help = format!(
            "there are {}: `{letter}:1` is the first, `{letter}:all` all of them",
            all.len()
        );
        Problem::input(message, help)
    })
}

/// Numbers and ranges such as `3,5-7`; nothing if it is something else.
fn ranges(text: &str) -> Option<Vec<(u32, u32)>> {
    let range = |part: &str| {
        let (from, to) = part.split_once('-').unwrap_or((part, part));
        Some((from.trim().parse().ok()?, to.trim().parse().ok()?))
    };
    text.split(',').map(range).collect()
}

/// The members of a group by their numbers.
fn by_number<'a>(
    group: &str,
    ranges: &[(u32, u32)],
    known: &[&'a str],
) -> Result<Vec<&'a str>, Problem> {
    let numbered = |id: &'a str| {
        let number = id.strip_prefix(group)?.strip_prefix('.')?.parse::<u32>().ok()?;
        Some((number, id))
    };
    let all: Vec<(u32, &str)> = known.iter().filter_map(|id| numbered(id)).collect();
    let last = all.iter().map(|(number, _)| *number).max().unwrap_or(0);
    for &(from, to) in ranges {
        if from == 0 || to > last || from > to {
            let asked = if from == to { from.to_string() } else { format!("{from}-{to}") };
            let help = match last {
                0 => format!("`{group}` has no numbered pieces"),
                1 => format!("`{group}` has one, number 1"),
                last => {
                    format!("`{group}` has numbers 1 to {last}; a range goes up, such as 2-{last}")
                }
            };
            return Err(Problem::input(format!("there is no `{group}` number {asked}"), help));
        }
    }
    let wanted = |number: u32| ranges.iter().any(|&(from, to)| (from..=to).contains(&number));
    Ok(all.into_iter().filter(|(number, _)| wanted(*number)).map(|(_, id)| id).collect())
}

/// Says that there is no such piece or sheet, and what there is that is near.
pub(super) fn unknown(what: &str, id: &str, known: &[&str]) -> Problem {
    let by_end = by_end(id, known.iter().copied());
    let help = match nearest(id, known.iter().copied()) {
        _ if !by_end.is_empty() => or_list(&by_end),
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let listed = known.iter().take(MOST_LISTED).copied().collect::<Vec<_>>().join(", ");
            let more = known.len().saturating_sub(MOST_LISTED);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            format!("there are: {listed}{more}")
        }
    };
    Problem::input(format!("the record has no {what} `{id}`"), help)
}
