//! Sheets as the record keeps them.

use crate::geometry::path_data;
use crate::model::length::Length;
use crate::model::{Area, PATH_DECIMALS, Rect, SheetSource, rounded};
use crate::nest::mat;
use crate::plan::route::Route;
use crate::plan::{self, Plan, PlannedSheet, Printing, Rest};
use crate::record::{Cut, Done, Falls, Mark, Offcut, OnMat, Placed, Sheet, Stroke, Work};

use super::{inches, size};
use crate::plan::sheet::count_of;

/// Every sheet that is cut, in the order of work.
pub(super) fn sheets(plan: &Plan) -> Vec<Sheet> {
    let shares = plan.totals.used.iter().copied();
    let sheets = plan.sheets.iter().zip(shares);
    sheets.map(|(planned, used)| sheet(&planned.sheet, Some(planned), used)).collect()
}

/// Every sheet of photo paper.
pub(super) fn prints(plan: &Plan) -> Vec<Sheet> {
    let sheets = plan.prints.sheets.iter();
    sheets.map(|one| sheet(one, None, one.covered() / one.area())).collect()
}

fn sheet(sheet: &plan::Sheet, planned: Option<&PlannedSheet>, used: f64) -> Sheet {
    let (printed, in_register) = match sheet.printing {
        None => (None, None),
        Some(Printing::Page(page)) => (Some(page), None),
        Some(Printing::InRegister(page)) => (None, Some(page)),
    };
    let route = planned.map(|planned| &planned.route).filter(|route| !route.strokes.is_empty());
    Sheet {
        id: sheet.id.clone(),
        paper: sheet.paper.clone(),
        size: size(sheet.size),
        outline: sheet.outline.clone(),
        count: sheet.count,
        from: match &sheet.source {
            SheetSource::New | SheetSource::FedOnce(_) => None,
            SheetSource::Offcut(id) | SheetSource::Middle(id) => Some(id.to_string()),
            SheetSource::Part { whole, .. } => Some(whole.to_string()),
        },
        to_buy: sheet.to_buy,
        printed,
        in_register,
        placed: sheet.placed.iter().map(placed).collect(),
        cuts: (1..).zip(&sheet.cuts).map(|(number, one)| cut(number, one)).collect(),
        machine: sheet.machine.map(area),
        on_mat: sheet.on_mat.map(on_mat),
        marks: planned.iter().flat_map(|planned| &planned.marks).map(mark).collect(),
        strokes: route.iter().flat_map(|route| &route.strokes).map(stroke).collect(),
        work: route.map(work),
        parts: sheet.parts.iter().map(rest).collect(),
        offcuts: sheet.offcuts.iter().map(rest).collect(),
        used: rounded(used),
    }
}

fn placed(placed: &plan::Placed) -> Placed {
    Placed {
        piece: placed.piece.clone(),
        copy: placed.copy,
        at: placed.at,
        turn: placed.turn,
        tool: placed.tool,
        rings: placed.rings.clone(),
    }
}

fn cut(number: u32, cut: &plan::Cut) -> Cut {
    let place = |place: [Length; 2]| place.map(inches);
    Cut {
        number,
        in_hand: area(cut.in_hand),
        from: place(cut.from),
        to: place(cut.to),
        fence: inches(cut.fence),
        keeps: falls(&cut.keeps),
        drops: falls(&cut.drops),
    }
}

fn falls(falls: &plan::Falls) -> Falls {
    Falls { what: falls.what.clone(), area: area(falls.area) }
}

/// The paper on the mat.
fn on_mat(paper: mat::OnMat) -> OnMat {
    let Rect { at, size } = area(paper.paper);
    let turn = if paper.turned { 90.0 } else { 0.0 };
    OnMat { at, size, turn, after: count_of(paper.after) }
}

fn mark(mark: &plan::Mark) -> Mark {
    Mark { kind: mark.kind, at: mark.at, arm: mark.arm, weight: mark.weight, toward: mark.toward }
}

fn stroke(stroke: &plan::route::Stroke) -> Stroke {
    Stroke {
        process: stroke.process,
        piece: stroke.piece.clone(),
        copy: stroke.copy,
        path: path_data(&stroke.path, PATH_DECIMALS),
    }
}

fn work(route: &Route) -> Work {
    let done = route.done.iter().map(|done| Done {
        process: done.process,
        strokes: done.strokes,
        length: done.length,
    });
    Work { done: done.collect(), travel: route.travel, seconds: route.seconds }
}

fn rest<Id: Clone>(rest: &Rest<Id>) -> Offcut<Id> {
    let Rect { at, size } = area(rest.area);
    Offcut { id: rest.id.clone(), at, size, count: rest.count }
}

/// A rectangle on a sheet, in inches.
pub(super) fn area(area: Area) -> Rect {
    area.to_inches().rounded()
}
