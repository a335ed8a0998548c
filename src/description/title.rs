//! The title as it is written.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};

use super::{
    At, AxisValue, Copies, CornersSpec, Counters, Distance, FeatureValue, Marked, OneOrMany,
    Ordered, Parting, Place, PlacementLine, PrintSpec, Text, Written,
};
use crate::model::length::{LengthSum, Sides};
use crate::model::{Align, Joined, PageName, Side, Turns};

/// Some words of the title.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TitleSpec {
    /// The words; a line break begins a new line. Or a list of spans, each with its own paper or font.
    pub words: Marked<Words>,
    /// Name for the pieces' ids; the first word if not given.
    pub id: Option<Marked<Text>>,
    /// Font family or file; `display` (built in) if not given.
    pub font: Option<Marked<Text>>,
    /// Axes of a variable font, such as `{wght: 650}`.
    #[serde(default)]
    pub axes: Ordered<Written<AxisValue>>,
    /// OpenType features, such as `{ss01: 1, liga: 0}`.
    #[serde(default)]
    pub features: Ordered<Written<FeatureValue>>,
    /// Fonts for letters that the words' own font lacks, first choice first.
    pub fallback: Option<Marked<OneOrMany<Marked<Text>>>>,
    /// Height of the capitals; or one of the three keys that follow.
    pub height: Option<Written<LengthSum>>,
    /// Height of the small letters without ascenders.
    #[serde(rename = "x-height")]
    pub x_height: Option<Written<LengthSum>>,
    /// Height from the highest to the lowest point, lift included.
    #[serde(rename = "total height")]
    pub total_height: Option<Written<LengthSum>>,
    /// Width to fit, spacing included.
    pub width: Option<Written<LengthSum>>,
    /// Paper of the letters; not for a stencil, whose letters are cut away.
    pub paper: Option<Marked<Text>>,
    /// Papers repeated letter by letter, instead of `paper`.
    #[serde(default)]
    pub papers: Vec<Marked<Text>>,
    /// Where lines of different width stand: `left`, `center` or `right`; `left` if not given, on a
    /// circle `center`.
    pub align: Option<Written<Align>>,
    /// From one baseline to the next; as close as the letters allow if not given.
    pub leading: Option<Written<LengthSum>>,
    /// A circle to stand on.
    pub arc: Option<Marked<ArcSpec>>,
    /// A drawn path to stand on.
    pub along: Option<Marked<AlongSpec>>,
    /// Which letters are one piece: `auto` (those that touch; the default), `always` or `never`.
    pub joined: Option<Written<Joined>>,
    /// Bars that join dots, accents and other loose parts to the rest of their piece.
    pub bridges: Option<Marked<BridgesSpec>>,
    /// How far each letter is grown all round; less than 0 thins it.
    pub embolden: Option<Written<Distance>>,
    /// What is printed on the letters before they are cut, in register: all but words.
    pub print: Option<Marked<PrintSpec>>,
    /// A panel that the words are cut out of, instead of being cut themselves.
    pub stencil: Option<Marked<StencilSpec>>,
    /// Layers behind the letters, each larger all round.
    pub backing: Option<Marked<BackingSpec>>,
    /// Where the words go, backing included; the page's top left if not given.
    #[serde(default)]
    pub at: At,
    /// The page: `left`, `right` or `single`; the first page if not given.
    pub page: Option<Written<PageName>>,
    /// Extra distance between letters.
    pub spacing: Option<Written<Distance>>,
    /// Steps by which letters go up (or down, if negative), repeated over the words.
    pub lift: Option<Marked<OneOrMany<Written<Distance>>>>,
    /// Degrees clockwise for the whole word group.
    #[schemars(range(min = -360, max = 360))]
    pub turn: Option<Marked<f64>>,
    /// How high it is raised, on foam squares under the backing, or under each letter; flat if not given.
    pub raised: Option<Written<Distance>>,
    /// How its letters may be turned on their sheet: `never`, `half`, `quarter` (turns) or `any` (angle).
    #[serde(rename = "cut turn")]
    pub cut_turn: Option<Written<Turns>>,
    /// How many of it are made, 1 if not given.
    pub copies: Option<Written<Copies>>,
}

/// The words of a group: one text, or spans.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words(pub Vec<SpanSpec>);

impl Words {
    /// The words as one text.
    pub fn text(&self) -> String {
        let mut text = String::new();
        for (index, span) in self.0.iter().enumerate() {
            if index > 0 {
                text.push_str(span.between());
            }
            text.push_str(&span.words.value);
        }
        text
    }
}

