//! A sheet laid out to be drawn: what is cut from it, where the trimmer goes, what is kept, and where
//! names and numbers stand.
//!
//! The guide and the proof draw the same layout, each in its own inks: a piece has one number in both, and
//! names and cut numbers are placed by the same rules.

pub(super) mod numbers;

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use super::drawing::{from_rings, readable};
use super::labels::{Label, Labels, Names};
use super::parts;
use crate::geometry;
use crate::geometry::{Fold, laying};
use crate::lettering::label::isolated;
use crate::model::Process;
use crate::model::length::Size;
use crate::record::{self, Cut, Offcut, Placed, Record, Sheet};
use numbers::Numbers;

/// How large things are drawn; lengths in inches of the drawing.
pub(super) struct Style {
    /// Where the sheet's top left corner lies.
    pub at: [f64; 2],
    /// What an inch of the sheet measures.
    pub scale: f64,
    /// Names; cut numbers stand no farther beyond the sheet's edge.
    pub names: Names,
    /// Radii of cut numbers, best first.
    pub discs: &'static [f64],
}

/// A sheet laid out, in the drawing's inches.
pub(super) struct SheetLayout<'a> {
    /// The sheet itself.
    pub whole: Rect,
    /// What is cut from it, in the record's order.
    pub pieces: Vec<LaidPiece<'a>>,
    /// What is kept.
    pub offcuts: Vec<LaidOffcut<'a>>,
    /// Parts that are sheets of their own.
    pub parts: Vec<LaidPart>,
    /// The part that goes to the machine.
    pub machine: Option<Rect>,
    /// The trimmer's cuts in order.
    pub cuts: Vec<LaidCut>,
}

/// A piece or photo on its sheet.
pub(super) struct LaidPiece<'a> {
    /// What the record says of it.
    pub placed: &'a Placed,
    /// Its outline.
    pub outline: BezPath,
    /// Its other lines.
    pub lines: Vec<(Process, Option<Fold>, BezPath)>,
    /// Its name, with the number of its copy where there are several.
    pub name: String,
    /// Its number, with its name if there is room.
    pub label: Option<Label>,
}

/// Paper that is kept.
pub(super) struct LaidOffcut<'a> {
    /// What the record says of it.
    pub offcut: &'a Offcut,
    /// Its place.
    pub part: Rect,
    /// Its name and size, if there is room.
    pub label: Option<Label>,
}

/// A part that is a sheet of its own.
pub(super) struct LaidPart {
    /// What becomes of it.
    pub told: String,
    /// Its place.
    pub part: Rect,
    /// What becomes of it and its size, if there is room.
    pub label: Option<Label>,
}

/// A trimmer cut.
pub(super) struct LaidCut {
    /// Its number.
    pub number: u32,
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Where its number stands.
    pub disc: Point,
    /// How large the disc round the number is.
    pub radius: f64,
    /// The point of the cut that a line leads to, where the number stands off it.
    pub points_to: Option<Point>,
}

/// The number of a piece or photo in the proof's lists; nothing for what isn't in the record.
pub(super) fn number_of(record: &Record, id: &str) -> Option<usize> {
    let piece = record.pieces.iter().position(|piece| piece.id == id);
    let photo = || record.photos.iter().position(|photo| photo.id == id);
    piece.or_else(photo).map(|place| place + 1)
}

/// The name of a piece on a sheet, with the number of its copy where there are several.
pub(super) fn full_name(record: &Record, placed: &Placed) -> String {
    let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
    if piece.is_some_and(|piece| piece.copies > 1) {
        format!("{} ({})", placed.piece, placed.copy)
    } else {
        placed.piece.to_string()
    }
}

