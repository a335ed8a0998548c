//! `redo`: one piece or one sheet again, from the paper that is left.

use std::path::{Path, PathBuf};

use cutleaf::run::{self, Redo};

use super::args::RedoArguments;
use super::{Done, Failure, build, files, print_scale, progress};

/// Redoes pieces and sheets of a built spread.
pub fn run(arguments: &RedoArguments) -> Result<Done, Failure> {
    let folder = &arguments.folder;
    let first = files::read_record(&folder.join("record.json"))?;
    let done = redone(folder);
    let last = match done {
        0 => first.clone(),
        number => files::read_record(&redo_folder(folder, number).join("record.json"))?,
    };
    let pieces = arguments.piece.iter().cloned().map(Redo::Piece);
    let wanted: Vec<Redo> =
        pieces.chain(arguments.sheet.iter().cloned().map(Redo::Sheet)).collect();
    let fonts = files::font_book(Path::new("."));
    let mut layout = run::redo_layout(&first, &last, &wanted, done + 1, &fonts)?;
    run::add_photos(&mut layout, &first, &wanted, &arguments.from)?;
    print_scale::correct(&mut layout)?;
    layout.strict = arguments.strict;
    progress::stop_on_interrupt();
    let record = progress::with("nesting", || run::run(&layout))?;
    build::write(&redo_folder(folder, done + 1), &record, &layout, arguments.json)
}

fn redo_folder(folder: &Path, number: u32) -> PathBuf {
    folder.join(format!("redo-{number}"))
}

/// How many redos stand in a spread's folder.
fn redone(folder: &Path) -> u32 {
    (1..).take_while(|&number| redo_folder(folder, number).is_dir()).last().unwrap_or(0)
}
