//! A block: one element with everything that moves and turns with it.

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use super::printed::Print;
use crate::description::{
    At, Border, LineUp, Marked, OtherPageSpec, Place, PrintSpec, RepeatSpec, Text,
};
use crate::geometry::{self, Drawing};
use crate::model::length::{Length, Size};
use crate::model::{Facing, Tool, Turns};
use crate::shapes::finished::Finished;

/// The least side of what is cut or glued: nothing narrower can be held under a blade.
pub(super) const LEAST_SIDE: Length = Length::part(1, 32);

/// Pieces and photos that are placed as one.
#[derive(Clone, Debug, Default)]
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
    /// Whether the pattern is to run on there.
    pub match_pattern: bool,
    /// Where it lies among the pieces of that page, if the spec says so.
    pub other_page: Option<Marked<OtherPageSpec>>,
    /// How high it is raised on foam, if it is.
    pub raised: Option<Length>,
    /// Whether its pieces are gutted, if the spec says so.
    pub gut: Option<bool>,
    /// How its pieces may be turned on a sheet, if the spec says so.
    pub turns: Option<Turns>,
    /// How many of it are made, besides the copies of its page and of the spread.
    pub copies: u32,
    /// What is printed on it, until it is measured.
    pub print: Option<Marked<PrintSpec>>,
    /// What of its size is to be fitted.
    pub fit: Option<FitAsked>,
    /// Whether it is a cluster: several pieces round one anchor.
    pub cluster: bool,
    /// A border of blocks, until all blocks are measured.
    pub border: Option<Box<Border>>,
    /// Where it is repeated, until all blocks are measured.
    pub repeat: Option<Marked<RepeatSpec>>,
    /// Where it lies by what it runs along, instead of what is written.
    pub pinned: Option<Pinned>,
    /// Where it is described.
    pub place: Place,
}

/// What of a block's size is to be fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct FitAsked {
    /// Width, height.
    pub axes: [bool; 2],
    /// Its element, by place on its page.
    pub element: usize,
    /// Whether it is a bank, of which one side follows from the other.
    pub is_bank: bool,
}

/// A place that follows from what a block runs along.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pinned {
    /// The piece from whose top left it is measured; the page's if none.
    pub of: Option<Marked<Text>>,
    /// From the left and from the top; nothing where that is written.
    pub at: [Option<Length>; 2],
}

/// A piece or a photo within a block.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    /// Full id.
    pub id: String,
    /// Top left of its turned bounding box within the block.
    pub offset: [Length; 2],
    /// Degrees clockwise within the block.
    pub turn: f64,
    /// Its page, if that is not simply the block's: of a row over both pages.
    pub page: Option<usize>,
    /// What a piece of a cluster says for itself.
    pub own: Own,
    /// Its size as it is cut.
    pub size: Size,
    /// What it is.
    pub content: Content,
    /// What is printed on it.
    pub print: Option<Box<Print>>,
    /// What it stands on, if its block is raised.
    pub raised: Option<Box<Raised>>,
}

/// What a piece of a cluster says for itself, beside what its block says.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    /// Its piece's name on the page, and where that is described.
    pub member: Option<(String, Place)>,
    /// Whether it is gutted.
    pub gut: Option<bool>,
    /// How it may be turned on a sheet.
    pub turns: Option<Turns>,
    /// How many of it are made for each of the block, if more than one.
    pub copies: Option<u32>,
    /// What is printed on it, until it is measured.
    pub print: Option<Marked<PrintSpec>>,
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
        finished: Option<Box<Finished>>,
        notes: Vec<String>,
    },
    /// A photo.
    Photo { name: String, border: Length, facing: Option<Facing> },
}

/// What a raised piece stands on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Raised {
    /// How high it is raised.
    pub height: Length,
    /// Side of its foam squares.
    pub square: Length,
    /// Their middles in inches, in the coordinates of what is seen of the piece; none if it lies flat on a
    /// raised part of its own element.
    pub at: Vec<[f64; 2]>,
}

/// A rectangle on a page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub at: [Length; 2],
    pub size: [Length; 2],
}

/// Where something begins that is lined up with what begins at `start`, where that has `room` more than it;
/// and which point of it stays while its size changes.
pub(super) fn lined_up(align: LineUp, start: Length, room: Length) -> (Length, f64) {
    match align {
        LineUp::Start => (start, 0.0),
        LineUp::Center => (start + room / 2, 0.5),
        LineUp::End => (start + room, 1.0),
    }
}

