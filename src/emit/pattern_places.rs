//! Where on the pattern of its sheet a piece lies: a pattern begins in the corner of the sheet as it was
//! bought, and what is cut from it takes along the part of it that lies there, turned with the piece.

use kurbo::Affine;

use crate::geometry::{laying, turning};
use crate::model::SheetSource;
use crate::record::{Offcut, Piece, Record, Sheet};

/// How often a sheet may be a part of another: a rest of a middle of a rest is the deepest that is cut.
const DEEPEST: u32 = 8;

/// How something lies on the sheet in whose corner its pattern begins, and the size of that.
pub(super) type OnWhole = (Affine, [f64; 2]);

/// How a sheet lies on the one that it was cut from, whose corner its pattern begins in. Where an offcut on
/// hand lay on its sheet, nobody knows: its pattern begins in its own corner.
pub(super) fn of_sheet(record: &Record, sheet: &Sheet) -> OnWhole {
    on_whole(record, sheet, DEEPEST)
}

/// How a piece lies on the sheet that its pattern begins on, if it is cut from one: the first of its copies.
pub(super) fn of_piece(record: &Record, piece: &Piece) -> Option<OnWhole> {
    piece_on_whole(record, piece, DEEPEST)
}

fn piece_on_whole(record: &Record, piece: &Piece, depth: u32) -> Option<OnWhole> {
    let placed = record.sheets.iter().flat_map(|sheet| {
        let placed = sheet.placed.iter().filter(|placed| placed.piece == piece.id);
        placed.map(move |placed| (sheet, placed))
    });
    let (sheet, placed) = placed.min_by_key(|(_, placed)| placed.copy)?;
    let lay = laying(&piece.curves(), placed.turn, placed.at);
    let (on_sheet, whole) = on_whole(record, sheet, depth);
    Some((on_sheet * lay, whole))
}

fn on_whole(record: &Record, sheet: &Sheet, depth: u32) -> OnWhole {
    let itself = (Affine::IDENTITY, sheet.size);
    let Some(depth) = depth.checked_sub(1) else { return itself };
    match record.source(sheet) {
        SheetSource::New | SheetSource::Offcut(_) | SheetSource::FedOnce(_) => itself,
        SheetSource::Part { .. } => {
            let parts = record.sheets.iter().flat_map(|whole| {
                let parts = whole.parts.iter().filter(|part| part.id == sheet.id);
                parts.map(move |part| (whole, part))
            });
            parts.into_iter().next().map_or(itself, |(mother, part)| {
                let (on_sheet, whole) = on_whole(record, mother, depth);
                (on_sheet * within(sheet, part), whole)
            })
        }
        SheetSource::Middle(id) => {
            let middles = record.pieces.iter().flat_map(|piece| {
                let middles = piece.gutted.iter().filter(|middle| middle.id == id);
                middles.map(move |middle| (piece, middle))
            });
            let found = middles.into_iter().next().and_then(|(piece, middle)| {
                let (on_sheet, whole) = piece_on_whole(record, piece, depth)?;
                Some((on_sheet * within(sheet, middle), whole))
            });
            found.unwrap_or(itself)
        }
    }
}

/// How a sheet lies within what it is cut from: as it is, or turned by a quarter.
fn within<Id>(sheet: &Sheet, part: &Offcut<Id>) -> Affine {
    let [width, height] = sheet.size;
    let is_near = |one: f64, other: f64| (one - other).abs() < 1e-6;
    let lies = is_near(width, part.size[0]) && is_near(height, part.size[1]);
    let turned = is_near(width, part.size[1]) && is_near(height, part.size[0]);
    let quarter = match !lies && turned {
        true => Affine::translate((height, 0.0)) * turning(90.0),
        false => Affine::IDENTITY,
    };
    Affine::translate((part.at[0], part.at[1])) * quarter
}
