//! Registration marks: where they go on each sheet that bears them, clear of every piece.
//!
//! A print carries them so that the machine finds it; elsewhere nobody looks for them, and a careless import
//! would have them cut: they stand there only if the spec asks.

use kurbo::Rect;

use crate::geometry::Ring;
use crate::layout::{Layout, Marks};
use crate::model::length::Length;
use crate::model::{MarkKind, Tool, Warning, rounded};

use super::sheet::Sheet;

/// How far the marks lie inside the corners, in inches, if the spec says nothing; the first distance at
/// which they stay clear of every piece is taken.
const INSETS: [f64; 3] = [0.25, 0.125, 0.0625];
/// The corners of a rectangle, clockwise from its top left: which way its middle is.
const TOWARD: [[i8; 2]; 4] = [[1, 1], [-1, 1], [-1, -1], [1, -1]];
/// Names of those corners.
const CORNERS: [&str; 4] = ["top left", "top right", "bottom right", "bottom left"];

/// Length of an arm of marks that are printed, in inches, if the spec says nothing.
const PRINTED_ARM: f64 = 0.125;

/// How far from the edges marks lie that a printer with this rim can print: their middle, and the
/// length of their arms.
fn printed(marks: &Marks, rim: f64) -> [f64; 2] {
    let arm = marks.arm.map_or(PRINTED_ARM, Length::to_inches);
    let nearest = rim + arm + marks.weight.to_inches();
    [marks.inset.map_or(nearest, |inset| inset.to_inches().max(nearest)), arm]
}

/// How far printed marks reach from the edges of their sheet.
pub(super) fn reach(marks: &Marks, rim: Length) -> Length {
    let [inset, arm] = printed(marks, rim.to_inches());
    Length::inches(inset + arm) + marks.weight
}

/// One registration mark, in inches in the frame of the paper on the mat.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Its form.
    pub kind: MarkKind,
    /// Its middle, or a corner mark's corner.
    pub at: [f64; 2],
    /// Length of an arm, or radius of a ring.
    pub arm: f64,
    /// Width of its lines.
    pub weight: f64,
    /// Which way a corner mark's arms run, -1 or 1 across and down.
    pub toward: [i8; 2],
}

/// The marks of each sheet, of which only those of the machine that bear marks have any; and what to know of
/// those that would lie on a piece and are left out.
pub(super) fn of_sheets(layout: &Layout, sheets: &[Sheet]) -> (Vec<Vec<Mark>>, Vec<Warning>) {
    let mut warnings = Vec::new();
    let of_sheet = |sheet: &Sheet| {
        let (marks, left_out) = match &layout.marks {
            Some(marks) if marks.every_sheet || sheet.is_in_register() => {
                of_sheet(layout, marks, sheet)
            }
            Some(_) | None => (Vec::new(), Vec::new()),
        };
        warnings.extend(left_out);
        marks
    };
    (sheets.iter().map(of_sheet).collect(), warnings)
}

fn of_sheet(layout: &Layout, marks: &Marks, sheet: &Sheet) -> (Vec<Mark>, Vec<Warning>) {
    let frame = sheet.frame();
    let pieces: Vec<(&str, Rect)> = sheet
        .placed
        .iter()
        .filter(|placed| placed.tool == Tool::Machine)
        .map(|placed| (placed.piece.as_str(), frame.transform_rect_bbox(bounds(&placed.rings))))
        .collect();
    if pieces.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let candidates = if sheet.is_in_register() {
        let [inset, arm] = printed(marks, rounded(layout.printer.margin.to_inches()));
        marks_at(marks, sheet, inset, arm)
    } else {
        candidates(marks, sheet, &pieces)
    };
    let (mut kept, mut warnings) = (Vec::new(), Vec::new());
    for (mark, corner) in candidates.into_iter().zip(CORNERS) {
        match pieces.iter().find(|(_, bounds)| !is_clear(&mark, *bounds)) {
            None => kept.push(mark),
            Some((piece, _)) => warnings.push(left_out(sheet, corner, (*piece).to_owned())),
        }
    }
    (kept, warnings)
}

fn left_out(sheet: &Sheet, corner: &str, piece: String) -> Warning {
    Warning {
        kind: "mark left out".to_owned(),
        message: format!(
            "the {corner} registration mark of sheet {} would lie on `{piece}` and is left out",
            sheet.id
        ),
        help: "a smaller `inset` or `arm` of the marks, or a wider `machine margin`, makes room"
            .to_owned(),
        piece: Some(piece),
        line: None,
    }
}

/// The four marks of a sheet: as the spec says, or at the first usual distance that is clear.
fn candidates(marks: &Marks, sheet: &Sheet, pieces: &[(&str, Rect)]) -> Vec<Mark> {
    let arm = |inset: f64| marks.arm.map_or(inset / 2.0, Length::to_inches);
    let at = |inset: f64| marks_at(marks, sheet, inset, arm(inset));
    let clear = |marks: &Vec<Mark>| {
        marks.iter().all(|mark| pieces.iter().all(|(_, bounds)| is_clear(mark, *bounds)))
    };
    let insets = marks.inset.map_or(INSETS.to_vec(), |inset| vec![inset.to_inches()]);
    let closest = insets.last().copied().unwrap_or_default();
    insets.into_iter().map(at).find(clear).unwrap_or_else(|| at(closest))
}

fn marks_at(marks: &Marks, sheet: &Sheet, inset: f64, arm: f64) -> Vec<Mark> {
    let part = match sheet.machine {
        Some(part) if !sheet.is_in_register() => part,
        _ => sheet.loaded().paper,
    };
    let part = sheet.frame().transform_rect_bbox(part.to_inches().rounded().into());
    let ends = [[part.x0, part.x1], [part.y0, part.y1]];
    let place = |axis: usize, toward: i8| match toward {
        1 => ends[axis][0] + inset,
        _ => ends[axis][1] - inset,
    };
    TOWARD
        .into_iter()
        .map(|toward| Mark {
            kind: marks.kind,
            at: [rounded(place(0, toward[0])), rounded(place(1, toward[1]))],
            arm: rounded(arm),
            weight: rounded(marks.weight.to_inches()),
            toward,
        })
        .collect()
}

/// Whether a mark's box keeps off the box of a piece.
fn is_clear(mark: &Mark, bounds: Rect) -> bool {
    let reach = mark.arm + mark.weight;
    let [x, y] = mark.at;
    x + reach <= bounds.x0
        || x - reach >= bounds.x1
        || y + reach <= bounds.y0
        || y - reach >= bounds.y1
}

fn bounds(rings: &[Ring]) -> Rect {
    let points = rings.iter().flatten().map(|&[x, y]| Rect::new(x, y, x, y));
    points.reduce(|all, one| all.union(one)).unwrap_or_default()
}
