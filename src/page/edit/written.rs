//! A value as YAML text, on one line, in the style of what stood in its place.

use super::tree::Style;
use super::value::{Value, is_nothing};

/// Where a text stands: within brackets, commas and brackets end it.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum Within {
    Block,
    Flow,
}

/// A value on one line: lists and mappings in brackets.
pub(super) fn value(value: &Value, within: Within) -> String {
    match value {
        Value::Nothing => "null".to_owned(),
        Value::Text(words) => text(words, Style::Plain, within),
        Value::List(items) => {
            let items: Vec<String> =
                items.iter().map(|item| self::value(item, Within::Flow)).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Keys(pairs) => {
            let pairs: Vec<String> = pairs
                .iter()
                .map(|(key, of_key)| {
                    format!(
                        "{}: {}",
                        text(key, Style::Plain, Within::Flow),
                        self::value(of_key, Within::Flow)
                    )
                })
                .collect();
            format!("{{{}}}", pairs.join(", "))
        }
        Value::Alias(name) => name.clone(),
    }
}

/// An element on one line of a list in block style: `circle: {…}`, its outer brackets left out.
pub(super) fn item(item: &Value) -> String {
    match item {
        Value::Keys(pairs) if pairs.len() == 1 => {
            let pairs = pairs.iter().map(|(key, of_key)| {
                format!(
                    "{}: {}",
                    text(key, Style::Plain, Within::Block),
                    value(of_key, Within::Block)
                )
            });
            pairs.collect()
        }
        Value::Nothing | Value::Text(_) | Value::List(_) | Value::Keys(_) | Value::Alias(_) => {
            value(item, Within::Block)
        }
    }
}

/// A text in a style, if it can be written in it; in double quotes otherwise.
pub(super) fn text(words: &str, style: Style, within: Within) -> String {
    match style {
        Style::Plain if is_plain(words, within) => words.to_owned(),
        Style::SingleQuoted if is_single_line(words) => format!("'{}'", words.replace('\'', "''")),
        Style::Plain
        | Style::SingleQuoted
        | Style::DoubleQuoted
        | Style::Literal
        | Style::Folded => double_quoted(words),
    }
}

/// In double quotes (YAML 1.2.2, 5.7 and 7.3.1): JSON's escapes are among its own.
fn double_quoted(words: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in words.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\r' => quoted.push_str("\\r"),
            '\t' => quoted.push_str("\\t"),
            letter if is_shown(letter) => quoted.push(letter),
            letter => quoted.push_str(&format!("\\U{:08x}", u32::from(letter))),
        }
    }
    quoted.push('"');
    quoted
}

/// Whether a letter may stand for itself in a text (YAML 1.2.2, 5.1), and is no mark of byte order or line
/// end.
pub(super) fn is_shown(letter: char) -> bool {
    !letter.is_control()
        && !matches!(
            letter,
            '\u{85}' | '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}'
        )
}

fn is_single_line(words: &str) -> bool {
    words.chars().all(is_shown)
}

/// Whether a text is read back as it is without quotes (YAML 1.2.2, 7.3.3), and is nothing else.
fn is_plain(words: &str, within: Within) -> bool {
    let indicator = |letter: char| "-?:,[]{}#&*!|>'\"%@`".contains(letter);
    let starts_well = match words.chars().next() {
        None => false,
        Some('-' | '?' | ':') => {
            words.chars().nth(1).is_some_and(|next| !next.is_whitespace() && !indicator(next))
        }
        Some(first) => !indicator(first),
    };
    starts_well
        && is_single_line(words)
        && words.trim() == words
        && !is_nothing(words)
        && !words.contains(": ")
        && !words.ends_with(':')
        && !words.contains(" #")
        && !words.starts_with("---")
        && !words.starts_with("...")
        && (within == Within::Block || !words.contains([',', '[', ']', '{', '}', ':']))
}
