//! What can lie on a page. To add an element: a struct here, a line in [`Element`], and its measures
//! in `layout::elements`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{
    At, BankAlign, BankBy, BankRun, BannerEnd, Copies, Distance, Extent, LengthOrFit, LineProcess,
    Marked, Ordered, Shoulders, StripAcross, StripDown, Text, Written,
};
use crate::model::length::LengthSum;
use crate::model::{Color, Tool, Turns};

/// An element's own keys, and beside them the keys that every element has.
macro_rules! element {
    ($(#[$about:meta])* $name:ident { $($(#[$field_about:meta])* $field:ident: $kind:ty,)* }) => {
        $(#[$about])*
        #[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_about])* pub $field: $kind,)*
            /// Name, unique on its page; made from the kind and a number if not given.
            pub id: Option<Marked<Text>>,
            /// Where it goes; the page's top left if not given.
            #[serde(default)]
            pub at: At,
            /// Degrees clockwise, 0 if not given.
            #[schemars(range(min = -360, max = 360))]
            pub turn: Option<Marked<f64>>,
            /// `trimmer`, `machine` or `hand`: what cuts it, if not the usual tool.
            pub tool: Option<$crate::description::Written<$crate::model::Tool>>,
            /// Score lines.
            #[serde(default)]
            pub score: Vec<ScoreLine>,
            /// Perforated lines, to tear along.
            #[serde(default)]
            pub perforate: Vec<ScoreLine>,
            /// Stitches round the outline.
            pub stitch: Option<Box<Marked<StitchSpec>>>,
            /// Pen lines that fill the outline.
            pub hatch: Option<Box<Marked<HatchSpec>>>,
            /// What is printed on it before the machine cuts it, in register.
            pub print: Option<Box<Marked<$crate::description::PrintSpec>>>,
            /// Edges torn by hand: `top`, `right`, `bottom`, `left`. The piece is cut larger there, by the
            /// `allowance` (`1/4` if not given), and torn to its size.
            #[serde(default)]
            pub torn: $crate::description::TornSpec,
            /// How high it is raised, on foam squares; flat if not given.
            pub raised: Option<$crate::description::Written<$crate::description::Distance>>,
            /// Whether its hidden middle (for photos, that of each mat) is cut out as paper for
            /// smaller pieces; as `gutting` says if not given.
            pub gut: Option<Marked<bool>>,
            /// How it may be turned on its sheet: `never`, `half`, `quarter` (turns) or `any` (angle).
            #[serde(rename = "cut turn")]
            pub cut_turn: Option<$crate::description::Written<$crate::model::Turns>>,
            /// How many of it are made, 1 if not given; it is drawn once.
            pub copies: Option<$crate::description::Written<$crate::description::Copies>>,
            /// The piece several times at even distances, along a line or an arc; each is drawn.
            pub repeat: Option<Box<Marked<$crate::description::RepeatSpec>>>,
        }

        impl $name {
            /// What is printed on it, to change it.
            pub fn print_mut(&mut self) -> Option<&mut Marked<$crate::description::PrintSpec>> {
                self.print.as_deref_mut()
            }

            /// The keys that every element has.
            pub fn common(&self) -> Common<'_> {
                let Self { id, at, turn, tool, score, perforate, torn, gut, cut_turn, copies, .. } = self;
                Common {
                    id: id.as_ref(),
                    at,
                    turn: turn.as_ref(),
                    tool: tool.as_ref(),
                    score,
                    perforate,
                    stitch: self.stitch.as_deref(),
                    hatch: self.hatch.as_deref(),
                    print: self.print.as_deref(),
                    torn,
                    raised: self.raised.as_ref(),
                    gut: gut.as_ref().map(|gut| gut.value),
                    cut_turn: cut_turn.as_ref(),
                    copies: copies.as_ref(),
                    repeat: self.repeat.as_deref(),
                }
            }
        }
    };
}

mod folded;
mod kinds;
mod library;
mod lines;
mod mats;
mod rows;
mod several;
mod torn;

pub use folded::*;
pub use library::*;
pub use lines::*;
pub use mats::{MatSpec, Reveal};
pub use rows::{PointSpec, RepeatSpec, RowArcSpec, RowKeys, RowSpec};
pub use several::{Border, Cluster};
pub use torn::TornSpec;

