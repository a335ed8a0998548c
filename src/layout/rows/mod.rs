//! Pieces repeated along a line or an arc, once the sizes of all blocks are known: a row may run along a
//! piece.
//!
//! Of the one block that was measured, as many parts as the row has pieces are made, each with its place and
//! its turn. They stay one block, so that other pieces may be placed by the whole row.

pub(super) mod border;
mod even;
mod line;

use crate::description::{Edge, Marked, Place, RepeatSpec, RowArcSpec, RowSpec, Text, Where};
use crate::model::length::{Length, Size};

use self::even::{By, MOST, starts};
use self::line::Line;
use super::Layout;
use super::blocks::{Block, Content, Part, Pinned};
use super::reading::{Along, Reader};
use super::resolver::{find, named, row_of_piece};

/// Pieces of all rows together.
const MOST_PARTS: usize = 1_500;

/// The rows and borders along pieces of which nobody knows the size yet, or along such rows.
pub(super) fn along_unmeasured(reader: &Reader<'_>, blocks: &[Block]) -> Vec<bool> {
    let mut waiting: Vec<bool> =
        blocks.iter().map(|block| block.fit.is_some() && block.parts.is_empty()).collect();
    // A row may run along a piece of a row that is listed before it.
    let waits = |(index, block): (usize, &Block)| {
        let host = along(block).and_then(|name| {
            let found = find(reader, blocks, block.page, name).map(|(host, _)| host);
            found.or_else(|| row_of_piece(blocks, block.page, name))
        });
        let waits = host.is_some_and(|host| waiting[host]);
        waiting[index] |= waits;
        waits
    };
    blocks.iter().enumerate().map(waits).collect()
}

/// The name of what a row or a border runs along, if that is named.
fn along(block: &Block) -> Option<&str> {
    let name = match (&block.border, &block.repeat) {
        (Some(border), _) => border.of.as_ref().map(|of| &of.value),
        (None, Some(repeat)) => {
            let RowSpec { word, keys } = &repeat.value.along.value;
            word.as_ref().or(keys.of.as_ref()).map(|name| &name.value)
        }
        (None, None) => None,
    };
    name.map(|name| &*name.0)
}

/// The blocks with the pieces of their rows, but for those of which `waiting` says that they come later.
pub(super) fn laid_out(
    reader: &mut Reader<'_>,
    layout: &Layout,
    mut blocks: Vec<Block>,
    waiting: &[bool],
) -> Vec<Block> {
    let mut parts = 0;
    for index in 0..blocks.len() {
        if waiting.get(index).copied().unwrap_or_default() {
            continue;
        }
        let block = &blocks[index];
        let row = match (block.border.clone(), block.repeat.clone()) {
            (Some(border), _) => border::laid(reader, layout, &blocks, index, &border),
            (None, Some(repeat)) => row(reader, layout, &blocks, index, &repeat),
            (None, None) => continue,
        };
        let Some(row) = row else { continue };
        parts += row.parts.len();
        if parts > MOST_PARTS {
            let message = format!("rows and borders have more than {MOST_PARTS} pieces together");
            reader.problem(row.place, message, "write fewer of them");
            break;
        }
        blocks[index] = row;
    }
    blocks
}

/// What a row runs along.
struct Course {
    line: Line,
    /// The piece whose top left its places are measured from, if not the page's.
    of: Option<Marked<Text>>,
    /// Which of the two directions are left to the element's own position.
    free: [bool; 2],
    /// Whether it runs over both pages.
    over_both: bool,
    turned: bool,
}