/// Some words of a group with a paper or a font of their own.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpanSpec {
    /// The words.
    pub words: Marked<Text>,
    /// What parts them from the span before: `space` (the default), `line` (a new one) or `nothing`.
    pub after: Option<Written<Parting>>,
    /// Their paper; the group's if not given.
    pub paper: Option<Marked<Text>>,
    /// Their font; the group's, with its axes and features, if not given.
    pub font: Option<Marked<Text>>,
    /// Axes of their own font.
    #[serde(default)]
    pub axes: Ordered<Written<AxisValue>>,
    /// OpenType features of their own font.
    #[serde(default)]
    pub features: Ordered<Written<FeatureValue>>,
}

impl SpanSpec {
    /// What stands between the span before and this one.
    pub fn between(&self) -> &'static str {
        let parting = self.after.as_ref().and_then(|after| after.value.as_ref().ok());
        parting.copied().unwrap_or_default().text()
    }
}

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = Words;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("words, or a list of spans such as {words: Hold, paper: coral}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Words, E> {
                let words = Marked { value: Text(text.to_owned()), place: Place::default() };
                Ok(Words(vec![SpanSpec { words, ..SpanSpec::default() }]))
            }
            fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Words, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<Words, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Words, E> {
                self.visit_str(&number.to_string())
            }
            fn visit_bool<E: serde::de::Error>(self, value: bool) -> Result<Words, E> {
                self.visit_str(&value.to_string())
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Words, A::Error> {
                let mut spans = Vec::new();
                while let Some(span) = seq.next_element::<SpanSpec>()? {
                    spans.push(span);
                }
                Ok(Words(spans))
            }
            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Words, A::Error> {
                let span = SpanSpec::deserialize(MapAccessDeserializer::new(map))?;
                Ok(Words(vec![span]))
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for Words {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Words".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let text = generator.subschema_for::<Text>();
        let span = generator.subschema_for::<SpanSpec>();
        schemars::json_schema!({
            "description": "words, or a list of spans, each with its own paper or font",
            "anyOf": [text, { "type": "array", "items": span, "minItems": 1 }],
        })
    }
}

/// A circle that words stand on: its radius, or the angle the words take on it.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArcSpec {
    /// Radius of the first line's baseline.
    pub radius: Option<Written<LengthSum>>,
    /// Angle from the first to the last letter, instead of `radius`; up to 355.
    #[schemars(range(min = 1, max = 355))]
    pub degrees: Option<Marked<f64>>,
    /// `over` (on its top, the default) or `under` (in its bottom).
    pub side: Option<Written<Side>>,
}

/// A drawn path that words stand on.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlongSpec {
    /// SVG file with a single path, beside the spec.
    pub file: Marked<Text>,
    /// Width to fit the path to; its real size if not given.
    pub width: Option<Written<LengthSum>>,
}

/// Bars that join loose parts.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BridgesSpec {
    /// Their width, `1/16` if not given.
    pub width: Option<Written<LengthSum>>,
}

/// A panel with the words cut out.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StencilSpec {
    /// Its paper.
    pub paper: Marked<Text>,
    /// Paper round the words, `1/2` if neither this nor `size` is given.
    pub margin: Option<Written<LengthSum>>,
    /// The panel's size, the words in its middle, instead of `margin`.
    pub size: Option<Written<Sides>>,
    /// Its corners; square if not given.
    pub corners: Option<Marked<CornersSpec>>,
    /// Width of the bridges that hold the counters, `1/16` if not given.
    pub bridge: Option<Written<LengthSum>>,
}

/// Layers behind letters.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BackingSpec {
    /// Its paper, or one for each layer, the topmost first.
    pub paper: Marked<OneOrMany<Marked<Text>>>,
    /// How far the first layer shows round the letters, and each further one round the layer on it.
    pub margin: Written<LengthSum>,
    /// `filled` (the default) closes the counters, `kept` leaves them open.
    pub counters: Option<Written<Counters>>,
    /// Number of layers; as many as papers if not given.
    pub layers: Option<Marked<u32>>,
    /// How the place of what is glued on is shown: `pen` or `score` draws its outline; nothing if not
    /// given.
    pub placement: Option<Written<PlacementLine>>,
    /// How far inside the edge of what is glued on that outline lies, `1/32` if not given.
    pub inset: Option<Written<Distance>>,
    /// Diameter of two holes at the same places in every layer, hidden by what is glued on the topmost, by
    /// which layers are lined up on pins; no holes if not given.
    pub pins: Option<Written<LengthSum>>,
}
