//! `build`: everything that is cut and printed for a spread.

use std::path::Path;
use std::sync::Arc;

use cutleaf::emit;
use cutleaf::layout::Layout;
use cutleaf::nest::Effort;
use cutleaf::picture::PictureFile;
use cutleaf::record::Record;
use cutleaf::run;
use cutleaf::spec::slug;

use super::args::BuildArguments;
use super::{Done, Failure, files, progress, say, to_buy};

/// Builds a spread.
pub fn run(arguments: &BuildArguments) -> Result<Done, Failure> {
    let mut spread = files::read_spread(&arguments.spec)?;
    match arguments.effort.as_deref() {
        Some("quick") => spread.layout.effort = Effort::Quick,
        Some("normal") => spread.layout.effort = Effort::Normal,
        Some("long") => spread.layout.effort = Effort::Long,
        _ => {}
    }
    spread.layout.strict = arguments.strict;
    progress::stop_on_interrupt();
    let record = progress::with("nesting", || run::run(&spread.layout))
        .map_err(|problems| Failure::of_spec(problems, &spread.file, &spread.text))?;
    let folder = arguments.out.join(slug(&record.name));
    write(&folder, &record, &spread.layout, arguments.json)
}

/// Draws and writes everything of a record, and says what was written.
pub fn write(folder: &Path, record: &Record, layout: &Layout, json: bool) -> Result<Done, Failure> {
    let pictures: Vec<Arc<PictureFile>> =
        layout.pictures.iter().map(|framed| Arc::clone(&framed.file)).collect();
    let files = progress::with("drawing", || emit::all(record, &layout.fonts, &pictures))?;
    files::write_whole(folder, &files)?;
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    if json {
        say(serde_json::json!({
            "folder": folder, "files": names, "totals": record.totals, "warnings": record.warnings,
            "to_buy": to_buy::lines(record),
        }));
        return Ok(to_buy::told(record));
    }
    super::check::summary(record);
    say(format_args!("Written to {}:", folder.display()));
    for name in names {
        say(format_args!("  {name}"));
    }
    say(format_args!("Open {} to dry-fit.", folder.join("proof.html").display()));
    Ok(to_buy::told(record))
}