fn row(
    reader: &mut Reader<'_>,
    layout: &Layout,
    blocks: &[Block],
    index: usize,
    repeat: &Marked<RepeatSpec>,
) -> Option<Block> {
    let block = &blocks[index];
    if block.across_spread {
        let message = "a strip over both pages can't be repeated";
        reader.problem(repeat.place, message, "leave `repeat` out, or write `across: page`");
        return None;
    }
    let course = course(reader, layout, blocks, index, repeat)?;
    tell_two_positions(reader, block, &course, repeat.place);
    // Upright pieces keep their own turn, others turn with the line.
    let tilts = tilts(reader, repeat);
    let own = |along: f64| if course.turned { block.turn + along } else { block.turn };
    let width =
        block.size_at(if course.turned { block.turn } else { block.turn - course.line.angle() });
    let starts = self::begin(reader, &course.line, width.width, repeat)?;
    let papers = papers(reader, repeat);
    let mut parts: Vec<Part> = Vec::new();
    for (number, start) in starts.iter().enumerate() {
        let (at, along) = course.line.at(*start, width.width);
        let tilt = tilts.get(number % tilts.len().max(1)).copied().unwrap_or(0.0);
        let turn = (own(along) + tilt) % 360.0;
        let (piece, middle) = block.turned_parts(turn);
        let corner = [at[0] - middle[0], at[1] - middle[1]];
        let paper = papers.get(number % papers.len().max(1)).copied();
        let unit =
            |part: Part| numbered(block, part, number + 1, paper).moved(corner[0], corner[1]);
        parts.extend(piece.into_iter().map(unit));
    }
    if let Some(first) = parts.first_mut() {
        first.note(in_words(reader, &course.line, &starts));
    }
    let mut row = Block { turn: 0.0, parts, repeat: None, ..block.clone() };
    let corner = row.move_to_corner();
    let of = course.of;
    if course.over_both {
        on_pages(reader, layout, &mut row, corner[0], repeat.place)?;
    }
    let home = if course.over_both { layout.page.width * whole(block.page) } else { Length::ZERO };
    let corner = [corner[0] - home, corner[1]];
    let at = [0, 1].map(|axis| (!course.free[axis]).then_some(corner[axis]));
    row.pinned = Some(Pinned { of, at });
    Some(row)
}

fn whole(number: usize) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

/// A part of one of the pieces: its name and its paper.
fn numbered(block: &Block, mut part: Part, number: usize, paper: Option<usize>) -> Part {
    let first = block.parts.first().map_or("", |part| part.id.as_str());
    let whole = first.split_once('.').map_or("", |(page, _)| page);
    let prefix = format!("{whole}.{}", block.id);
    if let Some(rest) = part.id.strip_prefix(&prefix) {
        part.id = format!("{prefix}.{number}{rest}");
    }
    if let (Some(new), Content::Paper { paper, .. }) = (paper, &mut part.content) {
        *paper = new;
    }
    part
}

/// Where the pieces begin along the row.
fn begin(
    reader: &mut Reader<'_>,
    line: &Line,
    width: Length,
    repeat: &Marked<RepeatSpec>,
) -> Option<Vec<Length>> {
    let spec = &repeat.value;
    let units = reader.units;
    let ends = spec.ends.as_ref().map(|ends| reader.distance(Some(ends), Length::ZERO, "ends"));
    let length = line.length();
    let free = (length - ends.unwrap_or(Length::ZERO) * 2).max(Length::ZERO);
    if let (true, Some(ends)) = (line.is_closed(), &spec.ends) {
        let message = "a whole circle has no ends";
        reader.problem(ends.place, message, "leave `ends` out, or end the arc before it closes");
        return None;
    }
    if width > free {
        let message = format!("a piece of {} doesn't fit the row", width.show(units));
        let help = format!("the row has {} for it", free.show(units));
        reader.problem(repeat.place, message, help);
        return None;
    }
    let by = match (&spec.count, &spec.pitch) {
        (Some(count), None) => {
            let most = (free.to_nanometres() / width.to_nanometres().max(1)).min(i64::from(MOST));
            if !(1..=most).contains(&i64::from(count.value)) {
                let message = format!("{} pieces don't fit side by side", count.value);
                let room = format!("there is room for 1 to {most} of {}", width.show(units));
                let help = if most == i64::from(MOST) {
                    format!("write 1 to {MOST}: a row has no more")
                } else {
                    room
                };
                reader.problem(count.place, message, help);
                return None;
            }
            By::Count(count.value)
        }
        (None, Some(pitch)) => {
            let step = reader.positive(pitch, Along::Width, "pitch");
            if step < width {
                if step > Length::ZERO {
                    let message = format!("pieces {} apart overlap", step.show(units));
                    let help = format!("write {} or more", width.show(units));
                    reader.problem(pitch.place, message, help);
                }
                return None;
            }
            let number = even::most(length, width, ends, step);
            if number > i64::from(MOST) {
                let message = format!("{number} pieces are more than a row may have");
                let help = format!("write a longer pitch: {MOST} pieces at most");
                reader.problem(pitch.place, message, help);
                return None;
            }
            By::Pitch(step)
        }
        (count, _) => {
            let place = count.as_ref().map_or(repeat.place, |count| count.place);
            let message = "it takes one of `count` and `pitch` to repeat a piece";
            reader.problem(place, message, "write how many, or how far apart their middles are");
            return None;
        }
    };
    if line.is_closed() {
        let number = match by {
            By::Count(count) => i64::from(count),
            By::Pitch(step) => (length.to_nanometres() / step.to_nanometres().max(1)).max(1),
        };
        // The first stands where the circle begins.
        let start = |piece| even::share(length, piece, number) - width / 2;
        return Some((0..number).map(start).collect());
    }
    Some(starts(length, width, ends, by))
}