/// The keys that every element has.
#[derive(Clone, Copy, Debug)]
pub struct Common<'a> {
    /// Name.
    pub id: Option<&'a Marked<Text>>,
    /// Where it goes.
    pub at: &'a At,
    /// Degrees clockwise.
    pub turn: Option<&'a Marked<f64>>,
    /// What cuts it.
    pub tool: Option<&'a Written<Tool>>,
    /// Score lines.
    pub score: &'a [ScoreLine],
    /// Perforated lines.
    pub perforate: &'a [ScoreLine],
    /// Stitches round the outline.
    pub stitch: Option<&'a Marked<StitchSpec>>,
    /// Pen lines that fill the outline.
    pub hatch: Option<&'a Marked<HatchSpec>>,
    /// What is printed on it.
    pub print: Option<&'a Marked<super::PrintSpec>>,
    /// Torn edges.
    pub torn: &'a TornSpec,
    /// How high it is raised.
    pub raised: Option<&'a Written<Distance>>,
    /// Whether its hidden middle is cut out, if it says so.
    pub gut: Option<bool>,
    /// How it may be turned on its sheet.
    pub cut_turn: Option<&'a Written<Turns>>,
    /// How many of it are made.
    pub copies: Option<&'a Written<Copies>>,
    /// Where it is repeated.
    pub repeat: Option<&'a Marked<RepeatSpec>>,
}

impl Common<'_> {
    /// Whether any of them says how paper is cut, marked or torn.
    pub const fn works_on_paper(&self) -> bool {
        self.tool.is_some()
            || !self.score.is_empty()
            || !self.perforate.is_empty()
            || self.stitch.is_some()
            || self.hatch.is_some()
            || self.print.is_some()
            || !self.torn.is_empty()
    }
}

element! {
    /// A large rectangle of paper.
    Panel {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
    }
}

element! {
    /// A strip from edge to edge of the page or the spread.
    Strip {
        /// Its paper.
        paper: Marked<Text>,
        /// How wide the strip is; `fit` for the room that is left.
        width: Written<LengthOrFit>,
        /// `page` (the default) or `spread`: runs left to right over one page or both.
        across: Option<Written<StripAcross>>,
        /// `page`: runs top to bottom instead.
        down: Option<Written<StripDown>>,
        /// How long it is, if not the whole page; `fit` for the room that is left.
        length: Option<Written<LengthOrFit>>,
        /// Over both pages: on or under which piece it lies on the page where it isn't listed.
        #[serde(rename = "other page")]
        other_page: Option<Marked<OtherPageSpec>>,
        /// Over both pages: `true` has the pattern of its paper run on over the gutter.
        #[serde(rename = "match pattern")]
        match_pattern: Option<Marked<bool>>,
    }
}

/// Where a strip lies among the pieces of another page: one of the two.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OtherPageSpec {
    /// The piece of that page on which it lies.
    pub over: Option<Marked<Text>>,
    /// The piece of that page under which it lies.
    pub under: Option<Marked<Text>>,
}

element! {
    /// One photo, with its mats.
    Photo {
        /// Name of the photo.
        photo: Marked<Text>,
        /// Mats, the one next to the photo first.
        #[serde(default)]
        mats: Vec<MatSpec>,
    }
}

element! {
    /// Photos in a row, a column or a grid, on common mats.
    Bank {
        /// Names of the photos.
        photos: Vec<Marked<Text>>,
        /// `across` (the default), `down` or `grid`.
        run: Option<Written<BankRun>>,
        /// Columns of a grid; as square as can be if not given.
        columns: Option<Marked<u32>>,
        /// `heights` (a row) or `widths` (a column): photos, 60 at most, are made alike, so that the bank
        /// ends flush; of a `grid` each row or column, all of one length.
        align: Option<Written<BankAlign>>,
        /// How: `crop` (the default), `enlarge` or `mat`, a mat for each photo from the first of `mats`.
        by: Option<Written<BankBy>>,
        /// How wide the whole bank then is, its mats included, exactly: where that is no whole number of the
        /// ruler's marks, the last photo of each row makes up for it; `fit` for the room that is left.
        width: Option<Written<LengthOrFit>>,
        /// How high it then is, likewise; `fit` for the room that is left.
        height: Option<Written<LengthOrFit>>,
        /// Distance between photos, 0 if not given.
        gap: Option<Written<Distance>>,
        /// Mats, the one next to the photos first.
        #[serde(default)]
        mats: Vec<MatSpec>,
    }
}

element! {
    /// A circle.
    Circle {
        /// Its paper.
        paper: Marked<Text>,
        /// Its diameter.
        diameter: Written<LengthSum>,
    }
}

element! {
    /// An ellipse.
    Ellipse {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
    }
}

element! {
    /// A rectangle with square, round, clipped or notched corners.
    Rectangle {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// What the corners are, square if not given.
        corners: Option<Marked<CornersSpec>>,
    }
}

element! {
    /// A tag with a hole at its top.
    Tag {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// Diameter of the hole, `1/4` if not given.
        hole: Option<Written<Distance>>,
        /// How far the shoulders reach, a quarter of the width if not given.
        shoulder: Option<Written<Distance>>,
        /// `clipped` (the default) or `round`.
        shoulders: Option<Written<Shoulders>>,
    }
}

