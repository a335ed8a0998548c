//! The types of a sketch's file: they read it, and its JSON Schema is made from them. Its words are those of
//! a spec where a spec has them.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, json_schema};
use serde::Deserialize;

use crate::description::{BankRun, Distance, FromText, LineUp, Marked, OneOrMany, Text, Written};
use crate::model::length::{LengthSum, Sides};
use crate::model::{Fault, MOST_PHOTOS, choices};

/// A sketch: where photos, title and story go, whatever the photos are.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "A Cutleaf sketch")]
pub struct SketchFile {
    /// Its name.
    pub name: Marked<Text>,
    /// What it is, in a sentence.
    pub about: Option<Marked<Text>>,
    /// Page sizes that it is made for, `12 x 12` if not given.
    pub page: Option<Marked<OneOrMany<Written<Sides>>>>,
    /// Distance that photos, title and story keep from the page's edges and from the gutter, `3/8` if not
    /// given.
    pub margin: Option<Written<Distance>>,
    /// Distance between photos of one bank, `1/8` if not given.
    pub gap: Option<Written<Distance>>,
    /// How much of a mat shows round its photos, `3/16` if not given.
    pub reveal: Option<Written<Distance>>,
    /// The left page.
    pub left: Option<Marked<RoomSpec>>,
    /// The right page.
    pub right: Option<Marked<RoomSpec>>,
    /// The page of a one-page sketch, instead of `left` and `right`.
    pub single: Option<Marked<RoomSpec>>,
    /// Strips that run across all pages, under what lies on them.
    pub strips: Option<Vec<Marked<StripAcross>>>,
    /// Edges that keep together if the photos permit it: lists such as `[first.top, second.top]`.
    pub keep: Option<Vec<Marked<Vec<Marked<Text>>>>>,
}

/// A part of a page: it is split once more, or holds something, or stays free.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoomSpec {
    /// Its name; numbered if not given.
    pub id: Option<Marked<Text>>,
    /// Its width in columns or height in bands: a share of the page, such as `1/3 page`, or `about 1/3 page`
    /// if the photos may change it. Without one, it takes what is left.
    pub share: Option<Written<Share>>,
    /// Rooms side by side.
    pub columns: Option<Vec<Marked<RoomSpec>>>,
    /// Rooms one below the other.
    pub bands: Option<Vec<Marked<RoomSpec>>>,
    /// Paper that covers it.
    pub paper: Option<Written<Role>>,
    /// Photos in it.
    pub photos: Option<Marked<BankSpec>>,
    /// What else it holds: `title`, `story` or `cluster`.
    pub holds: Option<Written<Held>>,
}

/// Places for photos.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BankSpec {
    /// How many photos: `2`, or `1-4`.
    pub takes: Written<Takes>,
    /// How they run: `across` (the default), `down`, or `grid`, in as many rows as look best.
    pub run: Option<Written<BankRun>>,
    /// Which photos it is for: `either` (the default), `upright`, `level` or `square`.
    pub prefers: Option<Written<Form>>,
    /// How much they weigh: 1 if not given; more draws larger photos.
    pub weight: Option<Marked<f64>>,
    /// Paper of the mat round them.
    pub mat: Option<Written<Role>>,
    /// How much of the mat shows, in place of the sketch's.
    pub reveal: Option<Written<Distance>>,
    /// Where they lie in their room, left to right: `start`, `center` (the default) or `end`.
    pub across: Option<Written<LineUp>>,
    /// Where they lie in their room, top to bottom: `start`, `center` (the default) or `end`.
    pub down: Option<Written<LineUp>>,
}

/// A strip across all pages.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StripAcross {
    /// Its paper.
    pub paper: Written<Role>,
    /// How wide it is.
    pub width: Written<Distance>,
    /// How far its upper edge lies below the page's, such as `2/3 page`.
    pub top: Option<Written<LengthSum>>,
    /// The edge of a room that it covers, instead of `top`: `words.top`.
    pub along: Option<Marked<Text>>,
}

choices! {
    /// Which of the papers of a spread.
    pub enum Role, "part that a paper plays" {
        /// The page itself.
        Base = "base",
        /// Large panels and columns.
        Panel = "panel",
        /// Mats.
        Mat = "mat",
        /// Strips, clusters and the title.
        Accent = "accent",
    }
}

choices! {
    /// What a room holds besides photos.
    pub enum Held, "thing that a room holds" {
        /// The title.
        Title = "title",
        /// The story in strips.
        Story = "story",
        /// Small shapes at one place.
        Cluster = "cluster",
    }
}

choices! {
    /// Which way a photo stands.
    pub enum Form, "form of a photo", usual Either {
        /// Higher than wide.
        Upright = "upright",
        /// Wider than high.
        Level = "level",
        /// As wide as high.
        Square = "square",
        /// Any.
        Either = "either",
    }
}

/// A share of the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// How long.
    pub length: LengthSum,
    /// Whether the photos may change it.
    pub about: bool,
}

impl FromText for Share {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let bare = text.trim();
        let (about, bare) = match bare.strip_prefix("about ") {
            Some(rest) => (true, rest),
            None => (false, bare),
        };
        Ok(Self { length: LengthSum::parse(bare)?, about })
    }

    fn schema_name() -> Cow<'static, str> {
        "Share".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a share of the page or a length; `about` before it lets photos change it",
            "type": ["number", "string"],
            "examples": ["1/3 page", "about 2/3 page", "4 in"],
        })
    }
}

/// How many photos a bank takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Takes {
    /// As few as that.
    pub least: usize,
    /// As many as that.
    pub most: usize,
}

impl FromText for Takes {
    fn from_text(text: &str) -> Result<Self, Fault> {
        let number = |text: &str| text.trim().parse::<usize>().ok();
        let read = match text.split_once(['-', '–']) {
            Some((least, most)) => number(least).zip(number(most)),
            None => number(text).map(|number| (number, number)),
        };
        let in_order =
            |(least, most): &(usize, usize)| least <= most && (1..=MOST_PHOTOS).contains(most);
        read.filter(in_order).map(|(least, most)| Self { least, most }).ok_or_else(|| {
            let message = format!("`{text}` is not a number of photos");
            Fault::new(message, "write 2, or 1-4 for one to four")
        })
    }

    fn schema_name() -> Cow<'static, str> {
        "Takes".into()
    }

    fn schema() -> Schema {
        json_schema!({
            "description": "a number of photos, or the least and the most: `1-4`",
            "type": ["integer", "string"],
            "pattern": "^\\s*[0-9]+\\s*([-–]\\s*[0-9]+\\s*)?$",
            "examples": [2, "1-4"],
        })
    }
}
