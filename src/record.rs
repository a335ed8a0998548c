//! The run as data: everything that was decided, in inches, y down.
//!
//! Every file a run hands out is drawn from a [`Record`] and the fonts it names, and `redo` starts
//! from one. Nothing here decides anything. Numbers are inches unless a field says otherwise;
//! turns are degrees clockwise as seen on the page (y down).
//!
//! The placing rule, on a page and on a sheet alike: turn the piece's outline about its origin by
//! `turn`, then move it so that the top left corner of its bounding box comes to lie at `at`. What is
//! folded lies so on its page with the outline of its folded form.

mod folded;
mod marks;
mod on_mat;
mod opening;
mod photo;
mod print;
mod print_scale;
mod route;
mod stamps;
mod story;
mod titles;
mod totals;

use kurbo::BezPath;
use serde::{Deserialize, Serialize};

use crate::geometry::{Fold, Ring, from_rings, readable, rectangle};
use crate::length::Units;
use crate::model::Process;

pub use crate::model::{Glyph, Inks, PATH_DECIMALS, Run, Warning, rounded};

pub use folded::{Face, Folded};
pub use marks::{Mark, MarkKind, MarkStyle};
pub use on_mat::OnMat;
pub use opening::Opening;
pub use photo::{Photo, PhotoPaper, Picture};
pub use print::{Print, PrintedLine, PrintedPicture, PrintedText};
pub use print_scale::PrintScale;
pub use route::{Done, Pace, Stroke, Work};
pub use stamps::StampRow;
pub use story::Strip;
pub use titles::{FontUsed, ThinPlace};
pub use totals::{ShoppingLine, Totals};

use totals::is_nothing;

/// The version of the record's shape.
pub const FORMAT: u32 = 1;

/// Everything a run decided.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Version of this shape, [`FORMAT`].
    pub format: u32,
    /// Version of the program that wrote it.
    pub cutleaf: String,
    /// The spread's name.
    pub name: String,
    /// The spec it was made from: its path from the run's folder, with `/` between names.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub spec: String,
    /// The files of the run's folder, by their paths in it: all that the program wrote there. Known once
    /// they are drawn, so only a record in a folder has them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<String>,
    /// Unit of every number here: always `in`.
    pub units: String,
    /// How lengths are shown to a person: `in` (ruler fractions) or `mm`.
    pub shown_in: String,
    /// Page size.
    pub page: [f64; 2],
    /// Names of the pages, left to right: `left`, `right`, or `single`.
    pub pages: Vec<String>,
    /// The papers in the spec's order.
    pub papers: Vec<Paper>,
    /// The inks of the processes.
    pub inks: Inks,
    /// How registration marks look; none are put on sheets if not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark_style: Option<MarkStyle>,
    /// Size of the printer's paper.
    #[serde(default)]
    pub printer: [f64; 2],
    /// How fast the machine works and how it ends a contour.
    #[serde(default)]
    pub pace: Pace,
    /// How sheets were cut: distances that the nester kept.
    pub rules: Rules,
    /// Every piece, in stacking order, lowest first.
    pub pieces: Vec<Piece>,
    /// Every photo.
    pub photos: Vec<Photo>,
    /// Every sheet that is cut, printed ones among them.
    pub sheets: Vec<Sheet>,
    /// The story, strip by strip.
    pub strips: Vec<Strip>,
    /// The pages that go through the printer.
    pub printed: Vec<PrintedPage>,
    /// The photo paper, if photos are printed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo_paper: Option<PhotoPaper>,
    /// The sheets of photo paper: what lies on them are photos, and `printed` is the page of
    /// `print/photos.pdf`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prints: Vec<Sheet>,
    /// Rows of a stamped motif.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stamps: Vec<StampRow>,
    /// What the printer makes of lengths, if it is known; its pages are corrected by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub print_scale: Option<PrintScale>,
    /// Fonts used; strips and pieces name them by their place in this list.
    pub fonts: Vec<FontUsed>,
    /// What the user should know.
    pub warnings: Vec<Warning>,
    /// Sums.
    pub totals: Totals,
}

impl Record {
    /// The piece out of whose middle a sheet is cut, if it is one.
    pub fn gutted_for(&self, sheet: &Sheet) -> Option<&Piece> {
        let is_from = |middle: &Offcut| middle.id == sheet.from;
        self.pieces.iter().find(|piece| piece.gutted.iter().any(is_from))
    }

    /// The sheet that a sheet is cut from as a part, if it is one.
    pub fn part_of(&self, sheet: &Sheet) -> Option<&Sheet> {
        self.sheets.iter().find(|whole| whole.parts.iter().any(|part| part.id == sheet.id))
    }

    /// The unit in which lengths are shown to a person.
    pub fn shown_units(&self) -> Units {
        if self.shown_in == "mm" { Units::Millimetres } else { Units::Inches }
    }
}

