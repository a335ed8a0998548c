//! Blocks on their pages: placed, stacked, and each of their pieces and photos told apart.

use std::collections::BTreeSet;

use crate::model::Turns;
use crate::model::length::{Length, Size};

use super::blocks::{Block, Content, Part};
use super::fit::told::told;
use super::reading::Reader;
use super::resolver::{Reached, Resolver};
use super::stacking::stacking;
use super::tucked::{Tuck, Tucked, words_beneath};
use super::{Layout, PaperOnHand, PlacedElement, PlacedPhoto, PlacedPiece, rows, stock_names};

/// Copies of one thing at most, over all: what the elements, the page and the spread come to.
const MOST_OF_ONE: u32 = 5_000;

/// Places every block and adds its pieces and photos to the layout.
pub(super) fn place(reader: &mut Reader<'_>, layout: &mut Layout, blocks: Vec<Block>) {
    let blocks = rows::laid_out(reader, layout, blocks, &[]);
    let mut resolver = Resolver::new(reader, layout.page, &blocks, false);
    for index in 0..blocks.len() {
        resolver.resolve(reader, index);
    }
    let corners: Vec<[Length; 2]> = resolver
        .found
        .iter()
        .map(|found| if let Reached::At(at) = found { *at } else { [Length::ZERO; 2] })
        .collect();
    layout.fitted = told(reader, &resolver, layout);
    let tucks = std::mem::take(&mut resolver.tucks);
    layout.elements = (0..blocks.len())
        .map(|index| element(&blocks[index], corners[index], resolver.stays[index]))
        .collect();
    let mut ids = BTreeSet::new();
    let hosts: Vec<Option<usize>> = tucks.iter().map(|tuck| Some(tuck.as_ref()?.0)).collect();
    for (page, index) in stacking(reader, &blocks, layout.pages.len(), &hosts) {
        lay(reader, layout, &blocks[index], corners[index], page, &mut ids);
    }
    tuck(reader, layout, &blocks, tucks);
}

/// Notes on pieces what is tucked under what, and warns of words that lie beneath.
fn tuck(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    blocks: &[Block],
    tucks: Vec<Option<(usize, Tuck)>>,
) {
    let units = layout.units;
    for (index, tuck) in tucks.into_iter().enumerate() {
        let Some((host, tuck)) = tuck else { continue };
        words_beneath(reader, layout, [&blocks[index], &blocks[host]], &tuck);
        let Tuck { side, shows } = tuck;
        let lowest = |block: &Block| block.parts.first().map(|part| part.id.clone());
        let (Some(id), Some(host)) = (lowest(&blocks[index]), lowest(&blocks[host])) else {
            continue;
        };
        let tucked = Tucked { under: host.clone().into(), side, shows };
        if let Some(host) = layout.pieces.iter_mut().find(|piece| piece.id == host) {
            host.notes.push(tucked.note_of_host(&id));
        }
        if let Some(piece) = layout.pieces.iter_mut().find(|piece| piece.id == id) {
            piece.notes.push(tucked.note(units));
            piece.tucked = Some(tucked);
        } else if let Some(photo) = layout.photos.iter_mut().find(|photo| photo.id == id) {
            photo.tucked = Some(tucked);
        }
    }
}

fn element(block: &Block, at: [Length; 2], stays: [f64; 2]) -> PlacedElement {
    PlacedElement {
        stays,
        members: members(block, at),
        id: block.id.clone(),
        page: block.page,
        at,
        size: block.turned_size(),
        turn: block.turn,
        across_spread: block.across_spread,
        place: block.place,
    }
}

/// The pieces of a cluster that lies at `at`: each in the box round its parts, about whose middle it grows.
fn members(block: &Block, at: [Length; 2]) -> Vec<PlacedElement> {
    let mut members: Vec<PlacedElement> = Vec::new();
    for (number, part) in block.parts.iter().enumerate() {
        let Some((id, place)) = &part.own.member else { continue };
        let (offset, size) = block.frame_of(number);
        let at = [0, 1].map(|axis| at[axis] + offset[axis]);
        if let Some(known) = members.last_mut().filter(|known| known.id == *id) {
            let size = [size.width, size.height];
            let whole = [known.size.width, known.size.height];
            let start = [0, 1].map(|axis| known.at[axis].min(at[axis]));
            let end = [0, 1].map(|axis| {
                (known.at[axis] + whole[axis]).max(at[axis] + size[axis]) - start[axis]
            });
            (known.at, known.size) = (start, Size::new(end[0], end[1]));
            continue;
        }
        members.push(PlacedElement {
            id: id.clone(),
            page: block.page,
            at,
            size,
            turn: (block.turn + part.turn) % 360.0,
            across_spread: false,
            stays: [0.5; 2],
            members: Vec::new(),
            place: *place,
        });
    }
    members
}

