//! Several pieces round one anchor, measured as one.

use std::path::Path;

use crate::description::{At, Cluster, Element, Marked, Place, Where};
use crate::model::length::{Length, Size};

use super::super::blocks::{Block, Own, Part};
use super::super::reading::{Along, Reader};
use super::super::{Layout, raised};
use super::{Names, element, place_of};

/// Pieces of a cluster at most; one has three to seven.
const MOST_PIECES: usize = 50;

/// The pieces of a cluster and the size of the box round them.
pub(super) fn pieces(
    reader: &mut Reader<'_>,
    layout: &Layout,
    folder: &Path,
    (cluster, place): (&Cluster, Place),
    (id, page): (&str, usize),
) -> Option<(Size, Vec<Part>)> {
    let name = *layout.pages.get(page)?;
    let problem = match cluster.pieces.len() {
        0 => Some(("the cluster has no pieces".to_owned(), "list them under its `pieces`")),
        1..=MOST_PIECES => None,
        _ => Some((
            format!("the cluster has more than {MOST_PIECES} pieces"),
            "make two clusters of it",
        )),
    };
    if let Some((message, help)) = problem {
        reader.problem(place, message, help);
        return None;
    }
    if cluster.common().works_on_paper() {
        let message = "a cluster has no paper of its own to cut, score, print or tear";
        reader.problem(place, message, "write the key at the pieces that it is meant for");
        return None;
    }
    let mut names = Names { page: name, taken: Vec::new() };
    let own = id.split_once('.').map_or(id, |(_, own)| own);
    let mut parts = Vec::new();
    let mut sound = true;
    for piece in &cluster.pieces {
        let piece_id = {
            let (kind, id) = (piece.value.kind(), piece.value.common().id);
            names.free(reader, kind, id, place_of(piece))
        };
        if !goes_into_one(reader, piece) {
            sound = false;
            continue;
        }
        let whole = format!("{own}.{piece_id}");
        let Some(mut block) = element(reader, layout, folder, piece, (&whole, page)) else {
            sound = false;
            continue;
        };
        // What is raised as a whole has one height.
        if let (Some(_), Some(own)) = (cluster.common().raised, piece.value.common().raised) {
            let message = "the whole cluster is raised, and its pieces with it";
            reader.problem(own.place, message, "leave `raised` out here, or at the cluster");
        }
        raised::add(reader, std::slice::from_mut(&mut block));
        let offset = offset(reader, piece.value.common().at, place_of(piece));
        parts.extend(round_anchor(&block, offset, place_of(piece)));
    }
    let mut whole = Block { parts, ..Block::default() };
    whole.move_to_corner();
    sound.then_some((whole.size, whole.parts))
}

/// The parts of a piece as they lie round the anchor.
fn round_anchor(block: &Block, offset: [Length; 2], place: Place) -> Vec<Part> {
    let (parts, middle) = block.turned_parts(block.turn);
    let corner = [offset[0] - middle[0], offset[1] - middle[1]];
    let own = |part: usize| Own {
        member: Some((block.id.clone(), place)),
        gut: block.gut,
        turns: block.turns,
        copies: Some(block.copies),
        print: block.print.clone().filter(|_| part == 0),
    };
    let parts = parts.into_iter().enumerate();
    parts.map(|(at, part)| Part { own: own(at), ..part.moved(corner[0], corner[1]) }).collect()
}

/// Whether an element can be a piece of a cluster.
fn goes_into_one(reader: &mut Reader<'_>, piece: &Marked<Element>) -> bool {
    let element = &piece.value;
    let is_from_edge_to_edge = matches!(
        element,
        Element::Strip(strip) if strip.across.is_some() || strip.down.is_some()
    );
    let refused = [
        (matches!(element, Element::Cluster(_)), "another cluster"),
        (matches!(element, Element::Border(_)), "a border"),
        (is_from_edge_to_edge, "a strip from edge to edge"),
        (element.common().repeat.is_some(), "a piece that is repeated"),
    ];
    let Some((_, what)) = refused.into_iter().find(|(is_so, _)| *is_so) else { return true };
    let message = format!("a cluster can't hold {what}");
    reader.problem(
        place_of(piece),
        message,
        "write it beside the cluster, as an element of the page",
    );
    false
}

/// From the anchor to a piece's middle.
fn offset(reader: &mut Reader<'_>, at: &At, place: Place) -> [Length; 2] {
    let Where { offset, .. } = &at.0;
    if (Where { offset: None, ..at.0.clone() }) != Where::default() {
        let message = "a piece of a cluster goes by its offset from the cluster's anchor";
        let help = "write `at: {offset: [1/2, -1/4]}`: so far to the right and down";
        reader.problem(place, message, help);
    }
    let Some([right, down]) = offset else { return [Length::ZERO; 2] };
    [reader.length(right, Along::Width), reader.length(down, Along::Height)]
}
