//! The list of names that kits are made for.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, Visitor};

use super::{Marked, Place, Text};

/// Where the names stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EachSpec {
    /// The file, by its path from the spec's folder.
    pub file: Marked<Text>,
    /// The column of a CSV file, by its first line.
    pub column: Option<Marked<Text>>,
}

impl<'de> Deserialize<'de> for EachSpec {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Table {
            file: Marked<Text>,
            column: Marked<Text>,
        }
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = EachSpec;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a file of names, or {file, column}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<EachSpec, E> {
                let file = Marked { value: Text(text.to_owned()), place: Place::default() };
                Ok(EachSpec { file, column: None })
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<EachSpec, A::Error> {
                let Table { file, column } = Table::deserialize(MapAccessDeserializer::new(map))?;
                Ok(EachSpec { file, column: Some(column) })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for EachSpec {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Each".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        schemars::json_schema!({
            "description": "a file of names, or {file, column}",
            "anyOf": [
                { "type": "string" },
                {
                    "type": "object",
                    "properties": {
                        "file": { "type": "string" },
                        "column": { "type": ["string", "number"] },
                    },
                    "required": ["file", "column"],
                    "additionalProperties": false,
                },
            ],
        })
    }
}
