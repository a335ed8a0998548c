//! From what the user wrote to pieces, measured and placed on pages.
//!
//! In comes a [`Spec`], the fonts it names and the SVG files beside it; out comes a [`Layout`]:
//! every piece with its outline, paper, tool, page, place and stacking order, every photo, the story
//! in strips, and warnings. Sheets of paper are only counted here; which piece is cut from which is
//! decided by `nest`.

mod blocks;
mod change;
mod composition;
mod each;
mod elements;
pub mod fit;
mod from_stock;
pub mod hidden;
mod ink;
mod kits;
pub(crate) mod label_fonts;
mod lying;
mod on_hand;
mod paper_pictures;
mod pictures;
mod place;
mod placed;
pub mod print;
mod print_on_paper;
pub mod printed;
mod raised;
mod reading;
mod resolver;
mod rows;
mod settings;
mod slanted;
mod stacking;
mod stamps;
mod stock_names;
mod story;
mod title;
mod tucked;
mod warnings;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use crate::description::{Problems, Spec, slug};
use crate::geometry::thin::Thin;
use crate::lettering::fonts::{Font, FontBook};
use crate::model::length::{Length, Size, Units};
use crate::model::printer::KnownScale;
use crate::model::{
    Advice, AdviceKind, Effort, Fitted, Inks, MarkKind, OffcutId, PageName, PieceId, Rules,
    SheetId, Stock, Turns, Warning,
};
use crate::picture::PictureFile;

pub use blocks::Raised;
pub(crate) use change::{Changed, Origin};
pub use composition::advise;
pub use from_stock::{add_shaped, with_stock};
pub(crate) use on_hand::USUAL_SHEET;
pub use on_hand::{PaperOnHand, ShapedOffcut};
pub use paper_pictures::PaperPicture;
pub use pictures::Framed;
pub use placed::{PlacedElement, PlacedPhoto, PlacedPiece, StoryPiece, Window};
pub use printed::Print;
pub(crate) use raised::foam_in_all;
pub use raised::squares as foam_squares;
pub use stamps::StampRow;
pub use tucked::Tucked;

/// What a spread is made of, measured and placed.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// The spread's name.
    pub name: String,
    /// Where its spec stands, seen from the folder that it is built into, where a path leads there.
    pub spec: Option<String>,
    /// How lengths are shown.
    pub units: Units,
    /// Page size.
    pub page: Size,
    /// Names of the pages, left to right.
    pub pages: Vec<PageName>,
    /// How many of the whole spread are made.
    pub kits: u32,
    /// The name that each kit is made for, where they differ.
    pub names: Vec<String>,
    /// Sheets that the trimmer cuts at once.
    pub stack: u32,
    /// How many of each page are made for one of them.
    pub copies_of_pages: Vec<u32>,
    /// Papers in the spec's order.
    pub papers: Vec<PaperOnHand>,
    /// Pieces on their pages.
    pub pieces: Vec<PlacedPiece>,
    /// Photos on their pages.
    pub photos: Vec<PlacedPhoto>,
    /// What is placed as one: elements, word groups of the title, the story.
    pub elements: Vec<PlacedElement>,
    /// Pictures of the photos that name a file.
    pub pictures: Vec<Framed>,
    /// The story's strips; each has a piece with the same id.
    pub strips: Vec<StoryPiece>,
    /// Fonts of the title and the story, then those that names need.
    pub fonts: Vec<Arc<Font>>,
    /// Places too thin to cut well, by piece id, in the piece's own frame.
    pub thin: Vec<(PieceId, Vec<Thin>)>,
    /// Rows of a stamped motif.
    pub stamps: Vec<StampRow>,
    /// Distances to keep when cutting.
    pub rules: Rules,
    /// Whether and how hidden middles are cut out.
    pub gutting: hidden::Gutting,
    /// How long to search for a nest.
    pub effort: Effort,
    /// Whether paper that is lacking is refused, instead of planned with sheets to buy.
    pub strict: bool,
    /// How fast the machine works and how it ends a contour.
    pub pace: Pace,
    /// Registration marks on the machine's sheets, if there are to be any.
    pub marks: Option<Marks>,
    /// Colours of the processes.
    pub inks: Inks,
    /// The printer's paper and the rim it can't reach.
    pub printer: Printer,
    /// What the printer makes of lengths, if it is known.
    pub print_scale: Option<KnownScale>,
    /// The photo paper and the rim the printer can't reach on it.
    pub photo_paper: Printer,
    /// The photo paper on hand; nothing where nobody says how much that is.
    pub photo_stock: Option<Stock>,
    /// What the user should know.
    pub warnings: Vec<Warning>,
    /// Kinds of advice that are not given.
    pub without_advice: Vec<AdviceKind>,
    /// What the spec left open, and what was decided.
    pub fitted: Vec<Fitted>,
    /// What a good eye would look at again; nothing before [`advise`] was asked.
    pub advice: Vec<Advice>,
    /// Which redo of the spread this is; 0 for the spread itself.
    pub redo: u32,
    /// Pieces that are cut from sheets as they were, and how many of each: those are nested no more.
    pub repeated: BTreeMap<PieceId, u32>,
    /// The digest of the paper that it found, for a redo: [`crate::record::Record::paper_digest`] of the run
    /// before it.
    pub follows: Option<String>,
    /// Where the first page of strips begins on a sheet that went through the printer once before, from its
    /// top edge; nothing if that is a sheet like all others.
    pub start: Option<Length>,
    /// What it was made from, for what could be written otherwise; nothing for a redo.
    pub(crate) origin: Option<Arc<Origin>>,
}