impl Part {
    /// A part at its block's top left.
    pub fn new(id: String, size: Size, content: Content) -> Self {
        Self {
            id,
            offset: [Length::ZERO; 2],
            turn: 0.0,
            page: None,
            own: Own::default(),
            size,
            content,
            print: None,
            raised: None,
        }
    }

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
            finished: None,
            notes: Vec::new(),
        };
        Self::new(id, size, content)
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
            finished: None,
            notes: Vec::new(),
        };
        let size = Size::inches(width, height);
        Self::new(id, size, content)
    }

    /// The same part elsewhere in its block.
    pub fn moved(mut self, left: Length, top: Length) -> Self {
        self.offset = [self.offset[0] + left, self.offset[1] + top];
        self
    }

    /// The photo's name in the spec, if it is one.
    pub fn photo_name(&self) -> Option<&str> {
        match &self.content {
            Content::Photo { name, .. } => Some(name),
            Content::Paper { .. } => None,
        }
    }

    /// The paper it is cut from, by place among the layout's.
    pub fn paper_index(&self) -> usize {
        match &self.content {
            Content::Paper { paper, .. } => *paper,
            Content::Photo { .. } => 0,
        }
    }

    /// Width and height of its turned bounding box.
    pub fn reach(&self) -> [Length; 2] {
        let is_finished = matches!(&self.content, Content::Paper { finished: Some(_), .. });
        if self.turn == 0.0 && !is_finished {
            return [self.size.width, self.size.height];
        }
        let bounds = self.bounds(Affine::IDENTITY);
        [bounds.width(), bounds.height()].map(Length::inches)
    }

    /// Adds what to tell the person about it.
    pub fn note(&mut self, note: String) {
        if let Content::Paper { notes, .. } = &mut self.content {
            notes.push(note);
        }
    }

    /// How an outline of it comes to lie in block coordinates, turned by `turned`.
    pub(super) fn lying(&self, outline: &BezPath, turned: Affine) -> Affine {
        let at = self.offset.map(Length::to_inches);
        if self.turn == 0.0 {
            return turned * Affine::translate((at[0], at[1]));
        }
        turned * geometry::laying(outline, self.turn, at)
    }

    /// The box of its rectangle or outline, folded or torn if it is, in block coordinates, turned by
    /// `turned`.
    fn bounds(&self, turned: Affine) -> Rect {
        let lying = |outline: &BezPath| self.lying(outline, turned);
        match &self.content {
            Content::Paper { finished: Some(finished), .. } => {
                (lying(&finished.outline) * &finished.outline).bounding_box()
            }
            Content::Paper { drawing, rectangle: false, .. } => {
                (lying(&drawing.outline) * &drawing.outline).bounding_box()
            }
            Content::Paper { .. } | Content::Photo { .. } => {
                let [width, height] = self.size.to_inches();
                let outline = geometry::rectangle(width, height);
                lying(&outline).transform_rect_bbox(Rect::new(0.0, 0.0, width, height))
            }
        }
    }
}

impl Block {
    /// What it is called in messages: a lone photo by the photo's name.
    pub fn called(&self) -> &str {
        let mut photos = self.parts.iter().filter_map(Part::photo_name);
        photos.next().filter(|_| photos.next().is_none()).unwrap_or(&self.id)
    }

    /// Size of the block's bounding box once turned.
    pub fn turned_size(&self) -> Size {
        self.size_at(self.turn)
    }

    /// Its parts as they lie once it is turned by `turn`, from the top left of the box round them; and where
    /// its own middle comes to lie there.
    pub fn turned_parts(&self, turn: f64) -> (Vec<Part>, [Length; 2]) {
        if turn == 0.0 {
            return (self.parts.clone(), [self.size.width / 2, self.size.height / 2]);
        }
        let turned = geometry::turning(turn);
        let bounds = |part: &Part| part.bounds(turned);
        let whole = self.parts.iter().map(bounds).reduce(|all, one| all.union(one));
        let whole = whole.unwrap_or_default();
        let from_corner = |x: f64, y: f64| [x - whole.x0, y - whole.y0].map(Length::inches);
        let parts = self.parts.iter().map(|part| {
            let at = bounds(part);
            let turn = (part.turn + turn) % 360.0;
            Part { offset: from_corner(at.x0, at.y0), turn, ..part.clone() }
        });
        let [width, height] = self.size.to_inches();
        let middle = turned * Point::new(width / 2.0, height / 2.0);
        (parts.collect(), from_corner(middle.x, middle.y))
    }

    /// Has its parts begin at its top left, and takes the size of the box round them; where that box began.
    pub fn move_to_corner(&mut self) -> [Length; 2] {
        let least = |axis: usize| self.parts.iter().map(|part| part.offset[axis]).min();
        let most = |axis: usize| {
            self.parts.iter().map(|part| part.offset[axis] + part.reach()[axis]).max()
        };
        let corner = [least(0), least(1)].map(Option::unwrap_or_default);
        let end = [most(0), most(1)].map(Option::unwrap_or_default);
        for part in &mut self.parts {
            part.offset = [part.offset[0] - corner[0], part.offset[1] - corner[1]];
        }
        self.size = Size::new(end[0] - corner[0], end[1] - corner[1]);
        corner
    }

    /// Where the box round one of its parts lies within the box round the turned block, and its size.
    pub fn frame_of(&self, part: usize) -> ([Length; 2], Size) {
        let Some(of) = self.parts.get(part) else { return ([Length::ZERO; 2], self.turned_size()) };
        if self.turn == 0.0 {
            let [width, height] = of.reach();
            return (of.offset, Size::new(width, height));
        }
        let (bounds, whole) = (of.bounds(geometry::turning(self.turn)), self.turned_bounds());
        let corner = [bounds.x0 - whole.x0, bounds.y0 - whole.y0].map(Length::inches);
        (corner, Size::inches(bounds.width(), bounds.height()))
    }

    /// The size of the box round its parts, turned by `turn`.
    pub fn size_at(&self, turn: f64) -> Size {
        if turn == 0.0 {
            return self.size;
        }
        let turned = geometry::turning(turn);
        let bounds = self.parts.iter().map(|part| part.bounds(turned));
        let bounds = bounds.reduce(|all, one| all.union(one)).unwrap_or_default();
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