/// Lays a sheet out; `em` is the width of a text at a type size of 1.
pub(super) fn lay_out<'a>(
    record: &Record,
    sheet: &'a Sheet,
    style: &Style,
    em: &dyn Fn(&str) -> f64,
) -> SheetLayout<'a> {
    let lay = Affine::translate((style.at[0], style.at[1])) * Affine::scale(style.scale);
    let part = |area: record::Rect| lay.transform_rect_bbox(area.into());
    let whole = part(record::Rect { size: sheet.size, ..record::Rect::default() });
    let mut labels = Labels::new(style.names, em, whole);
    let units = record.shown_units();
    let offcuts = sheet.offcuts.iter().map(|offcut| {
        let size = Size::inches(offcut.size[0], offcut.size[1]).show(units);
        let name = format!("keep {}, {size}", isolated(&offcut.id));
        let part = part(offcut.area());
        let label = labels.in_rectangle(part, &[name, format!("keep {size}"), size]);
        LaidOffcut { offcut, part, label }
    });
    let offcuts = offcuts.collect();
    let parts = sheet.parts.iter().map(|one| {
        let size = Size::inches(one.size[0], one.size[1]).show(units);
        let told = parts::told(record, &one.id);
        let part = part(one.area());
        let texts = [format!("{told}, {size}"), told.clone(), isolated(&one.id)];
        LaidPart { label: labels.in_rectangle(part, &texts), part, told }
    });
    let parts = parts.collect();
    let drawn: Vec<(BezPath, Vec<_>)> =
        sheet.placed.iter().map(|placed| drawing_of(record, placed, lay)).collect();
    labels.keep_off(drawn.iter().map(|(outline, _)| outline.bounding_box()).collect());
    let pieces = sheet.placed.iter().zip(drawn).map(|(placed, (outline, lines))| {
        let number = number_of(record, &placed.piece);
        let number = number.map_or(String::new(), |number| number.to_string());
        let name = full_name(record, placed);
        let texts = [format!("{number} {}", isolated(&name)).trim().to_owned(), number];
        let label = labels.of_outline(&outline, &texts);
        LaidPiece { placed, outline, lines, name, label }
    });
    let pieces = pieces.collect();
    let numbers = Numbers::new(labels.taken(), whole.inflate(style.names.rim, style.names.rim));
    SheetLayout {
        whole,
        pieces,
        offcuts,
        parts,
        machine: sheet.machine.map(part),
        cuts: cuts(&sheet.cuts, lay, numbers, style.discs),
    }
}

/// The outline and the lines of a placed piece as they are drawn.
fn drawing_of(
    record: &Record,
    placed: &Placed,
    lay: Affine,
) -> (BezPath, Vec<(Process, Option<Fold>, BezPath)>) {
    let Some(piece) = record.pieces.iter().find(|piece| piece.id == placed.piece) else {
        return (lay * from_rings(&placed.rings).unwrap_or_default(), Vec::new());
    };
    let outline = piece.curves();
    let lay = lay * laying(&outline, placed.turn, placed.at);
    let lines = piece.lines.iter();
    let lines =
        lines.filter_map(|line| Some((line.process, line.fold, lay * readable(&line.path)?)));
    (lay * outline, lines.collect())
}

/// The cuts with their numbers: the shortest are numbered first, as they have the fewest places.
fn cuts(cuts: &[Cut], lay: Affine, mut numbers: Numbers, discs: &[f64]) -> Vec<LaidCut> {
    let ends = |cut: &Cut| [cut.from, cut.to].map(|end| lay * geometry::point(end));
    let length = |cut: &Cut| {
        let [from, to] = ends(cut);
        from.distance(to)
    };
    let mut order: Vec<&Cut> = cuts.iter().collect();
    order.sort_by(|one, other| length(one).total_cmp(&length(other)));
    let mut laid: Vec<LaidCut> = order
        .into_iter()
        .map(|cut| {
            let [from, to] = ends(cut);
            let place = numbers.place(from, to, discs);
            let (disc, radius, points_to) = (place.center, place.radius, place.points_to);
            LaidCut { number: cut.number, from, to, disc, radius, points_to }
        })
        .collect();
    laid.sort_by_key(|cut| cut.number);
    laid
}
