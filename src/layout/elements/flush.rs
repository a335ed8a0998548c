//! Banks whose photos end flush: read, solved, laid out.

use crate::description::{Bank, BankAlign, BankBy, BankRun, LengthOrFit, Place, Written, slug};
use crate::model::length::{Length, Size, Units};
use crate::model::{MOST_PHOTOS, Warning};

use super::super::blocks::Part;
use super::super::fit::asked::clashes;
use super::super::fit::flush::{Flush, FlushLine, Print};
use super::super::fit::line::{in_marks, mark};
use super::super::pictures;
use super::super::reading::BankTold;
use super::super::reading::{Along, Reader};
use super::photos::{self, Mats};

/// Notes a problem with keys that only say something of photos that end flush.
pub(super) fn only_with_align(reader: &mut Reader<'_>, bank: &Bank) {
    let places = [
        bank.by.as_ref().map(|by| ("by", by.place)),
        bank.width.as_ref().map(|width| ("width", width.place)),
        bank.height.as_ref().map(|height| ("height", height.place)),
    ];
    for (key, place) in places.into_iter().flatten() {
        let message = format!("`{key}` says how the photos of a bank are made to end flush");
        reader.problem(
            place,
            message,
            "write `align: heights` or `align: widths`, or leave it out",
        );
    }
}

/// Size and parts of a bank whose photos end flush.
pub(super) fn bank(
    reader: &mut Reader<'_>,
    id: &str,
    bank: &Bank,
    align: &Written<BankAlign>,
) -> Option<(Size, Vec<Part>)> {
    let place = align.place;
    if bank.photos.len() > MOST_PHOTOS {
        let message = format!("{} photos are too many to make end flush", bank.photos.len());
        reader.problem(place, message, format!("name {MOST_PHOTOS} at most, or part the bank"));
        return None;
    }
    let along = match reader.value(align)? {
        BankAlign::Heights => 0,
        BankAlign::Widths => 1,
    };
    let run = bank.run.as_ref().map(|run| reader.choice(Some(run), BankRun::Across));
    if matches!((run, along), (Some(BankRun::Across), 1) | (Some(BankRun::Down), 0)) {
        let message =
            "photos side by side line up by their heights, one under the other by their widths";
        let help =
            ["write `align: widths`, or `run: across`", "write `align: heights`, or `run: down`"]
                [along];
        reader.problem(place, message, help);
        return None;
    }
    if let Some(columns) = &bank.columns {
        let message = "which photos stand in a line is chosen so that they change least";
        reader.problem(columns.place, message, "leave `columns` out");
    }
    let by = reader.choice(bank.by.as_ref(), BankBy::Crop);
    let gap = reader.distance(bank.gap.as_ref(), Length::ZERO, "gap");
    let (own, common) = match (by, &bank.mats[..]) {
        (BankBy::Mat, [own, common @ ..]) => (Some(own), common),
        (BankBy::Mat, []) => {
            let place = bank.by.as_ref().map_or(place, |by| by.place);
            let message = "these photos have no mats that could make up for what they lack";
            reader.problem(place, message, "write `mats: [{paper: …, reveal: 1/4}]`");
            return None;
        }
        (BankBy::Crop | BankBy::Enlarge, common) => (None, common),
    };
    let mut prints = Vec::new();
    for name in &bank.photos {
        prints.push(photos::print_as_written(reader, id, name)?);
        allowed(reader, &name.value, by, name.place);
    }
    let own_mats: Vec<Mats> = match own {
        Some(own) => {
            let each = bank.photos.iter().zip(&prints);
            let own = std::slice::from_ref(own);
            each.map(|(name, print)| {
                let id = format!("{id}.{}", slug(&name.value));
                photos::mats_round(reader, &id, print.size, own)
            })
            .collect()
        }
        None => Vec::new(),
    };
    let frame = photos::mats_round(reader, id, Size::new(Length::ZERO, Length::ZERO), common).size;
    let frame = [frame.width, frame.height];
    let wanted = [&bank.width, &bank.height];
    let inner = |reader: &mut Reader<'_>, axis: usize| -> Option<Length> {
        let written: &Written<LengthOrFit> = wanted[axis].as_ref()?;
        let along = [Along::Width, Along::Height][axis];
        let whole = reader.positive(&written.given()?, along, ["width", "height"][axis]);
        Some(whole - frame[axis])
    };
    let (long, thick) = (inner(reader, along), inner(reader, 1 - along));
    let is_grid = run == Some(BankRun::Grid);
    if let Some(written) = wanted[1 - along].as_ref().filter(|_| is_grid) {
        let message =
            ["rows are as high as they come out", "columns are as wide as they come out"][along];
        reader.problem(written.place, message, "leave this out");
        return None;
    }
    if reader.has_problems() {
        return None;
    }
    let sized = |size: Size| [size.width, size.height];
    let items: Vec<Print> = prints
        .iter()
        .enumerate()
        .map(|(number, print)| Print {
            name: format!("`{}`", &*bank.photos[number].value),
            size: sized(own_mats.get(number).map_or(print.size, |mats| mats.size)),
        })
        .collect();
    let flush = Flush { along, by, gap, long, thick, units: reader.units };
    let solved = match is_grid {
        false => flush.line(&items).map(|line| vec![line]),
        true => match flush.lines(&items) {
            Some(lines) => lines,
            None => {
                let line = ["rows", "columns"][along];
                let message = format!(
                    "no {line} of these photos, in their order, come out at one length {by}"
                );
                let help = "change the length or the order of the photos, or write another `by`";
                reader.problem(place, message, help);
                return None;
            }
        },
    };
    let lines = match solved {
        Ok(lines) => lines,
        Err(clash) => {
            clashes(reader, place, &clash);
            return None;
        }
    };
    let (inside, parts) = laid(reader, (along, gap, by), &lines, prints, own_mats);
    told(reader, (id, bank, place), (along, by), &lines, &parts);
    let Mats { size, photos: [left, top], parts: mut all } =
        photos::mats_round(reader, id, inside, common);
    all.extend(parts.into_iter().map(|part| part.moved(left, top)));
    Some((size, all))
}

