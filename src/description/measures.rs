//! Lengths, sizes, colours and numbers as values of a spec, each with the pattern that the JSON Schema gives
//! for it. A pattern refuses nothing that is read here; what it lets pass may still be refused, as a length
//! of 0 is.

use crate::model::Fault;
use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer};

use super::FromText;
use crate::model::Color;
use crate::model::length::{LengthSum, Sides};
use crate::model::printer::Scale;

/// Parts of the patterns: digits (raised and lowered ones too), fractions of one sign, numbers.
const DIGITS: &str = "[0-9⁰¹²³⁴-⁹₀-₉]+";
const FRACTION: &str = "[½¼¾⅓⅔⅛⅜⅝⅞]";
const SLASH: &str = "[/⁄∕]";
pub(super) const UNITS: &str = "in|inch|inches|\"|″|”|mm|cm|pt|point|points";
pub(super) const PAGE: &str = "page|pages";

/// The pattern of a sum of lengths, without its anchors.
pub(super) fn sum_pattern(units: &str) -> String {
    let (d, f, s) = (DIGITS, FRACTION, SLASH);
    let mixed = format!(r"{d}(?:\s+|-){d}{s}{d}|{d}\s*{f}|{f}");
    let number = format!(r"(?:{mixed}|{d}{s}{d}|{d}\.{d}|\.{d}|{d})(?:\s*(?:{units}))?");
    format!(r"\s*[-−]?\s*{number}(?:\s*[-+−]\s*{number})*\s*")
}

/// A length along a side of the page.
impl FromText for LengthSum {
    fn from_text(text: &str) -> Result<Self, Fault> {
        Self::parse(text)
    }

