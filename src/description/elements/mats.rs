//! Mats round photos.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, de};

use super::super::{Marked, Place, Text, Written};
use crate::model::length::LengthSum;

/// A mat: paper that shows round a photo or a bank.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MatSpec {
    /// Its paper.
    pub paper: Marked<Text>,
    /// How much of it shows: one length, `{sides: 1/4, bottom: 3/4}`, or each side by its name.
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

/// The mapping form of a reveal: every side by its name, or `sides` for those that aren't named.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("anyOf" = [
    { "required": ["sides"] },
    { "required": ["top", "right", "bottom", "left"] },
]))]
struct FourSides {
    /// On every side that isn't named: `{sides: 1/4, bottom: 3/4}`.
    sides: Option<Written<LengthSum>>,
    /// Above.
    top: Option<Written<LengthSum>>,
    /// To the right.
    right: Option<Written<LengthSum>>,
    /// Below.
    bottom: Option<Written<LengthSum>>,
    /// To the left.
    left: Option<Written<LengthSum>>,
}

impl<'de> Deserialize<'de> for Reveal {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> serde::de::Visitor<'de> for Forms {
            type Value = Reveal;
            fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter
                    .write_str("a length, or {sides: 1/4, bottom: 3/4}, or each side by its name")
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
                let FourSides { sides, top, right, bottom, left } = FourSides::deserialize(reader)?;
                let side = |own: Option<Written<LengthSum>>, name| {
                    own.or_else(|| sides.clone()).ok_or_else(|| de::Error::missing_field(name))
                };
                Ok(Reveal {
                    top: side(top, "top")?,
                    right: side(right, "right")?,
                    bottom: side(bottom, "bottom")?,
                    left: side(left, "left")?,
                })
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
