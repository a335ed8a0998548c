//! The run as data: everything that was decided, in inches, y down.
//!
//! Every file a run hands out is drawn from a [`Record`] and the fonts it names, and `redo` starts
//! from one. Nothing here decides anything. Numbers are inches unless a field says otherwise;
//! turns are degrees clockwise as seen on the page (y down).
//!
//! The placing rule, on a page and on a sheet alike: turn the piece's outline about its origin by
//! `turn`, then move it so that the top left corner of its bounding box comes to lie at `at`. What is
//! folded or torn lies so on its page with the outline of its folded or torn form.

mod digest;
mod falls;
mod finished;
mod kits;
mod marks;
mod nothing;
mod offcut_used;
mod on_mat;
mod opening;
mod paper;
mod photo;
mod piece;
mod print;
mod print_scale;
mod raised;
mod route;
mod rules;
mod sheet;
mod stamps;
mod story;
mod titles;
mod torn;
mod totals;
mod tucked;

use serde::{Deserialize, Serialize};

use crate::model::length::{Length, Units};
use crate::model::{Count, PageName, SheetId, SheetSource};

pub use crate::model::{
    Advice, Fall, Fitted, FittedKind, Glyph, Inks, PATH_DECIMALS, Rect, Run, Warning, rounded,
};

pub use falls::Falls;
pub use finished::{Face, Finished};
pub use kits::in_all;
pub use marks::{Mark, MarkKind, MarkStyle};
pub use offcut_used::{InsteadOf, OffcutUsed};
pub use on_mat::OnMat;
pub use opening::Opening;
pub use paper::{OffcutLeft, Paper, PaperPicture, StockLeft};
pub use photo::{Photo, PhotoPaper, Picture};
pub use piece::{LineOnPiece, Piece};
pub use print::{Print, PrintedLine, PrintedPicture, PrintedText};
pub use print_scale::PrintScale;
pub use raised::{FoamLine, Raised};
pub use route::{Done, Pace, Stroke, Work};
pub use rules::Rules;
pub use sheet::{Cut, Offcut, Placed, PrintedPage, Sheet};
pub use stamps::StampRow;
pub use story::Strip;
pub use titles::{FontUsed, ThinPlace};
pub use torn::{Allowance, Torn};
pub use totals::{ShoppingLine, Totals};
pub use tucked::Tucked;

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
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spec: Option<String>,
    /// For a redo, the [`Record::paper_digest`] of the run before it, whose paper it used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<String>,
    /// The files of the run's folder, by their paths in it: all that the program wrote there. Known once
    /// they are drawn, so only a record in a folder has them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<String>,
    /// Unit of every number here: always `in`.
    pub units: Units,
    /// How lengths are shown to a person: `in` (ruler fractions) or `mm`.
    pub shown_in: Units,
    /// Page size.
    pub page: [f64; 2],
    /// Names of the pages, left to right.
    pub pages: Vec<PageName>,
    /// The papers in the spec's order.
    pub papers: Vec<Paper>,
    /// The inks of the processes.
    pub inks: Inks,
    /// How registration marks look; none are put on sheets if not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark_style: Option<MarkStyle>,
    /// Size of the printer's paper.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub printer: Option<[f64; 2]>,
    /// How fast the machine works and how it ends a contour.
    #[serde(default)]
    pub pace: Pace,
    /// How sheets were cut: distances that the nester kept.
    pub rules: Rules,
    /// How many of the whole spread are made.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub kits: Count,
    /// The name that each kit is made for, where they differ.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub names: Vec<String>,
    /// Every piece, in stacking order, lowest first; those that only other kits than the first have come
    /// last.
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
    /// What the spec left to be fitted, and what was decided.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fitted: Vec<Fitted>,
    /// What a good eye would look at again.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub advice: Vec<Advice>,
    /// Sums.
    pub totals: Totals,
}

impl Record {
    /// Where a sheet comes from.
    pub fn source(&self, sheet: &Sheet) -> SheetSource {
        let Some(from) = &sheet.from else {
            let page = self.printed.iter().find(|page| page.sheet == sheet.id);
            let start = page.and_then(|page| page.start);
            return start
                .map_or(SheetSource::New, |start| SheetSource::FedOnce(Length::inches(start)));
        };
        let is_from = |middle: &Offcut| middle.id == from.as_str();
        let is_sheet = |part: &Offcut<SheetId>| part.id == sheet.id;
        if self.pieces.iter().any(|piece| piece.gutted.iter().any(is_from)) {
            SheetSource::Middle(from.as_str().into())
        } else if self.sheets.iter().any(|whole| whole.parts.iter().any(is_sheet)) {
            SheetSource::Part { whole: from.as_str().into(), part: sheet.id.as_str().into() }
        } else {
            SheetSource::Offcut(from.as_str().into())
        }
    }

    /// Whether it is a redo's: of a spread of which everything else was cut before.
    pub fn is_redo(&self) -> bool {
        self.follows.is_some()
    }

    /// Where a sheet comes from.
    pub fn shown_units(&self) -> Units {
        self.shown_in
    }
}
