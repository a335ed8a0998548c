//! `redo`: one piece or one sheet again, from the paper that is left.

use std::path::{Path, PathBuf};

use cutleaf::description::Problem;
use cutleaf::plan::{self, Redo};

use super::args::RedoArguments;
use super::folder::{Folder, redo_name};
use super::{Done, Failure, build, files, print_scale, progress};

/// Redoes pieces and sheets of a built spread.
pub fn run(arguments: &RedoArguments) -> Result<Done, Failure> {
    let shown = &arguments.folder;
    // Held from the first look at what is left to the last file: no build or redo comes between.
    let folder = Folder::of_spread(shown)?;
    refuse_a_redo(shown, folder.path())?;
    let first = files::read_record(&shown.join("record.json"))?;
    let done = folder.redos().last().copied().unwrap_or(0);
    let last = match done {
        0 => first.clone(),
        number => files::read_record(&shown.join(redo_name(number)).join("record.json"))?,
    };
    let pieces = arguments.piece.iter().cloned().map(Redo::Piece);
    let wanted: Vec<Redo> =
        pieces.chain(arguments.sheet.iter().cloned().map(Redo::Sheet)).collect();
    let from = arguments.from.clone().unwrap_or_else(|| beside_spec(folder.path(), &first.spec));
    let fonts = files::font_book(&from);
    let number = done.saturating_add(1);
    let mut layout = plan::redo_layout(&first, &last, &wanted, number, &fonts)?;
    plan::add_photos(&mut layout, &first, &wanted, &from)?;
    print_scale::correct(&mut layout)?;
    layout.strict = arguments.strict;
    let search = progress::stop_on_interrupt();
    let record = progress::with("nesting", || plan::record_in(&layout, &search))?;
    let files = build::drawn(&record, &layout)?;
    folder.write_redo(number, &files)?;
    Ok(build::told(&shown.join(redo_name(number)), &record, &files, arguments.json))
}

/// The folder in which the spec of a run stood, for its photos and fonts; this one if that isn't known.
fn beside_spec(run: &Path, spec: &str) -> PathBuf {
    let folder = run.join(spec).parent().map(Path::to_owned);
    folder.filter(|folder| !spec.is_empty() && folder.is_dir()).unwrap_or_else(|| ".".into())
}

/// A redo of a redo would not know what the spread's other redos took.
fn refuse_a_redo(shown: &Path, path: &Path) -> Result<(), Failure> {
    let is_redo = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with("redo-"));
    let spread = path.parent().filter(|above| is_redo && above.join("record.json").is_file());
    let Some(spread) = spread else { return Ok(()) };
    let message = format!("`{}` is a redo", shown.display());
    let above = shown.parent().filter(|above| !above.as_os_str().is_empty()).unwrap_or(spread);
    let help = format!("name the spread's own folder, `{}`", above.display());
    Err(Problem::input(message, help).into())
}
