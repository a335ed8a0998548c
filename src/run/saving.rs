//! What limits the sheets of a paper, and the smallest change that would save one.

use crate::layout::{Layout, PlacedPiece};
use crate::length::{Length, Size};
use crate::nest::{self, Effort, Form, Job, Nested, Tool};

/// By how much a piece is made smaller in search of a saving, in 1/16 in: what nobody sees on a page.
const STEPS: [i64; 3] = [1, 2, 4];
/// Nests tried for one paper at most; the smallest change comes first.
const MOST_TRIED: usize = 24;
/// Search steps of a try: a saving that takes a long search is no easy saving.
const TRY_STEPS: u64 = 60;
/// Names told in a note at most.
const MOST_NAMED: usize = 4;

/// The notes on one paper's sheets.
pub(super) fn notes(layout: &Layout, pieces: &[usize], job: &Job, nested: &Nested) -> Vec<String> {
    let new = nested.new_sheets(&job.stock);
    let mut notes = Vec::new();
    if new > 1 {
        notes.extend(company(layout, pieces, job, new));
    }
    if new > 0 && nested.left_out.is_empty() && job.effort != Effort::Quick {
        notes.extend(next_change(layout, pieces, job, new));
    }
    notes
}

/// Which pieces can't share a sheet.
fn company(layout: &Layout, pieces: &[usize], job: &Job, new: usize) -> Option<String> {
    let alone = nest::limits::cannot_share(job);
    if alone.is_empty() {
        return None;
    }
    let mut names: Vec<String> = alone
        .iter()
        .take(MOST_NAMED)
        .map(|&item| {
            let id = &layout.pieces[pieces[item]].id;
            match job.items[item].copies {
                1 => format!("`{id}`"),
                copies => format!("{copies} of `{id}`"),
            }
        })
        .collect();
    if alone.len() > MOST_NAMED {
        names.push(format!("{} more", alone.len() - MOST_NAMED));
    }
    let last = names.pop()?;
    let list = if names.is_empty() { last } else { format!("{} and {last}", names.join(", ")) };
    let needed: usize = alone.iter().map(|&item| job.items[item].copies as usize).sum();
    Some(if needed >= new {
        format!("{list} can't share a sheet, so one sheet less can't do")
    } else {
        format!("{list} can't share a sheet")
    })
}

/// The smallest change of one piece that saves a sheet.
fn next_change(layout: &Layout, pieces: &[usize], job: &Job, new: usize) -> Option<String> {
    let mut tried = 0;
    for step in STEPS {
        let less = Length::part(step, 16);
        for (item, &piece) in pieces.iter().enumerate() {
            let placed = &layout.pieces[piece];
            for change in changes(placed, less) {
                let Some(changed) = with(job, item, change.size) else { continue };
                if nest::least_sheets(&changed) as usize >= new {
                    continue;
                }
                if tried >= MOST_TRIED || nest::interrupt::asked() {
                    return None;
                }
                tried += 1;
                let nested = nest::nest_in_steps(&changed, TRY_STEPS);
                if nested.left_out.is_empty() && nested.new_sheets(&changed.stock) < new {
                    return Some(format!(
                        "{} less {} on `{}` saves one sheet",
                        less.show(layout.units),
                        change.what,
                        placed.id
                    ));
                }
            }
        }
    }
    None
}

/// A piece made a little smaller.
struct Change {
    what: &'static str,
    size: Size,
}

/// What may be made smaller on a piece without the page looking another: a mat's reveal, a panel's
/// width or height. A piece for the machine or for tearing keeps its form.
fn changes(piece: &PlacedPiece, less: Length) -> Vec<Change> {
    if piece.tool != Tool::Trimmer || !matches!(piece.kind, "mat" | "panel" | "strip" | "base") {
        return Vec::new();
    }
    let Size { width, height } = piece.size;
    if piece.kind == "mat" {
        let size = Size::new(width - less - less, height - less - less);
        return vec![Change { what: "reveal", size }];
    }
    vec![
        Change { what: "width", size: Size::new(width - less, height) },
        Change { what: "height", size: Size::new(width, height - less) },
    ]
}

fn with(job: &Job, item: usize, size: Size) -> Option<Job> {
    let positive = size.width > Length::ZERO && size.height > Length::ZERO;
    if !positive || job.items[item].copies == 0 {
        return None;
    }
    let mut changed = Job { effort: Effort::Quick, ..job.clone() };
    changed.items[item].form = Form::Rectangle(size);
    Some(changed)
}
