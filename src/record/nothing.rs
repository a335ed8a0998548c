//! Fields in which the file writes a word or a number for nothing.

/// A choice, or an empty text.
pub(super) mod or_empty {
    use serde::de::IntoDeserializer;
    use serde::{Deserialize, Deserializer, Serializer};

    use crate::model::Choice;

    #[expect(clippy::ref_option, reason = "the form that serde asks for")]
    pub fn serialize<T: Choice, S: Serializer>(one: &Option<T>, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(one.map_or("", T::word))
    }

    pub fn deserialize<'de, T, D>(from: D) -> Result<Option<T>, D::Error>
    where
        T: Choice + Deserialize<'de>,
        D: Deserializer<'de>,
    {
        let word = String::deserialize(from)?;
        if word.is_empty() { Ok(None) } else { T::deserialize(word.into_deserializer()).map(Some) }
    }
}

/// A number from 1, or 0.
pub(super) mod or_zero {
    use serde::{Deserialize, Deserializer, Serializer};

    #[expect(clippy::ref_option, reason = "the form that serde asks for")]
    pub fn serialize<S: Serializer>(number: &Option<u32>, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_u32(number.unwrap_or(0))
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<u32>, D::Error> {
        Ok(Some(u32::deserialize(from)?).filter(|number| *number > 0))
    }
}

/// An id, or `new`.
pub(super) mod or_new {
    use serde::{Deserialize, Deserializer, Serializer};

    use crate::model::SheetSource;

    #[expect(clippy::ref_option, reason = "the form that serde asks for")]
    pub fn serialize<S: Serializer>(id: &Option<String>, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(id.as_deref().unwrap_or(SheetSource::NEW))
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
        let id = String::deserialize(from)?;
        Ok(Some(id).filter(|id| !matches!(id.as_str(), "" | SheetSource::NEW)))
    }
}
