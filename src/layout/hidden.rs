//! Gutting: the hidden middle of each piece, which can be cut out and used as paper for smaller pieces.
//!
//! What lies higher on the page hides what is below it. The hidden part, less a margin for glue and a
//! rim along the piece's own edge, is laid on a grid of ruler marks; the largest rectangle of whole
//! marks in it is the first middle, then the largest in what is left, and so on. The rectangle is
//! found row by row with a stack of heights (the largest rectangle under a histogram, Vandevoorde
//! 1998).
//!
//! Where the machine cuts the piece, the middle may also have the true shape of what is hidden, its
//! corners rounded: the blade follows any curve, and smaller pieces lie inside in the same pass.
//!
//! What hides a piece may be gutted too: its window is in turn hidden by what lies on it, and that lies
//! on the lower piece as well, so the union of all that lies higher hides the same area either way.

use kurbo::{Affine, BezPath, ParamCurve, Rect, Shape};
use rayon::prelude::*;

use crate::geometry::boolean::{self, polygon::Polygons};
use crate::geometry::offset::{self, Holes};
use crate::geometry::{self, FLATTENING, Ring};
use crate::kept::Kept;
use crate::model::length::{Length, Size};
use crate::model::{Area, Tool, Warning};

use super::fit::line::mark;
use super::{Layout, PlacedPiece};

pub use crate::model::When;

/// Paper kept under the edge of what is glued on, if the spec says nothing: a strip of tape is 1/4 in
/// wide and never laid at the very edge.
pub const GLUE: Length = Length::part(1, 2);
/// Paper kept along a gutted piece's own edge, if the spec says nothing: less bends while it is glued.
pub const RIM: Length = Length::part(3, 4);
/// Longer and shorter side in inches and area in square inches of the smallest middle worth a knife.
const LEAST_SIDES: [f64; 2] = [1.5, 1.0];
const LEAST_AREA: f64 = 3.0;
/// Radius of an opening's corners in inches: a round corner tears less than a sharp one (common
/// practice, no source).
const CORNER: f64 = 1.0 / 8.0;
/// Middles of one piece; a bank seldom has more photos.
const MOST_MIDDLES: usize = 12;
/// Middles found last, by what they follow from: those of a busy spread a few times over. Most changes that
/// are tried leave most middles as they were.
static MIDDLES: Kept<Hiding, Found> = Kept::new(512);
/// What is glued, by its outline and how wide: a cover lies on its piece alike whatever changes beside it.
static GLUED: Kept<(BezPath, f64), (Polygons, Polygons)> = Kept::new(1_024);
/// Things on one piece beyond which it is not gutted: so busy a piece holds them by what lies between.
const MOST_COVERS: usize = 40;
/// How far in inches an edge may lie off a mark and still count as on it; half of what a knife can do.
const ON_THE_MARK: f64 = 2e-4;
/// Pieces that are too small or too openwork to hide anything or to be gutted.
const SMALL: [&str; 4] = ["letter", "word", "backing", "journaling"];

/// How pieces are gutted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gutting {
    /// When middles are cut out.
    pub when: When,
    /// Paper kept under the edge of what is glued on.
    pub glue: Length,
    /// Paper kept along the piece's own edge.
    pub rim: Length,
}

impl Default for Gutting {
    fn default() -> Self {
        Self { when: When::SavesASheet, glue: GLUE, rim: RIM }
    }
}

/// Notes the hidden middles of every piece that may be gutted; a warning for each that should be and
/// has none.
pub(super) fn find(layout: &mut Layout) {
    find_for(layout, |_| true);
}

/// The same for the pieces of some papers; those of the others are left as they are.
pub(super) fn find_for(layout: &mut Layout, of_paper: impl Fn(usize) -> bool + Sync) {
    let wanted = |piece: &PlacedPiece| match piece.gut {
        // What stands on foam needs its middle.
        _ if piece.raised.as_ref().is_some_and(|raised| !raised.at.is_empty()) => false,
        Some(gut) => gut,
        None => layout.gutting.when != When::Never,
    };
    let of_piece = |piece: &PlacedPiece| {
        if wanted(piece) { middles(layout, piece) } else { Default::default() }
    };
    let found: Vec<Option<Found>> = layout
        .pieces
        .par_iter()
        .map(|piece| of_paper(piece.paper).then(|| of_piece(piece)))
        .collect();
    for (piece, found) in layout.pieces.iter_mut().zip(found) {
        let Some((middles, openings)) = found else { continue };
        if middles.is_empty() && piece.gut == Some(true) && !SMALL.contains(&piece.kind) {
            layout.warnings.push(Warning {
                kind: "nothing to gut".to_owned(),
                message: format!("`{}` has no hidden middle worth cutting out", piece.id),
                help: "it is cut whole; leave `gut` out, or cover more of it".to_owned(),
                piece: Some(piece.id.to_string()),
                line: piece.place.line,
            });
        }
        piece.middles = middles;
        piece.openings = openings;
    }
}