/// How far the pieces are apart, in words.
fn in_words(reader: &Reader<'_>, line: &Line, starts: &[Length]) -> String {
    let count = starts.len();
    let [Some(first), Some(second)] = [0, 1].map(|number| starts.get(number)) else {
        return "repeated: one piece".to_owned();
    };
    let apart = (*second - *first).show(reader.units);
    format!("one of {count}: {apart} from middle to middle{}", line.in_words())
}

/// The papers that are taken in turn.
fn papers(reader: &mut Reader<'_>, repeat: &Marked<RepeatSpec>) -> Vec<usize> {
    let Some(written) = &repeat.value.papers else { return Vec::new() };
    if written.value.0.is_empty() {
        reader.problem(written.place, "there is no paper in the list", "name one, or leave it out");
    }
    written.each().map(|paper| reader.paper(&paper)).collect()
}

fn tilts(reader: &mut Reader<'_>, repeat: &Marked<RepeatSpec>) -> Vec<f64> {
    repeat.value.tilts.iter().map(|tilt| reader.turn(Some(tilt))).collect()
}

/// Notes a problem where a row has a position of its own and another is written.
fn tell_two_positions(reader: &mut Reader<'_>, block: &Block, course: &Course, place: Place) {
    let Where {
        left, center, right, top, middle, bottom, below, above, right_of, left_of, on, ..
    } = &block.at.0;
    let across = [left, center, right].into_iter().any(Option::is_some);
    let across = across || right_of.is_some() || left_of.is_some();
    let down = [top, middle, bottom].into_iter().any(Option::is_some);
    let down = down || below.is_some() || above.is_some();
    let [across_free, down_free] = course.free;
    let is_on = on.is_some() && !(across_free || down_free);
    if (across && !across_free) || (down && !down_free) || is_on {
        let message = format!("`{}` has two places: `at`, and what it is repeated along", block.id);
        reader.problem(place, message, "leave out of `at` what `along` says");
    }
}

/// Gives each piece of a row over both pages its page.
fn on_pages(
    reader: &mut Reader<'_>,
    layout: &Layout,
    row: &mut Block,
    left: Length,
    place: Place,
) -> Option<()> {
    let gutter = layout.page.width;
    for part in &mut row.parts {
        let from = left + part.offset[0];
        let to = from + part.reach()[0];
        if from < gutter && to > gutter {
            let message = format!("`{}` would lie in the gutter", part.id);
            let help = "write one piece more or fewer, or another pitch, so that a gap lies there";
            reader.problem(place, message, help);
            return None;
        }
        part.page = Some(usize::from(from >= gutter));
    }
    row.across_spread = true;
    Some(())
}