/// A paper and what is left of it after this run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// Its name in the spec.
    pub name: String,
    /// Its colour, `#rrggbb`.
    pub color: String,
    /// Whether a pattern forbids turning pieces.
    pub directional: bool,
    /// How its pieces may be turned on a sheet, as for [`Piece::turns`]; empty if the spec doesn't say.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub turns: String,
    /// Whole sheets left after this run.
    pub left: Vec<StockLeft>,
    /// Offcuts that were on hand and were not used.
    pub offcuts_left: Vec<OffcutLeft>,
    /// New sheets used by this run.
    pub new_sheets: u32,
    /// The fewest new sheets that any plan could do with, as far as the bounds can tell.
    pub bound: u32,
    /// Share of the used sheets' area that became pieces, 0 to 1.
    pub used: f64,
    /// What limited the number of sheets, and what would save one.
    pub notes: Vec<String>,
}

/// Whole sheets of one size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct StockLeft {
    /// Sheet size.
    pub size: [f64; 2],
    /// Sheets left.
    pub count: u32,
    /// Price of one sheet in whatever coin the user thinks in; nothing where it is not known.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub price: f64,
}

/// A leftover from earlier.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OffcutLeft {
    /// Its name.
    pub id: String,
    /// Its size.
    pub size: [f64; 2],
}

/// Distances the nester kept, and how it searched.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rules {
    /// Paper lost by a trimmer cut.
    pub kerf: f64,
    /// Rim of a sheet that the trimmer cuts away first.
    pub trim_margin: f64,
    /// Distance between machine pieces.
    pub spacing: f64,
    /// Rim of a sheet that the machine can't cut.
    pub machine_margin: f64,
    /// Rim of a printed page that the printer can't reach.
    pub printer_margin: f64,
    /// Most changes of direction of trimmer cuts, if limited.
    pub stages: Option<u32>,
    /// Width and height of the machine's mat, if it limits what can be loaded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mat: Option<[f64; 2]>,
    /// Paper that a gutted piece keeps under the edge of what is glued on it.
    #[serde(default)]
    pub glue: f64,
    /// Paper that a gutted piece keeps along its own edge.
    #[serde(default)]
    pub rim: f64,
    /// When hidden middles are cut out: `saves-a-sheet`, `always` or `never`; empty in older records.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub gutting: String,
    /// How long was searched: `quick`, `normal` or `long`; empty in older records.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub effort: String,
    /// Width and height of the smallest paper worth keeping; 0 in records that don't tell.
    #[serde(default)]
    pub worth_keeping: [f64; 2],
}

/// One piece of paper on the spread.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// Stable, readable, unique name, such as `left.sky` or `title.hold.H`.
    pub id: String,
    /// What it is: `base`, `panel`, `strip`, `mat`, `circle`, `letter`, `backing`, `journaling`, ….
    pub kind: String,
    /// Name of its paper.
    pub paper: String,
    /// What cuts it: `trimmer`, `machine` or `hand`.
    pub tool: String,
    /// Width and height of the unturned outline's bounding box, as it is cut.
    pub size: [f64; 2],
    /// Area of paper, holes left out, in square inches.
    pub area: f64,
    /// The page it lies on.
    pub page: String,
    /// Where the top left of its (turned) bounding box lies on that page; of `folded`, if it is folded.
    pub at: [f64; 2],
    /// Degrees clockwise on the page.
    pub turn: f64,
    /// How it lies on its page, if it is folded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub folded: Option<Folded>,
    /// How it may be turned on a sheet: `never`, `half`, `quarter` or `any`.
    pub turns: String,
    /// Pieces with the same word come from one sheet, side by side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together: Option<String>,
    /// How many are cut.
    pub copies: u32,
    /// Rings flattened within 0.001 in; the first is the outside. The bounding box starts at 0, 0.
    pub outline: Vec<Ring>,
    /// The same outline as SVG path data with its true curves.
    pub path: String,
    /// Score, pen and perforated lines on the piece, in the outline's coordinates.
    pub lines: Vec<LineOnPiece>,
    /// What to tell the person about it, such as `tear the bottom edge by hand`.
    pub notes: Vec<String>,
    /// Place in the stacking order among pieces and photos; higher lies on top.
    pub order: u32,
    /// Gutting: the hidden middles that are cut out of it. Each is a window of `outline` and the last
    /// subpaths of `path`, and each is the paper of the sheet whose `from` is its id, or an offcut left.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gutted: Vec<Offcut>,
    /// Gutting in the machine's own pass: windows like those of `gutted`, with the pieces cut in them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opened: Vec<Opening>,
    /// Places narrower than its paper can well be cut, the narrowest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub thin: Vec<ThinPlace>,
    /// What is printed on it before it is cut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub print: Option<Print>,
}