/// Notes a problem with a photo to which that can't be done.
fn allowed(reader: &mut Reader<'_>, name: &str, by: BankBy, place: Place) {
    let spec = reader.spec;
    let Some(photo) = spec.photos.get(name).map(|photo| &photo.value) else { return };
    if by == BankBy::Mat {
        return;
    }
    let pages = [&spec.left, &spec.right, &spec.single].into_iter().flatten();
    let uses: usize =
        pages.flat_map(|page| &page.pieces).map(|element| element.value.shows(name)).sum();
    if uses > 1 {
        let message = format!("`{name}` lies in {uses} places, and here its size is changed");
        reader.problem(place, message, "give it a second entry under `photos`, of another name");
    }
    let may_be_trimmed = photo.trim.as_ref().is_some_and(|trim| trim.value);
    let has_border = photo.border.is_some();
    if photo.file.is_some() {
        return;
    }
    match by {
        BankBy::Enlarge => {
            let message = format!("`{name}` is a print on hand, which gets no larger");
            reader.problem(
                place,
                message,
                "name its `file`, so that it is printed, or write `by: mat`",
            );
        }
        BankBy::Crop if !may_be_trimmed => {
            let message = format!("`{name}` is a print on hand, which may not be cropped");
            let help = "write `trim: true` at the photo if it may be trimmed, name its `file`, or write `by: mat`";
            reader.problem(place, message, help);
        }
        BankBy::Crop if has_border => {
            let message =
                format!("`{name}` has a white border, which trimming would cut off on some sides");
            reader.problem(place, message, "write `by: mat`, or the size without its border");
        }
        BankBy::Crop | BankBy::Mat => {}
    }
}

/// Photos and their own mats where they lie within the bank's common mats, and how large that is.
fn laid(
    reader: &mut Reader<'_>,
    (along, gap, by): (usize, Length, BankBy),
    lines: &[FlushLine],
    prints: Vec<Part>,
    own_mats: Vec<Mats>,
) -> (Size, Vec<Part>) {
    let mut parts = Vec::new();
    let mut prints = prints.into_iter();
    let mut mats = own_mats.into_iter();
    let mut at = [Length::ZERO; 2];
    let mut most = [Length::ZERO; 2];
    for line in lines {
        at[along] = Length::ZERO;
        for (long, mut print) in line.long.iter().zip(prints.by_ref().take(line.count)) {
            let mut size = [line.thick; 2];
            size[along] = *long;
            let whole = Size::new(size[0], size[1]);
            match mats.next().filter(|_| by == BankBy::Mat) {
                Some(own) => {
                    let before = [own.size.width, own.size.height];
                    let more = [0, 1].map(|axis| (size[axis] - before[axis]) / 2);
                    // What is no even number of marks shows below or to the right.
                    let more = more.map(|more| mark(reader.units) * in_marks(more, reader.units).0);
                    for mat in own.parts {
                        let mat = Part::rectangle(mat.id.clone(), "mat", mat.paper_index(), whole);
                        parts.push(mat.moved(at[0], at[1]));
                    }
                    let [left, top] = own.photos;
                    parts.push(print.moved(at[0] + left + more[0], at[1] + top + more[1]));
                }
                None => {
                    if print.size != whole {
                        if let Some(name) = print.photo_name() {
                            reader.fitted_photos.insert(name.to_owned(), whole);
                        }
                        print.size = whole;
                    }
                    parts.push(print.moved(at[0], at[1]));
                }
            }
            at[along] += *long;
            most[along] = most[along].max(at[along]);
            at[along] += gap;
        }
        at[1 - along] += line.thick;
        most[1 - along] = at[1 - along];
        at[1 - along] += gap;
    }
    (Size::new(most[0], most[1]), parts)
}

