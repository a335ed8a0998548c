//! What lies on what: the order of each page's blocks, and where a strip over both pages comes in on the
//! page where it isn't listed.
//!
//! There it lies on the same kinds of things as at home: on all that come first and are of a layer that
//! lies under it at home. Layers are, from below: base and panels; strips; photos on their mats; all else.
//! `other page` overrules this. Two strips that cross lie the same way round on both pages.

use crate::description::{Marked, Place, Text, nearest, slug};

use super::blocks::{Block, Content};
use super::reading::Reader;
use super::tucked::beneath;

/// Page and block of everything that lies on a page, lowest first; `hosts` are those under which blocks are
/// tucked.
pub(super) fn stacking(
    reader: &mut Reader<'_>,
    blocks: &[Block],
    pages: usize,
    hosts: &[Option<usize>],
) -> Vec<(usize, usize)> {
    let listed = |page: usize| (0..blocks.len()).filter(move |&index| blocks[index].page == page);
    let own: Vec<Vec<usize>> =
        (0..pages).map(|page| beneath(&listed(page).collect::<Vec<_>>(), hosts)).collect();
    let mut visits: Vec<Visit> = Vec::new();
    for (block, of) in blocks.iter().enumerate() {
        for page in (0..pages).filter(|&page| of.across_spread && page != of.page) {
            visits.push(visit(reader, blocks, &own, block, page));
        }
    }
    agree(&own, blocks, &mut visits);
    let mut order = Vec::new();
    for (page, own) in own.iter().enumerate() {
        for place in 0..=own.len() {
            let mut here: Vec<&Visit> =
                visits.iter().filter(|visit| visit.page == page && visit.above == place).collect();
            here.sort_by_key(|visit| visit.under);
            order.extend(here.into_iter().map(|visit| (page, visit.block)));
            order.extend(own.get(place).map(|&block| (page, block)));
        }
    }
    order
}

/// A strip on the page where it isn't listed.
#[derive(Clone, Copy)]
struct Visit {
    block: usize,
    page: usize,
    /// How many of that page's own blocks lie under it.
    above: usize,
    /// Whether the spec says where it comes in.
    told: bool,
    /// Whether it was told to lie right under the next block.
    under: bool,
}

fn visit(
    reader: &mut Reader<'_>,
    blocks: &[Block],
    own: &[Vec<usize>],
    block: usize,
    page: usize,
) -> Visit {
    let layers_of = |page: usize| own[page].iter().map(|&index| (index, layer(&blocks[index])));
    let under_it = layers_of(blocks[block].page).take_while(|(index, _)| *index != block);
    let highest = under_it.map(|(_, layer)| layer).max().unwrap_or(0);
    let natural = layers_of(page).take_while(|(_, layer)| *layer <= highest).count();
    let mut visit = Visit { block, page, above: natural, told: false, under: false };
    let Some(written) = &blocks[block].other_page else { return visit };
    let (name, under) = match (&written.value.over, &written.value.under) {
        (Some(name), None) => (name, false),
        (None, Some(name)) => (name, true),
        (over, _) => {
            let place = over.as_ref().map_or(written.place, |over| over.place);
            let message = "it takes one of `over` and `under` to say where the strip lies";
            reader.problem(place, message, "name a piece of the other page under one of the two");
            return visit;
        }
    };
    if let Some(found) = named(reader, blocks, &own[page], name) {
        visit.above = if under { found } else { found + 1 };
        (visit.told, visit.under) = (true, under);
    }
    visit
}

/// The place of a piece among a page's own.
fn named(
    reader: &mut Reader<'_>,
    blocks: &[Block],
    own: &[usize],
    name: &Marked<Text>,
) -> Option<usize> {
    let wanted = &*name.value.0;
    let find = |id: &str| own.iter().position(|&index| blocks[index].id == id);
    let found = find(wanted).or_else(|| find(&slug(wanted)));
    if found.is_none() {
        let known: Vec<&str> = own.iter().map(|&index| blocks[index].id.as_str()).collect();
        let help = match nearest(wanted, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("on that page there are: {}", known.join(", ")),
        };
        reader.problem(name.place, format!("there is no piece `{wanted}` on the other page"), help);
    }
    found
}

/// Has strips that cross lie the same way round on both pages: as the spec says of one of them, else the
/// one that is listed first below.
fn agree(own: &[Vec<usize>], blocks: &[Block], visits: &mut [Visit]) {
    let at = |page: usize, block: usize| own[page].iter().position(|&index| index == block);
    for one in 0..visits.len() {
        for other in one + 1..visits.len() {
            let (first, second) = (visits[one], visits[other]);
            if blocks[first.block].page == blocks[second.block].page {
                continue;
            }
            let (Some(home), Some(away)) =
                (at(second.page, first.block), at(first.page, second.block))
            else {
                continue;
            };
            let (first_above, second_above) = (first.above > away, second.above > home);
            if first_above != second_above || (first.told && second.told) {
                continue;
            }
            if second.told && !first.told {
                visits[one].above = turned(first.above, away, !second_above);
            } else {
                let above = first.told && first_above;
                visits[other].above = turned(second.above, home, !above);
                if !first.told {
                    visits[one].above = turned(visits[one].above, away, false);
                }
            }
        }
    }
}

/// A place above or below the block at `other`.
fn turned(place: usize, other: usize, above: bool) -> usize {
    if above { place.max(other + 1) } else { place.min(other) }
}

/// The layer of a block: 0 base and panels, 1 strips, 2 photos, 3 all else.
fn layer(block: &Block) -> u8 {
    let of = |kinds: &[&str]| {
        block.parts.iter().all(
            |part| matches!(&part.content, Content::Paper { kind, .. } if kinds.contains(kind)),
        )
    };
    let photo = block.parts.iter().any(|part| matches!(part.content, Content::Photo { .. }));
    match (of(&["base", "panel"]), of(&["strip"]), photo) {
        (true, ..) => 0,
        (_, true, _) => 1,
        (.., true) => 2,
        _ => 3,
    }
}

/// Notes a problem where a strip that lies on one page tells of the other.
pub(super) fn only_across(reader: &mut Reader<'_>, place: Place) {
    let message = "only a strip over both pages lies on another page too";
    reader.problem(place, message, "write `across: spread`, or leave `other page` out");
}
