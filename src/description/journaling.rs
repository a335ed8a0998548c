//! The story and how it is cut.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{At, Distance, Marked, OneOrMany, Text, Written};
use crate::model::length::{LengthSum, Sides};
use crate::model::{Align, Color, PageName};

/// The story and the strips (or the card) it is cut into.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JournalingSpec {
    /// The story; a line break starts a new strip. `*so*` is emphasis, `**so**` is strong.
    pub text: Marked<Text>,
    /// Paper the strips are printed on; a list is repeated strip by strip.
    pub paper: Marked<OneOrMany<Marked<Text>>>,
    /// Sizes of the strips; or `card`.
    pub strip: Option<Marked<StripSpec>>,
    /// The card the story goes on as a block.
    pub card: Option<Marked<CardSpec>>,
    /// Type size, `11 pt` if not given.
    pub size: Option<Written<LengthSum>>,
    /// Font family or file; `text` (built in) if not given.
    pub font: Option<Marked<Text>>,
    /// Font of emphasis; the italic, oblique or slanted style of `font` if not given.
    pub emphasis: Option<Marked<Text>>,
    /// Font of strong words; the bold of `font` if not given.
    pub strong: Option<Marked<Text>>,
    /// Colour of the type, `#33312e` if not given.
    pub ink: Option<Written<Color>>,
    /// Colour printed under the type, 1/8 in beyond the trim; none if not given.
    pub background: Option<Written<Color>>,
    /// How far each strip is pushed right, repeated over the strips.
    pub stagger: Option<Marked<OneOrMany<Written<Distance>>>>,
    /// Distance between strips on the page, `1/16` if not given.
    pub gap: Option<Written<Distance>>,
    /// Where the strips go on the page.
    #[serde(default)]
    pub at: At,
    /// The page: `left`, `right` or `single`; the last page if not given.
    pub page: Option<Written<PageName>>,
    /// Most strips there is room for; as many as needed if not given.
    pub most: Option<Marked<u32>>,
    /// Whether words may be broken with hyphens; no if not given.
    #[serde(default)]
    pub hyphens: bool,
}

/// Sizes of journaling strips: their height, and one way to cut the story.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StripSpec {
    /// Height of every strip.
    pub height: Written<LengthSum>,
    /// No strip is wider than this.
    pub widest: Option<Written<LengthSum>>,
    /// How many strips, as even as can be; `widest` may limit them.
    pub count: Option<Marked<u32>>,
    /// Widths of the strips in turn, the last one repeated: they follow a shape.
    pub widths: Option<Marked<OneOrMany<Written<Distance>>>>,
    /// A strip for each word.
    #[serde(rename = "one word", default)]
    pub one_word: bool,
    /// Paper left and right of the text, `1/8` if not given.
    pub pad: Option<Written<Distance>>,
}

/// A card with the whole story.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardSpec {
    /// Its width and height.
    pub size: Written<Sides>,
    /// How lines are aligned: `left` (the default), `center`, `right`.
    pub align: Option<Written<Align>>,
    /// Distance of baselines in type sizes, 1.4 if not given.
    #[schemars(range(min = 0.8, max = 5.0))]
    pub leading: Option<Marked<f64>>,
    /// Paper round the text, `1/4` if not given.
    pub pad: Option<Written<Distance>>,
}
