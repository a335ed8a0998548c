//! The spec's text as a tree of values with their places, before it is known what they mean.
//!
//! The YAML reader is asked for this one type. What the values mean is read from the tree
//! (`reading`), by far less code for each type of the spec than if the YAML reader were asked for it.

mod fault;
mod reading;

use std::collections::BTreeSet;
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_saphyr::Spanned;

use super::Place;

pub(super) use fault::{Fault, Meant, What};
pub(super) use reading::WITH_PLACE;

/// A value and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Where it stands; of an alias, where that stands.
    pub place: Place,
    /// Where its text stands; of an alias, where the value is that it repeats.
    defined: Place,
    /// What it is.
    form: Form,
}

/// What a value is.
#[derive(Clone, Debug)]
enum Form {
    Nothing,
    /// A number, or true or false: its text is that at the place where it is defined.
    Plain,
    Text(String),
    List(Vec<Node>),
    Keys(Vec<(Key, Node)>),
}

/// A key and where it stands.
#[derive(Clone, Debug)]
struct Key {
    name: String,
    place: Place,
}

impl Node {
    /// Whether there is nothing at all.
    pub fn is_nothing(&self) -> bool {
        matches!(self.form, Form::Nothing)
    }

    /// Takes numbers, true and false from the text as they were written: `4.50` stays so.
    pub fn take_texts(&mut self, text: &str) {
        match &mut self.form {
            Form::Nothing | Form::Text(_) => {}
            Form::Plain => {
                let Place { offset, length, .. } = self.defined;
                let written = text.get(offset..offset.saturating_add(length)).unwrap_or_default();
                self.form = Form::Text(written.trim().to_owned());
            }
            Form::List(values) => values.iter_mut().for_each(|value| value.take_texts(text)),
            Form::Keys(pairs) => pairs.iter_mut().for_each(|(_, value)| value.take_texts(text)),
        }
    }
}

impl Node {
    /// Every text that is a value, once numbers were taken from the text.
    pub fn words(&self) -> BTreeSet<String> {
        match &self.form {
            Form::Nothing | Form::Plain => BTreeSet::new(),
            Form::Text(text) => BTreeSet::from([text.clone()]),
            Form::List(values) => values.iter().flat_map(Self::words).collect(),
            Form::Keys(pairs) => pairs.iter().flat_map(|(_, value)| value.words()).collect(),
        }
    }
}

impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = Spanned::<Form>::deserialize(deserializer)?;
        let [place, defined] = [spanned.referenced.into(), spanned.defined.into()];
        Ok(Self { place, defined, form: spanned.value })
    }
}

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = Spanned::<String>::deserialize(deserializer)?;
        Ok(Self { place: spanned.referenced.into(), name: spanned.value })
    }
}

impl<'de> Deserialize<'de> for Form {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Forms)
    }
}

/// Takes whatever the YAML reader finds.
struct Forms;

impl<'de> Visitor<'de> for Forms {
    type Value = Form;
    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a value, a list or keys")
    }
    fn visit_unit<E>(self) -> Result<Form, E> {
        Ok(Form::Nothing)
    }
    fn visit_none<E>(self) -> Result<Form, E> {
        Ok(Form::Nothing)
    }
    fn visit_bool<E>(self, _: bool) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_i64<E>(self, _: i64) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_u64<E>(self, _: u64) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_i128<E>(self, _: i128) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_u128<E>(self, _: u128) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_f64<E>(self, _: f64) -> Result<Form, E> {
        Ok(Form::Plain)
    }
    fn visit_str<E>(self, text: &str) -> Result<Form, E> {
        Ok(Form::Text(text.to_owned()))
    }
    fn visit_string<E>(self, text: String) -> Result<Form, E> {
        Ok(Form::Text(text))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Form, A::Error> {
        let mut values = Vec::new();
        while let Some(value) = list.next_element()? {
            values.push(value);
        }
        Ok(Form::List(values))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut keys: A) -> Result<Form, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = keys.next_entry()? {
            pairs.push(pair);
        }
        Ok(Form::Keys(pairs))
    }
}
