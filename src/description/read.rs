//! YAML text to a [`Spec`], or to another file of the user's that is read in the same way, with bounded work
//! on hostile input.

use std::num::NonZeroU64;

use std::collections::BTreeSet;

use serde::de::DeserializeOwned;
use serde_saphyr::{Error, Location};

use super::file_kind::FileKind;
use super::slips::Slips;
use super::tree::{Fault, Node, What};
use super::{Doubt, PatternSpec, Place, Problem, Problems, Spec, unexpected};
use crate::model::naming::nearest;

/// The longest spec that is read, in bytes; a long album's story stays far below it.
const LONGEST_SPEC: usize = 1_000_000;
/// Nodes a spec may hold once its aliases are followed; the demo has under 1000.
const MOST_NODES: usize = 50_000;
/// How deep a spec may nest; no element needs more than 8 levels.
const DEEPEST: usize = 40;

/// A spec.
const SPEC: FileKind = FileKind {
    name: "spec",
    too_long: "split it into one spec a spread",
    begin: "`name: …`; `cutleaf new` lists starters to copy",
    keys: "README lists every key",
};

/// Reads a spec.
pub fn parse(text: &str) -> Result<Spec, Problems> {
    let (mut spec, doubts, words) = read_with_words::<Spec>(text, &SPEC)?;
    (spec.doubts, spec.words) = (doubts, words);
    Ok(spec)
}

/// Reads a file of the user's, and what in it is likely a slip.
pub(crate) fn read<T: DeserializeOwned>(
    text: &str,
    kind: &FileKind,
) -> Result<(T, Vec<Doubt>), Problems> {
    read_with_words(text, kind).map(|(value, doubts, _)| (value, doubts))
}

/// The same, and every text in it that is a value.
fn read_with_words<T: DeserializeOwned>(
    text: &str,
    kind: &FileKind,
) -> Result<(T, Vec<Doubt>, BTreeSet<String>), Problems> {
    if text.len() > LONGEST_SPEC {
        let message = format!("the {} is longer than {LONGEST_SPEC} bytes", kind.name);
        return Err(Problem::input(message, kind.too_long).into());
    }
    let options = serde_saphyr::options! {
        with_snippet: false,
        non_finite_float_policy: serde_saphyr::options::NonFiniteFloatPolicy::PassThrough,
        budget: serde_saphyr::budget! {
            max_nodes: MOST_NODES,
            max_depth: DEEPEST,
        },
    };
    let slips = Slips::of(text);
    let mut tree = serde_saphyr::from_str_with_options::<Node>(text, options)
        .map_err(|error| not_yaml(&error, text, &slips, kind))?;
    if tree.is_nothing() {
        return Err(nothing(kind).into());
    }
    tree.take_texts(text);
    let value = T::deserialize(&tree).map_err(|fault| told(fault, text, &slips, kind))?;
    let doubts = slips.cut.into_iter();
    let doubts = doubts.map(|cut| Doubt { place: cut.place, message: cut.message, help: cut.help });
    Ok((value, doubts.collect(), tree.words()))
}

/// The YAML reader's error in the words of the trade.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `serde-saphyr`")]
fn not_yaml(error: &Error, text: &str, slips: &Slips, kind: &FileKind) -> Problem {
    let error = error.without_snippet();
    let place = error.location().map_or(Place::default(), |location| place_of(location, text));
    match error {
        Error::DuplicateMappingKey { key, .. } => {
            let key = key.clone().unwrap_or_else(|| word_at(text, place).to_owned());
            Problem::at(
                place,
                format!("the key `{key}` is written twice"),
                "keep one of the two; two pieces of one kind need a list",
            )
        }
        Error::Budget { .. } => Problem::at(
            place,
            format!("the {} holds or repeats more than a spread can need", kind.name),
            "check the aliases (`*name`) and the nesting",
        ),
        Error::Eof { .. } => nothing(kind),
        other => {
            let message = other.to_string();
            let message = message.split(" at line ").next().unwrap_or(&message).to_owned();
            slips.cause(place.line).map_or_else(
                || {
                    Problem::at(
                        place,
                        format!("the YAML can't be read: {message}"),
                        "check brackets, colons, quotes and indentation on this line and the one \
                         before",
                    )
                },
                |slip| Problem::at(slip.place, slip.message.clone(), slip.help.clone()),
            )
        }
    }
}

