//! Where each block lies: positions from edges, middles and other pieces.

use crate::description::{LineUp, Marked, Text, Where, nearest, slug};
use crate::model::length::{Length, Size};
use crate::model::naming::{by_end, or_list};

use super::blocks::{Block, Content, Frame, Part, lined_up};
use super::fit::asked::{Asked, Decides, nothing_else, one_only};
use super::reading::{Along, Reader};
use super::tucked::Tuck;

/// How far a block's position is known.
#[derive(Clone, Copy, Debug)]
pub(super) enum Reached {
    NotYet,
    UnderWay,
    At([Length; 2]),
}

/// Resolves positions, following references to other blocks first.
pub(super) struct Resolver<'b, 's> {
    pub blocks: &'b [Block],
    pub found: Vec<Reached>,
    /// For each block, across and down, which point of it stays where it is while its size changes: 0 its
    /// left or top, 1/2 its middle, 1 its right or bottom.
    pub stays: Vec<[f64; 2]>,
    /// For each block the one it is tucked under, and how.
    pub tucks: Vec<Option<(usize, Tuck)>>,
    page: Size,
    /// Width and height, turned; nothing where that is still to be fitted.
    pub sizes: Vec<[Option<Length>; 2]>,
    /// Rows and columns.
    pub lines: Vec<Asked<'s>>,
    /// For each block whether it is repeated along something that is not measured yet, so that nobody knows
    /// where it lies.
    pub unlaid: Vec<bool>,
    /// For each block whether its place goes by one of these.
    pub unsure: Vec<bool>,
    /// Whether what is looked at right now does.
    pub is_unsure: bool,
}

impl<'b, 's> Resolver<'b, 's> {
    /// Nothing placed yet. `open` leaves sizes open that are to be fitted, even if they were.
    pub fn new(reader: &mut Reader<'s>, page: Size, blocks: &'b [Block], open: bool) -> Self {
        let size = |block: &Block| {
            let size = block.turned_size();
            let fits = block.fit.as_ref().filter(|_| open).map_or([false; 2], |fit| fit.axes);
            let size = [size.width, size.height];
            [0, 1].map(|axis| Some(size[axis]).filter(|_| !fits[axis]))
        };
        let sizes = blocks.iter().map(size).collect();
        let found = vec![Reached::NotYet; blocks.len()];
        let tucks = blocks.iter().map(|_| None).collect();
        let stays = vec![[0.0; 2]; blocks.len()];
        let none = vec![false; blocks.len()];
        let mut resolver = Self {
            blocks,
            found,
            stays,
            tucks,
            page,
            sizes,
            lines: Vec::new(),
            unlaid: none.clone(),
            unsure: none,
            is_unsure: false,
        };
        resolver.find_lines(reader);
        resolver
    }

    /// The whole page.
    pub fn page_frame(&self) -> Frame {
        Frame { at: [Length::ZERO; 2], size: [self.page.width, self.page.height] }
    }