/// What a row runs along, read.
fn course(
    reader: &mut Reader<'_>,
    layout: &Layout,
    blocks: &[Block],
    index: usize,
    repeat: &Marked<RepeatSpec>,
) -> Option<Course> {
    let row = &repeat.value.along;
    let keys = &row.value.keys;
    let turned = keys.turned.as_ref().is_some_and(|turned| turned.value);
    let page = layout.page;
    let plain = |line| Course { line, of: None, free: [false; 2], over_both: false, turned };
    if let Some(word) = &row.value.word {
        return match &*word.value.0 {
            "page" => {
                let line = Line::straight([Length::ZERO; 2], [page.width, Length::ZERO]);
                Some(Course { free: [false, true], ..plain(line) })
            }
            "spread" if layout.pages.len() == 2 => {
                let line = Line::straight([Length::ZERO; 2], [page.width * 2, Length::ZERO]);
                Some(Course { free: [false, true], over_both: true, ..plain(line) })
            }
            "spread" => {
                let message = "a row over the spread needs both pages";
                reader.problem(row.place, message, "write `along: page`");
                None
            }
            _ => {
                let name = Marked { value: word.value.clone(), place: row.place };
                let size = size_of(reader, blocks, index, &name)?;
                let line = if size.width >= size.height {
                    let y = size.height / 2;
                    Line::straight([Length::ZERO, y], [size.width, y])
                } else {
                    let x = size.width / 2;
                    Line::straight([x, Length::ZERO], [x, size.height])
                };
                Some(Course { of: Some(name), ..plain(line) })
            }
        };
    }
    let given = [keys.from.is_some() || keys.to.is_some(), keys.edge.is_some(), keys.arc.is_some()];
    if given.iter().filter(|given| **given).count() != 1 {
        let message =
            "it takes one of `from` with `to`, `edge` and `arc` to know where the row runs";
        reader.problem(row.place, message, "write `{from: [1, 2], to: [11, 2]}`, for one");
        return None;
    }
    if let Some(arc) = &keys.arc {
        return Some(plain(self::arc(reader, arc)?));
    }
    if let Some(written) = &keys.edge {
        let edge = reader.value(written)?;
        let size = match &keys.of {
            Some(name) => size_of(reader, blocks, index, name)?,
            None => page,
        };
        let inset = reader.signed(keys.inset.as_ref(), "inset");
        let line = along_edge(edge, size, inset);
        return Some(Course { of: keys.of.clone(), ..plain(line) });
    }
    let (Some(from), Some(to)) = (&keys.from, &keys.to) else {
        let message = "a line has two ends, `from` and `to`";
        reader.problem(row.place, message, "write both: `{from: [1, 2], to: [11, 2]}`");
        return None;
    };
    let mut point =
        |[x, y]: &[_; 2]| [reader.length(x, Along::Width), reader.length(y, Along::Height)];
    let (from, to) = (point(from), point(to));
    if from == to {
        let message = "the line begins where it ends";
        reader.problem(
            row.place,
            message,
            "write two places, such as `{from: [1, 2], to: [11, 2]}`",
        );
        return None;
    }
    Some(plain(Line::straight(from, to)))
}

/// An edge of a rectangle, `inset` inside of it, clockwise round the rectangle but for those below and at the
/// left: a row runs to the right or down.
fn along_edge(edge: Edge, size: Size, inset: Length) -> Line {
    let Size { width, height } = size;
    match edge {
        Edge::Top => Line::straight([Length::ZERO, inset], [width, inset]),
        Edge::Bottom => Line::straight([Length::ZERO, height - inset], [width, height - inset]),
        Edge::Left => Line::straight([inset, Length::ZERO], [inset, height]),
        Edge::Right => Line::straight([width - inset, Length::ZERO], [width - inset, height]),
    }
}

fn arc(reader: &mut Reader<'_>, written: &Marked<RowArcSpec>) -> Option<Line> {
    let RowArcSpec { center: [x, y], radius, from, to } = &written.value;
    let center = [reader.length(x, Along::Width), reader.length(y, Along::Height)];
    let length = reader.positive(radius, Along::Width, "radius");
    if length > line::MOST_RADIUS {
        let most = line::MOST_RADIUS.show(reader.units);
        let message = format!("the radius is more than {most}");
        reader.problem(radius.place, message, "write a line, `{from, to}`: so flat an arc is one");
        return None;
    }
    for angle in [from, to] {
        if !angle.value.is_finite() || angle.value.abs() > 360.0 {
            let message = "the angle is not within 360 degrees";
            reader.problem(angle.place, message, "write degrees clockwise from straight up");
            return None;
        }
    }
    let degrees = to.value - from.value;
    if degrees.abs() > 360.0 || degrees == 0.0 {
        let message = "an arc has more than 0 degrees, and a whole circle has 360";
        reader.problem(to.place, message, "write `from: -30, to: 30`, for one");
        return None;
    }
    (length > Length::ZERO).then(|| Line::arc(center, length, [from.value, to.value]))
}

/// The size of a piece that a row runs along.
fn size_of(
    reader: &mut Reader<'_>,
    blocks: &[Block],
    index: usize,
    name: &Marked<Text>,
) -> Option<Size> {
    let (other, part) = named(reader, blocks, (blocks[index].page, Some(index)), name)?;
    let is_open = blocks[other].repeat.is_some() || blocks[other].border.is_some();
    if is_open && other < index {
        // What is wrong with that row has been told.
        return None;
    }
    if is_open {
        let message = format!("`{}` is a row or a border itself, listed later", &*name.value);
        reader.problem(name.place, message, "list it before the row that runs along it");
        return None;
    }
    Some(match part {
        Some(part) => blocks[other].frame_of(part).1,
        None => blocks[other].turned_size(),
    })
}