impl Layout {
    /// The files of all pictures that are printed.
    pub fn picture_files(&self) -> Vec<Arc<PictureFile>> {
        self.pictures.iter().map(|framed| Arc::clone(&framed.file)).collect()
    }

    /// How many of a piece or photo are made whose element asks for `own` copies.
    pub(crate) fn copies(&self, own: u32, page: usize) -> u32 {
        let of_page = self.copies_of_pages.get(page).copied().unwrap_or(1);
        own.saturating_mul(of_page).saturating_mul(self.kits.max(1))
    }

    /// How many of a piece are nested: all but those that are cut from sheets as they were.
    pub(crate) fn copies_to_nest(&self, piece: &PlacedPiece) -> u32 {
        piece.copies.saturating_sub(self.repeated.get(&piece.id).copied().unwrap_or(0))
    }

    /// Whether a paper's sheets may go through the printer turned by a quarter.
    pub(crate) fn goes_crosswise(&self, paper: usize) -> bool {
        let paper = self.papers.get(paper);
        paper.is_none_or(|paper| !paper.directional && paper.turns.is_none_or(Turns::crosswise))
    }

    /// How many of a piece are cut, by its id.
    pub(crate) fn copies_of(&self, piece: &str) -> u32 {
        self.pieces.iter().find(|one| one.id == piece).map_or(1, |one| one.copies)
    }

    /// The picture of a photo, by the photo's name in the spec.
    pub fn picture(&self, photo: &str) -> Option<&Framed> {
        self.pictures.iter().find(|framed| framed.photo == photo)
    }

    /// The id of a paper's sheet, unique over the spread and its redos.
    pub fn sheet_id(&self, paper: &str, number: usize) -> SheetId {
        let id = match self.redo {
            0 => format!("{}-{number}", slug(paper)),
            redo => format!("{}-redo-{redo}-{number}", slug(paper)),
        };
        id.into()
    }

    /// A name for paper that this run leaves over: the one wanted, with a number if an offcut on hand has
    /// it already, as one may that an earlier spread left.
    pub fn free_offcut_id(&self, wanted: String) -> OffcutId {
        let stock = || self.papers.iter().flat_map(|paper| &paper.stock);
        let taken = |id: &str| stock().any(|stock| stock.offcut.as_deref() == Some(id));
        if !taken(&wanted) {
            return wanted.into();
        }
        let numbered = (2..).map(|number| format!("{wanted} ({number})"));
        numbered.into_iter().find(|id| !taken(id)).unwrap_or_default().into()
    }
}

/// How fast the machine works and how it ends a contour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pace {
    /// Length covered in a second.
    pub speed: Length,
    /// Seconds to lower and lift the blade.
    pub lift: f64,
    /// How far a contour is cut on beyond its start.
    pub overcut: Length,
}

/// How registration marks look and where they go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks {
    /// Their form.
    pub kind: MarkKind,
    /// Whether every sheet of the machine bears them, not only those that are printed.
    pub every_sheet: bool,
    /// Distance of their middle from the edges of the machine's part, if the spec says so.
    pub inset: Option<Length>,
    /// Length of an arm or radius of a ring, if the spec says so.
    pub arm: Option<Length>,
    /// Width of their lines.
    pub weight: Length,
}

/// The printer's paper.
#[derive(Clone, Copy, Debug, Default)]
pub struct Printer {
    /// Size of its paper.
    pub paper: Size,
    /// Rim it can't reach.
    pub margin: Length,
}

/// Lays a spec out, for each name of its list if it has one. `folder` is where the spec stands: SVG files and
/// pictures are read from there and below.
pub fn lay_out(spec: &Spec, folder: &Path, fonts: &FontBook) -> Result<Layout, Problems> {
    kits::lay_out(spec, folder, fonts)
}

/// Lays out a spec without a list of names.
fn lay_out_one(spec: &Spec, folder: &Path, fonts: &FontBook) -> Result<Layout, Problems> {
    let mut reader = reading::Reader::new(spec)?;
    let mut layout = settings::settings(&mut reader);
    layout.pictures = pictures::pictures(&mut reader, folder);
    paper_pictures::add(&mut reader, &mut layout, folder);
    let mut blocks = elements::blocks(&mut reader, &layout, folder);
    title::add(&mut reader, &mut layout, &mut blocks, folder, fonts);
    story::add(&mut reader, &mut layout, &mut blocks, fonts);
    fit::fit(&mut reader, &layout, folder, &mut blocks);
    pictures::fitted(&mut reader, &mut layout.pictures);
    print::add(&mut reader, &mut layout, &mut blocks, folder, fonts);
    raised::add(&mut reader, &mut blocks);
    reader.stop_on_problems()?;
    let origin = Origin { spec: spec.clone(), blocks: blocks.clone() };
    layout.origin = Some(Arc::new(origin));
    place::place(&mut reader, &mut layout, blocks);
    reader.stop_on_problems()?;
    layout.stamps = stamps::rows(&mut reader, &layout);
    reader.stop_on_problems()?;
    hidden::find(&mut layout);
    pictures::unplaced(&mut reader, &layout);
    layout.warnings.extend(reader.take_warnings());
    layout.warnings.extend(warnings::warnings(&layout));
    label_fonts::add(&mut layout, fonts);
    Ok(layout)
}
