//! A block: one element with everything that moves and turns with it.

use kurbo::{Affine, Rect, Shape};

use super::printed::Print;
use crate::description::{At, Marked, OtherPageSpec, Place, PrintSpec};
use crate::geometry::{self, Drawing};
use crate::model::length::{Length, Size};
use crate::model::{Facing, Tool, Turns};
use crate::shapes::folding::Folded;

/// Pieces and photos that are placed as one.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    /// Name on its page.
    pub id: String,
    /// Its page, by place among the spread's pages.
    pub page: usize,
    /// Where it goes, as written.
    pub at: At,
    /// Degrees clockwise.
    pub turn: f64,
    /// Size before turning.
    pub size: Size,
    /// What it is made of, lowest first.
    pub parts: Vec<Part>,
    /// Whether it runs on over the gutter onto the other page.
    pub across_spread: bool,
    /// Where it lies among the pieces of that page, if the spec says so.
    pub other_page: Option<Marked<OtherPageSpec>>,
    /// Whether its pieces are gutted, if the spec says so.
    pub gut: Option<bool>,
    /// How its pieces may be turned on a sheet, if the spec says so.
    pub turns: Option<Turns>,
    /// How many of it are made, besides the copies of its page and of the spread.
    pub copies: u32,
    /// What is printed on it, until it is measured.
    pub print: Option<Marked<PrintSpec>>,
    /// Where it is described.
    pub place: Place,
}

/// A piece or a photo within a block.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    /// Full id.
    pub id: String,
    /// Top left of its bounding box within the block.
    pub offset: [Length; 2],
    /// Its size as it is cut.
    pub size: Size,
    /// What it is.
    pub content: Content,
    /// What is printed on it.
    pub print: Option<Box<Print>>,
}

/// What a part is.
#[derive(Clone, Debug)]
pub(crate) enum Content {
    /// A piece of paper.
    Paper {
        kind: &'static str,
        paper: usize,
        tool: Tool,
        rectangle: bool,
        drawing: Drawing,
        folded: Option<Box<Folded>>,
        notes: Vec<String>,
    },
    /// A photo.
    Photo { name: String, border: Length, facing: Option<Facing> },
}

impl Part {
    /// A rectangle of paper, cut by the trimmer.
    pub fn rectangle(id: String, kind: &'static str, paper: usize, size: Size) -> Self {
        let [width, height] = size.to_inches();
        let drawing = Drawing::of(geometry::rectangle(width, height));
        let content = Content::Paper {
            kind,
            paper,
            tool: Tool::Trimmer,
            rectangle: true,
            drawing,
            folded: None,
            notes: Vec::new(),
        };
        Self { id, offset: [Length::ZERO; 2], size, content, print: None }
    }

    /// A drawn piece of paper, cut by the machine.
    pub fn drawn(id: String, kind: &'static str, paper: usize, drawing: Drawing) -> Self {
        let drawing = drawing.at_origin();
        let [width, height] = drawing.size();
        let content = Content::Paper {
            kind,
            paper,
            tool: Tool::Machine,
            rectangle: false,
            drawing,
            folded: None,
            notes: Vec::new(),
        };
        let size = Size::inches(width, height);
        Self { id, offset: [Length::ZERO; 2], size, content, print: None }
    }

    /// The same part elsewhere in its block.
    pub fn moved(mut self, left: Length, top: Length) -> Self {
        self.offset = [self.offset[0] + left, self.offset[1] + top];
        self
    }

    /// Adds what to tell the person about it.
    pub fn note(&mut self, note: String) {
        if let Content::Paper { notes, .. } = &mut self.content {
            notes.push(note);
        }
    }

    /// The box of its rectangle or outline, folded if it is, in block coordinates, turned by `turned`.
    fn bounds(&self, turned: Affine) -> Rect {
        let [left, top] = self.offset.map(Length::to_inches);
        let shift = turned * Affine::translate((left, top));
        match &self.content {
            Content::Paper { folded: Some(folded), .. } => (shift * &folded.outline).bounding_box(),
            Content::Paper { drawing, rectangle: false, .. } => {
                (shift * &drawing.outline).bounding_box()
            }
            Content::Paper { .. } | Content::Photo { .. } => {
                let [width, height] = self.size.to_inches();
                shift.transform_rect_bbox(Rect::new(0.0, 0.0, width, height))
            }
        }
    }
}

impl Block {
    /// Size of the block's bounding box once turned.
    pub fn turned_size(&self) -> Size {
        if self.turn == 0.0 {
            return self.size;
        }
        let bounds = self.turned_bounds();
        Size::inches(bounds.width(), bounds.height())
    }

    fn turned_bounds(&self) -> Rect {
        let turned = geometry::turning(self.turn);
        self.parts
            .iter()
            .map(|part| part.bounds(turned))
            .reduce(|all, one| all.union(one))
            .unwrap_or_default()
    }

    /// Where each part's turned bounding box lies on the page when the block's lies at `at`.
    pub fn parts_at(&self, at: [Length; 2]) -> Vec<[f64; 2]> {
        let turned = geometry::turning(self.turn);
        let whole = self.turned_bounds();
        let place = |part: &Part| {
            if self.turn == 0.0 {
                return [0, 1].map(|axis| (at[axis] + part.offset[axis]).to_inches());
            }
            let bounds = part.bounds(turned);
            [at[0].to_inches() + bounds.x0 - whole.x0, at[1].to_inches() + bounds.y0 - whole.y0]
        };
        self.parts.iter().map(place).collect()
    }
}