impl Piece {
    /// What is seen of it on its page, unturned: folded if it is folded, else its outline.
    pub fn seen(&self) -> BezPath {
        let folded = self.folded.as_ref().and_then(Folded::curves);
        folded.unwrap_or_else(|| self.curves())
    }

    /// Its outline in its own coordinates: its true curves, or its rings if those can't be read.
    pub fn curves(&self) -> BezPath {
        readable(&self.path)
            .or_else(|| from_rings(&self.outline))
            .unwrap_or_else(|| rectangle(self.size[0], self.size[1]))
    }
}

/// A line other than the outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LineOnPiece {
    /// What is done along it.
    pub process: Process,
    /// SVG path data in the outline's coordinates.
    pub path: String,
    /// Which way it is folded, for a score line of which that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fold: Option<Fold>,
}

/// One sheet of paper and what is cut from it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Name, such as `harbour-1`.
    pub id: String,
    /// Name of its paper.
    pub paper: String,
    /// Its size.
    pub size: [f64; 2],
    /// `new`, or the id of the offcut it is, or of the gutted middle ([`Piece::gutted`]), or of the sheet
    /// that it is a part of ([`Sheet::parts`]).
    pub from: String,
    /// Whether it is not on hand and has to be bought first.
    #[serde(default, skip_serializing_if = "is_false")]
    pub to_buy: bool,
    /// The printed page it is, from 1; 0 if it doesn't go through the printer.
    pub printed: u32,
    /// The page of `print/in-register.pdf` that is printed on it before the machine cuts it, from 1; 0 if
    /// none is.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub in_register: u32,
    /// The pieces on it.
    pub placed: Vec<Placed>,
    /// Trimmer cuts in order.
    pub cuts: Vec<Cut>,
    /// The part within which the machine cuts, if any.
    pub machine: Option<Area>,
    /// The paper that is loaded for that, and when.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_mat: Option<OnMat>,
    /// Registration marks in the frame of the paper on the mat.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
    /// What the machine draws and cuts, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub strokes: Vec<Stroke>,
    /// How much work that is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<Work>,
    /// Parts that are sheets of their own, each by that sheet's id: a sheet that the printer takes, cut from
    /// a larger one, and rests of it that other pieces come from. A part may be that sheet turned by a quarter.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Offcut>,
    /// Paper worth keeping.
    pub offcuts: Vec<Offcut>,
    /// Share of the area that became pieces, 0 to 1.
    pub used: f64,
}

/// A piece on a sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// The piece's id.
    pub piece: String,
    /// Which of its copies, from 1.
    pub copy: u32,
    /// Top left of its turned bounding box on the sheet.
    pub at: [f64; 2],
    /// Degrees clockwise on the sheet.
    pub turn: f64,
    /// What cuts it.
    pub tool: String,
    /// The outline's rings in sheet coordinates.
    pub rings: Vec<Ring>,
}

/// A rectangle on a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Area {
    /// Top left.
    pub at: [f64; 2],
    /// Width and height.
    pub size: [f64; 2],
}

/// One trimmer cut, edge to edge of the paper in hand.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Cut {
    /// Number on its sheet, from 1.
    pub number: u32,
    /// The paper in hand.
    pub in_hand: Area,
    /// Start of the cut in sheet coordinates.
    pub from: [f64; 2],
    /// End of the cut in sheet coordinates.
    pub to: [f64; 2],
    /// Measure between fence and blade.
    pub fence: f64,
    /// What falls between fence and blade.
    pub keeps: Falls,
    /// What falls on the other side of the blade.
    pub drops: Falls,
}

/// What one side of a cut becomes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Falls {
    /// `piece`, `offcut`, `part` (a sheet of its own, see [`Sheet::parts`]), `more` (cut again), `scrap`, `machine`
    /// (goes to the machine later) or `spent` (what the machine has left).
    pub what: String,
    /// Id of the piece, offcut or sheet, empty otherwise.
    pub id: String,
    /// The paper itself.
    pub area: Area,
}

/// Paper worth keeping.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Offcut {
    /// Name for the box of leftovers.
    pub id: String,
    /// Top left on the sheet.
    pub at: [f64; 2],
    /// Width and height.
    pub size: [f64; 2],
}

/// A page that goes through the printer.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PrintedPage {
    /// Number, from 1.
    pub number: u32,
    /// Paper.
    pub paper: String,
    /// Size of the printer's paper.
    pub size: [f64; 2],
    /// The sheet it is.
    pub sheet: String,
}

/// Whether a number is left out of the file because it says nothing.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "the form that serde asks for")]
fn is_zero(number: &u32) -> bool {
    *number == 0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "the form that serde asks for")]
fn is_false(flag: &bool) -> bool {
    !*flag
}
