//! A sheet's block: its drawing to scale, then what is done with it, in the order of her hands.

use crate::lettering::label::isolated;
use crate::model::SheetSource;
use crate::record::{Record, Sheet};

use super::columns::COLUMN;
use super::entries::{Block, Drawing, Entry};
use super::steps::{numbered, pile, steps};
use super::{gutting, machine_step, message, sheet_drawing, shown_size, tally};
use crate::draw::pdf::Document;

/// Width of the picture of the mat in inches.
const MAT: f64 = 1.3;

/// The block of a sheet; `em` measures names.
pub(super) fn block<'a>(
    document: &Document,
    record: &'a Record,
    sheet: &'a Sheet,
    em: &dyn Fn(&str) -> f64,
) -> Block<'a> {
    let about = about(record, sheet);
    let name = names(sheet);
    let mut block = Block::new(&format!("{}: {about}", sheet.names()), &name);
    let title = Entry::Title { title: name, about };
    let (size, lay) = sheet_drawing::size(sheet);
    // The picture of the mat stands beside the sheet's own where there is room, else in its step.
    let beside = machine_step::is_due(sheet) && size[0] + MAT <= COLUMN;
    let mut items = sheet_drawing::drawing(record, sheet, lay, em);
    if beside {
        items.extend(machine_step::drawing(document, record, sheet, [size[0], 0.0], MAT));
    }
    let size = match beside {
        true => [size[0] + MAT, size[1].max(machine_step::height(record, sheet, MAT))],
        false => size,
    };
    let drawing = Drawing { size, items };
    if lay.wide {
        block.wide = Some((title, drawing));
        tally::cut_alike(&mut block, record, sheet);
        buy_first(&mut block, sheet);
        print_first(&mut block, record, sheet);
    } else {
        block.add(title);
        tally::cut_alike(&mut block, record, sheet);
        buy_first(&mut block, sheet);
        print_first(&mut block, record, sheet);
        if !is_one_piece(sheet) {
            block.kept_together = block.entries.len();
            block.add(Entry::Drawing(drawing));
        }
    }
    let before = match machine_step::is_due(sheet) {
        true => (sheet.loaded().after as usize).min(sheet.cuts.len()),
        false => sheet.cuts.len(),
    };
    let (before, after) = sheet.cuts.split_at(before);
    for step in steps(record, sheet, before) {
        block.add(Entry::Step(step));
    }
    if machine_step::is_due(sheet) {
        machine(&mut block, document, record, sheet, !beside);
    } else if is_one_piece(sheet) {
        let done = sheet.placed.first().map(|placed| pile(record, &placed.piece));
        let done = done.unwrap_or_else(|| "done".to_owned());
        block.item(&format!("Nothing to trim: the whole sheet is the piece; {done}."));
    }
    if !after.is_empty() {
        block.heading("Then the trimmer");
        for step in steps(record, sheet, after) {
            block.add(Entry::Step(step));
        }
    }
    for note in gutting::notes(record, sheet).iter().chain(&notes(record, sheet)) {
        block.item(&message(note));
    }
    let falls = sheet.cuts.iter().flat_map(|cut| [&cut.keeps, &cut.drops]);
    let named = |id: &str| falls.clone().any(|falls| falls.what.id() == Some(id));
    for offcut in sheet.offcuts.iter().filter(|offcut| !named(&offcut.id)) {
        let size = shown_size(offcut.size, record.shown_units());
        let each = if sheet.count.is_one() { "" } else { " of each" };
        block.item(&format!("What is left{each} ({size}): keep as {}.", isolated(&offcut.id)));
    }
    block
}

/// Whether a sheet is a piece as it comes: nothing is done with it but to put it on its pile.
pub(super) fn is_whole(record: &Record, sheet: &Sheet) -> bool {
    is_one_piece(sheet)
        && sheet.printed.is_none()
        && sheet.in_register.is_none()
        && sheet.offcuts.is_empty()
        && notes(record, sheet).is_empty()
        && gutting::notes(record, sheet).is_empty()
}

/// Whether nothing is cut off a sheet: it is a piece as it comes, or becomes one by hand.
fn is_one_piece(sheet: &Sheet) -> bool {
    sheet.cuts.is_empty() && !machine_step::is_due(sheet) && sheet.placed.len() <= 1
}

/// A whole sheet in a line.
pub(super) fn whole(record: &Record, sheet: &Sheet) -> String {
    let piece = sheet.placed.first().map_or("", |placed| &placed.piece);
    let (name, about) = (names(sheet), about(record, sheet));
    let is = if sheet.count.is_one() { "is" } else { "are" };
    format!("{name} ({about}) {is} {}; {}.", numbered(record, piece), pile(record, piece))
}

