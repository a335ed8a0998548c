//! Where a piece goes: from an edge or the middle of the page, or against another piece.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor, value::MapAccessDeserializer};

use super::fit::BETWEEN;
use super::{Between, Distance, Edge, LineUp, Marked, Place, Text, Written};
use crate::model::length::LengthSum;

/// A position as written: `[x, y]` from the page's top left, `center`, or a mapping.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct At(pub Where);

/// The mapping form of a position.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Where {
    /// From the left edge of the page (or of the piece named by `on`) to the piece's left edge.
    pub left: Option<Written<LengthSum>>,
    /// From the piece's right edge to the right edge of the page (or of the piece named by `on`).
    pub right: Option<Written<LengthSum>>,
    /// From the left edge of the page (or of the piece named by `on`) to the piece's centre.
    pub center: Option<Written<LengthSum>>,
    /// From the top edge of the page (or of the piece named by `on`) to the piece's top edge.
    pub top: Option<Written<LengthSum>>,
    /// From the piece's bottom edge to the bottom edge of the page (or of the piece named by `on`).
    pub bottom: Option<Written<LengthSum>>,
    /// From the top edge of the page (or of the piece named by `on`) to the piece's middle.
    pub middle: Option<Written<LengthSum>>,
    /// For a piece of a cluster: from the cluster's anchor to the piece's middle, `[right, down]`.
    pub offset: Option<[Written<LengthSum>; 2]>,
    /// The piece under whose bottom edge this one goes.
    pub below: Option<Marked<Text>>,
    /// The piece over whose top edge this one goes.
    pub above: Option<Marked<Text>>,
    /// The piece to whose right this one goes.
    #[serde(rename = "right of")]
    pub right_of: Option<Marked<Text>>,
    /// The piece to whose left this one goes.
    #[serde(rename = "left of")]
    pub left_of: Option<Marked<Text>>,
    /// The piece under which this one is tucked: it lies beneath it, and sticks out on one `side`.
    #[serde(rename = "tucked under")]
    pub tucked_under: Option<Marked<Text>>,
    /// The side of that piece on which a tucked one sticks out: `top`, `right`, `bottom` or `left`.
    pub side: Option<Written<Edge>>,
    /// How much of a tucked piece sticks out there.
    pub shows: Option<Written<LengthSum>>,
    /// The piece on which this one is centred, or within which the other keys measure.
    pub on: Option<Marked<Text>>,
    /// Distance to the piece named by `below`, `above`, `right of` or `left of`; 0 if not given.
    pub gap: Option<Written<LengthSum>>,
    /// Which edges line up with that piece, or with the one it is tucked under: `start` (left or top, the
    /// default), `center` or `end`.
    pub align: Option<Written<LineUp>>,
    /// The two things between which it lies: in their middle, or, of a size to `fit`, from one to the other.
    /// Pieces by their names, edges of the page (or of the piece named by `on`) as `left edge`, `right edge`,
    /// `top edge`, `bottom edge`, those of a piece as `right edge of sky`. Two pairs, one across and one
    /// down, are a list: `[sky and right edge, top edge and sea]`.
    pub between: Option<Marked<Between>>,
    /// How far it keeps from what it lies between, 0 if not given.
    pub margin: Option<Written<Distance>>,
}

impl<'de> Deserialize<'de> for At {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = At;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("[x, y], `center`, or edges such as {left: 1, bottom: 1/2}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<At, E> {
                if let Some(pair) = text.strip_prefix(BETWEEN).and_then(Between::of) {
                    let between = Some(Marked { value: pair, place: Place::default() });
                    return Ok(At(Where { between, ..Where::default() }));
                }
                if text != "center" {
                    return Err(E::custom(format!(
                        "`{text}` is not a position: write [x, y], center, or edges such as \
                         {{left: 1, bottom: 1/2}}"
                    )));
                }
                let half = || Some(Written::of("1/2 page", Place::default()));
                Ok(At(Where { center: half(), middle: half(), ..Where::default() }))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<At, A::Error> {
                let left = seq.next_element::<Written<LengthSum>>()?;
                let top = seq.next_element::<Written<LengthSum>>()?;
                let more = seq.next_element::<Written<LengthSum>>()?;
                if top.is_none() || more.is_some() {
                    return Err(serde::de::Error::custom(
                        "a position in brackets has two lengths: [from the left, from the top]",
                    ));
                }
                Ok(At(Where { left, top, ..Where::default() }))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<At, A::Error> {
                Where::deserialize(MapAccessDeserializer::new(map)).map(At)
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for At {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "At".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let length = generator.subschema_for::<Written<LengthSum>>();
        let edges = generator.subschema_for::<Where>();
        schemars::json_schema!({
            "description": "[from the left, from the top], center, or edges",
            "anyOf": [
                { "type": "array", "items": length, "minItems": 2, "maxItems": 2, "examples": [[1, "2 1/2"]] },
                { "type": "string", "enum": ["center"] },
                { "type": "string", "pattern": "^between .+ and .+$", "examples": ["between sky and right edge"] },
                edges,
            ],
        })
    }
}
