//! The spec as a whole: papers, photos, pages, title, journaling, settings.

use std::collections::BTreeSet;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;

use super::{
    Copies, CoreColor, Distance, EachSpec, Element, JournalingSpec, LineSpec, Marked, MarksSpec,
    Ordered, PatternSpec, PhotoSpec, Place, SheetCount, SheetPrice, StampSpec, TitleSpec, UnitWord,
    Written,
};
use crate::model::length::{LengthSum, Sides};
use crate::model::printer::Scale;
use crate::model::{AdviceKind, Color, Effort, PageName, PictureFill, Turns, When};

/// A name or other words as they are written; numbers need no quotes.
#[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
#[serde(transparent)]
pub struct Text(pub String);

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self(text)
    }
}

impl std::ops::Deref for Text {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl JsonSchema for Text {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Text".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        schemars::json_schema!({ "type": ["string", "number"] })
    }
}

/// A spread: what it looks like and what it is made from.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "A Cutleaf spread")]
pub struct Spec {
    /// Name of the spread; the output folder is named after it.
    pub name: Marked<Text>,
    /// Unit of a bare number: `in` (the default) or `mm`.
    pub units: Option<Written<UnitWord>>,
    /// How many of the whole spread are made, 1 if not given: kits, all of them alike. Copies of a page
    /// and of an element are made for each of them.
    pub copies: Option<Written<Copies>>,
    /// A list of names, one for each kit: a text file with a name a line, or a column of a table,
    /// `{file: class.csv, column: name}`. `{name}` stands for it in the title's words, in words printed on
    /// pieces and in the story.
    pub each: Option<Marked<EachSpec>>,
    /// Page size, `12 x 12` if not given.
    pub page: Option<Written<Sides>>,
    /// The papers on hand.
    #[serde(default)]
    pub papers: Ordered<Marked<PaperSpec>>,
    /// The photos.
    #[serde(default)]
    pub photos: Ordered<Marked<PhotoSpec>>,
    /// The left page.
    pub left: Option<PageSpec>,
    /// The right page.
    pub right: Option<PageSpec>,
    /// The page of a one-page layout, instead of `left` and `right`.
    pub single: Option<PageSpec>,
    /// The title, word group by word group.
    #[serde(default)]
    pub title: Vec<Marked<TitleSpec>>,
    /// The story.
    pub journaling: Option<Marked<JournalingSpec>>,
    /// Motifs stamped at even distances.
    #[serde(default)]
    pub stamps: Vec<Marked<StampSpec>>,
    /// Distances that the trimmer and the machine need.
    #[serde(default)]
    pub cutting: CuttingSpec,
    /// Whether and how the hidden middles of pieces are cut out for smaller pieces.
    #[serde(default)]
    pub gutting: GuttingSpec,
    /// Registration marks on the machine's sheets.
    #[serde(default)]
    pub marks: MarksSpec,
    /// Advice on how the spread looks.
    #[serde(default)]
    pub advice: AdviceSpec,
    /// Colours that tell the processes apart in the cut files.
    #[serde(default)]
    pub inks: InksSpec,
    /// The printer and its paper.
    #[serde(default)]
    pub printer: PrinterSpec,
    /// What is written soundly, but likely not as it was meant.
    #[serde(skip)]
    pub doubts: Vec<Doubt>,
    /// Every word, number and sentence that stands as a value: what could be the name of a paper.
    #[serde(skip)]
    pub words: BTreeSet<String>,
}

impl Spec {
    /// A page by its name.
    pub fn page_named(&self, name: PageName) -> Option<&PageSpec> {
        match name {
            PageName::Left => self.left.as_ref(),
            PageName::Right => self.right.as_ref(),
            PageName::Single => self.single.as_ref(),
        }
    }

    /// A page by its name, to change it.
    pub fn page_named_mut(&mut self, name: PageName) -> Option<&mut PageSpec> {
        match name {
            PageName::Left => self.left.as_mut(),
            PageName::Right => self.right.as_mut(),
            PageName::Single => self.single.as_mut(),
        }
    }
}

/// Something that is sound and yet likely a slip.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Doubt {
    /// Where it stands.
    pub place: Place,
    /// What it looks like.
    pub message: String,
    /// What to do if it was not meant.
    pub help: String,
}