    pub fn resolve(&mut self, reader: &mut Reader<'_>, index: usize) -> [Length; 2] {
        match self.found[index] {
            Reached::At(at) => {
                self.is_unsure |= self.unsure[index];
                return at;
            }
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
        let before = std::mem::replace(&mut self.is_unsure, self.unlaid[index]);
        let at = self.position(reader, index, &block.at.0);
        self.unsure[index] = self.is_unsure;
        self.is_unsure |= before;
        self.found[index] = Reached::At(at);
        at
    }

    fn position(&mut self, reader: &mut Reader<'_>, index: usize, at: &Where) -> [Length; 2] {
        let size = self.sizes[index].map(Option::unwrap_or_default);
        let frame = match &at.on {
            Some(name) => self.frame_of(reader, index, name),
            None => Some(self.page_frame()),
        };
        let Some(frame) = frame else { return [Length::ZERO; 2] };
        let fits = self.blocks[index].fit.as_ref().map_or([false; 2], |fit| fit.axes);
        let mut rooms = self.rooms_between(reader, index, at, frame);
        let tucked = match at.tucked_under.as_ref().filter(|_| fits.contains(&true)) {
            Some(host) => {
                let message = "a piece of a size to be fitted can't be tucked under another";
                reader.problem(host.place, message, "write its size");
                None
            }
            None => self.tucked(reader, index, at, size),
        };
        let tucks = tucked.and(self.tucks[index].as_ref()).map(|(_, tuck)| tuck.axis());
        let beside = match tucked {
            Some((corner, stays)) => [0, 1].map(|axis| Some((corner[axis], stays[axis]))),
            None => self.beside(reader, index, at, size),
        };
        let written = [
            (Along::Width, [&at.left, &at.center, &at.right]),
            (Along::Height, [&at.top, &at.middle, &at.bottom]),
        ];
        if let Some([right, _]) = &at.offset {
            let message = "only the pieces of a cluster have an offset";
            reader.problem(right.place, message, "write `at: [x, y]` or edges, such as {left: 1}");
        }
        let pinned = self.pinned(reader, index);
        let mut corner = [Length::ZERO; 2];
        for (axis, (along, edges)) in written.into_iter().enumerate() {
            let line = self.line_of(index, axis);
            let by = if pinned[axis].is_some() {
                Some(Decides::Run)
            } else if line.is_some() {
                Some(Decides::Line)
            } else {
                rooms[axis].is_some().then_some(Decides::Between)
            };
            if let Some(by) = by {
                let others = [
                    at.tucked_under.as_ref().map(|host| host.place).filter(|_| tucks == Some(axis)),
                    rooms[axis].is_some().then(|| self.place_of_between(index, at)),
                ];
                nothing_else(reader, at, (by, axis), others);
            } else if !fits[axis] {
                one_only(reader, at, axis);
            }
            if let Some(at) = pinned[axis] {
                if let Some(line) = line {
                    let line = ["row", "column"][self.lines[line].axis];
                    let id = &self.blocks[index].id;
                    let message =
                        format!("`{id}` has two places: its {line}, and what it runs along");
                    let help =
                        format!("take it out of the {line}, or leave out what it runs along");
                    reader.problem(self.blocks[index].place, message, help);
                }
                corner[axis] = at;
                continue;
            }
            if let Some(line) = line {
                corner[axis] = self.in_line(reader, (line, index)).unwrap_or_default();
                self.stays[index][axis] = self.stays_in_line((line, index));
                continue;
            }
            let room = match rooms[axis].take() {
                None if fits[axis] => self.room_left(reader, (index, axis), at, frame),
                room => room,
            };
            if fits[axis] || room.is_some() {
                let start = room.and_then(|room| self.in_room(reader, (index, axis), &room, at));
                corner[axis] = start.unwrap_or_default();
                self.stays[index][axis] = 0.5;
                continue;
            }
            let start =
                edges[0].as_ref().map(|text| (frame.at[axis] + reader.length(text, along), 0.0));
            let center = edges[1]
                .as_ref()
                .map(|text| (frame.at[axis] + reader.length(text, along) - size[axis] / 2, 0.5));
            let end = edges[2].as_ref().map(|text| {
                let gap = reader.length(text, along);
                (frame.at[axis] + frame.size[axis] - gap - size[axis], 1.0)
            });
            let middle = || (frame.at[axis] + (frame.size[axis] - size[axis]) / 2, 0.5);
            let on = at.on.as_ref().map(|_| middle());
            let said = start.or(center).or(end).or(beside[axis]).or(on);
            let lined_up = match (said, self.line_of(index, 1 - axis)) {
                (None, Some(line)) => self.lined_up(reader, (line, index), axis),
                _ => None,
            };
            (corner[axis], self.stays[index][axis]) =
                said.or(lined_up).unwrap_or((Length::ZERO, 0.0));
        }
        corner
    }

    /// Left and top of a block that lies where it runs along something.
    fn pinned(&mut self, reader: &mut Reader<'_>, index: usize) -> [Option<Length>; 2] {
        let blocks = self.blocks;
        let Some(pinned) = &blocks[index].pinned else { return [None; 2] };
        let from = match &pinned.of {
            Some(name) => self.frame_of(reader, index, name).map(|frame| frame.at),
            None => Some([Length::ZERO; 2]),
        };
        let Some(from) = from else { return pinned.at };
        [0, 1].map(|axis| pinned.at[axis].map(|at| from[axis] + at))
    }

    /// Left and top of a piece that is tucked under another, and what stays of it.
    fn tucked(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        at: &Where,
        size: [Length; 2],
    ) -> Option<([Length; 2], [f64; 2])> {
        let tuck = Tuck::read(reader, at, &self.blocks[index])?;
        let name = at.tucked_under.as_ref()?;
        let frame = self.frame_of(reader, index, name)?;
        let (host, _) = find(reader, self.blocks, self.blocks[index].page, &name.value.0)?;
        let found = tuck.corner(reader, at, frame, size);
        self.tucks[index] = Some((host, tuck));
        Some(found)
    }

    /// Left and top that follow from `below`, `above`, `right of` and `left of`, and what stays.
    fn beside(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        at: &Where,
        size: [Length; 2],
    ) -> [Option<(Length, f64)>; 2] {
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
                (frame.at[axis] + frame.size[axis] + gap, 0.0)
            } else {
                (frame.at[axis] - gap - size[axis], 1.0)
            });
            let cross = 1 - axis;
            let room = frame.size[cross] - size[cross];
            corner[cross] = corner[cross].or(Some(lined_up(align, frame.at[cross], room)));
        }
        corner
    }

    /// Where another block of the same page, or a piece of it, lies.
    pub fn frame_of(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        name: &Marked<Text>,
    ) -> Option<Frame> {
        let found = self.named_on(reader, self.blocks[index].page, Some(index), name)?;
        self.frame_of_named(reader, found)
    }

    /// Where a block lies, or a part of it.
    pub fn frame_of_named(
        &mut self,
        reader: &mut Reader<'_>,
        (other, part): Named,
    ) -> Option<Frame> {
        let whole = self.frame_at(reader, other)?;
        let Some(part) = part else { return Some(whole) };
        let (offset, size) = self.blocks[other].frame_of(part);
        let at = [whole.at[0] + offset[0], whole.at[1] + offset[1]];
        Some(Frame { at, size: [size.width, size.height] })
    }

    /// Whether a name is that of a piece of a row that is not laid yet.
    fn is_of_unlaid(&mut self, page: usize, name: &Marked<Text>) -> bool {
        let row = row_of_piece(self.blocks, page, &name.value.0);
        let is_one = row.is_some_and(|row| self.unlaid[row]);
        self.is_unsure |= is_one;
        is_one
    }

    /// Where a block lies; nothing where that isn't known yet.
    pub fn frame_at(&mut self, reader: &mut Reader<'_>, index: usize) -> Option<Frame> {
        let at = self.resolve(reader, index);
        if self.unsure[index] {
            return None;
        }
        let [width, height] = self.sizes[index];
        Some(Frame { at, size: [width?, height?] })
    }

    /// What a name stands for on a page, with a problem noted where that is nothing, or the block that goes
    /// by it; nothing too where that is not laid yet.
    pub fn named_on(
        &mut self,
        reader: &mut Reader<'_>,
        page: usize,
        index: Option<usize>,
        name: &Marked<Text>,
    ) -> Option<Named> {
        if self.is_of_unlaid(page, name) {
            return None;
        }
        named(reader, self.blocks, (page, index), name)
    }
}