element! {
    /// A banner with dovetail, pointed or straight ends.
    Banner {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// Left end: `dovetail`, `point` or `straight` (the default).
        left: Option<Written<BannerEnd>>,
        /// Right end: `dovetail` (the default), `point` or `straight`.
        right: Option<Written<BannerEnd>>,
        /// Depth of dovetails and points, half the height if not given.
        depth: Option<Written<Distance>>,
    }
}

element! {
    /// A ring.
    Ring {
        /// Its paper.
        paper: Marked<Text>,
        /// Diameter over all.
        diameter: Written<LengthSum>,
        /// Width of the band.
        width: Written<LengthSum>,
    }
}

element! {
    /// A regular polygon, a corner at the top.
    Polygon {
        /// Its paper.
        paper: Marked<Text>,
        /// How many sides it has.
        sides: Marked<u32>,
        /// Diameter of the circle through its corners.
        diameter: Written<LengthSum>,
    }
}

element! {
    /// A star, a point at the top.
    Star {
        /// Its paper.
        paper: Marked<Text>,
        /// How many points it has, 5 if not given.
        points: Option<Marked<u32>>,
        /// Diameter of the circle through its points.
        diameter: Written<LengthSum>,
        /// Depth of the notches, a quarter of the diameter if not given.
        depth: Option<Written<LengthSum>>,
    }
}

element! {
    /// A heart.
    Heart {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
    }
}

element! {
    /// A circle with a scalloped edge.
    Scallop {
        /// Its paper.
        paper: Marked<Text>,
        /// Diameter over all.
        diameter: Written<LengthSum>,
        /// How many scallops go round, 16 if not given.
        scallops: Option<Marked<u32>>,
    }
}

element! {
    /// A shape from an SVG file.
    Shape {
        /// Its paper.
        paper: Marked<Text>,
        /// The file, beside the spec.
        file: Marked<Text>,
        /// Width to fit; the file's real size if neither width nor height is given.
        width: Option<Written<LengthSum>>,
        /// Height to fit.
        height: Option<Written<LengthSum>>,
        /// What is done along lines of some colours: `cut`, `score`, `perforate`, `pen`, by `#rrggbb`.
        #[serde(default)]
        processes: Ordered<Written<LineProcess>, Written<Color>>,
    }
}

/// The list of elements: each is its struct, written by its word.
macro_rules! elements {
    ($($kind:ident $word:literal,)*) => {
        /// One element of a page.
        #[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
        #[expect(missing_docs, reason = "each variant is its struct")]
        pub enum Element {
            $(#[serde(rename = $word)] $kind($kind),)*
        }

        impl Element {
            /// Every kind, as written.
            pub const KINDS: &'static [&'static str] = &[$($word),*];

            /// The keys that every element has.
            pub fn common(&self) -> Common<'_> {
                match self {
                    $(Self::$kind(element) => element.common(),)*
                }
            }

            /// What is printed on it, to change it.
            pub fn print_mut(&mut self) -> Option<&mut Marked<super::PrintSpec>> {
                match self {
                    $(Self::$kind(element) => element.print_mut(),)*
                }
            }

            /// Where it goes, to change it.
            pub fn at_mut(&mut self) -> &mut At {
                match self {
                    $(Self::$kind(element) => &mut element.at,)*
                }
            }

            /// The element's kind, as written.
            pub const fn kind(&self) -> &'static str {
                match self {
                    $(Self::$kind(_) => $word,)*
                }
            }
        }
    };
}

elements! {
    Panel "panel",
    Strip "strip",
    Photo "photo",
    Bank "bank",
    Circle "circle",
    Ellipse "ellipse",
    Rectangle "rectangle",
    Tag "tag",
    Banner "banner",
    Ring "ring",
    Polygon "polygon",
    Star "star",
    Heart "heart",
    Scallop "scallop",
    ScallopEdge "scallop edge",
    Ticket "ticket",
    Pennants "pennants",
    Arrow "arrow",
    Plaque "plaque",
    Frame "frame",
    Sunburst "sunburst",
    Leaf "leaf",
    Cloud "cloud",
    Pocket "pocket",
    Envelope "envelope",
    Tent "tent",
    Accordion "accordion",
    Gatefold "gatefold",
    Step "step",
    PhotoCorner "photo corner",
    Shape "shape",
    Cluster "cluster",
    Border "border",
}

impl Default for Element {
    fn default() -> Self {
        Self::Panel(Panel::default())
    }
}

/// The corners of a rectangle; one key at most.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CornersSpec {
    /// Round, with this radius.
    Round(Written<LengthSum>),
    /// Cut off straight, this far from the corner.
    Clipped(Written<LengthSum>),
    /// Cut out square, this deep.
    Notched(Written<LengthSum>),
}

impl Default for CornersSpec {
    fn default() -> Self {
        Self::Round(Written::default())
    }
}

/// A score line or perforated line over a whole piece.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ScoreLine {
    /// From left to right, this far below the piece's top.
    Across(Written<LengthSum>),
    /// From top to bottom, this far from the piece's left.
    Down(Written<LengthSum>),
}