/// The middles of one piece in its own frame: rectangles, largest first, and openings.
fn middles(layout: &Layout, piece: &PlacedPiece) -> Found {
    let scored = !piece.drawing.lines.is_empty() || piece.together.is_some();
    if scored || SMALL.contains(&piece.kind) {
        return Default::default();
    }
    // Of a torn piece, what is torn off hides nothing and holds nothing.
    let Some((outline, lay)) = piece.flat_on_page() else { return Default::default() };
    let own = lay.inverse();
    let bounds = outline.bounding_box();
    let rim = layout.gutting.rim.to_inches();
    if bounds.width().min(bounds.height()) < LEAST_SIDES[1] + 2.0 * rim {
        return Default::default();
    }
    let covers = covers(layout, piece, own);
    if covers.is_empty() || covers.len() > MOST_COVERS {
        return Default::default();
    }
    let shown = |cover: &BezPath| cover.bounding_box().intersect(bounds.inflate(-rim, -rim));
    if covers.iter().map(|cover| area_of(shown(cover))).sum::<f64>() < LEAST_AREA {
        return Default::default();
    }
    let mark = mark(layout.units);
    let Gutting { glue, rim, .. } = layout.gutting;
    MIDDLES.of(Hiding { outline, tool: piece.tool, mark, glue, rim, covers }, found_below)
}

/// What the middles of a piece follow from.
#[derive(Debug, PartialEq)]
struct Hiding {
    outline: BezPath,
    tool: Tool,
    /// The ruler's marks.
    mark: Length,
    /// Paper kept under the edge of what is glued on, and along the piece's own edge.
    glue: Length,
    rim: Length,
    /// What lies on it, lowest first, in its own frame.
    covers: Vec<BezPath>,
}

/// Rectangles, largest first, and openings.
type Found = (Vec<Area>, Vec<BezPath>);

/// The middles below what covers a piece.
fn found_below(hiding: &Hiding) -> Found {
    let Hiding { outline, tool, covers, .. } = hiding;
    let bounds = outline.bounding_box();
    let [rim, glue] = [hiding.rim, hiding.glue].map(Length::to_inches);
    let glued = glued(covers, glue);
    let within = polygons(outline).offset(-rim);
    let hidden = glued.within(&within).to_path();
    let openings = match tool {
        Tool::Machine if !hidden.is_empty() => openings(&curved(covers, outline, glue, rim)),
        Tool::Machine | Tool::Trimmer | Tool::Hand => Vec::new(),
    };
    (rectangles(&hidden, [bounds.x1, bounds.y1], hiding.mark, hiding.rim), openings)
}

/// What may be cut out of `own` below `covers`, lowest first, as true curves; see [`glued`].
fn curved(covers: &[BezPath], own: &BezPath, glue: f64, rim: f64) -> BezPath {
    let mut lower = BezPath::new();
    let mut kept = BezPath::new();
    for cover in covers {
        let edge = boolean::subtract(cover, &offset::inward(cover, glue));
        kept = boolean::union(&[kept, boolean::subtract(&edge, &lower)]);
        lower = boolean::union(&[lower, cover.clone()]);
    }
    let glued = boolean::subtract(&offset::inward(&lower, glue), &kept);
    boolean::intersect(&glued, &offset::inward(own, rim))
}

/// The parts of a hidden area that are worth opening: corners rounded, islands that would fall out left
/// alone. What is narrower than two corners is no part of them.
fn openings(hidden: &BezPath) -> Vec<BezPath> {
    let rounded = offset::outward(&offset::inward(hidden, CORNER), CORNER, Holes::Keep);
    let contours = boolean::contours(&rounded);
    let holed = |path: &BezPath| {
        contours.iter().filter(|inner| inner.depth > 0).any(|inner| {
            let start = inner.path.segments().next().map(|segment| segment.start());
            start.is_some_and(|start| path.winding(start) != 0)
        })
    };
    let mut parts: Vec<BezPath> = contours
        .iter()
        .filter(|contour| contour.depth == 0 && contour.area.abs() >= LEAST_AREA)
        .filter(|contour| !holed(&contour.path))
        .map(|contour| contour.path.clone())
        .collect();
    parts.truncate(MOST_MIDDLES);
    parts
}

