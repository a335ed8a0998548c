//! The manual of a spec: every key with what it takes and what it means, from the types that read one.
//!
//! The text between the tables is `manual/template.md`. In it `{keys NAME}` stands for the table of the keys
//! of a type, `{common keys}` for those of every element, and `{elements}` for the elements with their own.

use std::fmt::Write;

use serde_json::{Map, Value};

/// The text with its places for tables.
const TEMPLATE: &str = include_str!("template.md");

/// The most keys that are listed where a value takes them; more have their own table.
const MOST_KEYS: usize = 6;

/// The manual of a spec, in Markdown.
pub fn manual() -> String {
    let schema = super::schema();
    let types = Types { schema: &schema };
    let mut page = String::new();
    for line in TEMPLATE.lines() {
        match line.strip_prefix('{').and_then(|line| line.strip_suffix('}')) {
            Some("common keys") => types.table(&mut page, &types.common()),
            Some("elements") => types.elements(&mut page),
            Some(place) => {
                let name = place.strip_prefix("keys ").unwrap_or(place);
                types.table(&mut page, &types.keys(name));
            }
            None => {
                page.push_str(line);
                page.push('\n');
            }
        }
    }
    page
}

/// The types of a spec, by their schema.
struct Types<'a> {
    schema: &'a Value,
}

/// A key of a type.
#[derive(Clone)]
struct Key<'a> {
    name: &'a str,
    needed: bool,
    schema: &'a Value,
    /// What says what it means: the value itself, or the choice that it is.
    about: &'a Value,
}