/// Adds a block's pieces and photos to a page.
fn lay(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    block: &Block,
    corner: [Length; 2],
    page: usize,
    ids: &mut BTreeSet<String>,
) {
    for (part, at) in block.parts.iter().zip(block.parts_at(corner)) {
        let at = match part.page {
            Some(of) if of != page => continue,
            Some(_) => [at[0] + to_page(block.page, page, layout.page.width), at[1]],
            None if block.across_spread => [0.0, at[1]],
            None => at,
        };
        let id = match part.id.split_once('.') {
            Some((_, rest)) if page != block.page => format!("{}.{rest}", layout.pages[page]),
            _ => part.id.clone(),
        };
        let unique = ids.insert(id.clone());
        let own = block.copies.saturating_mul(part.own.copies.unwrap_or(1));
        let copies = layout.copies(own, page);
        if copies > MOST_OF_ONE {
            let message = format!(
                "`{id}` is made {copies} times: copies of the element, page and spread multiply"
            );
            let help = format!("write fewer: {MOST_OF_ONE} of one thing at most");
            reader.problem(block.place, message, help);
        }
        let order = u32::try_from(layout.pieces.len() + layout.photos.len()).unwrap_or(u32::MAX);
        match &part.content {
            Content::Photo { name, border, facing } => {
                let id = if unique { id } else { numbered(&id, ids) };
                layout.photos.push(PlacedPhoto {
                    id: id.into(),
                    name: name.clone(),
                    copies,
                    size: part.size,
                    tucked: None,
                    raised: part.raised.clone(),
                    border: *border,
                    facing: *facing,
                    page,
                    at,
                    turn: block.turn + part.turn,
                    order,
                    place: block.place,
                });
            }
            Content::Paper { kind, paper, tool, rectangle, drawing, finished, notes } => {
                if !unique {
                    let earlier = layout.pieces.iter().find(|piece| piece.id == id);
                    let photo = layout.photos.iter().find(|photo| photo.id == id);
                    let earlier = earlier.map(|one| one.place).or(photo.map(|one| one.place));
                    let line = earlier.map_or_else(String::new, stock_names::on_line);
                    let message = format!("the id `{id}` is taken twice: here and before{line}");
                    reader.problem(block.place, message, "give one of the two another id");
                }
                let turns = turns(reader, block, part, layout.papers.get(*paper));
                let is_one = block.across_spread && part.page.is_none();
                let together = is_one.then(|| block.id.clone());
                let mut notes = notes.clone();
                if is_one {
                    notes.push("one strip over both pages: it is cut at the gutter".to_owned());
                }
                layout.pieces.push(PlacedPiece {
                    id: id.into(),
                    kind,
                    paper: *paper,
                    tool: *tool,
                    turns,
                    copies,
                    kit: None,
                    size: part.size,
                    rectangle: *rectangle,
                    drawing: drawing.clone(),
                    finished: finished.clone(),
                    page,
                    at,
                    turn: block.turn + part.turn,
                    order,
                    tucked: None,
                    raised: part.raised.clone(),
                    together,
                    runs_on: is_one && block.match_pattern,
                    gut: part.own.gut.or(block.gut),
                    middles: Vec::new(),
                    openings: Vec::new(),
                    windows: Vec::new(),
                    print: part.print.clone(),
                    notes,
                    place: block.place,
                });
            }
        }
    }
}

/// What a place of one page is farther right on another, in inches.
fn to_page(from: usize, to: usize, width: Length) -> f64 {
    let pages = |number: usize| i64::try_from(number).unwrap_or_default();
    (width * (pages(from) - pages(to))).to_inches()
}

/// The first of `id-2`, `id-3`, … that is free.
fn numbered(id: &str, ids: &mut BTreeSet<String>) -> String {
    let mut number = 2;
    loop {
        let name = format!("{id}-{number}");
        if ids.insert(name.clone()) {
            return name;
        }
        number += 1;
    }
}

/// How a piece may be turned on its sheet: as it says, within what its paper allows.
fn turns(
    reader: &mut Reader<'_>,
    block: &Block,
    part: &Part,
    paper: Option<&PaperOnHand>,
) -> Turns {
    let allowed = paper.and_then(|paper| paper.turns);
    let wanted = part.own.turns.or(block.turns);
    if let (Some(wanted), Some(allowed), Some(paper)) = (wanted, allowed, paper)
        && wanted > allowed
    {
        let message = format!(
            "`{}` may be turned `{}` on its sheet, but {} only `{}`",
            block.id,
            wanted.name(),
            paper.name,
            allowed.name()
        );
        let help = "leave `cut turn` out, write a stricter one, or change the paper's `turn`";
        reader.problem(block.place, message, help);
        return allowed;
    }
    wanted.or(allowed).unwrap_or_default()
}
