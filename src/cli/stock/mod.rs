//! `stock` and `undo`: the paper on hand, and the ledger of where it came from and went.

pub mod args;
mod buy;
mod held;
mod history;
pub mod of_spread;
mod table;

use cutleaf::model::Fault;
use std::fs;
use std::path::Path;

use cutleaf::description::Problem;
use cutleaf::emit::stock::stock_html;
use cutleaf::emit::stock_pictures::PaperPictures;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::Color;
use cutleaf::model::length::{Length, Size, Units, parse_sides};

use super::{Done, Failure, new, say, say_beside, say_json};
use args::{PlaceArguments, StockArguments, StockCommand, UndoArguments, WhatArguments};
pub use held::{HeldStock, of_stock, say_conflicts};
pub use of_spread::{OfSpread, reserve};

/// Shows the stock, or enters something.
pub fn run(arguments: &StockArguments) -> Result<Done, Failure> {
    match &arguments.command {
        None => show(arguments),
        Some(StockCommand::Init { folder }) => init(folder),
        Some(StockCommand::Add { what, color }) => add(what, color.as_deref()),
        Some(StockCommand::Take(what)) => {
            enter(&what.place, |held| held.shelf.take(&what.what, what.count).map(|_| true))
        }
        Some(StockCommand::Spoil(what)) => {
            enter(&what.place, |held| held.shelf.spoil(&what.what, what.count).map(|_| true))
        }
        Some(StockCommand::Count { what, count, place }) => {
            enter(place, |held| held.shelf.count(what, *count).map(|entry| entry.is_some()))
        }
        Some(StockCommand::Find { size, paper, place, json }) => {
            find(&size.join(" "), paper.as_deref(), place, *json)
        }
        Some(StockCommand::Buy(arguments)) => return buy::run(arguments),
        Some(StockCommand::History { place, json }) => history(place, *json),
    }
    .map(Done::whole)
}

/// Takes the last entry back.
pub fn undo(arguments: &UndoArguments) -> Result<(), Failure> {
    let mut held = open(&arguments.place)?;
    let entry = held.shelf.undo().map_err(|problem| of_stock(&held, problem))?;
    held.save()?;
    let told = history::told(&entry, held.shelf.stock().units);
    say(format_args!("Took back entry {}: {told}.", entry.number));
    say_conflicts(&held.shelf);
    Ok(())
}

fn history(place: &PlaceArguments, json: bool) -> Result<(), Failure> {
    let mut held = open(place)?;
    held.note();
    history::list(&held.shelf, json);
    Ok(())
}

fn open(place: &PlaceArguments) -> Result<HeldStock, Failure> {
    let held = HeldStock::here(place.file.as_deref())?;
    held.say_noticed();
    Ok(held)
}

fn show(arguments: &StockArguments) -> Result<(), Failure> {
    let shown = &arguments.shown;
    let mut held = open(&shown.place)?;
    held.note();
    if let Some(file) = &shown.html {
        let font = FontBook::default().find("text").map_err(Problem::from)?;
        let pictures = PaperPictures::of(held.shelf.stock(), held.folder());
        pictures.faults.iter().for_each(|fault| say_beside(fault));
        let notes = notes(&held, &pictures);
        fs::write(file, stock_html(&held.shelf, &pictures, &font, &notes)).map_err(|error| {
            let message = format!("`{}` can't be written: {error}", file.display());
            Problem::input(message, "check the folder and its permissions")
        })?;
    }
    if shown.json {
        say_json(&table::data(&held.shelf));
        return Ok(());
    }
    table::show(&held.shelf);
    say_conflicts(&held.shelf);
    if let Some(file) = &shown.html {
        say(format_args!("Drawn in {}", file.display()));
    }
    Ok(())
}

/// What is written above the picture of a stock: which spreads want the same paper, pictures that can't be
/// read.
pub fn notes(held: &HeldStock, pictures: &PaperPictures) -> Vec<String> {
    let mut notes = table::conflicts(&held.shelf);
    notes.extend(pictures.faults.iter().cloned());
    notes
}

/// Writes a stock to fill in.
fn init(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| {
        let message = format!("`{}` can't be made: {error}", folder.display());
        Problem::input(message, "name another folder")
    })?;
    new::copy(new::STOCK, folder)?;
    say("Fill it in; `cutleaf stock` in that folder or below shows what is on hand.");
    Ok(())
}

fn add(what: &WhatArguments, color: Option<&str>) -> Result<(), Failure> {
    let color = match color {
        None => None,
        Some(text) => Some(Color::parse(text).ok_or_else(|| {
            let help = "write it as \"#rrggbb\", in quotes";
            Problem::input(format!("`{text}` is not a colour"), help)
        })?),
    };
    enter(&what.place, |held| held.shelf.add(&what.what, what.count, color).map(|_| true))
}

/// Makes an entry, and says which.
fn enter(
    place: &PlaceArguments,
    make: impl FnOnce(&mut HeldStock) -> Result<bool, Problem>,
) -> Result<(), Failure> {
    let mut held = open(place)?;
    let made = make(&mut held).map_err(|problem| of_stock(&held, problem))?;
    held.save()?;
    match held.shelf.entries().last().filter(|_| made) {
        Some(entry) => {
            let told = history::told(entry, held.shelf.stock().units);
            say(format_args!("Entry {}: {told}.", entry.number));
        }
        None => say("As it was known: nothing is entered."),
    }
    say_conflicts(&held.shelf);
    Ok(())
}

fn find(
    size: &str,
    paper: Option<&str>,
    place: &PlaceArguments,
    json: bool,
) -> Result<(), Failure> {
    let mut held = open(place)?;
    held.note();
    let stock = held.shelf.stock();
    let piece = size_of(size, stock.units)?;
    let found = stock.holding(piece, paper)?;
    if json {
        say_json(&table::found_data(&found));
    } else {
        table::show_found(&found, piece, stock.units);
    }
    Ok(())
}

/// A size on the command line.
fn size_of(text: &str, units: Units) -> Result<Size, Failure> {
    let fault = |Fault { message, help }| Failure::from(Problem::input(message, help));
    let none = || Fault::new(format!("`{text}` is not a size"), "write it like 4 x 6");
    let [width, height] = parse_sides(text, units).ok_or_else(none).map_err(fault)?;
    let [width, height] = [width, height].map(|side| side.map(|side| side.of(Length::ZERO)));
    let (width, height) = (width.map_err(fault)?, height.map_err(fault)?);
    if width <= Length::ZERO || height <= Length::ZERO {
        return Err(fault(none()));
    }
    Ok(Size::new(width, height))
}
