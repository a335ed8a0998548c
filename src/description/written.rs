//! Values that are read from one text: a word, a length, a colour. Each is read once, while the spec is
//! read, and keeps its text and its place; what is none keeps why, so that all of a spec's faults can be
//! told together.

use crate::model::Fault;
use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::{Deserialize, Deserializer};

use super::{Marked, Place, Text};
use crate::model::Choice;
use crate::model::naming::nearest;

/// A value that is written as one text.
pub trait FromText: Clone {
    /// Reads it.
    fn from_text(text: &str) -> Result<Self, Fault>;

    /// Its name in the JSON Schema.
    fn schema_name() -> Cow<'static, str>;

    /// What the JSON Schema says of it.
    fn schema() -> Schema;

    /// Whether the schema repeats that wherever such a value stands.
    fn is_inline() -> bool {
        true
    }
}

/// A value as it was read, with its text and its place.
///
/// ```
/// use cutleaf::model::Tool;
/// use cutleaf::description::{Place, Written};
/// let tool: Written<Tool> = Written::of("machine", Place::default());
/// assert_eq!(tool.value, Ok(Tool::Machine));
/// let tool: Written<Tool> = Written::of("machin", Place::default());
/// assert!(tool.value.unwrap_err().help.contains("did you mean `machine`?"));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Written<T> {
    /// What was read, or why the text is no such value.
    pub value: Result<T, Fault>,
    /// The text.
    pub text: Text,
    /// Where it stands.
    pub place: Place,
}

impl<T: FromText> Written<T> {
    /// Reads a text.
    pub fn of(text: &str, place: Place) -> Self {
        Self { value: T::from_text(text), text: Text(text.to_owned()), place }
    }
}

impl<T> Default for Written<T> {
    fn default() -> Self {
        let value = Err(Fault::default());
        Self { value, text: Text::default(), place: Place::default() }
    }
}

impl<'de, T: FromText> Deserialize<'de> for Written<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = Marked::<Text>::deserialize(deserializer)?;
        Ok(Self::of(&written.value, written.place))
    }
}

impl<T: FromText> JsonSchema for Written<T> {
    fn inline_schema() -> bool {
        T::is_inline()
    }
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        T::schema()
    }
}

impl<T: Choice> FromText for T {
    fn from_text(text: &str) -> Result<Self, Fault> {
        Self::from_word(text).ok_or_else(|| {
            let article = if T::WHAT.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
            let near = nearest(text, Self::words())
                .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
            let words: Vec<&str> = Self::words().collect();
            Fault::new(
                format!("`{text}` is not {article} {}", T::WHAT),
                format!("{near}write one of: {}", words.join(", ")),
            )
        })
    }

    fn schema_name() -> Cow<'static, str> {
        T::WHAT.into()
    }

    fn schema() -> Schema {
        let words: Vec<&str> = Self::words().collect();
        let meanings: Vec<&str> = Self::CHOICES.iter().map(|choice| choice.meaning()).collect();
        schemars::json_schema!({ "type": "string", "enum": words, "enumDescriptions": meanings })
    }
}