/// What may be cut out below `covers`, lowest first: what they hide, less the paper to which each of
/// them is glued where it doesn't lie on another.
fn glued(covers: &[BezPath], glue: f64) -> Polygons {
    let mut lower = Polygons::default();
    let mut kept = Polygons::default();
    for cover in covers {
        let (cover, edge) = GLUED.of((cover.clone(), glue), |(cover, glue)| {
            let cover = polygons(cover);
            let edge = cover.without(&cover.offset(-glue));
            (cover, edge)
        });
        kept = kept.with(&edge.without(&lower));
        lower = lower.with(&cover);
    }
    lower.offset(-glue).without(&kept)
}

fn area_of(part: Rect) -> f64 {
    part.width().max(0.0) * part.height().max(0.0)
}

/// An outline as polygons: a knife along a ruler needs no true curves.
fn polygons(outline: &BezPath) -> Polygons {
    Polygons::within_tolerance(outline, FLATTENING)
}

/// What lies on a piece, lowest first, in the piece's own frame. Torn edges are no sure cover.
fn covers(layout: &Layout, piece: &PlacedPiece, own: Affine) -> Vec<BezPath> {
    let lies_on = |page: usize, order: u32| page == piece.page && order > piece.order;
    let whole = piece.drawing.outline.bounding_box();
    let mut covers = Vec::new();
    for other in layout.pieces.iter().filter(|other| lies_on(other.page, other.order)) {
        // What is raised has foam under it, which holds on no opening.
        let is_flat = other.raised.is_none();
        if is_flat && other.tool != Tool::Hand && !SMALL.contains(&other.kind) {
            covers.push((other.order, own * other.on_page()));
        }
    }
    let photos = layout.photos.iter().filter(|photo| photo.raised.is_none());
    for photo in photos.filter(|photo| lies_on(photo.page, photo.order)) {
        let [width, height] = photo.size.to_inches();
        let print = geometry::rectangle(width, height);
        covers.push((photo.order, own * geometry::laying(&print, photo.turn, photo.at) * print));
    }
    covers.retain(|(_, cover)| !cover.bounding_box().intersect(whole).is_zero_area());
    covers.sort_by_key(|(order, _)| *order);
    covers.into_iter().map(|(_, cover)| cover).collect()
}

/// The largest rectangles of whole marks in `area`, `apart` from each other, within a piece of `size`.
pub fn rectangles(area: &BezPath, size: [f64; 2], mark: Length, apart: Length) -> Vec<Area> {
    let rings = geometry::rings(area, FLATTENING);
    let mut grid = Grid::of(&rings, size, mark.to_inches());
    let mut found = Vec::new();
    while found.len() < MOST_MIDDLES {
        let Some([left, top, right, bottom]) = grid.largest() else { break };
        let count = |number: usize| i64::try_from(number).unwrap_or(0);
        let sides = Size::new(mark * count(right - left), mark * count(bottom - top));
        let [width, height] = sides.to_inches();
        let long = width.max(height) >= LEAST_SIDES[0] && width.min(height) >= LEAST_SIDES[1];
        if !long || width * height < LEAST_AREA {
            break;
        }
        found.push(Area { left: mark * count(left), top: mark * count(top), size: sides });
        grid.block([left, top, right, bottom], apart.to_inches());
    }
    found
}

/// Squares of one mark each that lie in an area as a whole.
pub(super) struct Grid {
    mark: f64,
    columns: usize,
    rows: usize,
    inside: Vec<bool>,
}

impl Grid {
    /// The squares of `mark` inches that lie within `rings`, in a box of that size at the origin.
    pub fn of(rings: &[Ring], size: [f64; 2], mark: f64) -> Self {
        let [columns, rows] = size.map(|side| place((side / mark).ceil()));
        let mut grid = Self { mark, columns, rows, inside: vec![false; columns * rows] };
        for row in 0..rows {
            grid.fill(row, rings);
        }
        grid
    }

