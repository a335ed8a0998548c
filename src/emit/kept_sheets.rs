//! The pictures of sheets, kept by what they follow from: an edit that changes one sheet draws one picture.
//!
//! A picture is drawn from a record that holds just what is seen of a sheet, everything else being left out;
//! so it can follow from nothing else, and two sheets that look alike ask the same.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::sheet_picture::sheet_svg;
use crate::kept::Kept;
use crate::lettering::fonts::Font;
use crate::record::{Paper, Photo, Piece, Record, Sheet};

/// What of a font is seen: its file's hash, its axes and its features.
type Face = (String, BTreeMap<String, f64>, BTreeMap<String, u32>);

/// Pictures drawn last: those of the sheets of a few spreads.
static DRAWN: Kept<(Record, Vec<Face>), Arc<str>> = Kept::new(128);

/// The picture of a sheet as a document, drawn once in a process: the bytes of [`sheet_svg`].
pub fn kept_sheet_svg(record: &Record, sheet: &Sheet, label_font: &Font) -> Arc<str> {
    let draw = |record: &Record| sheet_svg(record, sheet, label_font).document().into();
    let Some(seen) = seen(record, sheet) else { return draw(record) };
    let face = |font: &Font| (font.sha256.clone(), font.axes.clone(), font.features.clone());
    let faces = label_font.with_its_stand_ins().into_iter().map(face).collect();
    DRAWN.of((seen, faces), |(seen, _)| draw(seen))
}

/// What is seen of a sheet, everything at its place in the record; nothing where the pattern on it goes on
/// from the sheet that it was cut from.
fn seen(record: &Record, sheet: &Sheet) -> Option<Record> {
    let place = record.sheets.iter().position(|other| other.id == sheet.id)?;
    let paper = record.papers.iter().position(|paper| paper.name == sheet.paper)?;
    let is_told = record.papers.get(paper).is_some_and(|paper| paper.pattern.is_some());
    if is_told && sheet.from.is_some() {
        return None;
    }
    let paper_of = |(number, of): (usize, &Paper)| match number == paper {
        true => Paper {
            name: of.name.clone(),
            color: of.color,
            pattern: of.pattern.clone(),
            picture: of.picture.clone(),
            directional: of.directional,
            ..Paper::default()
        },
        false => Paper::default(),
    };
    // Its own, and those that parts of it become, whose words are told.
    let sheet_of = |(number, of): (usize, &Sheet)| match () {
        () if number == place => of.clone(),
        () if sheet.parts.iter().any(|part| part.id == of.id) => Sheet {
            id: of.id.clone(),
            printed: of.printed,
            in_register: of.in_register,
            ..Sheet::default()
        },
        () => Sheet::default(),
    };
    let is_on_it = |id: &str| sheet.placed.iter().any(|placed| placed.piece == *id);
    let piece_of = |of: &Piece| match is_on_it(&of.id) {
        true => Piece {
            id: of.id.clone(),
            copies: of.copies,
            size: of.size,
            outline: of.outline.clone(),
            path: of.path.clone(),
            lines: of.lines.clone(),
            ..Piece::default()
        },
        false => Piece::default(),
    };
    let photo_of = |of: &Photo| match is_on_it(&of.id) {
        true => Photo { id: of.id.clone(), ..Photo::default() },
        false => Photo::default(),
    };
    let mut seen = Record {
        name: record.name.clone(),
        shown_in: record.shown_in,
        inks: record.inks,
        papers: record.papers.iter().enumerate().map(paper_of).collect(),
        sheets: record.sheets.iter().enumerate().map(sheet_of).collect(),
        pieces: record.pieces.iter().map(piece_of).collect(),
        photos: record.photos.iter().map(photo_of).collect(),
        ..Record::default()
    };
    // What comes after the last that is seen doesn't count.
    cut(&mut seen.papers, &Paper::default());
    cut(&mut seen.sheets, &Sheet::default());
    cut(&mut seen.pieces, &Piece::default());
    cut(&mut seen.photos, &Photo::default());
    Some(seen)
}

/// Leaves out what a list ends with that is nothing.
fn cut<T: PartialEq>(list: &mut Vec<T>, nothing: &T) {
    let kept = list.iter().rposition(|one| one != nothing).map_or(0, |last| last + 1);
    list.truncate(kept);
}