/// A paper: its colour and how much of it there is.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PaperSpec {
    /// Colour, `#rrggbb`; that of the stock if not given.
    pub color: Option<Written<Color>>,
    /// A pattern on it, drawn true to scale and turned with each piece: `{gingham: {colors: ["#a9cdd1"],
    /// pitch: 1/2}}`; that of the stock if not given.
    pub pattern: Option<Marked<PatternSpec>>,
    /// Colour of its core, which shows along torn edges: `white`, or `#rrggbb`; none shows if not given.
    pub core: Option<Written<CoreColor>>,
    /// A picture of it, such as a scan, in place of a pattern: a JPEG, PNG, TIFF or WebP file, by its path
    /// from the spec's folder (in `stock.yaml` from there).
    pub picture: Option<Marked<Text>>,
    /// The picture's real size; by the dots an inch that a scanner noted in its file if not given, else that
    /// of the largest sheet.
    #[serde(rename = "picture size")]
    pub picture_size: Option<Written<Sides>>,
    /// `repeat` (at its real size, again and again from the sheet's corner) or `whole` (once over each
    /// sheet); `repeat` where its size is known if not given, else `whole`.
    #[serde(rename = "picture fill")]
    pub picture_fill: Option<Written<PictureFill>>,
    /// The folder that the picture is seen from, if not the spec's.
    #[serde(skip)]
    pub picture_in: Option<std::path::PathBuf>,
    /// Sheets on hand: size, then how many, or `{count, price}`.
    #[serde(default)]
    pub sheets: Ordered<Marked<SheetsSpec>, Written<Sides>>,
    /// How its pieces may be turned on a sheet: `never` for a pattern with a direction, `half` for a
    /// grain, `quarter` (turns; the default), `any` (angle, for the machine).
    pub turn: Option<Written<Turns>>,
    /// Leftovers on hand; used before whole sheets.
    #[serde(default)]
    pub offcuts: Vec<OffcutSpec>,
    /// Narrowest stroke it can be cut to without tearing, `1/16` if not given: what is thinner is a
    /// warning.
    pub thinnest: Option<Written<LengthSum>>,
    /// Whether its sheets and offcuts are those of the stock.
    #[serde(skip)]
    pub from_stock: bool,
}

/// How many sheets of one size there are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SheetsSpec {
    /// Number of sheets.
    pub count: Written<SheetCount>,
    /// SheetPrice of one sheet.
    pub price: Option<Written<SheetPrice>>,
}

impl<'de> Deserialize<'de> for SheetsSpec {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Priced {
            count: Written<SheetCount>,
            price: Option<Written<SheetPrice>>,
        }
        struct Forms;
        impl<'de> serde::de::Visitor<'de> for Forms {
            type Value = SheetsSpec;
            fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str("a number of sheets, or {count, price}")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<SheetsSpec, E> {
                let count = Written::of(text, Place::default());
                Ok(SheetsSpec { count, price: None })
            }
            fn visit_i64<E: serde::de::Error>(self, count: i64) -> Result<SheetsSpec, E> {
                self.visit_str(&count.to_string())
            }
            fn visit_u64<E: serde::de::Error>(self, count: u64) -> Result<SheetsSpec, E> {
                self.visit_str(&count.to_string())
            }
            fn visit_f64<E: serde::de::Error>(self, count: f64) -> Result<SheetsSpec, E> {
                self.visit_str(&count.to_string())
            }
            fn visit_map<A: serde::de::MapAccess<'de>>(
                self,
                map: A,
            ) -> Result<SheetsSpec, A::Error> {
                let reader = serde::de::value::MapAccessDeserializer::new(map);
                let Priced { count, price } = Priced::deserialize(reader)?;
                Ok(SheetsSpec { count, price })
            }
        }
        deserializer.deserialize_any(Forms)
    }
}

impl JsonSchema for SheetsSpec {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Sheets".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let count = generator.subschema_for::<Written<SheetCount>>();
        let price = generator.subschema_for::<Written<SheetPrice>>();
        schemars::json_schema!({
            "description": "a number of sheets, or {count, price}",
            "anyOf": [
                count,
                {
                    "type": "object",
                    "properties": {
                        "count": count,
                        "price": price,
                    },
                    "required": ["count"],
                    "additionalProperties": false,
                },
            ],
        })
    }
}

/// A leftover on hand.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OffcutSpec {
    /// Its size.
    pub size: Written<Sides>,
    /// Its name; numbered after the paper if not given.
    pub id: Option<Marked<Text>>,
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PageSpec {
    /// Paper of the page itself, cut to the page's size.
    pub base: Option<Marked<Text>>,
    /// How many of the page are made, 1 if not given; it is drawn once.
    pub copies: Option<Written<Copies>>,
    /// What lies on the page; later elements lie on earlier ones.
    #[serde(default)]
    pub pieces: Vec<Marked<Element>>,
    /// Rows and columns of its pieces: what decides where they lie along them, and how large they are where
    /// their size is `fit`.
    #[serde(default)]
    pub fit: Vec<Marked<LineSpec>>,
}

