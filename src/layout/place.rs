//! Where each block lies: positions from edges, middles and other pieces, then stacking order.

use std::collections::BTreeSet;

use crate::description::{LineUp, Marked, Place, Text, Where, Written, nearest, slug};
use crate::model::Turns;
use crate::model::length::{Length, LengthSum, Size};
use crate::model::naming::{by_end, or_list};

use super::blocks::{Block, Content, Part};
use super::reading::{Along, Reader};
use super::stacking::stacking;
use super::{Layout, PaperOnHand, PlacedPhoto, PlacedPiece, stock_names};

/// Copies of one thing at most, over all: what the elements, the page and the spread come to.
const MOST_OF_ONE: u32 = 5_000;

/// Places every block and adds its pieces and photos to the layout.
pub(super) fn place(reader: &mut Reader<'_>, layout: &mut Layout, blocks: Vec<Block>) {
    let mut resolver =
        Resolver { found: vec![Reached::NotYet; blocks.len()], blocks: &blocks, page: layout.page };
    for index in 0..blocks.len() {
        resolver.resolve(reader, index);
    }
    let corners: Vec<[Length; 2]> = resolver
        .found
        .iter()
        .map(|found| if let Reached::At(at) = found { *at } else { [Length::ZERO; 2] })
        .collect();
    let mut ids = BTreeSet::new();
    for (page, index) in stacking(reader, &blocks, layout.pages.len()) {
        lay(reader, layout, &blocks[index], corners[index], page, &mut ids);
    }
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
        let at = if block.across_spread { [0.0, at[1]] } else { at };
        let id = match part.id.split_once('.') {
            Some((_, rest)) if page != block.page => format!("{}.{rest}", layout.pages[page]),
            _ => part.id.clone(),
        };
        let unique = ids.insert(id.clone());
        let copies = layout.copies(block.copies, page);
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
                    border: *border,
                    facing: *facing,
                    page,
                    at,
                    turn: block.turn,
                    order,
                    place: block.place,
                });
            }
            Content::Paper { kind, paper, tool, rectangle, drawing, folded, notes } => {
                if !unique {
                    let earlier = layout.pieces.iter().find(|piece| piece.id == id);
                    let photo = layout.photos.iter().find(|photo| photo.id == id);
                    let earlier = earlier.map(|one| one.place).or(photo.map(|one| one.place));
                    let line = earlier.map_or_else(String::new, stock_names::on_line);
                    let message = format!("the id `{id}` is taken twice: here and before{line}");
                    reader.problem(block.place, message, "give one of the two another id");
                }
                let turns = turns(reader, block, layout.papers.get(*paper));
                let together = block.across_spread.then(|| block.id.clone());
                let mut notes = notes.clone();
                if block.across_spread {
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
                    folded: folded.clone(),
                    page,
                    at,
                    turn: block.turn,
                    order,
                    together,
                    gut: block.gut,
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

/// How far a block's position is known.
#[derive(Clone, Copy, Debug)]
enum Reached {
    NotYet,
    UnderWay,
    At([Length; 2]),
}

/// Resolves positions, following references to other blocks first.
struct Resolver<'a> {
    blocks: &'a [Block],
    found: Vec<Reached>,
    page: Size,
}

/// A rectangle on a page.
#[derive(Clone, Copy, Debug)]
struct Frame {
    at: [Length; 2],
    size: [Length; 2],
}

impl Resolver<'_> {
    fn resolve(&mut self, reader: &mut Reader<'_>, index: usize) -> [Length; 2] {
        match self.found[index] {
            Reached::At(at) => return at,
            Reached::UnderWay => {
                let id = &self.blocks[index].id;
                let message = format!("the position of `{id}` depends on itself");
                let help = "place one piece of the circle from an edge of the page";
                reader.problem(self.blocks[index].place, message, help);
                return [Length::ZERO; 2];
            }
            Reached::NotYet => {}
        }
        self.found[index] = Reached::UnderWay;
        let block = &self.blocks[index];
        let at = self.position(reader, index, &block.at.0);
        self.found[index] = Reached::At(at);
        at
    }

    fn position(&mut self, reader: &mut Reader<'_>, index: usize, at: &Where) -> [Length; 2] {
        let size = self.blocks[index].turned_size();
        let size = [size.width, size.height];
        let frame = match &at.on {
            Some(name) => self.frame_of(reader, index, name),
            None => {
                Some(Frame { at: [Length::ZERO; 2], size: [self.page.width, self.page.height] })
            }
        };
        let Some(frame) = frame else { return [Length::ZERO; 2] };
        let beside = self.beside(reader, index, at, size);
        let written = [
            (Along::Width, [&at.left, &at.center, &at.right]),
            (Along::Height, [&at.top, &at.middle, &at.bottom]),
        ];
        let mut corner = [Length::ZERO; 2];
        for (axis, (along, edges)) in written.into_iter().enumerate() {
            one_only(reader, &edges);
            let start = edges[0].as_ref().map(|text| frame.at[axis] + reader.length(text, along));
            let center = edges[1]
                .as_ref()
                .map(|text| frame.at[axis] + reader.length(text, along) - size[axis] / 2);
            let end = edges[2].as_ref().map(|text| {
                frame.at[axis] + frame.size[axis] - reader.length(text, along) - size[axis]
            });
            let on = at.on.as_ref().map(|_| frame.at[axis] + (frame.size[axis] - size[axis]) / 2);
            corner[axis] = start.or(center).or(end).or(beside[axis]).or(on).unwrap_or(Length::ZERO);
        }
        corner
    }

    /// Left and top that follow from `below`, `above`, `right of` and `left of`.
    fn beside(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        at: &Where,
        size: [Length; 2],
    ) -> [Option<Length>; 2] {
        let gap = match &at.gap {
            Some(text) => reader.length(text, Along::Width),
            None => Length::ZERO,
        };
        let align = reader.choice(at.align.as_ref(), LineUp::Start);
        // The axis along which the piece is pushed away, and whether it lies behind its neighbour.
        let sides = [
            (&at.right_of, 0, true),
            (&at.left_of, 0, false),
            (&at.below, 1, true),
            (&at.above, 1, false),
        ];
        let mut corner = [None; 2];
        for (name, axis, after) in sides {
            let Some(name) = name else { continue };
            let Some(frame) = self.frame_of(reader, index, name) else { continue };
            corner[axis] = Some(if after {
                frame.at[axis] + frame.size[axis] + gap
            } else {
                frame.at[axis] - gap - size[axis]
            });
            let cross = 1 - axis;
            let room = frame.size[cross] - size[cross];
            corner[cross] = corner[cross].or(Some(match align {
                LineUp::Start => frame.at[cross],
                LineUp::Center => frame.at[cross] + room / 2,
                LineUp::End => frame.at[cross] + room,
            }));
        }
        corner
    }

    /// The block of a page that a name stands for: its id, with or without the page's name before it, the end
    /// of an id if only one has it, or the photo that only one of them shows.
    fn named(&self, reader: &Reader<'_>, page: usize, wanted: &str) -> Option<usize> {
        let own = reader.pages.get(page).and_then(|page| wanted.strip_prefix(page.name()));
        let own = own.and_then(|rest| rest.strip_prefix('.')).unwrap_or(wanted);
        let same_page = || self.blocks.iter().enumerate().filter(|(_, block)| block.page == page);
        let is = |name: &str| same_page().find(|(_, block)| block.id == name).map(|(at, _)| at);
        let by_end = || match by_end(own, same_page().map(|(_, block)| &*block.id))[..] {
            [one] => is(one),
            _ => None,
        };
        let by_photo = || {
            let shows = |part: &Part| matches!(&part.content, Content::Photo { name, .. } if name == wanted);
            let mut showing =
                same_page().filter(|(_, block)| block.parts.iter().any(shows)).map(|(at, _)| at);
            showing.next().filter(|_| showing.next().is_none())
        };
        let by_id = is(wanted).or_else(|| is(own)).or_else(|| is(&slug(own))).or_else(by_end);
        by_id.or_else(by_photo)
    }

    /// Where another block of the same page lies.
    fn frame_of(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        name: &Marked<Text>,
    ) -> Option<Frame> {
        let page = self.blocks[index].page;
        let blocks = self.blocks;
        let same_page = || blocks.iter().enumerate().filter(|(_, block)| block.page == page);
        let wanted = &*name.value.0;
        let Some(other) = self.named(reader, page, wanted) else {
            let known: Vec<&str> = same_page().map(|(_, block)| block.id.as_str()).collect();
            let elsewhere = blocks
                .iter()
                .find(|block| block.page != page && !by_end(wanted, [&*block.id]).is_empty())
                .and_then(|block| reader.pages.get(block.page));
            let several = by_end(wanted, known.iter().copied());
            let help = match (several.len(), nearest(wanted, known.iter().copied()), elsewhere) {
                (2.., _, _) => or_list(&several),
                (_, _, Some(page)) => format!(
                    "it lies on the {page} page, and a position goes by a piece of its own page"
                ),
                (_, Some(near), None) => format!("did you mean `{near}`?"),
                (_, None, None) => format!("on this page there are: {}", known.join(", ")),
            };
            reader.problem(name.place, format!("there is no piece `{wanted}` on this page"), help);
            return None;
        };
        if other == index {
            let message = format!("the position of `{wanted}` depends on itself");
            reader.problem(name.place, message, "name another piece, or an edge of the page");
            return None;
        }
        let at = self.resolve(reader, other);
        let size = blocks[other].turned_size();
        Some(Frame { at, size: [size.width, size.height] })
    }
}

/// Notes a problem when more than one edge is given along one axis.
fn one_only(reader: &mut Reader<'_>, edges: &[&Option<Written<LengthSum>>; 3]) {
    let given: Vec<Place> =
        edges.iter().filter_map(|edge| edge.as_ref().map(|text| text.place)).collect();
    if let [_, second, ..] = given[..] {
        let message = "two positions along the same direction";
        reader.problem(second, message, "keep one: the piece's size says the rest");
    }
}

/// How a piece may be turned on its sheet: as it says, within what its paper allows.
fn turns(reader: &mut Reader<'_>, block: &Block, paper: Option<&PaperOnHand>) -> Turns {
    let allowed = paper.and_then(|paper| paper.turns);
    if let (Some(wanted), Some(allowed), Some(paper)) = (block.turns, allowed, paper)
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
    block.turns.or(allowed).unwrap_or_default()
}
