//! What to say about the paper on the mat before it is loaded.

use crate::description::Problem;
use crate::layout::{Layout, PlacedPiece};
use crate::model::length::Length;
use crate::model::{Rules, SheetSource, Stock, Tool, Warning};
use crate::nest::{self, Job, Nested};

use super::fault::at;
use super::route::Route;
use super::sheet::{Sheet, inches};

/// Shortest side of paper that a mat holds while the blade turns in it, in inches (common practice, no
/// source).
const LEAST_HELD: f64 = 2.0;

/// What to know of paper that is too small to hold.
pub(super) fn warnings(layout: &Layout, sheets: &[Sheet], routes: &[Route]) -> Vec<Warning> {
    let worked = sheets.iter().zip(routes).filter(|(_, route)| !route.strokes.is_empty());
    let is_small = |sheet: &&Sheet| {
        let sides = inches(sheet.loaded().paper.size);
        sides.iter().any(|side| *side < LEAST_HELD - 1e-9)
    };
    let small = worked.map(|(sheet, _)| sheet).filter(is_small);
    small.map(|sheet| too_small(layout, sheet)).collect()
}

fn too_small(layout: &Layout, sheet: &Sheet) -> Warning {
    let pieces: Vec<&str> = sheet.placed.iter().map(|placed| placed.piece.as_str()).collect();
    let first = pieces.first().copied().unwrap_or_default();
    let instead = match &sheet.source {
        SheetSource::Middle(middle) => {
            let is_holder =
                |piece: &&PlacedPiece| piece.windows.iter().any(|window| window.id == *middle);
            let holder = layout.pieces.iter().find(is_holder);
            format!("write `gut: false` on `{}`", holder.map_or("", |piece| &piece.id))
        }
        SheetSource::New | SheetSource::FedOnce(_) => "add a larger sheet".to_owned(),
        SheetSource::Offcut(offcut) | SheetSource::Part { part: offcut, .. } => {
            format!("leave `{offcut}` out of the offcuts of {}", sheet.paper)
        }
    };
    Warning {
        kind: "small on the mat".to_owned(),
        message: format!(
            "sheet {} is only {}, which a mat hardly holds while {} cut from it",
            sheet.id,
            sheet.loaded().paper.size.show(layout.units),
            match pieces.len() {
                1 => format!("`{first}` is"),
                count => format!("{count} pieces are"),
            },
        ),
        help: format!(
            "hold its edges down with low-tack tape, clear of the blade, or {instead}, so that larger paper \
             is taken"
        ),
        piece: Some(first.to_owned()),
        line: layout
            .pieces
            .iter()
            .find(|piece| piece.id == first)
            .and_then(|piece| piece.place.line),
    }
}

/// Told where pieces for the machine are left out although large sheets have room.
pub(super) fn one_part_a_sheet(layout: &Layout, job: &Job, nested: &Nested) -> String {
    let machine = |item: usize| job.items.get(item).is_some_and(|item| item.tool == Tool::Machine);
    let large = |stock: &Stock| nest::mat::lies(stock.size, job.rules.mat).is_none();
    match job.rules.mat {
        Some(mat)
            if nested.left_out.iter().any(|left| machine(left.item))
                && job.stock.iter().any(large) =>
        {
            let mat = mat.show(layout.units);
            format!(
                "; of a sheet larger than the mat one part of {mat} goes to the machine: cut such sheets in \
                 two, or name the mat's true size in `cutting: {{mat: …}}`"
            )
        }
        _ => String::new(),
    }
}

/// A machine piece that lies on the mat neither way, less the rim that the machine can't reach.
pub(super) fn larger_than_mat(
    layout: &Layout,
    rules: Rules,
    piece: &PlacedPiece,
) -> Option<Problem> {
    let mat = rules.mat.filter(|_| piece.tool == Tool::Machine)?;
    let rim = rules.machine_margin * 2;
    let room = [mat.width - rim, mat.height - rim];
    let size = [piece.size.width, piece.size.height];
    let [long, short] = [size[0].max(size[1]), size[0].min(size[1])];
    if long <= room[0].max(room[1]) && short <= room[0].min(room[1]) {
        return None;
    }
    let less = if rim > Length::ZERO {
        format!(", less a rim of {} all round", rules.machine_margin.show(layout.units))
    } else {
        String::new()
    };
    let message = format!(
        "`{}` is {} and doesn't lie on the machine's mat of {}{less}",
        piece.id,
        piece.size.show(layout.units),
        mat.show(layout.units),
    );
    let help = "make it smaller, cut it in two, cut it with `tool: hand`, or name the mat's true size in \
                `cutting: {mat: …}`";
    Some(at(piece.place, message, help.to_owned()))
}
