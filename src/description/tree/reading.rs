//! Reads what a tree of values means. The types of the spec say it, by `serde`.

use std::num::NonZeroU64;

use serde::de::value::{BorrowedStrDeserializer, U64Deserializer};
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer, MapAccess, SeqAccess,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;

use super::fault::{Fault, Meant, What};
use super::{Form, Key, Node};
use crate::description::Place;

/// A type of this name gets a list of four: line, offset and length of its place, and the value.
pub(in crate::description) const WITH_PLACE: &str = "value with its place";

impl Node {
    /// Its text, if it is one value.
    fn text(&self) -> Result<&str, Fault> {
        match &self.form {
            Form::Text(text) => Ok(text),
            Form::Nothing => Err(self.fault(What::Nothing)),
            Form::Plain | Form::List(_) | Form::Keys(_) => {
                Err(self.fault(What::OtherForm(Meant::Single)))
            }
        }
    }

    fn fault(&self, what: What) -> Fault {
        Fault::from(what).at(self.place)
    }

    /// A number of a kind.
    fn number<T: std::str::FromStr>(&self, kind: &'static str) -> Result<T, Fault> {
        self.text()?.trim().parse().map_err(|_| self.fault(What::NoSuchValue(kind)))
    }

    /// True or false, in the words of YAML 1.1 and 1.2.
    fn truth(&self) -> Result<bool, Fault> {
        match self.text()?.to_ascii_lowercase().as_str() {
            "true" | "yes" | "y" | "on" => Ok(true),
            "false" | "no" | "n" | "off" => Ok(false),
            _ => Err(self.fault(What::NoSuchValue("bool"))),
        }
    }
}

impl<'de> Deserializer<'de> for &'de Node {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.form {
            Form::Nothing => visitor.visit_unit(),
            Form::Plain | Form::Text(_) => visitor.visit_borrowed_str(self.text()?),
            Form::List(values) => visitor.visit_seq(Values(values.iter())),
            Form::Keys(pairs) => visitor.visit_map(Pairs { pairs: pairs.iter(), value: None }),
        }
        .map_err(|fault| fault.at(self.place))
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_borrowed_str(self.text()?).map_err(|fault: Fault| fault.at(self.place))
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_bool(self.truth()?)
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_f64(self.number("number")?)
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_u64(self.number("unsigned")?).map_err(|fault: Fault| fault.at(self.place))
    }

    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_u32(self.number("unsigned")?)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.form {
            Form::Nothing => visitor.visit_none(),
            Form::Plain | Form::Text(_) | Form::List(_) | Form::Keys(_) => visitor.visit_some(self),
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.form {
            Form::List(values) => visitor.visit_seq(Values(values.iter())),
            Form::Nothing => Err(What::Nothing.into()),
            Form::Plain | Form::Text(_) | Form::Keys(_) => Err(What::OtherForm(Meant::List).into()),
        }
        .map_err(|fault| fault.at(self.place))
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.form {
            Form::Keys(pairs) => visitor.visit_map(Pairs { pairs: pairs.iter(), value: None }),
            Form::Nothing => Err(What::Nothing.into()),
            Form::Plain | Form::Text(_) | Form::List(_) => Err(What::OtherForm(Meant::Keys).into()),
        }
        .map_err(|fault| fault.at(self.place))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_map(visitor)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        if name == WITH_PLACE {
            visitor.visit_seq(Placed { node: self, given: 0 })
        } else {
            visitor.visit_newtype_struct(self)
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.form {
            Form::Keys(pairs) => match &pairs[..] {
                [(key, value)] => {
                    let Key { name, place } = key;
                    visitor.visit_enum(Chosen { name, place: *place, value: Some(value) })
                }
                _ => Err(What::OtherForm(Meant::Keys).into()),
            },
            Form::Text(name) => visitor.visit_enum(Chosen { name, place: self.place, value: None }),
            Form::Nothing | Form::Plain | Form::List(_) => Err(What::OtherForm(Meant::Keys).into()),
        }
        .map_err(|fault| fault.at(self.place))
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u128 f32 char bytes byte_buf unit unit_struct tuple_struct
        identifier ignored_any
    }
}

/// The values of a list.
struct Values<'de>(std::slice::Iter<'de, Node>);

impl<'de> SeqAccess<'de> for Values<'de> {
    type Error = Fault;
    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        self.0.next().map(|node| seed.deserialize(node)).transpose()
    }
    fn size_hint(&self) -> Option<usize> {
        Some(self.0.len())
    }
}

/// Keys and their values.
struct Pairs<'de> {
    pairs: std::slice::Iter<'de, (Key, Node)>,
    value: Option<&'de Node>,
}

impl<'de> MapAccess<'de> for Pairs<'de> {
    type Error = Fault;
    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some((key, value)) = self.pairs.next() else { return Ok(None) };
        self.value = Some(value);
        let name = BorrowedStrDeserializer::new(&key.name);
        seed.deserialize(name).map(Some).map_err(|fault: Fault| fault.at(key.place))
    }
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        let value = self.value.take().ok_or_else(|| Fault::from(What::Nothing))?;
        seed.deserialize(value).map_err(|fault| fault.at(value.place))
    }
}

/// A value's place, number by number, and then the value.
struct Placed<'de> {
    node: &'de Node,
    given: u8,
}

impl<'de> SeqAccess<'de> for Placed<'de> {
    type Error = Fault;
    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Place { line, offset, length } = self.node.place;
        let line = line.map_or(0, NonZeroU64::get);
        self.given += 1;
        let number = |value: usize| -> U64Deserializer<Fault> {
            u64::try_from(value).unwrap_or_default().into_deserializer()
        };
        match self.given {
            1 => seed.deserialize(IntoDeserializer::<Fault>::into_deserializer(line)).map(Some),
            2 => seed.deserialize(number(offset)).map(Some),
            3 => seed.deserialize(number(length)).map(Some),
            4 => seed.deserialize(self.node).map(Some).map_err(|fault| fault.at(self.node.place)),
            _ => Ok(None),
        }
    }
}

/// One kind of several, and what it holds, if anything follows it.
struct Chosen<'de> {
    name: &'de str,
    place: Place,
    value: Option<&'de Node>,
}

impl<'de> Chosen<'de> {
    fn value(&self) -> Result<&'de Node, Fault> {
        let nothing = || Fault::from(What::NothingFollows(self.name.to_owned())).at(self.place);
        self.value.ok_or_else(nothing)
    }
}

impl<'de> EnumAccess<'de> for Chosen<'de> {
    type Error = Fault;
    type Variant = Self;
    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self), Fault> {
        let name: BorrowedStrDeserializer<'de, Fault> = BorrowedStrDeserializer::new(self.name);
        let kind = seed.deserialize(name).map_err(|fault| fault.at(self.place))?;
        Ok((kind, self))
    }
}

impl<'de> VariantAccess<'de> for Chosen<'de> {
    type Error = Fault;
    fn unit_variant(self) -> Result<(), Fault> {
        Ok(())
    }
    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Fault> {
        seed.deserialize(self.value()?)
    }
    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        self.value()?.deserialize_seq(visitor)
    }
    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.value()?.deserialize_map(visitor)
    }
}
