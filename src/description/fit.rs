//! What is left to be fitted: sides of a size, places between two things, rows and columns of a page.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::{Deserializer, SeqAccess, Visitor};

use super::measures::{PAGE, UNITS, sum_pattern};
use super::{Distance, FromText, LineUp, Marked, Place, Text, Written};
use crate::model::Fault;
use crate::model::length::{LengthSum, Sides, sides};

/// The word for what is left to be fitted.
pub const FIT: &str = "fit";
/// The word for gaps that are left to be fitted.
pub const EVEN: &str = "even";
/// What parts the two things of a pair.
const AND: &str = " and ";
/// How a position between two things begins, where it is one text.
pub(super) const BETWEEN: &str = "between ";

/// A size of which the whole or one side may be left to be fitted: `4 x 6`, `fit`, `fit x 3`, `4 x fit`.
///
/// ```
/// use cutleaf::description::{Extent, FromText};
/// assert_eq!(Extent::from_text("4 x fit").unwrap().fits(), [false, true]);
/// assert_eq!(Extent::from_text("4 x 6").unwrap().fits(), [false, false]);
/// assert!(Extent::from_text("4 x fitt").is_ok_and(|extent| extent.fits() == [false, false]));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Both sides are written.
    Given(Sides),
    /// Width and height; nothing where it is to be fitted.
    Fit([Option<LengthSum>; 2]),
}

impl Extent {
    /// Whether width and height are to be fitted.
    pub fn fits(&self) -> [bool; 2] {
        match self {
            Self::Given(_) => [false; 2],
            Self::Fit(sides) => sides.each_ref().map(Option::is_none),
        }
    }

    /// The size, where both sides are written.
    pub const fn given(&self) -> Option<&Sides> {
        match self {
            Self::Given(sides) => Some(sides),
            Self::Fit(_) => None,
        }
    }
}

impl FromText for Extent {
    fn from_text(text: &str) -> Result<Self, Fault> {
        if text.trim() == FIT {
            return Ok(Self::Fit([None, None]));
        }
        match sides(text) {
            Some(halves) if halves.contains(&FIT) => {
                let [width, height] = halves.map(|half| match half {
                    FIT => Ok(None),
                    half => LengthSum::parse(half).map(Some),
                });
                Ok(Self::Fit([width?, height?]))
            }
            _ => Sides::from_text(text).map(Self::Given),
        }
    }