/// A file without a word in it.
fn nothing(kind: &FileKind) -> Problem {
    Problem::at(
        Place { line: Some(NonZeroU64::MIN), offset: 0, length: 1 },
        format!("the {} is empty", kind.name),
        format!("begin with {}", kind.begin),
    )
}

/// What is wrong with values and keys, in the words of the trade.
fn told(fault: Fault, text: &str, slips: &Slips, kind: &FileKind) -> Problem {
    let place = fault.place.unwrap_or_default();
    match fault.what {
        What::UnknownKey(key, known) => unknown_key(text, &key, known, place),
        What::UnknownKind(word, known) => {
            let what = if known == PatternSpec::KINDS { "pattern" } else { "kind of element" };
            unknown(what, &word, known, place)
        }
        What::MissingKey(key) => Problem::at(
            place,
            format!("the key `{key}` is missing"),
            format!("add `{key}: …` here; {}", kind.keys),
        ),
        What::OtherForm(meant) => unexpected::told(text, meant, place, slips, kind),
        What::NothingFollows(word) => Problem::at(
            place,
            format!("nothing follows `{word}`"),
            format!("write its keys behind it: `{word}: {{key: value}}`"),
        ),
        What::Nothing => unexpected::empty(text, place, slips),
        What::NoSuchValue(value) => unexpected::scalar(text, value, place),
        What::Other(message, help) => Problem::at(place, message, help),
    }
}

/// A place of the reader's. It gives no byte where the YAML itself is at fault: then line and column tell.
fn place_of(location: Location, text: &str) -> Place {
    let mut place = Place::from(location);
    let Some(line) = place.line.filter(|_| location.span().byte_offset().is_none()) else {
        return place;
    };
    let skipped = usize::try_from(line.get() - 1).unwrap_or(usize::MAX);
    let start = match skipped {
        0 => 0,
        skipped => text.match_indices('\n').nth(skipped - 1).map_or(text.len(), |(end, _)| end + 1),
    };
    let column = usize::try_from(location.column().saturating_sub(1)).unwrap_or(0);
    let line = text[start..].split('\n').next().unwrap_or_default();
    let within = line.char_indices().nth(column).map_or(line.len(), |(at, _)| at);
    place.offset = start + within;
    // What is noticed at the end of the file is shown at its last line with text.
    if text[start..].trim().is_empty() {
        let end = text.trim_end().len();
        let last = text[..end].chars().next_back().map_or(0, char::len_utf8);
        place.offset = end - last;
        let breaks = u64::try_from(text[..end].matches('\n').count()).unwrap_or(0);
        place.line = Some(NonZeroU64::MIN.saturating_add(breaks));
    }
    place
}

/// A key that isn't known: misspelt, without a space after its colon, or no key at all.
fn unknown_key(text: &str, field: &str, expected: &[&'static str], place: Place) -> Problem {
    if let Some((key, value)) = field.split_once(':')
        && let Some(near) = nearest(key, expected.iter().copied())
    {
        let help = format!("write `{near}: {}`", value.trim());
        return Problem::at(place, format!("there is no space after the colon in `{field}`"), help);
    }
    let end = place.offset.saturating_add(place.length);
    let stands_alone =
        text.get(end..).is_some_and(|rest| rest.trim_start().starts_with([',', '}']));
    if stands_alone && nearest(field, expected.iter().copied()).is_none() {
        let help = "a comma ends a value in brackets: put a value that holds one in quotes";
        return Problem::at(place, format!("`{field}` stands alone, without a key"), help);
    }
    unknown("key", field, expected, place)
}

/// A word that isn't known, with the nearest one that is.
fn unknown(what: &str, word: &str, expected: &[&'static str], place: Place) -> Problem {
    let help = nearest(word, expected.iter().copied())
        .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    Problem::at(
        place,
        format!("unknown {what} `{word}`"),
        format!("{help}known here: {}", expected.join(", ")),
    )
}

fn word_at(text: &str, place: Place) -> &str {
    text.get(place.offset..place.offset + place.length).unwrap_or_default()
}