/// How much of a print is cut off on which sides: what is kept lies as near round `focus` as its edges
/// permit, on the ruler's marks from the left and the top.
fn cut_off(before: Size, after: Size, focus: [f64; 2], units: Units) -> String {
    let sides = [
        (["the left", "the right"], before.width, after.width, focus[0]),
        (["the top", "the bottom"], before.height, after.height, focus[1]),
    ];
    let told = sides.into_iter().filter(|(_, before, after, _)| before > after).map(
        |(names, before, after, focus)| {
            let whole = before - after;
            let wanted = Length::inches(before.to_inches() * focus) - after / 2;
            let first = wanted.clamp(Length::ZERO, whole);
            let first = if first == whole { whole } else { mark(units) * in_marks(first, units).0 };
            let [one, other] = names;
            let rest = whole - first;
            match [first, rest] {
                [_, Length::ZERO] => format!("{} off {one}", first.show(units)),
                [Length::ZERO, _] => format!("{} off {other}", rest.show(units)),
                _ if first == rest => {
                    format!("{} off {one} and as much off {other}", first.show(units))
                }
                _ => {
                    format!("{} off {one} and {} off {other}", first.show(units), rest.show(units))
                }
            }
        },
    );
    told.collect::<Vec<_>>().join(", ")
}

/// Keeps what was decided, and says which prints have to be trimmed.
fn told(
    reader: &mut Reader<'_>,
    (id, bank, place): (&str, &Bank, Place),
    (along, by): (usize, BankBy),
    lines: &[FlushLine],
    parts: &[Part],
) {
    let units = reader.units;
    for part in parts {
        let Some(name) = part.photo_name() else { continue };
        let Some(photo) = reader.spec.photos.get(name).filter(|photo| photo.value.file.is_none())
        else {
            continue;
        };
        let before = reader.size(&photo.value.size);
        if before != part.size {
            let focus = pictures::focus(reader, photo.value.focus.as_ref());
            let message = format!(
                "the print `{name}` of {} is trimmed to {}: {}",
                before.show(units),
                part.size.show(units),
                cut_off(before, part.size, focus, units)
            );
            reader.warn(Warning {
                kind: "print to trim".to_owned(),
                message,
                help: "trim it before you glue it down, and look first what it may lose; `focus: [across, down]` \
                       at the photo chooses what is kept"
                    .to_owned(),
                piece: None,
                line: place.line,
            });
        }
    }
    let way = ["high", "wide"][along];
    let line = ["row", "column"][along];
    let mut names = bank.photos.iter().map(|name| format!("`{}`", &*name.value));
    let rows = lines.iter().map(|one| {
        let these: Vec<String> = names.by_ref().take(one.count).collect();
        format!("{}, each {} {way}", these.join(", "), one.thick.show(units))
    });
    let rows: Vec<String> = rows.collect();
    let with = if by == BankBy::Mat { " with its mat" } else { "" };
    let lines =
        if lines.len() > 1 { format!("{line}s that end") } else { format!("a {line} that ends") };
    let done = match by {
        BankBy::Crop => "cropped",
        BankBy::Enlarge => "printed",
        BankBy::Mat => "matted",
    };
    let message = format!("{done} to {lines} flush: {}{with}", rows.join("; "));
    let written = parts.iter().filter_map(|part| Some((part.photo_name()?, part.size)));
    let sizes: Vec<String> = written
        .map(|(name, size)| format!("{name}: {}", size.show(units).trim_end_matches(" in")))
        .collect();
    let write = (by != BankBy::Mat).then(|| format!("sizes {}", sizes.join(", ")));
    reader.fitted_banks.insert(id.to_owned(), BankTold { message, write, place });
}