impl<'a> Types<'a> {
    /// The schema of a type; of the spec itself, that of the whole.
    fn of(&self, name: &str) -> &'a Value {
        match name {
            "Spec" => self.schema,
            name => &self.schema["$defs"][name],
        }
    }

    /// The keys of a type, the needed ones first; of a choice of keys, all of them.
    fn keys(&self, name: &str) -> Vec<Key<'a>> {
        let schema = self.of(name);
        let needed = words(&schema["required"]);
        let mut keys = Vec::new();
        let choices = schema["oneOf"].as_array().into_iter().flatten();
        for part in std::iter::once(schema).chain(choices) {
            let of_part = part["properties"].as_object().into_iter().flat_map(Map::iter);
            keys.extend(of_part.map(|(name, schema)| Key {
                name,
                needed: needed.contains(&name.as_str()),
                schema,
                about: if schema["description"].is_string() { schema } else { part },
            }));
        }
        keys.sort_by_key(|key| !key.needed);
        keys
    }

    /// The elements: name and type.
    fn all_elements(&self) -> impl Iterator<Item = (&'a str, &'a str)> {
        let choices = self.of("Element")["oneOf"].as_array().into_iter().flatten();
        choices
            .filter_map(|choice| choice["properties"].as_object())
            .flat_map(Map::iter)
            .map(|(name, schema)| (name.as_str(), reference(schema).unwrap_or_default()))
    }

    /// The keys that every element has.
    fn common(&self) -> Vec<Key<'a>> {
        let mut all = self.all_elements();
        let first = all.next().map(|(_, kind)| self.keys(kind)).unwrap_or_default();
        let others: Vec<Vec<Key<'_>>> = all.map(|(_, kind)| self.keys(kind)).collect();
        let everywhere = |key: &Key<'_>| {
            others.iter().all(|keys| {
                keys.iter().any(|other| other.name == key.name && other.schema == key.schema)
            })
        };
        first.into_iter().filter(everywhere).collect()
    }

    /// A table of keys.
    fn table(&self, page: &mut String, keys: &[Key<'_>]) {
        page.push_str("| key | takes | means |\n|---|---|---|\n");
        for key in keys {
            let star = if key.needed { " *" } else { "" };
            let (takes, means) = (self.takes(key.schema), described(key.about));
            let _ = writeln!(page, "| `{}`{star} | {takes} | {means} |", key.name);
        }
    }

    /// The elements, each with its own keys.
    fn elements(&self, page: &mut String) {
        let common = self.common();
        page.push_str("| element | is | its own keys |\n|---|---|---|\n");
        for (name, kind) in self.all_elements() {
            let own = self.keys(kind);
            let own = own.iter().filter(|key| !common.iter().any(|other| other.name == key.name));
            let own: Vec<String> = own.map(|key| self.in_a_line(key)).collect();
            let about = described(self.of(kind));
            let _ = writeln!(page, "| `{name}` | {about} | {} |", own.join("<br>"));
        }
    }

    /// A key with what it means, in a line of a cell.
    fn in_a_line(&self, key: &Key<'_>) -> String {
        let star = if key.needed { " *" } else { "" };
        format!("`{}`{star}: {} ({})", key.name, described(key.schema), self.takes(key.schema))
    }

    /// What a value may be, in short.
    fn takes(&self, schema: &Value) -> String {
        if let Some(name) = reference(schema) {
            let target = self.of(name);
            return match self.keys(name) {
                _ if target["pattern"].is_string() => in_words(name),
                keys if keys.is_empty() || reference(target).is_some() => self.takes(target),
                keys if keys.len() > MOST_KEYS => "keys, see below".to_owned(),
                keys => format!(
                    "`{{{}}}`",
                    keys.iter().map(|key| key.name).collect::<Vec<_>>().join(", ")
                ),
            };
        }
        if let Some(title) = schema["title"].as_str() {
            return title.to_owned();
        }
        if schema["enum"].is_array() {
            let words = words(&schema["enum"]);
            return words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
        }
        if let Some(word) = schema["const"].as_str() {
            return format!("`{word}`");
        }
        let choices = ["anyOf", "oneOf"].iter().find_map(|key| schema[*key].as_array());
        if let Some(choices) = choices {
            let mut all: Vec<String> = Vec::new();
            for choice in choices.iter().filter(|choice| choice["type"] != "null") {
                let one = self.takes(choice);
                if !all.contains(&one) {
                    all.push(one);
                }
            }
            return all.join(", or ");
        }
        self.form(schema)
    }

    /// The form of YAML that a value has.
    #[expect(clippy::wildcard_enum_match_arm, reason = "kinds of JSON values")]
    fn form(&self, schema: &Value) -> String {
        let kinds = match &schema["type"] {
            Value::String(kind) => vec![kind.as_str()],
            kinds => words(kinds),
        };
        let kinds = kinds.into_iter().filter(|kind| *kind != "null");
        let mut all: Vec<String> = kinds
            .map(|kind| match kind {
                "boolean" => "`true`, `false`".to_owned(),
                "integer" => "whole number".to_owned(),
                "array" => match &schema["items"] {
                    Value::Null => "list".to_owned(),
                    items => format!("list of {}", self.takes(items)),
                },
                "object" => match &schema["additionalProperties"] {
                    Value::Object(_) => {
                        format!("by name: {}", self.takes(&schema["additionalProperties"]))
                    }
                    _ => "keys".to_owned(),
                },
                "string" => "text".to_owned(),
                other => other.to_owned(),
            })
            .collect();
        if all == ["text", "number"] {
            all = vec!["text".to_owned()];
        }
        all.join(", or ")
    }
}

/// The name of the type that a schema refers to, whether or not it may be left out.
fn reference(schema: &Value) -> Option<&str> {
    let own = schema["$ref"].as_str().and_then(|way| way.rsplit('/').next());
    own.or_else(|| match schema["anyOf"].as_array()?.as_slice() {
        [one, other] if other["type"] == "null" => reference(one),
        _ => None,
    })
}

/// A schema's description, on one line.
fn described(schema: &Value) -> String {
    schema["description"].as_str().unwrap_or_default().replace('\n', " ").replace('|', "\\|")
}

/// A type's name as words.
fn in_words(name: &str) -> String {
    let mut words = String::new();
    for letter in name.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// The words of a list.
fn words(list: &Value) -> Vec<&str> {
    list.as_array().into_iter().flatten().filter_map(Value::as_str).collect()
}