    /// The middles in inches of all larger squares of that side that lie inside, row by row.
    pub fn squares(&self, side: f64) -> Vec<[f64; 2]> {
        let count = place((side / self.mark).round()).max(1);
        // How large a square of whole marks has its right bottom corner here.
        let mut largest = vec![0_usize; self.columns * self.rows];
        let mut middles = Vec::new();
        for row in 0..self.rows {
            for column in 0..self.columns {
                let at = row * self.columns + column;
                if !self.inside[at] {
                    continue;
                }
                let before = match (row, column) {
                    (0, _) | (_, 0) => 0,
                    _ => {
                        let above = at - self.columns;
                        largest[at - 1].min(largest[above]).min(largest[above - 1])
                    }
                };
                largest[at] = before + 1;
                if largest[at] >= count {
                    let middle = |end: usize| (end as f64 + 1.0) * self.mark - side / 2.0;
                    middles.push([middle(column), middle(row)]);
                }
            }
        }
        middles
    }

    /// Marks the squares of one row: those between crossings of its middle line that no edge enters.
    fn fill(&mut self, row: usize, rings: &[Ring]) {
        let [top, bottom] = [row, row + 1].map(|line| line as f64 * self.mark);
        let middle = f64::midpoint(top, bottom);
        let (mut crossings, mut entered) = (Vec::new(), Vec::new());
        for ring in rings {
            for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (high, low) = if from[1] <= to[1] { (from, to) } else { (to, from) };
                let x_at = |y: f64| {
                    let share = (y - high[1]) / (low[1] - high[1]);
                    high[0] + share * (low[0] - high[0])
                };
                if high[1] <= middle && middle < low[1] {
                    crossings.push(x_at(middle));
                }
                let (start, end) = (top + ON_THE_MARK, bottom - ON_THE_MARK);
                if high[1] < end && low[1] > start {
                    let (one, other) = if low[1] - high[1] < 1e-12 {
                        (from[0], to[0])
                    } else {
                        (x_at(high[1].max(start)), x_at(low[1].min(end)))
                    };
                    entered.push((one.min(other), one.max(other)));
                }
            }
        }
        crossings.sort_by(f64::total_cmp);
        let cells = self.inside.iter_mut().skip(row * self.columns).take(self.columns);
        for (column, cell) in cells.enumerate() {
            let [left, right] = [column, column + 1].map(|line| line as f64 * self.mark);
            let center = f64::midpoint(left, right);
            let odd = crossings.iter().filter(|x| **x < center).count() % 2 == 1;
            let clear =
                |(from, to): &(f64, f64)| *to <= left + ON_THE_MARK || *from >= right - ON_THE_MARK;
            *cell = odd && entered.iter().all(clear);
        }
    }

    /// The largest rectangle of squares: left, top, right and bottom in marks.
    fn largest(&self) -> Option<[usize; 4]> {
        let mut heights = vec![0_usize; self.columns];
        let mut best: Option<(usize, [usize; 4])> = None;
        for row in 0..self.rows {
            let cells = self.inside.iter().skip(row * self.columns);
            for (height, inside) in heights.iter_mut().zip(cells) {
                *height = if *inside { *height + 1 } else { 0 };
            }
            // Starts of bars that are still open, each with its height, lowest first.
            let mut open: Vec<(usize, usize)> = Vec::new();
            for (column, height) in heights.iter().copied().chain([0]).enumerate() {
                let mut start = column;
                while let Some(&(begin, tall)) = open.last()
                    && tall > height
                {
                    open.pop();
                    start = begin;
                    let area = tall * (column - begin);
                    if best.is_none_or(|(least, _)| area > least) {
                        best = Some((area, [begin, row + 1 - tall, column, row + 1]));
                    }
                }
                if height > 0 && open.last().is_none_or(|(_, tall)| *tall < height) {
                    open.push((start, height));
                }
            }
        }
        best.map(|(_, rectangle)| rectangle)
    }

    /// Takes a rectangle and what is nearer than `apart` away.
    fn block(&mut self, [left, top, right, bottom]: [usize; 4], apart: f64) {
        let rim = place((apart / self.mark).ceil());
        for row in top.saturating_sub(rim)..(bottom + rim).min(self.rows) {
            for column in left.saturating_sub(rim)..(right + rim).min(self.columns) {
                if let Some(cell) = self.inside.get_mut(row * self.columns + column) {
                    *cell = false;
                }
            }
        }
    }
}

/// A number of marks; pieces are far smaller than the largest number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
fn place(marks: f64) -> usize {
    marks.clamp(0.0, 4_000.0) as usize
}
