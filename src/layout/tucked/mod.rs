//! Pieces that are tucked under others: a piece lies beneath its host, and so much of it sticks out on one
//! side.

mod words;

use crate::description::{Edge, LineUp, Place, Where};
use crate::model::PieceId;
use crate::model::length::{Length, Size, Units};

use super::blocks::{Block, Frame, lined_up};
use super::reading::{Along, Reader};

pub(super) use words::words_beneath;

/// How a piece is tucked under another.
#[derive(Clone, Debug, PartialEq)]
pub struct Tucked {
    /// The lowest piece of its host, which it goes under.
    pub under: PieceId,
    /// The side of its host on which it sticks out.
    pub side: Edge,
    /// How much of it sticks out there.
    pub shows: Length,
}

/// What a position says of a tuck.
pub(super) struct Tuck {
    /// The side of the host on which the piece sticks out.
    pub side: Edge,
    /// How much of it sticks out.
    pub shows: Length,
}

impl Tuck {
    /// The tuck that is written, if one is; notes a problem where one is written by half, or can't be.
    pub fn read(reader: &mut Reader<'_>, at: &Where, block: &Block) -> Option<Self> {
        let Some(host) = &at.tucked_under else {
            let of_a_tuck = at.side.as_ref().map(|side| side.place);
            let of_a_tuck = of_a_tuck.or(at.shows.as_ref().map(|shows| shows.place));
            if let Some(place) = of_a_tuck {
                let message = "`side` and `shows` tell how a piece is tucked under another";
                reader.problem(
                    place,
                    message,
                    "name that piece: `tucked under: …`, or leave them out",
                );
            }
            return None;
        };
        let (Some(side), Some(shows)) = (&at.side, &at.shows) else {
            let message =
                "a tucked piece needs the side on which it sticks out, and how much of it shows";
            let help = "write it whole: `{tucked under: …, side: right, shows: 1 1/2}`";
            reader.problem(host.place, message, help);
            return None;
        };
        if block.across_spread {
            let message = "a strip over both pages can't be tucked under a piece of one";
            reader.problem(host.place, message, "list it before that piece, and it lies beneath");
            return None;
        }
        let side = reader.value(side)?;
        if let Some((key, place)) = beside_a_tuck(at, side) {
            let message = format!("`{key}` says another place than `tucked under`");
            let help = "keep one of the two; along the side, `align` or an edge of the page may be written";
            reader.problem(place, message, help);
            return None;
        }
        let along = if is_level(side) { Along::Width } else { Along::Height };
        let length = reader.positive(shows, along, "part that shows");
        let size = along_side(block.turned_size(), side);
        if length >= size {
            let message = format!(
                "`{}` is {} that way, so it can't be tucked with `{}` showing",
                block.id,
                size.show(reader.units),
                &*shows.text
            );
            let help =
                "let less of it show; beside a piece goes with `right of`, `below` and so on";
            reader.problem(shows.place, message, help);
            return None;
        }
        (length > Length::ZERO).then_some(Self { side, shows: length })
    }

    /// Along which axis the piece sticks out.
    pub const fn axis(&self) -> usize {
        if is_level(self.side) { 0 } else { 1 }
    }

    /// Left and top of a piece of `size`, tucked under what lies at `frame`, and which point of it stays
    /// while its size changes.
    pub fn corner(
        &self,
        reader: &mut Reader<'_>,
        at: &Where,
        frame: Frame,
        size: [Length; 2],
    ) -> ([Length; 2], [f64; 2]) {
        let axis = self.axis();
        let cross = 1 - axis;
        let (mut corner, mut stays) = ([Length::ZERO; 2], [0.0; 2]);
        (corner[axis], stays[axis]) = match self.side {
            Edge::Right | Edge::Bottom => {
                (frame.at[axis] + frame.size[axis] + self.shows - size[axis], 1.0)
            }
            Edge::Left | Edge::Top => (frame.at[axis] - self.shows, 0.0),
        };
        let room = frame.size[cross] - size[cross];
        let align = reader.choice(at.align.as_ref(), LineUp::Start);
        (corner[cross], stays[cross]) = lined_up(align, frame.at[cross], room);
        (corner, stays)
    }
}

impl Tucked {
    /// What to tell the person about the tucked piece.
    pub fn note(&self, units: Units) -> String {
        format!(
            "goes under the {} edge of {}, {} of it showing: glue it down first, or leave that edge without glue and \
             slip it in",
            self.side.name(),
            self.under,
            self.shows.show(units)
        )
    }

    /// What to tell the person about its host.
    pub fn note_of_host(&self, tucked: &str) -> String {
        format!("{tucked} goes under its {} edge: glue that down first", self.side.name())
    }
}

/// Whether a side is the left or the right one.
const fn is_level(side: Edge) -> bool {
    matches!(side, Edge::Left | Edge::Right)
}

/// The side of a size that sticks out.
const fn along_side(size: Size, side: Edge) -> Length {
    if is_level(side) { size.width } else { size.height }
}

/// A key that places the piece in another way, where it is tucked at `side`.
fn beside_a_tuck(at: &Where, side: Edge) -> Option<(&'static str, Place)> {
    let named = [
        ("below", &at.below),
        ("above", &at.above),
        ("right of", &at.right_of),
        ("left of", &at.left_of),
        ("on", &at.on),
    ];
    let named = named.into_iter().find_map(|(key, text)| Some((key, text.as_ref()?.place)));
    let across =
        [("left", &at.left), ("center", &at.center), ("right", &at.right), ("gap", &at.gap)];
    let down = [("top", &at.top), ("middle", &at.middle), ("bottom", &at.bottom), ("gap", &at.gap)];
    let lengths = if is_level(side) { across } else { down };
    named.or_else(|| lengths.into_iter().find_map(|(key, text)| Some((key, text.as_ref()?.place))))
}

/// Brings tucked blocks beneath their hosts: each that is listed after its host comes right before it. `own`
/// are the blocks of a page in their order, `hosts` the host of each block.
pub(super) fn beneath(own: &[usize], hosts: &[Option<usize>]) -> Vec<usize> {
    let mut order = Vec::with_capacity(own.len());
    // From the host to what is tucked under it, so that the last of a chain is laid first.
    let mut open: Vec<usize> = own.iter().rev().copied().collect();
    let mut begun = vec![false; hosts.len()];
    while let Some(block) = open.pop() {
        if order.contains(&block) {
            continue;
        }
        let is_tucked_here = |other: &&usize| hosts.get(**other).copied().flatten() == Some(block);
        let is_new = !begun.get(block).copied().unwrap_or(true);
        let tucked: Vec<usize> = own.iter().filter(is_tucked_here).copied().collect();
        let tucked = tucked.into_iter().filter(|other| !order.contains(other) && !begun[*other]);
        let tucked: Vec<usize> = if is_new { tucked.collect() } else { Vec::new() };
        if tucked.is_empty() {
            order.push(block);
            continue;
        }
        begun[block] = true;
        open.push(block);
        open.extend(tucked.into_iter().rev());
    }
    order
}
