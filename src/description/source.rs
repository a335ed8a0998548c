//! Values that remember where in the file they stand.

use std::fmt;
use std::marker::PhantomData;
use std::num::NonZeroU64;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_saphyr::Location;

use super::tree::WITH_PLACE;

use super::{FromText, Text, Written};

/// Where a value stands in the spec's text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1; none for what isn't written in the spec.
    pub line: Option<NonZeroU64>,
    /// Byte offset.
    pub offset: usize,
    /// Length in bytes.
    pub length: usize,
}

impl Place {
    /// This place, or another where there is none.
    pub fn or(self, other: Self) -> Self {
        if self.line.is_some() { self } else { other }
    }

    /// Its line in words, for a message that points to it: `line 12`.
    pub fn named(self) -> String {
        self.line.map_or_else(|| "another line".to_owned(), |line| format!("line {line}"))
    }
}

impl From<Location> for Place {
    fn from(location: Location) -> Self {
        let span = location.span();
        let byte = |value: Option<u64>| value.and_then(|value| usize::try_from(value).ok());
        Self {
            line: NonZeroU64::new(location.line()),
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
                    line: NonZeroU64::new(parts.next_element()?.unwrap_or_default()),
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

/// A mapping that keeps the order in which it was written. A key that is a value of its own, such as a size,
/// has no place: it stands where its value does.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordered<T, K = String>(pub Vec<(K, T)>);

impl<T, K> Default for Ordered<T, K> {
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

/// What the key of a mapping can be.
pub trait Key: From<Text> {
    /// What the JSON Schema says of each key, if anything.
    fn schema() -> Option<Schema> {
        None
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.0
    }
}

impl Key for String {}

impl<T: FromText> From<Text> for Written<T> {
    fn from(text: Text) -> Self {
        Self::of(&text, Place::default())
    }
}

impl<T: FromText> Key for Written<T> {
    fn schema() -> Option<Schema> {
        Some(T::schema())
    }
}

impl<'de, T: Deserialize<'de>, K: Key> Deserialize<'de> for Ordered<T, K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs<T, K>(PhantomData<(T, K)>);
        impl<'de, T: Deserialize<'de>, K: Key> Visitor<'de> for Pairs<T, K> {
            type Value = Ordered<T, K>;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("names, each with its description")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some((key, value)) = map.next_entry::<String, T>()? {
                    pairs.push((K::from(Text(key)), value));
                }
                Ok(Ordered(pairs))
            }
        }
        deserializer.deserialize_map(Pairs(PhantomData))
    }
}

impl<T: JsonSchema, K: Key> JsonSchema for Ordered<T, K> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("Named{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let mut schema = schemars::json_schema!({
            "type": "object",
            "additionalProperties": generator.subschema_for::<T>(),
        });
        if let Some(key) = K::schema() {
            schema.insert("propertyNames".to_owned(), key.to_value());
        }
        schema
    }
}

/// One value or a list of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OneOrMany<T>(pub Vec<T>);

/// A value with a place that can stand alone in place of a list.
pub trait Single: Clone {
    /// Read from a text whose place is the list's.
    fn alone(text: &str) -> Self;

    /// The same value, at a place if it has none.
    fn at_or(self, place: Place) -> Self;
}

impl Single for Marked<Text> {
    fn alone(text: &str) -> Self {
        Self { value: Text(text.to_owned()), place: Place::default() }
    }

    fn at_or(self, place: Place) -> Self {
        Self { place: self.place.or(place), ..self }
    }
}

impl<T: FromText> Single for Written<T> {
    fn alone(text: &str) -> Self {
        Self::of(text, Place::default())
    }

    fn at_or(self, place: Place) -> Self {
        Self { place: self.place.or(place), ..self }
    }
}

impl<T: Single> Marked<OneOrMany<T>> {
    /// The values, each with a place: one that stands alone has the list's.
    pub fn each(&self) -> impl ExactSizeIterator<Item = T> + '_ {
        self.value.0.iter().map(|one| one.clone().at_or(self.place))
    }
}

impl<'de, T: Deserialize<'de> + Single> Deserialize<'de> for OneOrMany<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Values<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de> + Single> Visitor<'de> for Values<T> {
            type Value = OneOrMany<T>;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a value or a list of values")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
                Ok(OneOrMany(vec![T::alone(text)]))
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
                while let Some(value) = seq.next_element::<T>()? {
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
