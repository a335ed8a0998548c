//! A record written by hand, with the machine's way over its sheets.

use cutleaf::geometry::{laying, path_data, readable};
use cutleaf::layout::Pace;
use cutleaf::model::Tool;
use cutleaf::model::length::Length;
use cutleaf::plan::route::{Laid, Route, route};
use cutleaf::record::{self, Done, PATH_DECIMALS, Record, Sheet, Stroke, Work};

/// Puts the strokes and the work of every machine sheet into the record.
pub fn routed(record: &mut Record) {
    let pace = Pace {
        speed: Length::inches(record.pace.speed),
        lift: record.pace.lift,
        overcut: Length::inches(record.pace.overcut),
    };
    let routes: Vec<Route> =
        record.sheets.iter().map(|sheet| route(&laid(record, sheet), &pace)).collect();
    for (sheet, route) in record.sheets.iter_mut().zip(routes) {
        sheet.strokes = route.strokes.iter().map(stroke).collect();
        let done = route.done.iter().map(|done| Done {
            process: done.process,
            strokes: done.strokes,
            length: done.length,
        });
        let (travel, seconds) = (route.travel, route.seconds);
        let work = Work { done: done.collect(), travel, seconds };
        sheet.work = (!sheet.strokes.is_empty()).then_some(work);
    }
}

fn laid(record: &Record, sheet: &Sheet) -> Vec<Laid> {
    let frame = sheet.loaded().onto_mat();
    let machine = sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine);
    let laid = machine.filter_map(|placed| {
        let piece: &record::Piece = record.pieces.iter().find(|one| one.id == placed.piece)?;
        let outline = piece.curves();
        let lay = frame * laying(&outline, placed.turn, placed.at);
        let lines = piece.lines.iter();
        let lines = lines.filter_map(|line| Some((line.process, lay * readable(&line.path)?)));
        Some(Laid {
            piece: placed.piece.clone(),
            copy: placed.copy,
            outline: lay * outline,
            lines: lines.collect(),
        })
    });
    laid.collect()
}

fn stroke(stroke: &cutleaf::plan::route::Stroke) -> Stroke {
    Stroke {
        process: stroke.process,
        piece: stroke.piece.clone(),
        copy: stroke.copy,
        path: path_data(&stroke.path, PATH_DECIMALS),
    }
}