    fn schema_name() -> Cow<'static, str> {
        "SizeOrFit".into()
    }

    fn schema() -> Schema {
        let side = sum_pattern(&format!("{UNITS}|{PAGE}"));
        let side = format!(r"(?:{side}|\s*{FIT}\s*)");
        json_schema!({
            "description": "width x height; `fit`, for both or in place of one, takes the room that is left",
            "type": "string",
            "pattern": format!(r"^(?:\s*{FIT}\s*|{side}(?:x|X|×|by){side})$"),
            "examples": ["4 x 6", "8.5 x 11 in", "1/4 page x 12", "100 x 150 mm", "fit", "fit x 3", "4 x fit"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

impl Written<Extent> {
    /// The size, where both sides are written; why it is none, where it can't be read.
    pub fn given(&self) -> Option<Written<Sides>> {
        let value = match &self.value {
            Ok(Extent::Given(sides)) => Ok(sides.clone()),
            Ok(Extent::Fit(_)) => return None,
            Err(fault) => Err(fault.clone()),
        };
        Some(Written { value, text: self.text.clone(), place: self.place })
    }
}

/// A length that may be left to be fitted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LengthOrFit {
    /// It is written.
    Given(LengthSum),
    /// It is to be fitted.
    Fit,
}

impl FromText for LengthOrFit {
    fn from_text(text: &str) -> Result<Self, Fault> {
        if text.trim() == FIT { Ok(Self::Fit) } else { LengthSum::parse(text).map(Self::Given) }
    }

    fn schema_name() -> Cow<'static, str> {
        "LengthOrFit".into()
    }

    fn schema() -> Schema {
        let sum = sum_pattern(&format!("{UNITS}|{PAGE}"));
        json_schema!({
            "description": "a length; `fit` takes the room that is left",
            "type": ["number", "string"],
            "pattern": format!(r"^(?:{sum}|\s*{FIT}\s*)$"),
            "examples": ["4 1/2", "114 mm", "1/3 page", "fit"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

impl Written<LengthOrFit> {
    /// The length, where it is written; why it is none, where it can't be read.
    pub fn given(&self) -> Option<Written<LengthSum>> {
        let value = match &self.value {
            Ok(LengthOrFit::Given(sum)) => Ok(sum.clone()),
            Ok(LengthOrFit::Fit) => return None,
            Err(fault) => Err(fault.clone()),
        };
        Some(Written { value, text: self.text.clone(), place: self.place })
    }
}

/// A gap that may be left to be fitted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gap {
    /// It is written.
    Given(Distance),
    /// All are alike, and those at the ends with them.
    Even,
}

impl FromText for Gap {
    fn from_text(text: &str) -> Result<Self, Fault> {
        if text.trim() == EVEN {
            Ok(Self::Even)
        } else {
            Distance::from_text(text).map(Self::Given)
        }
    }

    fn schema_name() -> Cow<'static, str> {
        "Gap".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a length, or `even`: as much between the pieces as at the ends",
            "type": ["number", "string"],
            "pattern": format!(r"^(?:{}|\s*{EVEN}\s*)$", sum_pattern(UNITS)),
            "examples": ["even", "1/4", "3 mm"],
        })
    }

    fn is_inline() -> bool {
        false
    }
}

/// The two things between which something lies, by their names; at most one pair across and one down.
///
/// ```
/// use cutleaf::description::Between;
/// let pair = Between::of("left.sky and right edge").unwrap();
/// assert_eq!(pair.0, [["left.sky".to_owned(), "right edge".to_owned()]]);
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Between(pub Vec<[String; 2]>);

/// What to write for a pair.
const PAIR: &str = "two names, as in `[sky, right edge]`; edges of the page are `left edge`, `right edge`, `top edge`, `bottom edge`";

impl Between {
    /// Reads `sky and right edge`.
    pub fn of(text: &str) -> Option<Self> {
        pair(text).map(|pair| Self(vec![pair]))
    }

    fn of_list(list: Vec<String>) -> Result<Self, String> {
        let pairs: Option<Vec<[String; 2]>> = list.iter().map(|text| pair(text)).collect();
        match (pairs, <[String; 2]>::try_from(list)) {
            (Some(pairs), _) if (1..=2).contains(&pairs.len()) => Ok(Self(pairs)),
            (_, Ok(names)) => Ok(Self(vec![names.map(|name| name.trim().to_owned())])),
            _ => Err(format!("`between` takes {PAIR}")),
        }
    }
}

/// The two names of a pair. A name may have an `and` of its own where the other is an edge.
fn pair(text: &str) -> Option<[String; 2]> {
    let splits = text.match_indices(AND).map(|(at, _)| [&text[..at], &text[at + AND.len()..]]);
    let splits: Vec<[&str; 2]> =
        splits.map(|halves| halves.map(str::trim)).filter(|halves| !halves.contains(&"")).collect();
    let one_is_edge = |halves: &&[&str; 2]| {
        halves.iter().any(|half| half.contains(" edge") && !half.contains(AND))
    };
    let found = splits.iter().find(one_is_edge).or(splits.first())?;
    Some(found.map(str::to_owned))
}

impl<'de> Deserialize<'de> for Between {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Forms;
        impl<'de> Visitor<'de> for Forms {
            type Value = Between;
            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str(PAIR)
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Between, E> {
                Between::of(text).ok_or_else(|| {
                    E::custom(format!("`{text}` is no pair: `between` takes {PAIR}"))
                })
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Between, A::Error> {
                let mut names = Vec::new();
                while let Some(Text(name)) = seq.next_element()? {
                    names.push(name);
                }
                Between::of_list(names).map_err(serde::de::Error::custom)
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for Between {
    fn schema_name() -> Cow<'static, str> {
        "Between".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "[one, other], or `one and other`: pieces, or edges such as `right edge`; two such \
                            pairs, one across and one down, as a list",
            "anyOf": [
                { "type": "string", "pattern": ".+ and .+", "examples": ["sky and right edge"] },
                {
                    "type": "array", "items": { "type": "string" }, "minItems": 1, "maxItems": 2,
                    "examples": [["sky", "right edge"], ["sky and right edge", "top edge and sea"]],
                },
            ],
        })
    }
}

/// A row or a column of pieces: what decides where they lie along it.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineSpec {
    /// The pieces of a row, left to right: names of pieces or photos of the page.
    #[serde(default)]
    pub row: Vec<Marked<Text>>,
    /// The pieces of a column, top to bottom.
    #[serde(default)]
    pub column: Vec<Marked<Text>>,
    /// Between what they lie: `[sky, right edge]`; the page's edges if not given.
    pub between: Option<Marked<Between>>,
    /// What lies between them: a length, or `even` (the default): as much as at the ends.
    pub gap: Option<Written<Gap>>,
    /// How far the first and the last keep from what they lie between, at least; 0 if not given.
    pub margin: Option<Written<Distance>>,
    /// How pieces that say nothing about it line up with the first one the other way: `start` (their upper or
    /// left edges), `center` (the default) or `end`.
    pub align: Option<Written<LineUp>>,
}

impl LineSpec {
    /// Where it stands: its first piece.
    pub fn place(&self) -> Option<Place> {
        self.row.first().or(self.column.first()).map(|name| name.place)
    }
}
