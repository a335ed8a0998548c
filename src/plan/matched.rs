//! What to say of strips over both pages whose pattern was to run on over the gutter and does not.

use crate::layout::{Layout, PlacedPiece};
use crate::model::length::Length;
use crate::model::{Repeat, Warning};

use super::jobs::job_of;
use super::sheet::{Placed, Sheet};

/// How far a pattern may be off at the gutter, in inches: nobody sees 1/64.
const NEAR: f64 = 1.0 / 64.0;

/// A warning for each strip whose halves do not lie so that the pattern runs on. Of which only one half is
/// cut, as in a redo, nothing is said here.
pub(super) fn warnings(layout: &Layout, sheets: &[Sheet]) -> Vec<Warning> {
    let asked = |piece: &&PlacedPiece| piece.runs_on;
    let pairs = layout.pieces.iter().filter(asked).filter_map(|left| {
        let is_right = |right: &&PlacedPiece| {
            right.runs_on && right.together == left.together && right.page > left.page
        };
        Some((left, layout.pieces.iter().find(is_right)?))
    });
    let off = pairs.filter(|(left, right)| !is_matched(layout, sheets, left, right));
    off.map(|(left, _)| warning(layout, left)).collect()
}

/// Whether every copy of both lies so that the pattern runs on.
fn is_matched(layout: &Layout, sheets: &[Sheet], left: &PlacedPiece, right: &PlacedPiece) -> bool {
    let Some(repeats) = layout.papers.get(left.paper).and_then(|paper| paper.repeats()) else {
        return false;
    };
    let of = |sheet: &'_ Sheet, piece: &PlacedPiece| -> Vec<Placed> {
        sheet.placed.iter().filter(|placed| placed.piece == piece.id).cloned().collect()
    };
    sheets.iter().all(|sheet| {
        let rights = of(sheet, right);
        of(sheet, left).iter().all(|one| {
            let other = rights.iter().find(|other| other.copy == one.copy);
            other.is_some_and(|other| runs_on(one, other, left.size.to_inches(), repeats))
        })
    })
}

/// Whether a pattern runs on from one piece to the next: where the second begins, it is as where the first
/// ends.
fn runs_on(left: &Placed, right: &Placed, [width, _]: [f64; 2], repeats: [Repeat; 2]) -> bool {
    // Along the sheet that is where the left half ends: to its right, or turned by a quarter, below it.
    let along = usize::from(left.turn != 0.0);
    let is_near = |axis: usize| {
        let end = left.at[axis] + if axis == along { width } else { 0.0 };
        let off = right.at[axis] - end;
        match repeats[axis] {
            Repeat::Plain => true,
            Repeat::Never => off.abs() <= NEAR,
            Repeat::Every(every) => {
                let every = every.to_inches();
                (off - (off / every).round() * every).abs() <= NEAR
            }
        }
    };
    left.turn == right.turn && is_near(0) && is_near(1)
}

fn warning(layout: &Layout, left: &PlacedPiece) -> Warning {
    let paper = &layout.papers[left.paper];
    let units = layout.units;
    let (job, _) = job_of(layout, left.paper, &paper.stock);
    let room = left.together.as_deref().and_then(|word| job.room_to_run_on(word));
    let name = left.id.split_once('.').map_or(left.id.as_str(), |(_, name)| name);
    let [length, width] = [left.size.width, left.size.height];
    let leave = "or leave `match pattern` out";
    let (reason, help) = match room {
        Some(room) => {
            let rim = match layout.rules.trim_margin {
                Length::ZERO => String::new(),
                rim => format!(", beside a rim of {} all round", rim.show(units)),
            };
            let is_longer = room.width.max(room.height) > length.max(width);
            let instead = if is_longer {
                format!(
                    "a paper whose pitch goes into {} a whole number of times",
                    length.show(units)
                )
            } else {
                "a narrower strip".to_owned()
            };
            let needed = room.show(units);
            let reason = format!("its halves need {needed} from one sheet{rim}, and none was free");
            (reason, format!("add a sheet of that size, take {instead}, {leave}"))
        }
        None => (
            "what is on it does not repeat on a sheet".to_owned(),
            format!("take a paper with a pattern that repeats, {leave}"),
        ),
    };
    Warning {
        kind: "not matched".to_owned(),
        message: format!(
            "the pattern of {} does not run on over the gutter in `{name}`: {reason}",
            paper.name
        ),
        help,
        piece: Some(left.id.to_string()),
        line: left.place.line,
    }
}
