//! Relations that contradict each other: how far a way came, and what is told of it.

use super::fit::Refusal;
use super::frame::{Frame, IN_LINE, inches, side_of};
use super::reading::Bank;
use super::wanted::Wanted;
use crate::relations::{Conflict, Relations};

/// How far a way came that contradicts itself.
pub(super) struct Failure {
    pub axis: usize,
    pub conflict: Conflict,
    /// The relations' reasons, in the order of the chain.
    pub reasons: Vec<String>,
}

/// The reasons of a contradiction's relations, each once.
pub(super) fn chain_of(relations: &Relations, conflict: &Conflict) -> Vec<String> {
    let mut reasons: Vec<String> = Vec::new();
    for relation in &conflict.chain {
        let reason = relations.reason(relation);
        if reason != IN_LINE && !reasons.iter().any(|told| told == reason) {
            reasons.push(reason.to_owned());
        }
    }
    // It is told from the page on.
    if let Some(page) = reasons.iter().position(|reason| reason.starts_with("the page is")) {
        reasons.rotate_left(page);
    }
    reasons
}

/// The banks that a contradiction names, or whose photos it names.
pub(super) fn failure_banks(failure: &Failure, frame: &Frame<'_>) -> Vec<usize> {
    let rooms = frame.bank_rooms();
    let named = |(_, (room, _)): &(usize, &(usize, &Bank))| {
        let quoted = format!("`{}`", frame.rooms[*room].room.id);
        failure.reasons.iter().any(|reason| reason.contains(&quoted))
    };
    rooms.iter().enumerate().filter(named).map(|(bank, _)| bank).collect()
}

/// A contradiction in words: the chain, by how much it is too much, and what would help.
pub(super) fn contradiction(
    sketch: &str,
    axis: usize,
    excess: i64,
    reasons: &[String],
    wanted: &[Wanted],
) -> Refusal {
    let (less, side) = (inches(excess), side_of(axis));
    let message = format!("{less} too {side}: {}", reasons.join("; "));
    let named = wanted.iter().filter(|photo| {
        let quoted = format!("`{}`", photo.name);
        reasons.iter().any(|reason| reason.contains(&quoted))
    });
    // What is left of a print is no less than half of it.
    let photo =
        named.max_by_key(|photo| photo.size[axis]).filter(|photo| photo.size[axis] >= 2 * excess);
    let help = match photo {
        Some(photo) => {
            let mut size = photo.size;
            size[axis] -= excess;
            let [width, height] = size.map(|side| inches(side).trim_end_matches(" in").to_owned());
            format!(
                "a print of {width} x {height} in, or smaller, in place of `{}` would do; or leave it out",
                photo.name
            )
        }
        None if wanted.is_empty() => {
            format!("make one of these {less} smaller, or write `about` before a share")
        }
        None => format!("leave a photo out, or take prints that are {less} less {side} together"),
    };
    Refusal { sketch: sketch.to_owned(), message, help, excess: Some(excess) }
}