/// Distances that the trimmer and the machine need, and how long to search for a good nest.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CuttingSpec {
    /// Paper lost by a trimmer cut, 0 if not given.
    pub kerf: Option<Written<Distance>>,
    /// Rim that the trimmer cuts off each sheet first, 0 if not given.
    #[serde(rename = "trim margin")]
    pub trim_margin: Option<Written<Distance>>,
    /// Distance between machine pieces, `1/16` if not given.
    pub spacing: Option<Written<Distance>>,
    /// Rim that the machine can't cut, `1/4` if not given.
    #[serde(rename = "machine margin")]
    pub machine_margin: Option<Written<Distance>>,
    /// The machine's mat: no larger paper is loaded; `12 x 12` if not given.
    pub mat: Option<Written<Sides>>,
    /// Sheets that the trimmer cuts at once where several are cut alike, 1 if not given; the machine cuts one
    /// at a time.
    pub stack: Option<Written<Copies>>,
    /// Most times the direction of trimmer cuts may change; no limit if not given.
    pub stages: Option<Marked<u32>>,
    /// The smallest paper worth keeping, `1 x 2` if not given: smaller rests are scrap.
    #[serde(rename = "worth keeping")]
    pub worth_keeping: Option<Written<Sides>>,
    /// How far the blade goes on beyond the start of a contour, so that it comes free; 0 if not given.
    pub overcut: Option<Written<Distance>>,
    /// Length that the machine's blade covers in a second, `2` in if not given; for the estimate of time.
    #[serde(rename = "machine speed")]
    pub machine_speed: Option<Written<LengthSum>>,
    /// Seconds to lower and lift the blade, 0.3 if not given; for the estimate of time.
    #[serde(rename = "lift time")]
    #[schemars(range(min = 0, max = 60))]
    pub lift_time: Option<Marked<f64>>,
    /// `quick`, `normal` (the default) or `long`.
    pub effort: Option<Written<Effort>>,
}

/// Gutting: the hidden middle of a piece is cut out and used as paper for smaller pieces.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GuttingSpec {
    /// `saves-a-sheet` (the default), `always` or `never`.
    pub when: Option<Written<When>>,
    /// Paper kept under the edge of what is glued on, `1/2` if not given.
    pub glue: Option<Written<Distance>>,
    /// Paper kept along the piece's own edge, `3/4` if not given.
    pub rim: Option<Written<Distance>>,
}

/// Advice on how the spread looks: nothing of it stops a build.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdviceSpec {
    /// Kinds of advice that are not given.
    #[serde(default)]
    pub without: Vec<Written<AdviceKind>>,
}

/// Colours that tell the processes apart in the cut files, `#rrggbb`.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InksSpec {
    /// Cut lines, `#0b6e4f` if not given.
    pub cut: Option<Written<Color>>,
    /// Score lines, `#b5541c` if not given.
    pub score: Option<Written<Color>>,
    /// Perforated lines, `#6a3fa0` if not given.
    pub perforate: Option<Written<Color>>,
    /// Pen lines, `#33312e` if not given.
    pub pen: Option<Written<Color>>,
    /// Registration marks, `#000000` if not given.
    pub register: Option<Written<Color>>,
}

/// The printer.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PrinterSpec {
    /// Size of the printer's paper, `8.5 x 11` if not given (A4 if the units are mm).
    pub paper: Option<Written<Sides>>,
    /// Rim the printer can't reach, `1/4` if not given.
    pub margin: Option<Written<Distance>>,
    /// What six printed inches measure, `5.97`, or across and down, `5.97 x 5.99`; what `print-scale`
    /// stored if not given.
    pub scale: Option<Written<Scale>>,
    /// Size of the photo paper, that of the printer's paper if not given.
    #[serde(rename = "photo paper")]
    pub photo_paper: Option<Written<Sides>>,
    /// Rim the printer can't reach on photo paper, that of other paper if not given; 0 if it prints
    /// without borders.
    #[serde(rename = "photo margin")]
    pub photo_margin: Option<Written<Distance>>,
    /// Sheets of photo paper on hand, or `{count, price}`; if not given, there are enough.
    #[serde(rename = "photo sheets")]
    pub photo_sheets: Option<Marked<SheetsSpec>>,
}
