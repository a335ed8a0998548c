//! A border of equal blocks that comes out even.
//!
//! The rule. A run is as long as its edge, less the inset at both ends, and blocks stand at both ends of it.
//! The number of blocks is the one whose exact size comes nearest to the size that was asked for, the gap
//! being as it is written. With that number, or one more or less, a size and a gap on the ruler's marks are
//! looked for: the size not more than an eighth off what was asked for, the gap not more than two marks, both
//! together as little as can be. Where there are none, the gap stays and the size is what comes out, in whole
//! nanometres. With `keep: block` the size stays, and the gap is what comes out for the number whose gap is
//! nearest. Where edges meet, the block at the corner belongs to both.

use crate::description::{Border, BorderKeep, BorderSide, Marked, Text};
use crate::model::Fault;
use crate::model::length::{Length, Size, Units};

use super::super::Layout;
use super::super::blocks::{Block, LEAST_SIDE, Part, Pinned};
use super::super::fit::line::mark;
use super::super::reading::Reader;
use super::even::share;

/// Blocks of a border at most: more is a mistake.
pub(in crate::layout) const MOST_BLOCKS: usize = 400;
/// Marks by which a gap may differ from what is written, so that blocks end on the ruler.
const MARKS: i64 = 2;

/// Blocks along one edge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::layout) struct Run {
    /// How long each is.
    pub size: Length,
    /// Where each begins.
    pub starts: Vec<Length>,
}

/// Fills an edge of a length with blocks of about a size, about so far apart.
pub(in crate::layout) fn run(
    length: Length,
    [size, gap]: [Length; 2],
    keep: BorderKeep,
    units: Units,
) -> Result<Run, Fault> {
    let [whole, wished, between] = [length, size, gap].map(Length::to_nanometres);
    if wished > whole {
        let message = format!("a block of {} is longer than its edge", size.show(units));
        return Err(Fault::new(message, format!("the edge has {} for it", length.show(units))));
    }
    // With this many and one more, the wished size lies between those that fill the run.
    let fewer = ((whole + between) / (wished + between)).max(1);
    if usize::try_from(fewer).map_or(true, |count| count >= MOST_BLOCKS) {
        let message = format!("the border has more than {MOST_BLOCKS} blocks along one edge");
        return Err(Fault::new(message, "write larger blocks"));
    }
    let (count, size) = match keep {
        BorderKeep::Block => {
            let off = |count: i64| {
                ((whole - count * wished) - between * (count - 1)).abs() / (count - 1).max(1)
            };
            let fits = |count: &i64| *count >= 2 && count * wished <= whole;
            let best = [fewer, fewer + 1].into_iter().filter(fits).min_by_key(|count| off(*count));
            let Some(count) = best else {
                let message = format!("no two blocks of {} fit along the edge", size.show(units));
                return Err(Fault::new(message, "write smaller blocks, or leave `keep` out"));
            };
            (count, wished)
        }
        BorderKeep::Gap => {
            let exact = |count: i64| (whole - between * (count - 1)) / count;
            let off = |count: i64| (exact(count) - wished).abs();
            let count = if off(fewer + 1) < off(fewer) { fewer + 1 } else { fewer };
            if exact(count) < LEAST_SIDE.to_nanometres() {
                let message = format!("gaps of {} leave no room for the blocks", gap.show(units));
                return Err(Fault::new(message, "write a smaller `gap`"));
            }
            on_the_ruler(whole, [wished, between], count, units).unwrap_or((count, exact(count)))
        }
    };
    let free = Length::nanometres(whole - count * size);
    let size = Length::nanometres(size);
    let start = |block: i64| size * block + share(free, block, count - 1);
    Ok(Run { size, starts: (0..count).map(start).collect() })
}

/// Number and size of blocks which end on the ruler's marks, as do the gaps.
fn on_the_ruler(
    whole: i64,
    [wished, between]: [i64; 2],
    count: i64,
    units: Units,
) -> Option<(i64, i64)> {
    let mark = mark(units).to_nanometres();
    let nearest = (between + mark / 2) / mark * mark;
    let gaps = (-MARKS..=MARKS).map(|marks| nearest + marks * mark);
    let gaps: Vec<i64> = if between == 0 { vec![0] } else { gaps.filter(|gap| *gap > 0).collect() };
    let counts = (count - 1).max(1)..=count + 1;
    let all = counts.flat_map(|count| gaps.iter().map(move |gap| (count, *gap)));
    let sized = all.filter_map(|(count, gap)| {
        let free = whole - gap * (count - 1);
        let size = free / count;
        let is_there = size >= LEAST_SIDE.to_nanometres();
        let on_marks = free % count == 0 && size % mark == 0 && is_there;
        let is_near = (size - wished).abs() * 8 <= wished;
        let off = (size - wished).abs() + (gap - between).abs();
        (on_marks && is_near).then_some((off, count, size))
    });
    sized.min().map(|(_, count, size)| (count, size))
}

/// The block that a border is measured with, until its run is known.
pub(in crate::layout) fn block(
    reader: &mut Reader<'_>,
    border: &Border,
    id: &str,
) -> Option<(Size, Vec<Part>)> {
    let size = reader.size(&border.block);
    let papers = papers(reader, &border.papers)?;
    let is_there = size.width > Length::ZERO && size.height > Length::ZERO;
    is_there.then(|| (size, vec![Part::rectangle(id.to_owned(), "border", papers[0], size)]))
}

