//! What lies on the pages: elements, their pieces and photos, the story's strips.

use kurbo::{Affine, BezPath};

use crate::description::Place;
use crate::geometry::{self, Drawing};
use crate::model::length::{Length, Size};
use crate::model::{Area, Color, Facing, OffcutId, PieceId, Run, Tool, Turns};
use crate::shapes::finished::Finished;

use super::blocks::Raised;
use super::printed::Print;
use super::tucked::Tucked;

/// What is placed as one, with all pieces and photos that it is made of.
#[derive(Clone, Debug)]
pub struct PlacedElement {
    /// Its name on its page.
    pub id: String,
    /// Its page, by place in [`Layout::pages`](super::Layout::pages).
    pub page: usize,
    /// Top left of its turned bounding box on the page.
    pub at: [Length; 2],
    /// Size of its turned bounding box.
    pub size: Size,
    /// Degrees clockwise.
    pub turn: f64,
    /// Whether it runs on over the gutter.
    pub across_spread: bool,
    /// Across and down, which point of it stays where it is while its size changes: 0 its left or top, 1/2
    /// its middle, 1 its right or bottom.
    pub stays: [f64; 2],
    /// The pieces of a cluster, the lowest first; their names begin with its own.
    pub members: Vec<Self>,
    /// Where it is described.
    pub place: Place,
}

/// A piece of paper on a page.
#[derive(Clone, Debug)]
pub struct PlacedPiece {
    /// Unique id, such as `left.sky`.
    pub id: PieceId,
    /// What it is.
    pub kind: &'static str,
    /// Its paper, by place in [`Layout::papers`](super::Layout::papers).
    pub paper: usize,
    /// What cuts it.
    pub tool: Tool,
    /// How it may be turned on a sheet.
    pub turns: Turns,
    /// How many are cut.
    pub copies: u32,
    /// The name of the kits that it is for, if not for all.
    pub kit: Option<String>,
    /// Its exact size as it is cut, where that is a rectangle.
    pub size: Size,
    /// Whether the outline is exactly the rectangle of its size.
    pub rectangle: bool,
    /// Outline and lines in inches, top left of the bounding box at the origin.
    pub drawing: Drawing,
    /// How it lies on its page, if it is folded or torn.
    pub finished: Option<Box<Finished>>,
    /// Its page, by place in [`Layout::pages`](super::Layout::pages).
    pub page: usize,
    /// Top left of its turned bounding box, of `finished` if it is folded or torn, on the page.
    pub at: [f64; 2],
    /// Degrees clockwise on the page.
    pub turn: f64,
    /// Place in the stacking order.
    pub order: u32,
    /// How it is tucked under another piece, if it is.
    pub tucked: Option<Tucked>,
    /// What it stands on, if its element is raised.
    pub raised: Option<Box<Raised>>,
    /// Pieces with the same word come from one sheet.
    pub together: Option<String>,
    /// Whether the pattern is to run on from the left of those to the right.
    pub runs_on: bool,
    /// Whether it is gutted, if the spec says so for this piece.
    pub gut: Option<bool>,
    /// Hidden middles that may be cut out, in the piece's own frame.
    pub middles: Vec<Area>,
    /// Hidden middles in their true shape, in the piece's own frame, if the machine cuts the piece.
    pub openings: Vec<BezPath>,
    /// Middles that are cut out of the drawing, known once the pieces are nested.
    pub windows: Vec<Window>,
    /// What is printed on it before the machine cuts it.
    pub print: Option<Box<Print>>,
    /// What to tell the person about it.
    pub notes: Vec<String>,
    /// Where it is described.
    pub place: Place,
}

impl PlacedPiece {
    /// Its outline where it lies on its page, folded or torn if it is.
    pub fn on_page(&self) -> BezPath {
        let outline =
            self.finished.as_ref().map_or(&self.drawing.outline, |finished| &finished.outline);
        geometry::laying(outline, self.turn, self.at) * outline
    }

    /// What of the flat piece lies on the page, and how it comes to lie there; nothing for a folded thing,
    /// of which each face lies elsewhere.
    pub(crate) fn flat_on_page(&self) -> Option<(BezPath, Affine)> {
        let Some(finished) = &self.finished else {
            let outline = &self.drawing.outline;
            return Some((outline.clone(), geometry::laying(outline, self.turn, self.at)));
        };
        let face = finished.torn.as_ref().and(finished.faces.first())?;
        let lay = geometry::laying(&finished.outline, self.turn, self.at);
        Some((face.from.inverse() * &finished.outline, lay * face.from))
    }
}

/// A middle that is cut out of its piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Window {
    /// Name of the paper it becomes.
    pub id: OffcutId,
    /// Where it lies in the piece's own frame; the bounding box of an opening.
    pub area: Area,
    /// Its true shape, if smaller pieces are cut inside it in the machine's same pass.
    pub opening: Option<BezPath>,
}

/// A photo on a page.
#[derive(Clone, Debug)]
pub struct PlacedPhoto {
    /// Unique id, such as `left.launch`.
    pub id: PieceId,
    /// Its name in the spec.
    pub name: String,
    /// How many are printed.
    pub copies: u32,
    /// Size of the print.
    pub size: Size,
    /// White border within the size.
    pub border: Length,
    /// How it is tucked under another piece, if it is.
    pub tucked: Option<Tucked>,
    /// What it stands on, if its element is raised.
    pub raised: Option<Box<Raised>>,
    /// The way people in it look, if the spec says so.
    pub facing: Option<Facing>,
    /// Its page, by place in [`Layout::pages`](super::Layout::pages).
    pub page: usize,
    /// Top left of its turned bounding box on the page.
    pub at: [f64; 2],
    /// Degrees clockwise.
    pub turn: f64,
    /// Place in the stacking order.
    pub order: u32,
    /// Where it is placed in the spec.
    pub place: Place,
}

/// One strip of the story.
#[derive(Clone, Debug)]
pub struct StoryPiece {
    /// Id of its piece.
    pub id: PieceId,
    /// Its words.
    pub text: String,
    /// Its paper, by place in [`Layout::papers`](super::Layout::papers).
    pub paper: usize,
    /// Trim size.
    pub size: Size,
    /// Baseline below the top, in inches.
    pub baseline: f64,
    /// Type size in points.
    pub type_size: f64,
    /// Colour of the type.
    pub ink: Color,
    /// Colour printed under the type, bleed included; nothing for the paper's own.
    pub ground: Option<Color>,
    /// Its text in visual order; fonts by place in [`Layout::fonts`](super::Layout::fonts), glyphs in inches
    /// from the strip's left edge and the baseline.
    pub runs: Vec<Run>,
}
