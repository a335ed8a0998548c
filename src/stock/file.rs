//! The types of `stock.yaml`: they read it, and its JSON Schema is made from them.
//!
//! Words and values are those of a spec's papers. Papers are a list, or keys as in a spec; so are sheets.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};

use crate::description::{
    CoreColor, Distance, Marked, PatternSpec, Place, SheetCount, SheetPrice, SheetsSpec, Text,
    UnitWord, Written,
};
use crate::model::length::Sides;
use crate::model::{PictureFill, Turns};

use super::{Grain, PaperKind};

/// The paper on hand.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "A Cutleaf stock")]
pub struct StockFile {
    /// Unit of a bare number: `in` (the default) or `mm`.
    pub units: Option<Written<UnitWord>>,
    /// The papers: a list, or keys as in a spec.
    pub papers: Option<Papers>,
    /// Leftovers that were kept.
    pub offcuts: Option<Vec<Marked<OffcutEntry>>>,
}

/// A paper: what it is and how much of it there is.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PaperEntry {
    /// Its name, which specs use; not where papers are keys.
    pub name: Option<Marked<Text>>,
    /// Colour, `#rrggbb`, or a picture file.
    pub color: Option<Marked<Text>>,
    /// Colour of its core, which shows along torn edges: `white`, or `#rrggbb`; none shows if not given.
    pub core: Option<Written<CoreColor>>,
    /// A picture of it: a file beside the stock.
    pub picture: Option<Marked<Text>>,
    /// The picture's real size.
    #[serde(rename = "picture size")]
    pub picture_size: Option<Written<Sides>>,
    /// `repeat` (at its real size) or `whole` (once over each sheet).
    #[serde(rename = "picture fill")]
    pub picture_fill: Option<Written<PictureFill>>,
    /// What its pattern is called, or the pattern itself as in a spec.
    pub pattern: Option<Marked<PatternEntry>>,
    /// `cardstock` (the default), `patterned`, `vellum` or `photo paper`.
    pub kind: Option<Written<PaperKind>>,
    /// Price of a sheet, where a size has none of its own.
    pub price: Option<Written<SheetPrice>>,
    /// Which way its fibres run on a sheet that lies as its size is written: `down`, `across` or `none` (the
    /// default).
    pub grain: Option<Written<Grain>>,
    /// How thick it is, such as `0.012` or `0.3 mm`.
    pub caliper: Option<Written<Distance>>,
    /// How its pieces may be turned on a sheet: `never`, `half`, `quarter` or `any`; `half` if it has a
    /// grain.
    pub turn: Option<Written<Turns>>,
    /// Narrowest stroke it can be cut to without tearing.
    pub thinnest: Option<Written<Distance>>,
    /// Its sheets: a list of `{size, count, price}`, or sizes as keys as in a spec.
    pub sheets: Option<SheetsList>,
}

/// A pattern: what it is called, or what it is.
#[derive(Clone, Debug, PartialEq)]
pub enum PatternEntry {
    /// A name that the paper was sold by.
    Named(Text),
    /// What is drawn.
    Drawn(PatternSpec),
}

/// Sheets of one size.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetsEntry {
    /// Size of a sheet.
    pub size: Written<Sides>,
    /// Number of sheets.
    pub count: Written<SheetCount>,
    /// Price of one sheet.
    pub price: Option<Written<SheetPrice>>,
}

/// A leftover that was kept.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OffcutEntry {
    /// What is pencilled on its back, such as `B7`.
    #[schemars(required, with = "Text")]
    pub label: Option<Marked<Text>>,
    /// Name of its paper.
    pub paper: Marked<Text>,
    /// Size of a rectangle.
    pub size: Option<Written<Sides>>,
    /// Corners of any other shape with straight, square sides: `[[0, 0], [6, 0], …]`, round it in order.
    pub corners: Option<Marked<Corners>>,
    /// Openings in it, each as corners.
    pub holes: Option<Vec<Marked<Corners>>>,
    /// Where it came from, such as `kite-day navy-2`.
    pub from: Option<Marked<Text>>,
    /// A number that grows with time, to use the oldest first.
    pub added: Option<Marked<u32>>,
}

