//! Registration marks of a run: where they go on each sheet of the machine, clear of every piece.

use crate::layout::{Layout, Marks};
use crate::length::Length;
use crate::outline::Ring;
use crate::record::{Area, Mark, MarkStyle, Record, Sheet, Warning, rounded};

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

/// Puts marks on every sheet of which something goes to the machine; a mark that would lie on a piece is
/// left out and told.
pub(super) fn mark(layout: &Layout, record: &mut Record) {
    let Some(marks) = &layout.marks else { return };
    let mut warnings = Vec::new();
    for sheet in &mut record.sheets {
        let pieces: Vec<(&str, &[Ring])> = sheet
            .placed
            .iter()
            .filter(|placed| placed.tool == "machine")
            .map(|placed| (placed.piece.as_str(), placed.rings.as_slice()))
            .collect();
        if pieces.is_empty() {
            continue;
        }
        let (mut kept, mut told) = (Vec::new(), Vec::new());
        let candidates = match sheet.in_register {
            0 => candidates(marks, sheet, &pieces),
            _ => {
                let [inset, arm] = printed(marks, record.rules.printer_margin);
                marks_at(marks, sheet, inset, arm)
            }
        };
        for (mark, corner) in candidates.into_iter().zip(CORNERS) {
            match pieces.iter().find(|(_, rings)| !is_clear(&mark, rings)) {
                None => kept.push(mark),
                Some((piece, _)) => told.push((corner, (*piece).to_owned())),
            }
        }
        warnings.extend(told.into_iter().map(|(corner, piece)| left_out(sheet, corner, piece)));
        sheet.marks = kept;
    }
    record.warnings.extend(warnings);
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
        piece,
        line: 0,
    }
}

/// The four marks of a sheet: as the spec says, or at the first usual distance that is clear.
fn candidates(marks: &Marks, sheet: &Sheet, pieces: &[(&str, &[Ring])]) -> Vec<Mark> {
    let arm = |inset: f64| marks.arm.map_or(inset / 2.0, Length::to_inches);
    let at = |inset: f64| marks_at(marks, sheet, inset, arm(inset));
    let clear = |marks: &Vec<Mark>| {
        marks.iter().all(|mark| pieces.iter().all(|(_, rings)| is_clear(mark, rings)))
    };
    let insets = marks.inset.map_or(INSETS.to_vec(), |inset| vec![inset.to_inches()]);
    let closest = insets.last().copied().unwrap_or_default();
    insets.into_iter().map(at).find(clear).unwrap_or_else(|| at(closest))
}

fn marks_at(marks: &Marks, sheet: &Sheet, inset: f64, arm: f64) -> Vec<Mark> {
    let whole = Area { at: [0.0, 0.0], size: sheet.size };
    let part = if sheet.in_register > 0 { None } else { sheet.machine };
    let part = part.unwrap_or(whole);
    let place = |axis: usize, toward: i8| match toward {
        1 => part.at[axis] + inset,
        _ => part.at[axis] + part.size[axis] - inset,
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
fn is_clear(mark: &Mark, rings: &[Ring]) -> bool {
    let reach = mark.arm + mark.weight;
    let points = || rings.iter().flatten();
    (0..2).any(|axis| {
        let low = points().map(|point| point[axis]).fold(f64::INFINITY, f64::min);
        let high = points().map(|point| point[axis]).fold(f64::NEG_INFINITY, f64::max);
        mark.at[axis] + reach <= low || mark.at[axis] - reach >= high
    })
}

/// How marks look, as the record keeps it.
pub(super) fn style(marks: &Marks) -> MarkStyle {
    let inches = |length: Length| rounded(length.to_inches());
    MarkStyle {
        kind: marks.kind,
        inset: marks.inset.map(inches),
        arm: marks.arm.map(inches),
        weight: inches(marks.weight),
    }
}

/// How marks look, as a record has kept it.
pub(super) fn of_style(style: &MarkStyle) -> Marks {
    Marks {
        kind: style.kind,
        inset: style.inset.map(Length::inches),
        arm: style.arm.map(Length::inches),
        weight: Length::inches(style.weight),
    }
}