    fn schema_name() -> Cow<'static, str> {
        "Length".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a length, a share of the page, or a sum of them; a bare number is in `units`",
            "type": ["number", "string"],
            "pattern": format!("^{}$", sum_pattern(&format!("{UNITS}|{PAGE}"))),
            "examples": ["4 1/2", "4.5 in", "114 mm", "1/3 page", "1/3 page - 1/8"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

/// A length that no share of the page occurs in.
///
/// ```
/// use cutleaf::description::{Distance, FromText};
/// assert!(Distance::from_text("1/4 in").is_ok());
/// assert!(Distance::from_text("1/4 page").is_err());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Distance(pub LengthSum);

impl FromText for Distance {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let sum = LengthSum::parse(text)?;
        if sum.is_share() {
            return Err(Fault::new(
                format!("`{text}` is a share of the page"),
                "write a length here, such as 1/2 or 12 mm",
            ));
        }
        Ok(Self(sum))
    }

    fn schema_name() -> Cow<'static, str> {
        "Distance".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a length; a bare number is in `units`",
            "type": ["number", "string"],
            "pattern": format!("^{}$", sum_pattern(UNITS)),
            "examples": ["1/8", "3/4 in", "2 mm", "0.5"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

impl FromText for Sides {
    fn from_text(text: &str) -> Result<Self, Fault> {
        Self::parse(text).ok_or_else(|| {
            let help = match text.split_once('*') {
                Some((width, height)) => format!("write {} x {}", width.trim(), height.trim()),
                None => "write width x height, such as 4 1/2 x 6".to_owned(),
            };
            Fault::new(format!("`{text}` is not a size"), help)
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "Size".into()
    }

    fn schema() -> Schema {
        let side = sum_pattern(&format!("{UNITS}|{PAGE}"));
        json_schema!({
            "description": "width x height",
            "type": "string",
            "pattern": format!("^{side}(?:x|X|×|by){side}$"),
            "examples": ["4 x 6", "8.5 x 11 in", "1/4 page x 12", "100 x 150 mm"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

/// The colour of a paper's core: `white`, or any other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CoreColor(pub Color);

impl FromText for CoreColor {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let color = if text == "white" { Some(Color::WHITE) } else { Color::parse(text) };
        color.map(Self).ok_or_else(|| {
            let help = "write `white`, or another colour as \"#rrggbb\", in quotes";
            Fault::new(format!("`{text}` is no colour of a core"), help)
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "CoreColor".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "`white`, or a colour, `#rrggbb`, in quotes",
            "type": "string",
            "pattern": "^(white|#[0-9a-fA-F]{6})$",
            "examples": ["white", "#e8e2d4"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

impl FromText for Color {
    fn from_text(text: &str) -> Result<Self, Fault> {
        Self::parse(text).ok_or_else(|| {
            let help = "write it as \"#rrggbb\", in quotes";
            Fault::new(format!("`{text}` is not a colour"), help)
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "Color".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a colour, `#rrggbb`, in quotes",
            "type": "string",
            "pattern": "^#[0-9a-fA-F]{6}$",
            "examples": ["#2b5673"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

/// What the printed ruler measured.
impl FromText for Scale {
    fn from_text(text: &str) -> Result<Self, Fault> {
        Self::measured(text)
    }

    fn schema_name() -> Cow<'static, str> {
        "PrintScale".into()
    }

    fn schema() -> Schema {
        let side = sum_pattern(UNITS);
        json_schema!({
            "type": ["number", "string"],
            "pattern": format!("^{side}(?:[xX×]{side})?$"),
            "examples": ["5.97", "5.97 x 5.99", "149.5 mm"],
        })
    }
}

/// A number of sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetCount(pub u32);

/// Sheets of one size that a spec may list; nobody owns more, and the nester need not plan for it.
const MOST_SHEETS: u32 = 10_000;

impl FromText for SheetCount {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let count = text.parse().ok().filter(|count| *count <= MOST_SHEETS);
        count.map(Self).ok_or_else(|| {
            let message = format!("`{text}` is not a number of sheets");
            Fault::new(message, "write a whole number, 0 or more")
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "SheetCount".into()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "integer", "minimum": 0, "maximum": MOST_SHEETS })
    }
}

/// How many of something are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Copies(pub u32);

/// Copies that are asked for in one place at most: more than a school has classes of children.
pub const MOST_COPIES: u32 = 1_000;

impl FromText for Copies {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let count = text.parse().ok().filter(|count| (1..=MOST_COPIES).contains(count));
        count.map(Self).ok_or_else(|| {
            let message = format!("`{text}` is not a number of copies");
            Fault::new(message, format!("write a whole number, 1 to {MOST_COPIES}"))
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "Copies".into()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "integer", "minimum": 1, "maximum": MOST_COPIES })
    }
}

/// A price, in any currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetPrice(pub f64);

/// Prices that are taken for one are below this.
const DEAREST: f64 = 1e6;

impl FromText for SheetPrice {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let price = text.parse().ok().filter(|price| (0.0..DEAREST).contains(price));
        price.map(Self).ok_or_else(|| {
            Fault::new(format!("`{text}` is not a price"), "write a number, 0 or more")
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "Price".into()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number", "minimum": 0, "exclusiveMaximum": DEAREST })
    }
}

/// A value of an axis of a variable font.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxisValue(pub f64);

impl FromText for AxisValue {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let value = text.trim().parse().ok().filter(|value: &f64| value.is_finite());
        value.map(Self).ok_or_else(|| {
            let message = format!("`{text}` is no setting of a font");
            Fault::new(message, "write a number, such as 650")
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "AxisValue".into()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "number", "examples": [650] })
    }
}

/// A value of an OpenType feature: 0 is off, 1 on; some take more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FeatureValue(pub u32);

impl FromText for FeatureValue {
    fn from_text(text: &str) -> Result<Self, Fault> {
        text.trim().parse().map(Self).map_err(|_| {
            let message = format!("`{text}` is no setting of a font");
            Fault::new(message, "write 0 (off) or 1 (on)")
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "FeatureValue".into()
    }

    fn schema() -> Schema {
        json_schema!({ "type": "integer", "minimum": 0, "examples": [0, 1] })
    }
}

/// A point of a picture, `[across, down]`, as shares of its width and height from the top left, or why it is
/// none.
#[derive(Clone, Debug, PartialEq)]
pub struct Focus(pub Result<[f64; 2], Fault>);

impl<'de> Deserialize<'de> for Focus {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let shares = Vec::<f64>::deserialize(deserializer)?;
        let is_share = |share: &f64| (0.0..=1.0).contains(share);
        Ok(Self(match shares[..] {
            [across, down] if [across, down].iter().all(is_share) => Ok([across, down]),
            _ => Err(Fault::new(
                "the focus is a point of the picture, [across, down], each from 0 to 1",
                "write [0.5, 0.3] for the middle, three tenths down",
            )),
        }))
    }
}

impl JsonSchema for Focus {
    fn schema_name() -> Cow<'static, str> {
        "Focus".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "[across, down], each a share from 0 to 1",
            "type": "array",
            "items": { "type": "number", "minimum": 0, "maximum": 1 },
            "minItems": 2,
            "maxItems": 2,
            "examples": [[0.5, 0.3]],
        })
    }
}
