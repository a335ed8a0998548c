//! Edges torn by hand.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;

use super::super::{Distance, Edge, Place, Written};

/// Which edges are torn, and how much paper there is to tear off: `[top]`, or
/// `{edges: [top], allowance: 3/8}`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TornSpec {
    /// The edges.
    pub edges: Vec<Written<Edge>>,
    /// How much larger the piece is cut on each of them.
    pub allowance: Option<Written<Distance>>,
}

impl TornSpec {
    /// Whether nothing is torn.
    pub const fn is_empty(&self) -> bool {
        self.edges.is_empty()
    }

    /// Where it is written, if it is.
    pub fn place(&self) -> Option<Place> {
        let allowance = self.allowance.as_ref().map(|allowance| allowance.place);
        self.edges.first().map(|edge| edge.place).or(allowance)
    }
}

/// The mapping form.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct TornKeys {
    /// The edges.
    edges: Vec<Written<Edge>>,
    /// How much larger the piece is cut on each of them, to be torn off: `1/4` if not given; 0 cuts it at
    /// its size.
    allowance: Option<Written<Distance>>,
}

impl<'de> Deserialize<'de> for TornSpec {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> serde::de::Visitor<'de> for Forms {
            type Value = TornSpec;
            fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str("edges, `[top]`, or `{edges: [top], allowance: 3/8}`")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<TornSpec, E> {
                Err(E::custom(format!("`torn` is a list of edges: write `torn: [{text}]`")))
            }
            fn visit_seq<A: serde::de::SeqAccess<'de>>(
                self,
                mut list: A,
            ) -> Result<TornSpec, A::Error> {
                let mut edges = Vec::new();
                while let Some(edge) = list.next_element()? {
                    edges.push(edge);
                }
                Ok(TornSpec { edges, allowance: None })
            }
            fn visit_map<A: serde::de::MapAccess<'de>>(self, map: A) -> Result<TornSpec, A::Error> {
                let reader = serde::de::value::MapAccessDeserializer::new(map);
                let TornKeys { edges, allowance } = TornKeys::deserialize(reader)?;
                Ok(TornSpec { edges, allowance })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for TornSpec {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Torn".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let edges = generator.subschema_for::<Vec<Written<Edge>>>();
        let keys = generator.subschema_for::<TornKeys>();
        schemars::json_schema!({ "anyOf": [edges, keys] })
    }
}