/// What a name on a page stands for: a block, and a part of it where one piece of several is named.
pub(super) type Named = (usize, Option<usize>);

/// What a name stands for on a page: a block by its id, with or without the page's name before it, or by the
/// end of an id if only one has it; a piece of a block by its own id; or the photo that only one block shows.
pub(super) fn find(
    reader: &Reader<'_>,
    blocks: &[Block],
    page: usize,
    wanted: &str,
) -> Option<Named> {
    let own = reader.pages.get(page).and_then(|page| wanted.strip_prefix(page.name()));
    let own = own.and_then(|rest| rest.strip_prefix('.')).unwrap_or(wanted);
    let same_page = || blocks.iter().enumerate().filter(|(_, block)| block.page == page);
    let is = |name: &str| same_page().find(|(_, block)| block.id == name).map(|(at, _)| at);
    let by_end = || match by_end(own, same_page().map(|(_, block)| &*block.id))[..] {
        [one] => is(one),
        _ => None,
    };
    let by_piece = || {
        let parts = same_page().flat_map(|(at, block)| {
            block.parts.iter().enumerate().map(move |(part, of)| (at, part, block, &*of.id))
        });
        // Only what bears its block's name before its own is one of several.
        let is_named = |block: &Block, id: &str| {
            let rest = id.split_once('.').map_or("", |(_, rest)| rest);
            let is_one = rest.strip_prefix(&*block.id).is_some_and(|rest| rest.starts_with('.'));
            is_one && rest == own
        };
        let mut named = parts.filter(|(.., block, id)| is_named(block, id));
        named.next().map(|(at, part, ..)| (at, Some(part)))
    };
    let by_photo = || {
        let shows =
            |part: &Part| matches!(&part.content, Content::Photo { name, .. } if name == wanted);
        let mut showing =
            same_page().filter(|(_, block)| block.parts.iter().any(shows)).map(|(at, _)| at);
        showing.next().filter(|_| showing.next().is_none())
    };
    let by_id = is(wanted).or_else(|| is(own)).or_else(|| is(&slug(own))).or_else(by_end);
    let whole = |at: usize| (at, None);
    by_id.map(whole).or_else(by_piece).or_else(|| by_photo().map(whole))
}

