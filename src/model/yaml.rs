//! Texts as YAML writes them.

/// A text as a value in flow style or in block style: plain where that can't be taken for anything else.
pub fn value(text: &str) -> String {
    let is_plain =
        |letter: char| letter.is_alphanumeric() || matches!(letter, ' ' | '-' | '_' | '.');
    let is_word =
        text.starts_with(char::is_alphabetic) && text.chars().all(is_plain) && text.trim() == text;
    let reserved = ["true", "false", "null", "yes", "no", "on", "off", "y", "n"];
    if is_word && !reserved.contains(&text.to_lowercase().as_str()) {
        text.to_owned()
    } else {
        in_quotes(text)
    }
}

/// A text in double quotes: JSON's strings are YAML's (YAML 1.2.2, 1.2).
pub fn in_quotes(text: &str) -> String {
    serde_json::to_string(text).unwrap_or_default()
}