/// Takes note of a border, and of what it can't have.
pub(in crate::layout) fn prepare(reader: &mut Reader<'_>, block: &mut Block, border: &Border) {
    let common = border.common();
    let is_placed = common.at.0 != crate::description::Where::default();
    let (message, help) = if is_placed || common.turn.is_some() {
        ("a border goes where its edges are", "leave `at` and `turn` out, and write `inset`")
    } else if common.repeat.is_some() {
        ("a border can't be repeated", "write a border for each piece")
    } else if common.works_on_paper() || common.raised.is_some() {
        ("the blocks of a border are plain rectangles", "leave the key out")
    } else {
        block.border = Some(Box::new(border.clone()));
        return;
    };
    reader.problem(block.place, message, help);
}

fn papers(
    reader: &mut Reader<'_>,
    written: &Marked<crate::description::OneOrMany<Marked<Text>>>,
) -> Option<Vec<usize>> {
    if written.value.0.is_empty() {
        reader.problem(written.place, "there is no paper in the list", "name one");
        return None;
    }
    Some(written.each().map(|paper| reader.paper(&paper)).collect())
}

/// The sides of a border: top, right, bottom, left.
fn sides(reader: &mut Reader<'_>, border: &Border) -> [bool; 4] {
    let written: Vec<_> = border.along.each().collect();
    let named: Vec<BorderSide> = written.iter().filter_map(|side| reader.value(side)).collect();
    if written.is_empty() {
        reader.problem(
            border.along.place,
            "the border runs nowhere",
            "write `along: round`, or sides",
        );
    }
    [BorderSide::Top, BorderSide::Right, BorderSide::Bottom, BorderSide::Left]
        .map(|side| named.contains(&side) || named.contains(&BorderSide::Round))
}

/// The blocks of a border.
pub(super) fn laid(
    reader: &mut Reader<'_>,
    layout: &Layout,
    blocks: &[Block],
    index: usize,
    border: &Border,
) -> Option<Block> {
    let own = &blocks[index];
    let frame = match &border.of {
        Some(name) => super::size_of(reader, blocks, index, name)?,
        None => layout.page,
    };
    let wished = reader.size(&border.block);
    let gap = reader.distance(border.gap.as_ref(), Length::ZERO, "gap");
    let inset = reader.signed(border.inset.as_ref(), "inset");
    let keep = reader.choice(border.keep.as_ref(), BorderKeep::Gap);
    let papers = papers(reader, &border.papers)?;
    let [top, right, bottom, left] = sides(reader, border);
    let inner = [frame.width - inset * 2, frame.height - inset * 2];
    let mut fill = |is_run: bool, length: Length, size: Length| {
        if !is_run {
            return Some(Run { size, starts: Vec::new() });
        }
        let run = run(length, [size, gap], keep, reader.units);
        run.map_err(|fault| reader.problem(border.block.place, fault.message, fault.help)).ok()
    };
    let across = fill(top || bottom, inner[0], wished.width);
    let down = fill(left || right, inner[1], wished.height);
    let (across, down) = (across?, down?);
    let size = Size::new(across.size, down.size);
    let both = |one: bool, other: bool| i64::from(one) + i64::from(other);
    let room = [size.width * both(left, right), size.height * both(top, bottom)];
    if room[0] > inner[0] || room[1] > inner[1] {
        let message = "the border has no room: blocks of two sides would lie on each other";
        reader.problem(border.block.place, message, "write smaller blocks, or fewer sides");
        return None;
    }
    let far = [inner[0] - size.width, inner[1] - size.height];
    // Clockwise from the top left, one side alone to the right or down; a block at a corner belongs to both
    // of its sides.
    let level =
        |there: bool, y: Length| across.starts.iter().filter(move |_| there).map(move |x| [*x, y]);
    let upright = |there: bool, x: Length| {
        let shared =
            move |y: &&Length| !((top && **y == Length::ZERO) || (bottom && **y == far[1]));
        down.starts.iter().filter(move |_| there).filter(shared).map(move |y| [x, *y])
    };
    let clockwise = [top, right, bottom, left].into_iter().filter(|there| *there).count() > 1;
    let mut sides = [
        level(top, Length::ZERO).collect::<Vec<_>>(),
        upright(right, far[0]).collect(),
        level(bottom, far[1]).collect(),
        upright(left, Length::ZERO).collect(),
    ];
    if clockwise {
        sides[2..].iter_mut().for_each(|side| side.reverse());
    }
    let places = sides.concat();
    if places.len() > MOST_BLOCKS {
        let message = format!("the border has more than {MOST_BLOCKS} blocks");
        reader.problem(border.block.place, message, "write larger blocks, or fewer sides");
        return None;
    }
    let prefix = own.parts.first().map_or("", |part| part.id.as_str());
    let mut parts: Vec<Part> = Vec::new();
    for (number, [x, y]) in places.into_iter().enumerate() {
        let paper = papers[number % papers.len()];
        let part = Part::rectangle(format!("{prefix}.{}", number + 1), "border", paper, size);
        parts.push(part.moved(inset + x, inset + y));
    }
    let number = parts.len();
    if let Some(first) = parts.first_mut() {
        first.note(in_words(reader.units, number, size, [&across, &down]));
    }
    let mut laid = Block { parts, border: None, ..own.clone() };
    let at = laid.move_to_corner().map(Some);
    laid.pinned = Some(Pinned { of: border.of.clone(), at });
    Some(laid)
}

/// A border in words: how many blocks, how large, how far apart.
fn in_words(units: Units, number: usize, size: Size, runs: [&Run; 2]) -> String {
    let gap = |run: &Run| match run.starts[..] {
        [first, second, ..] => Some((second - first - run.size).show(units)),
        _ => None,
    };
    let apart = match runs.map(gap) {
        [Some(across), Some(down)] if across != down => {
            format!(", {across} apart across and {down} down")
        }
        [Some(one), _] | [None, Some(one)] => format!(", {one} apart"),
        [None, None] => String::new(),
    };
    format!("one of {number} blocks of {}{apart}", size.show(units))
}