/// The row or border that a name of one of its pieces begins with, whether or not its pieces are there yet.
pub(super) fn row_of_piece(blocks: &[Block], page: usize, name: &str) -> Option<usize> {
    let words: Vec<&str> = name.split('.').collect();
    let (_, wholes) = words.split_last()?;
    let is_row = |block: &Block| block.repeat.is_some() || block.border.is_some();
    blocks
        .iter()
        .position(|block| block.page == page && is_row(block) && wholes.contains(&&*block.id))
}

/// What a name in the position of a block stands for; nothing, with a problem noted, where that is none.
pub(super) fn named(
    reader: &mut Reader<'_>,
    blocks: &[Block],
    (page, index): (usize, Option<usize>),
    name: &Marked<Text>,
) -> Option<Named> {
    let same_page = || blocks.iter().enumerate().filter(|(_, block)| block.page == page);
    let wanted = &*name.value.0;
    let Some(found) = find(reader, blocks, page, wanted) else {
        let known: Vec<&str> = same_page().map(|(_, block)| block.id.as_str()).collect();
        let elsewhere = blocks
            .iter()
            .find(|block| block.page != page && !by_end(wanted, [&*block.id]).is_empty())
            .and_then(|block| reader.pages.get(block.page));
        let several = by_end(wanted, known.iter().copied());
        let help = match (several.len(), nearest(wanted, known.iter().copied()), elsewhere) {
            (2.., _, _) => or_list(&several),
            (_, _, Some(page)) => {
                format!(
                    "it lies on the {page} page, and a position goes by a piece of its own page"
                )
            }
            (_, Some(near), None) => format!("did you mean `{near}`?"),
            (_, None, None) => format!("on this page there are: {}", known.join(", ")),
        };
        reader.problem(name.place, format!("there is no piece `{wanted}` on this page"), help);
        return None;
    };
    if Some(found.0) == index {
        let message = format!("the position of `{wanted}` depends on itself");
        reader.problem(name.place, message, "name another piece, or an edge of the page");
        return None;
    }
    Some(found)
}
