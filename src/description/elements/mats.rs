//! Mats round photos.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;

use super::super::{Marked, Place, Text, Written};
use crate::model::length::LengthSum;

/// A mat: paper that shows round a photo or a bank.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MatSpec {
    /// Its paper.
    pub paper: Marked<Text>,
    /// How much of it shows: one length, or `{top, right, bottom, left}`.
    pub reveal: Marked<Reveal>,
}

/// How much of a mat shows on each side.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reveal {
    /// Above.
    pub top: Written<LengthSum>,
    /// To the right.
    pub right: Written<LengthSum>,
    /// Below.
    pub bottom: Written<LengthSum>,
    /// To the left.
    pub left: Written<LengthSum>,
}

/// The mapping form of a reveal.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FourSides {
    /// Above.
    top: Written<LengthSum>,
    /// To the right.
    right: Written<LengthSum>,
    /// Below.
    bottom: Written<LengthSum>,
    /// To the left.
    left: Written<LengthSum>,
}

impl<'de> Deserialize<'de> for Reveal {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> serde::de::Visitor<'de> for Forms {
            type Value = Reveal;
            fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str("a length, or {top, right, bottom, left}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Reveal, E> {
                let all: Written<LengthSum> = Written::of(text, Place::default());
                Ok(Reveal { top: all.clone(), right: all.clone(), bottom: all.clone(), left: all })
            }
            fn visit_i64<E: serde::de::Error>(self, reveal: i64) -> Result<Reveal, E> {
                self.visit_str(&reveal.to_string())
            }
            fn visit_u64<E: serde::de::Error>(self, reveal: u64) -> Result<Reveal, E> {
                self.visit_str(&reveal.to_string())
            }
            fn visit_f64<E: serde::de::Error>(self, reveal: f64) -> Result<Reveal, E> {
                self.visit_str(&reveal.to_string())
            }
            fn visit_map<A: serde::de::MapAccess<'de>>(self, map: A) -> Result<Reveal, A::Error> {
                let reader = serde::de::value::MapAccessDeserializer::new(map);
                let FourSides { top, right, bottom, left } = FourSides::deserialize(reader)?;
                Ok(Reveal { top, right, bottom, left })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for Reveal {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Reveal".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let length = generator.subschema_for::<Written<LengthSum>>();
        let sides = generator.subschema_for::<FourSides>();
        schemars::json_schema!({ "anyOf": [length, sides] })
    }
}
