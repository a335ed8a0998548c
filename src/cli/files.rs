//! Reading specs and records.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use cutleaf::description::{self, Problem};
use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan;
use cutleaf::record::Record;

use super::{Failure, print_scale};

/// A spec that was read and laid out, with what is needed to tell its problems.
pub struct Spread {
    pub file: PathBuf,
    pub text: String,
    pub layout: Layout,
}

/// Reads and lays out a spec.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
pub fn read_spread(file: &Path) -> Result<Spread, Failure> {
    let text = fs::read_to_string(file).map_err(|error| {
        let help = match error.kind() {
            ErrorKind::NotFound => "check the path; `cutleaf new` makes a starter",
            ErrorKind::InvalidData => "a spec is a text file in UTF-8",
            _ => "check the file's permissions",
        };
        Problem::input(format!("`{}` can't be read: {error}", file.display()), help)
    })?;
    let folder = file.parent().unwrap_or(Path::new("."));
    let fonts = font_book(folder);
    let mut layout = description::parse(&text)
        .and_then(|spec| lay_out(&spec, folder, &fonts))
        .map_err(|problems| Failure::of_spec(problems, file, &text))?;
    print_scale::correct(&mut layout)?;
    layout.spec = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    Ok(Spread { file: file.to_owned(), text, layout })
}

/// The fonts that a spec in `folder` can name.
pub fn font_book(folder: &Path) -> FontBook {
    FontBook::new(vec![folder.join("fonts"), PathBuf::from("fonts")])
}

/// Reads a record.
pub fn read_record(file: &Path) -> Result<Record, Failure> {
    let text = fs::read_to_string(file).map_err(|error| {
        Problem::input(
            format!("`{}` can't be read: {error}", file.display()),
            "name the folder of a built spread, such as out/kite-day",
        )
    })?;
    Ok(plan::read_record(&file.display().to_string(), &text)?)
}
