//! Values that remember where in the file they stand.

use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_saphyr::Location;

use super::tree::WITH_PLACE;

/// Where a value stands in the spec's text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1; 0 where there is none.
    pub line: u64,
    /// Byte offset.
    pub offset: usize,
    /// Length in bytes.
    pub length: usize,
}

impl Place {
    /// This place, or another where there is none.
    pub fn or(self, other: Self) -> Self {
        if self.line > 0 { self } else { other }
    }
}

impl From<Location> for Place {
    fn from(location: Location) -> Self {
        let span = location.span();
        let byte = |value: Option<u64>| value.and_then(|value| usize::try_from(value).ok());
        Self {
            line: location.line(),
            offset: byte(span.byte_offset()).unwrap_or(0),
            length: byte(span.byte_len()).unwrap_or(1),
        }
    }
}

/// A value and its place.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marked<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Marked<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Placed<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Placed<T> {
            type Value = Marked<T>;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a value")
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Marked<T>, A::Error> {
                let place = Place {
                    line: parts.next_element()?.unwrap_or_default(),
                    offset: parts.next_element()?.unwrap_or_default(),
                    length: parts.next_element()?.unwrap_or_default(),
                };
                let value = parts.next_element()?;
                let value = value.ok_or_else(|| A::Error::custom("the value is missing"))?;
                Ok(Marked { value, place })
            }
        }
        deserializer.deserialize_newtype_struct(WITH_PLACE, Placed(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for Marked<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        generator.subschema_for::<T>()
    }
}

/// A mapping that keeps the order in which it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordered<T>(pub Vec<(String, T)>);

impl<T> Default for Ordered<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Ordered<T> {
    /// The value of a key.
    pub fn get(&self, key: &str) -> Option<&T> {
        self.0.iter().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    /// The keys in order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(name, _)| name.as_str())
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Ordered<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Pairs<T> {
            type Value = Ordered<T>;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("names, each with its description")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry::<String, T>()? {
                    pairs.push(pair);
                }
                Ok(Ordered(pairs))
            }
        }
        deserializer.deserialize_map(Pairs(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for Ordered<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("Named{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        schemars::json_schema!({
            "type": "object",
            "additionalProperties": generator.subschema_for::<T>(),
        })
    }
}

/// One value or a list of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OneOrMany<T>(pub Vec<Marked<T>>);

impl<T: Clone> Marked<OneOrMany<T>> {
    /// The values, each with a place: one that stands alone has the list's.
    pub fn each(&self) -> impl ExactSizeIterator<Item = Marked<T>> + '_ {
        self.value
            .0
            .iter()
            .map(|one| Marked { value: one.value.clone(), place: one.place.or(self.place) })
    }
}

impl<'de, T: Deserialize<'de> + From<String>> Deserialize<'de> for OneOrMany<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Values<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de> + From<String>> Visitor<'de> for Values<T> {
            type Value = OneOrMany<T>;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a value or a list of values")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
                let value = T::from(text.to_owned());
                Ok(OneOrMany(vec![Marked { value, place: Place::default() }]))
            }
            fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Self::Value, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
                let mut values = Vec::new();
                while let Some(value) = seq.next_element::<Marked<T>>()? {
                    values.push(value);
                }
                Ok(OneOrMany(values))
            }
        }
        deserializer.deserialize_any(Values(PhantomData))
    }
}

impl<T: JsonSchema> JsonSchema for OneOrMany<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("OneOrMany{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let one = generator.subschema_for::<T>();
        schemars::json_schema!({ "anyOf": [one, { "type": "array", "items": one }] })
    }
}
