//! Pieces repeated along a line or an arc.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, Visitor};

use super::super::{Distance, Edge, Marked, OneOrMany, Place, Text, Written};
use crate::model::length::LengthSum;

/// A place on the page: from its left, from its top.
pub type PointSpec = [Written<LengthSum>; 2];

/// An element repeated at even distances. Each piece has an id of its own: `left.flag.1`, `left.flag.2` …
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RepeatSpec {
    /// What the row runs along: `page`, `spread`, a piece's id (its middle, on its longer side), or keys.
    pub along: Marked<RowSpec>,
    /// How many pieces, up to 200; or `pitch`.
    #[schemars(range(min = 1, max = 200))]
    pub count: Option<Marked<u32>>,
    /// Distance from one piece's middle to the next; as many as fit.
    pub pitch: Option<Written<LengthSum>>,
    /// Paper before the first piece and after the last; as between pieces if not given.
    pub ends: Option<Written<Distance>>,
    /// Papers taken in turn, instead of the element's own.
    pub papers: Option<Marked<OneOrMany<Marked<Text>>>>,
    /// Degrees clockwise that single pieces are turned besides, taken in turn.
    #[serde(default)]
    pub tilts: Vec<Marked<f64>>,
}

/// What a row runs along.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RowSpec {
    /// A word: `page`, `spread`, or a piece's id.
    pub word: Option<Marked<Text>>,
    /// Or keys.
    pub keys: RowKeys,
}

/// A row in keys: `{from, to}`, `{edge}` or `{arc}`.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RowKeys {
    /// Where a line begins, `[from the left, from the top]` of the page.
    pub from: Option<PointSpec>,
    /// Where it ends.
    pub to: Option<PointSpec>,
    /// An edge of the page, or of the piece `of`, instead of a line.
    pub edge: Option<Written<Edge>>,
    /// The piece whose edge it is.
    pub of: Option<Marked<Text>>,
    /// How far inside of that edge the pieces' middles lie, 0 if not given; less than 0 is outside.
    pub inset: Option<Written<Distance>>,
    /// A part of a circle, instead of a line.
    pub arc: Option<Marked<RowArcSpec>>,
    /// Whether the pieces turn with the line or the arc, instead of standing upright.
    pub turned: Option<Marked<bool>>,
}

/// A part of a circle that the pieces' middles lie on.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RowArcSpec {
    /// The circle's middle, `[from the left, from the top]` of the page; it may lie off it.
    pub center: PointSpec,
    /// Its radius.
    pub radius: Written<LengthSum>,
    /// Where the arc begins, in degrees clockwise from straight up.
    #[schemars(range(min = -360, max = 360))]
    pub from: Marked<f64>,
    /// Where it ends; 360 further on is the whole circle.
    #[schemars(range(min = -360, max = 360))]
    pub to: Marked<f64>,
}

impl<'de> Deserialize<'de> for RowSpec {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = RowSpec;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("`page`, `spread`, a piece's id, {from, to}, {edge} or {arc}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<RowSpec, E> {
                let word = Marked { value: Text(text.to_owned()), place: Place::default() };
                Ok(RowSpec { word: Some(word), keys: RowKeys::default() })
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<RowSpec, A::Error> {
                let keys = RowKeys::deserialize(MapAccessDeserializer::new(map))?;
                Ok(RowSpec { word: None, keys })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for RowSpec {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Row".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let keys = generator.subschema_for::<RowKeys>();
        schemars::json_schema!({
            "description": "`page`, `spread`, a piece's id, or keys",
            "anyOf": [{ "type": "string" }, keys],
        })
    }
}