/// The names of the sheets that are cut alike, the first and the last.
fn names(sheet: &Sheet) -> String {
    match sheet.id.all(sheet.count).last() {
        Some(last) if last != sheet.id => format!("{} to {}", isolated(&sheet.id), isolated(&last)),
        Some(_) | None => isolated(&sheet.id),
    }
}

fn buy_first(block: &mut Block<'_>, sheet: &Sheet) {
    if sheet.to_buy && !sheet.count.is_one() {
        block.item("Buy these sheets first: they are not on hand, so their edge is dashed.");
    } else if sheet.to_buy {
        block.item("Buy this sheet first: it is not on hand, so its edge is dashed.");
    }
}

fn print_first(block: &mut Block<'_>, record: &Record, sheet: &Sheet) {
    if let Some(page) = sheet.printed {
        let prints = record.prints.iter().any(|prints| prints.id == sheet.id);
        let file = if prints { "print/photos.pdf" } else { "print/strips.pdf" };
        let times = printed_times(sheet);
        if let SheetSource::FedOnce(start) = record.source(sheet) {
            block.item(&format!(
                "Feed the sheet that was printed once, the same side up, its printed end at the page's top: \
                 nothing is printed above {}. It has to be whole still.",
                start.show(record.shown_units())
            ));
            block.item(
                "This sheet is in no count of paper: what stays blank on it is named scrap; keep it if you like.",
            );
        }
        block.item(&format!(
            "Print page {page} of {file}{times} at 100 %, no scaling; let it dry, then cut."
        ));
        if !sheet.cuts.is_empty() {
            block.item(
                "A printer may shift the page by a hair: where the fence and a crop mark disagree, cut \
                 at the mark.",
            );
        }
    }
    if let Some(page) = sheet.in_register {
        let times = printed_times(sheet);
        block.item(&format!(
            "Print page {page} of print/in-register.pdf{times} on it at 100 %, no scaling; let it dry. Do not trim it \
             before the machine has cut it: the marks must stay."
        ));
    }
}

/// How often a page is printed, where that is more than once.
fn printed_times(sheet: &Sheet) -> String {
    match sheet.count.get() {
        1 => String::new(),
        count => format!(" {count} times, each time on a sheet of its own,"),
    }
}

/// The machine's step: a picture of the mat, if that stands nowhere else, and what to do.
fn machine(
    block: &mut Block<'_>,
    document: &Document,
    record: &Record,
    sheet: &Sheet,
    with_picture: bool,
) {
    block.heading(&machine_step::heading(sheet));
    if with_picture {
        let size = [MAT, machine_step::height(record, sheet, MAT)];
        let items = machine_step::drawing(document, record, sheet, [0.0; 2], MAT);
        let drawing = Drawing { size, items };
        block.add(Entry::Beside(drawing, machine_step::sentences(record, sheet)));
        return;
    }
    for sentence in machine_step::sentences(record, sheet) {
        block.item(&sentence);
    }
}

fn about(record: &Record, sheet: &Sheet) -> String {
    let size = shown_size(sheet.size, record.shown_units());
    let paper = isolated(&sheet.paper);
    match record.source(sheet) {
        SheetSource::New if sheet.to_buy => format!("{paper}, {size}{}, to buy", several(sheet)),
        SheetSource::New => format!("{paper}, {size}{}", several(sheet)),
        SheetSource::Middle(middle) => format!("{paper}, {}, {size}", isolated(&middle)),
        SheetSource::Part { whole, .. } => {
            format!("{paper}, cut from {}, {size}{}", isolated(&whole), several(sheet))
        }
        SheetSource::Offcut(offcut) => format!("{paper}, offcut {}, {size}", isolated(&offcut)),
        SheetSource::FedOnce(_) => format!("{paper}, printed once before, {size}"),
    }
}

/// How many sheets, where it is more than one.
fn several(sheet: &Sheet) -> String {
    match sheet.count.get() {
        1 => String::new(),
        count => format!(", {count}\u{a0}sheets"),
    }
}

/// What a person needs to know about the pieces beyond where to cut; what is true of several is said once.
fn notes(record: &Record, sheet: &Sheet) -> Vec<String> {
    let mut notes: Vec<(&str, Vec<String>)> = Vec::new();
    for placed in &sheet.placed {
        let name = numbered(record, &placed.piece);
        let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
        for note in piece.into_iter().flat_map(|piece| &piece.notes) {
            match notes.iter_mut().find(|(told, _)| told == note) {
                Some((_, names)) if names.contains(&name) => {}
                Some((_, names)) => names.push(name.clone()),
                None => notes.push((note, vec![name.clone()])),
            }
        }
    }
    notes.iter().map(|(note, names)| format!("{}: {note}.", names.join(", "))).collect()
}
