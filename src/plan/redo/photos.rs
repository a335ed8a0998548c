//! Redo of photos: prints made again from the files that the record names.

use std::path::Path;
use std::sync::Arc;

use crate::description::{Place, Problem, Problems};
use crate::layout::{Framed, Layout, PlacedPhoto, Printer};
use crate::model::Stock;
use crate::model::length::{Length, Size};
use crate::picture::{Excerpt, PictureFile};
use crate::record::{Photo, Record};

use super::Chain;
use super::prints::excerpt;
use super::reading;
use super::wanted::Redo;

/// The ids of the photos that were printed.
pub(super) fn printed(record: &Record) -> impl Iterator<Item = &str> + Clone {
    record.photos.iter().filter(|photo| photo.picture.is_some()).map(|photo| photo.id.as_str())
}

/// The photo paper of a record.
pub(super) fn paper(record: &Record) -> Printer {
    record.photo_paper.map_or_else(Printer::default, |paper| Printer {
        paper: Size::of_inches(paper.size),
        margin: Length::inches(paper.margin),
    })
}

/// The photo paper that is left after a record's run, if that is known.
pub(super) fn stock(record: &Record) -> Option<Stock> {
    let left = record.photo_paper?.left?;
    let stock = Stock {
        size: Size::of_inches(left.size),
        count: left.count,
        price: left.price,
        ..Stock::default()
    };
    Some(stock)
}

/// Adds the photos to print again to a redo's layout, and the pictures that are printed on its pieces.
/// Their files are looked for in `folder`, where the spec stood, and must be those that were printed.
pub fn add_photos(
    layout: &mut Layout,
    chain: &Chain,
    wanted: &[Redo],
    folder: &Path,
) -> Result<(), Problems> {
    let record = chain.whole();
    let mut problems = Vec::new();
    for photo in &record.photos {
        let copies = copies_wanted(record, wanted, photo);
        if copies == 0 {
            continue;
        }
        let Some(picture) = &photo.picture else { continue };
        let excerpt = excerpt(picture);
        match same_picture(&excerpt, folder) {
            Ok(file) => add(layout, photo, copies, &excerpt, file),
            Err(problem) if problems.contains(&problem) => {}
            Err(problem) => problems.push(problem),
        }
    }
    let on_pieces: Vec<(String, Excerpt)> = layout
        .pieces
        .iter()
        .filter_map(|piece| {
            let excerpt = &piece.print.as_ref()?.picture.as_ref()?.excerpt;
            Some((format!("print on {}", piece.id), excerpt.clone()))
        })
        .collect();
    for (name, excerpt) in on_pieces {
        match same_picture(&excerpt, folder) {
            Ok(file) => layout.pictures.push(framed(name, &excerpt, file)),
            Err(problem) if problems.contains(&problem) => {}
            Err(problem) => problems.push(problem),
        }
    }
    // Where a paper's picture is gone, its colour is drawn.
    let of_papers = layout.papers.iter().filter_map(|paper| {
        let excerpt = &paper.picture.as_ref()?.excerpt;
        Some((format!("paper {}", paper.name), excerpt.clone()))
    });
    let of_papers: Vec<(String, Excerpt)> = of_papers.collect();
    for (name, excerpt) in of_papers {
        if let Ok(file) = same_picture(&excerpt, folder) {
            layout.pictures.push(framed(name, &excerpt, file));
        }
    }
    if problems.is_empty() { Ok(()) } else { Err(Problems(problems)) }
}

fn framed(photo: String, excerpt: &Excerpt, file: Arc<PictureFile>) -> Framed {
    Framed { photo, file, crop: excerpt.crop, resolution: excerpt.resolution }
}

/// How many of a photo are printed again.
fn copies_wanted(record: &Record, wanted: &[Redo], photo: &Photo) -> u32 {
    let copies = wanted.iter().map(|redo| match redo {
        Redo::Piece(id) => u32::from(*id == photo.id),
        Redo::Copies(id, copies) if *id == photo.id => *copies,
        Redo::Copies(..) => 0,
        Redo::Sheet(id) => {
            let sheets = record.prints.iter().filter(|sheet| sheet.id == *id);
            let placed = sheets.flat_map(|sheet| &sheet.placed);
            placed.map(|placed| u32::from(placed.piece == photo.id)).sum()
        }
    });
    copies.max().unwrap_or(0)
}

/// The very file that the record names.
fn same_picture(picture: &Excerpt, folder: &Path) -> Result<Arc<PictureFile>, Problem> {
    let found = PictureFile::open(&folder.join(&picture.file), &picture.file).map_err(|error| {
        let help = format!(
            "{}; name the folder in which the spec stands with --from (looked in `{}`)",
            error.help,
            folder.display()
        );
        Problem::input(error.message, help)
    })?;
    if found.sha256 == picture.sha256 {
        return Ok(Arc::new(found));
    }
    Err(Problem::input(
        format!("`{}` has changed since the spread was built", picture.file),
        "put the old picture back, or build the spread anew",
    ))
}

fn add(layout: &mut Layout, photo: &Photo, copies: u32, excerpt: &Excerpt, file: Arc<PictureFile>) {
    layout.photos.push(PlacedPhoto {
        id: photo.id.clone(),
        name: photo.name.clone(),
        copies,
        size: Size::of_inches(photo.size),
        tucked: photo.tucked.as_ref().and_then(reading::tucked),
        raised: photo.raised.as_ref().map(reading::raised),
        border: Length::inches(photo.border),
        facing: photo.looks,
        page: layout.pages.iter().position(|page| *page == photo.page).unwrap_or(0),
        at: photo.at,
        turn: photo.turn,
        order: photo.order,
        place: Place::default(),
    });
    if layout.picture(&photo.name).is_none() {
        layout.pictures.push(framed(photo.name.clone(), excerpt, file));
    }
}
