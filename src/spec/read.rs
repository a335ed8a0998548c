//! YAML text to a [`Spec`], with bounded work on hostile input.

use serde_saphyr::Error;

use super::{Place, Problem, Problems, Spec};
use crate::naming::nearest;

/// The longest spec that is read, in bytes; a long album's story stays far below it.
const LONGEST_SPEC: usize = 1_000_000;
/// Nodes a spec may hold once its aliases are followed; the demo has under 1000.
const MOST_NODES: usize = 50_000;
/// How deep a spec may nest; no element needs more than 8 levels.
const DEEPEST: usize = 40;

/// Reads a spec.
pub fn parse(text: &str) -> Result<Spec, Problems> {
    if text.len() > LONGEST_SPEC {
        return Err(Problem::input(
            format!("the spec is longer than {LONGEST_SPEC} bytes"),
            "split it into one spec a spread",
        )
        .into());
    }
    let options = serde_saphyr::options! {
        with_snippet: false,
        budget: serde_saphyr::budget! {
            max_nodes: MOST_NODES,
            max_depth: DEEPEST,
        },
    };
    serde_saphyr::from_str_with_options::<Spec>(text, options)
        .map_err(|error| told(&error, text).into())
}

/// The reader's error in the words of the trade.
fn told(error: &Error, text: &str) -> Problem {
    let error = error.without_snippet();
    let place = error.location().map_or(Place::default(), Place::from);
    match error {
        Error::SerdeUnknownField { field, expected, .. } => unknown("key", field, expected, place),
        Error::SerdeUnknownVariant { variant, expected, .. } => {
            unknown("kind of element", variant, expected, place)
        }
        Error::SerdeMissingField { field, .. } => Problem::at(
            place,
            format!("the key `{field}` is missing"),
            format!("add `{field}: …` here; README lists every key"),
        ),
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
            "the spec holds or repeats more than a spread can need",
            "check the aliases (`*name`) and the nesting",
        ),
        other => {
            let message = other.to_string();
            let message = message.split(" at line ").next().unwrap_or(&message).to_owned();
            Problem::at(
                place,
                format!("the YAML can't be read: {message}"),
                "check brackets, colons, quotes and indentation on this line and the one before",
            )
        }
    }
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
