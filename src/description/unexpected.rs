//! A list where keys are meant, keys where a list is meant, no value, or none that can be read: told by the
//! key it belongs to, with what to write.

use super::file_kind::FileKind;
use super::slips::Slips;
use super::tree::Meant;
use super::{Place, Problem};

/// Letters of a value that are repeated in a message.
const SHOWN: usize = 40;

/// One form of YAML where another is meant.
pub(super) fn told(
    text: &str,
    meant: Meant,
    place: Place,
    slips: &Slips,
    file: &FileKind,
) -> Problem {
    let place = if meant == Meant::Keys { behind_key(text, place) } else { place };
    let found = text.get(place.offset..).unwrap_or_default();
    let name = key_before(text, place.offset);
    let this = name.map_or_else(|| "this".to_owned(), |name| format!("`{name}`"));
    let key = name.unwrap_or("key");
    let value = value(found);
    if let Some(slip) = slips.cause(place.line).filter(|slip| slip.place.line == place.line)
        && !slip.sure
    {
        return Problem::at(slip.place, slip.message.clone(), slip.help.clone());
    }
    match meant {
        Meant::List if found.starts_with('{') => Problem::at(
            place,
            format!("{this} is a list, and this is a single entry"),
            format!(
                "put it in square brackets, `{key}: [{{…}}]`, or on a line that begins with `- `"
            ),
        ),
        Meant::List if is_key_ahead(found) => Problem::at(
            place,
            format!("{this} is a list, and this line is no entry of one"),
            format!("begin each of its entries with `- `, as in `- {}: …`", first_key(value)),
        ),
        Meant::List => Problem::at(
            place,
            format!("{this} is a list, and this is a single value"),
            format!("put it in square brackets: `{key}: [{value}]`"),
        ),
        Meant::Keys if found.starts_with("- ") => Problem::at(
            place,
            format!("{this} takes keys, and this is a list"),
            format!("leave out the `- `: write `{}: …` in its place", first_key(value)),
        ),
        Meant::Keys if found.starts_with('[') => Problem::at(
            place,
            format!("{this} takes keys, and this is a list"),
            format!("write keys and their values: `{key}: {{key: value}}`"),
        ),
        Meant::Keys if place.offset == 0 || name.is_none() => Problem::at(
            place,
            format!("a {} is made of keys and their values, and this is neither", file.name),
            format!("write keys with a space after the colon, beginning with {}", file.begin),
        ),
        Meant::Keys if value.is_empty() => Problem::at(
            place,
            format!("{this} takes keys, and has none"),
            format!("write them behind it: `{key}: {{key: value}}`"),
        ),
        Meant::Keys => Problem::at(
            place,
            format!("{this} takes keys, and `{value}` is a single value"),
            format!("write `{key}: {{{}: {value}}}`", key_for(value)),
        ),
        Meant::Single => Problem::at(
            place,
            format!("{this} is one value, and this is {}", kind(found)),
            format!("write a single one: `{key}: …`"),
        ),
    }
}

/// Where keys are there, but the value of the first one is to be keys as well: the place of that value, if it
/// stands on the same line.
fn behind_key(text: &str, place: Place) -> Place {
    let found = text.get(place.offset..).unwrap_or_default();
    let line = found.lines().next().unwrap_or_default();
    let inner = line.strip_prefix('{').unwrap_or(line);
    let is_key = |key: &str| !key.is_empty() && !key.contains([',', '[', '{', '"', '\'', '#', '-']);
    match inner.split_once(": ") {
        Some((key, value))
            if is_key(key.trim())
                && !value.trim().is_empty()
                && !value.trim_start().starts_with(['{', '[']) =>
        {
            let value = value.trim_start();
            let length = self::value(value).len();
            Place { offset: place.offset + line.len() - value.len(), length, ..place }
        }
        _ => place,
    }
}

/// The key that a line begins with.
fn first_key(value: &str) -> &str {
    value.trim_start_matches("- ").split(':').next().unwrap_or_default()
}

/// A key without a value.
pub(super) fn empty(text: &str, place: Place, slips: &Slips) -> Problem {
    if let Some(cut) = slips.cut.iter().find(|cut| cut.place.line == place.line) {
        return Problem::at(cut.place, cut.message.clone(), cut.help.clone());
    }
    let name = key_before(text, place.offset).or_else(|| key_before(text, place.offset + 1));
    let name = name.map_or_else(|| "this key".to_owned(), |name| format!("`{name}`"));
    Problem::at(
        place,
        format!("{name} has no value"),
        "write it behind the colon, or take the key out",
    )
}

/// A value that is no number, or neither true nor false.
pub(super) fn scalar(text: &str, kind: &str, place: Place) -> Problem {
    let end = place.offset.saturating_add(place.length);
    let value = value(text.get(place.offset..end).unwrap_or_default());
    let (what, help) = match kind {
        kind if kind.contains("bool") => ("neither true nor false", "write `true` or `false`"),
        kind if kind.starts_with('u') => ("not a whole number", "write a whole number, 0 or more"),
        _ => ("not a number", "write a number, such as 14 or 0.5"),
    };
    Problem::at(place, format!("`{value}` is {what}"), help)
}

/// The beginning of what stands at a place, on its line.
fn value(found: &str) -> &str {
    let line = found.lines().next().unwrap_or_default();
    let end = line.find([',', '}', ']']).unwrap_or(line.len());
    let end = line[..end].find(" #").unwrap_or(end);
    let end = line.char_indices().nth(SHOWN).map_or(end, |(at, _)| at.min(end));
    line[..end].trim()
}

fn kind(found: &str) -> &'static str {
    if found.starts_with(['[', '-']) { "a list" } else { "a mapping of keys" }
}

/// Whether a line begins with a key.
fn is_key_ahead(found: &str) -> bool {
    let line = found.lines().next().unwrap_or_default();
    let end = line.find([',', '{', '[']).unwrap_or(line.len());
    line[..end].contains(": ") || line[..end].ends_with(':')
}

/// The key that a single value most likely stands for.
fn key_for(value: &str) -> &'static str {
    match value {
        value if value.trim_matches(['"', '\'']).starts_with('#') => "color",
        value if crate::model::length::sides(value).is_some() => "size",
        _ => "key",
    }
}

/// The key whose value begins at a place.
fn key_before(text: &str, offset: usize) -> Option<&str> {
    let before = text.get(..offset)?.trim_end();
    let before = before.trim_end_matches(['-', '{', '[']).trim_end();
    let before = before.strip_suffix(':')?;
    let start = before.rfind(['\n', '{', '[', ',']).map_or(0, |at| at + 1);
    let key = before[start..].trim().trim_start_matches("- ").trim();
    (!key.is_empty() && key.chars().count() <= SHOWN).then_some(key)
}
