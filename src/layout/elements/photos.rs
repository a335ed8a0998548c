//! Photos and banks of photos, each on its mats.

use crate::description::{Bank, BankRun, Marked, MatSpec, Single, Text, Written, nearest, slug};
use crate::model::length::{Length, LengthSum, Size};

use super::super::blocks::{Content, Part};
use super::super::reading::{Along, Reader};

/// The narrowest border of a print: a hairline.
const LEAST_BORDER: Length = Length::part(1, 128);

/// How the photos of a bank follow each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BankOrder {
    /// Side by side, their middles in line.
    Across,
    /// One under the other, their centres in line.
    Down,
    /// In rows of this many.
    Grid(usize),
}

/// Size and parts of a bank with what its photos are, whatever their sides.
pub(super) fn from_bank(
    reader: &mut Reader<'_>,
    id: &str,
    bank: &Bank,
) -> Option<(Size, Vec<Part>)> {
    let run = match reader.choice(bank.run.as_ref(), BankRun::Across) {
        BankRun::Across => BankOrder::Across,
        BankRun::Down => BankOrder::Down,
        BankRun::Grid => BankOrder::Grid(columns(bank)),
    };
    let gap = reader.distance(bank.gap.as_ref(), Length::ZERO, "gap");
    self::bank(reader, id, &bank.photos, run, gap, &bank.mats)
}

/// Columns of a grid: as written, or as square as the number of photos allows.
fn columns(bank: &Bank) -> usize {
    let count = bank.photos.len();
    match &bank.columns {
        Some(columns) => usize::try_from(columns.value).unwrap_or(1).clamp(1, count.max(1)),
        None => (1..=count).find(|columns| columns * columns >= count).unwrap_or(1),
    }
}

/// Photos in their order on common mats.
pub(super) fn bank(
    reader: &mut Reader<'_>,
    id: &str,
    names: &[Marked<Text>],
    run: BankOrder,
    gap: Length,
    mats: &[MatSpec],
) -> Option<(Size, Vec<Part>)> {
    let mut prints = Vec::new();
    for name in names {
        prints.push(print_as_written(reader, id, name)?);
    }
    let columns = match run {
        BankOrder::Across => prints.len(),
        BankOrder::Down => 1,
        BankOrder::Grid(columns) => columns,
    };
    let inner = arrange(&mut prints, columns, gap);
    let Mats { size, photos: [left, top], mut parts } = mats_round(reader, id, inner, mats);
    parts.extend(prints.into_iter().map(|print| print.moved(left, top)));
    Some((size, parts))
}

/// Sets photos in rows, each centred in its cell; returns the size of the whole.
fn arrange(prints: &mut [Part], columns: usize, gap: Length) -> Size {
    let rows = prints.len().div_ceil(columns);
    let widest = |column: usize| {
        prints.iter().skip(column).step_by(columns).map(|part| part.size.width).max()
    };
    let widths: Vec<Length> = (0..columns).filter_map(widest).collect();
    let heights: Vec<Length> = prints
        .chunks(columns)
        .filter_map(|row| row.iter().map(|part| part.size.height).max())
        .collect();
    let start = |lengths: &[Length], index: usize| {
        lengths.iter().take(index).map(|length| *length + gap).sum::<Length>()
    };
    for row in 0..rows {
        for column in 0..columns {
            let Some(print) = prints.get_mut(row * columns + column) else { continue };
            let left = start(&widths, column) + (widths[column] - print.size.width) / 2;
            let top = start(&heights, row) + (heights[row] - print.size.height) / 2;
            print.offset = [left, top];
        }
    }
    Size::new(start(&widths, columns) - gap, start(&heights, rows) - gap)
}

/// The mats of a bank.
pub(super) struct Mats {
    /// Size of the outermost.
    pub size: Size,
    /// Where the photos begin in the block.
    pub photos: [Length; 2],
    /// The mats, the outermost (lowest) first.
    pub parts: Vec<Part>,
}

/// The mats round photos of size `inner`.
pub(super) fn mats_round(reader: &mut Reader<'_>, id: &str, inner: Size, mats: &[MatSpec]) -> Mats {
    let mut size = inner;
    let mut laid: Vec<(Size, [Length; 2], Part)> = Vec::new();
    for (number, mat) in mats.iter().enumerate() {
        let reveal = &mat.reveal;
        let mut side = |side: &Written<LengthSum>, along| {
            reader.positive(&side.clone().at_or(reveal.place), along, "reveal")
        };
        let (left, right) =
            (side(&reveal.value.left, Along::Width), side(&reveal.value.right, Along::Width));
        let (top, bottom) =
            (side(&reveal.value.top, Along::Height), side(&reveal.value.bottom, Along::Height));
        let paper = reader.paper(&mat.paper);
        size = Size::new(size.width + left + right, size.height + top + bottom);
        let name = match number {
            0 => format!("{id}.mat"),
            _ => format!("{id}.mat-{}", number + 1),
        };
        for (_, _, inner) in &mut laid {
            *inner = inner.clone().moved(left, top);
        }
        laid.push((size, [left, top], Part::rectangle(name, "mat", paper, size)));
    }
    let photos = laid
        .iter()
        .fold([Length::ZERO; 2], |sum, (_, shift, _)| [sum[0] + shift[0], sum[1] + shift[1]]);
    Mats { size, photos, parts: laid.into_iter().rev().map(|(_, _, part)| part).collect() }
}

/// A photo as a part, of the size that is written.
pub(super) fn print_as_written(
    reader: &mut Reader<'_>,
    id: &str,
    name: &Marked<Text>,
) -> Option<Part> {
    let spec = reader.spec;
    let Some(photo) = spec.photos.get(&name.value) else {
        let names: Vec<&str> = spec.photos.keys().collect();
        let help = match nearest(&name.value, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("add it under `photos:`; there are: {}", names.join(", ")),
        };
        reader.problem(name.place, format!("there is no photo `{}`", &*name.value), help);
        return None;
    };
    let photo = &photo.value;
    let size = reader.size(&photo.size);
    if size.width <= Length::ZERO || size.height <= Length::ZERO {
        return None;
    }
    let border = reader.distance(photo.border.as_ref(), Length::ZERO, "border");
    if let Some(text) =
        photo.border.as_ref().filter(|_| border > Length::ZERO && border < LEAST_BORDER)
    {
        let message = format!("a border of `{}` can't be seen", &*text.text);
        let help = format!("write {} or more, or 0", LEAST_BORDER.show(reader.units));
        reader.problem(text.place, message, help);
    }
    if border * 2 >= size.width.min(size.height) {
        let place = photo.border.as_ref().map_or(photo.size.place, |border| border.place);
        reader.problem(place, "the border leaves no picture", "write a narrower border");
    }
    let facing = photo.facing.as_ref().and_then(|facing| reader.value(facing));
    let content = Content::Photo { name: name.value.0.clone(), border, facing };
    let page = id.split('.').next().unwrap_or_default();
    let id = format!("{page}.{}", slug(&name.value));
    Some(Part::new(id, size, content))
}
