//! Why a tree of values is no spec.

use std::fmt;

use serde::de;

use crate::description::Place;

/// What is wrong, and where.
#[derive(Clone, Debug)]
pub(in crate::description) struct Fault {
    /// Where; none while the reading is still within the value that is at fault.
    pub place: Option<Place>,
    /// What is wrong.
    pub what: What,
}

/// What can be wrong with a value.
#[derive(Clone, Debug)]
pub(in crate::description) enum What {
    /// A key that is not known, and those that are.
    UnknownKey(String, &'static [&'static str]),
    /// A kind of element that is not known, and those that are.
    UnknownKind(String, &'static [&'static str]),
    /// A key that is missing.
    MissingKey(&'static str),
    /// Keys, a list or one value, where something else is written.
    OtherForm(Meant),
    /// A kind of element with nothing behind it.
    NothingFollows(String),
    /// Nothing, where a value is meant.
    Nothing,
    /// A text that is no value of this kind.
    NoSuchValue(&'static str),
    /// Anything else, in a sentence, with what to write.
    Other(String, String),
}

/// The form of YAML that is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::description) enum Meant {
    /// Keys and their values.
    Keys,
    /// A list.
    List,
    /// One value.
    Single,
}

impl Fault {
    /// The fault, with a place if it has none yet.
    pub fn at(mut self, place: Place) -> Self {
        self.place.get_or_insert(place);
        self
    }
}

impl From<What> for Fault {
    fn from(what: What) -> Self {
        Self { place: None, what }
    }
}

impl std::error::Error for Fault {}

impl fmt::Display for Fault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{:?}", self.what)
    }
}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(message: T) -> Self {
        What::Other(message.to_string(), String::new()).into()
    }
    fn invalid_type(found: de::Unexpected<'_>, meant: &dyn de::Expected) -> Self {
        let message = format!("this is {found}, where something else is meant");
        What::Other(message, format!("write {meant}")).into()
    }
    fn invalid_value(found: de::Unexpected<'_>, meant: &dyn de::Expected) -> Self {
        Self::invalid_type(found, meant)
    }
    fn unknown_field(field: &str, known: &'static [&'static str]) -> Self {
        What::UnknownKey(field.to_owned(), known).into()
    }
    fn unknown_variant(variant: &str, known: &'static [&'static str]) -> Self {
        What::UnknownKind(variant.to_owned(), known).into()
    }
    fn missing_field(field: &'static str) -> Self {
        What::MissingKey(field).into()
    }
}
