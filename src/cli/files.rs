//! Reading specs and records, writing a run's folder whole or not at all.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use cutleaf::layout::{Layout, lay_out};
use cutleaf::outline::fonts::FontBook;
use cutleaf::record::Record;
use cutleaf::spec::{self, Problem};

use super::{Failure, print_scale};

/// A spec that was read and laid out, with what is needed to tell its problems.
pub struct Spread {
    pub file: PathBuf,
    pub text: String,
    pub layout: Layout,
}

/// Reads and lays out a spec.
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
    let mut layout = spec::parse(&text)
        .and_then(|spec| lay_out(&spec, folder, &fonts))
        .map_err(|problems| Failure::of_spec(problems, file, &text))?;
    print_scale::correct(&mut layout)?;
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
    let record: Record = serde_json::from_str(&text).map_err(|error| {
        Problem::input(
            format!("`{}` is not a record: {error}", file.display()),
            "build the spread anew",
        )
    })?;
    if record.format != cutleaf::record::FORMAT {
        return Err(Problem::input(
            format!("the record's format is {}, not {}", record.format, cutleaf::record::FORMAT),
            "build the spread anew with this version",
        )
        .into());
    }
    Ok(record)
}

/// Writes files into `folder`, whole or not at all: into a sibling first, then by renaming. A folder
/// that stands there must be an earlier run's.
pub fn write_whole(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
    let fault = |error: std::io::Error| -> Failure {
        Problem::input(
            format!("`{}` can't be written: {error}", folder.display()),
            "check the disk's space and the folder's permissions",
        )
        .into()
    };
    if folder.exists() && !folder.join("record.json").is_file() {
        return Err(Problem::input(
            format!("`{}` stands there already and is no spread's folder", folder.display()),
            "give the spread another name, or another folder with --out",
        )
        .into());
    }
    let parent = folder.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(parent).map_err(fault)?;
    let fresh = tempfile::Builder::new().prefix(".new-").tempdir_in(parent).map_err(fault)?;
    for (name, bytes) in files {
        let file = fresh.path().join(name);
        if let Some(inside) = file.parent() {
            fs::create_dir_all(inside).map_err(fault)?;
        }
        fs::write(&file, bytes).map_err(fault)?;
    }
    open_to_others(fresh.path());
    let old = tempfile::Builder::new().prefix(".old-").tempdir_in(parent).map_err(fault)?;
    let aside = old.path().join("run");
    let stood = folder.exists();
    if stood {
        fs::rename(folder, &aside).map_err(fault)?;
    }
    if let Err(error) = fs::rename(fresh.path(), folder) {
        if stood {
            fs::rename(&aside, folder).map_err(fault)?;
        }
        return Err(fault(error));
    }
    // The folder has moved away from its temporary name: nothing is left to clean up there.
    let _ = fresh.keep();
    Ok(())
}

/// Temporary folders are for their owner only; a run's folder is like any other.
#[cfg(unix)]
fn open_to_others(folder: &Path) {
    use std::os::unix::fs::PermissionsExt;
    let _ = fs::set_permissions(folder, fs::Permissions::from_mode(0o755));
}

#[cfg(not(unix))]
fn open_to_others(_: &Path) {}