/// The corners of a shape, round it in order.
pub type Corners = Vec<Vec<Written<Distance>>>;

/// Papers, as a list or by their names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Papers {
    /// Each with the name that is its key, if they are keys.
    pub entries: Vec<(Option<String>, Marked<PaperEntry>)>,
}

/// Sheets, as a list or by their sizes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetsList {
    /// Each with its place.
    pub entries: Vec<Marked<SheetsEntry>>,
    /// Whether their sizes are keys.
    pub keyed: bool,
}

impl<'de> Deserialize<'de> for PatternEntry {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = PatternEntry;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("the name of a pattern, or a pattern with its keys")
            }
            fn visit_str<E>(self, name: &str) -> Result<PatternEntry, E> {
                Ok(PatternEntry::Named(Text(name.to_owned())))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<PatternEntry, A::Error> {
                let reader = serde::de::value::MapAccessDeserializer::new(map);
                PatternSpec::deserialize(reader).map(PatternEntry::Drawn)
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for PatternEntry {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "StockPattern".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (name, drawn) =
            (generator.subschema_for::<Text>(), generator.subschema_for::<PatternSpec>());
        schemars::json_schema!({
            "description": "the name of a pattern, or a pattern with its keys",
            "anyOf": [name, drawn],
        })
    }
}

impl<'de> Deserialize<'de> for Papers {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = Papers;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a list of papers, or names, each with its paper")
            }
            fn visit_unit<E>(self) -> Result<Papers, E> {
                Ok(Papers::default())
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Papers, A::Error> {
                let mut papers = Papers::default();
                while let Some(paper) = list.next_element()? {
                    papers.entries.push((None, paper));
                }
                Ok(papers)
            }
            fn visit_map<A: MapAccess<'de>>(self, mut keys: A) -> Result<Papers, A::Error> {
                let mut papers = Papers::default();
                while let Some((name, paper)) = keys.next_entry::<String, _>()? {
                    papers.entries.push((Some(name), paper));
                }
                Ok(papers)
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for Papers {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "StockPapers".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let paper = generator.subschema_for::<PaperEntry>();
        schemars::json_schema!({
            "description": "a list of papers, or names, each with its paper",
            "anyOf": [
                { "type": "array", "items": paper },
                { "type": "object", "additionalProperties": paper },
                { "type": "null" },
            ],
        })
    }
}

impl<'de> Deserialize<'de> for SheetsList {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = SheetsList;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("a list of {size, count, price}, or sizes and their counts")
            }
            fn visit_unit<E>(self) -> Result<SheetsList, E> {
                Ok(SheetsList::default())
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<SheetsList, A::Error> {
                let mut entries = Vec::new();
                while let Some(sheets) = list.next_element()? {
                    entries.push(sheets);
                }
                Ok(SheetsList { entries, keyed: false })
            }
            fn visit_map<A: MapAccess<'de>>(self, mut keys: A) -> Result<SheetsList, A::Error> {
                let mut entries = Vec::new();
                while let Some((size, sheets)) = keys.next_entry::<String, Marked<SheetsSpec>>()? {
                    let Marked { value: SheetsSpec { count, price }, place } = sheets;
                    let size = Written { place, ..Written::of(&size, Place::default()) };
                    let count = Written { place: count.place.or(place), ..count };
                    entries.push(Marked { value: SheetsEntry { size, count, price }, place });
                }
                Ok(SheetsList { entries, keyed: true })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for SheetsList {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "StockSheets".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let listed = generator.subschema_for::<SheetsEntry>();
        let keyed = generator.subschema_for::<SheetsSpec>();
        let mut size = <Sides as crate::description::FromText>::schema();
        size.remove("description");
        schemars::json_schema!({
            "description": "a list of {size, count, price}, or sizes and their counts",
            "anyOf": [
                { "type": "array", "items": listed },
                { "type": "object", "additionalProperties": keyed, "propertyNames": size },
                { "type": "null" },
            ],
        })
    }
}
