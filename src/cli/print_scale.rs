//! `print-scale`: what the printer makes of six inches, stored for later pages.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use cutleaf::description::Problem;
use cutleaf::layout::Layout;
use cutleaf::model::printer::{KnownScale, Scale, ToldBy};

use super::args::PrintScaleArguments;
use super::{Failure, say};

/// Name of the file in the settings folder.
const FILE: &str = "printer.json";
/// Names the settings folder, in place of the user's own.
const FOLDER_VARIABLE: &str = "CUTLEAF_SETTINGS";

/// Shows, stores or removes the factor.
pub fn run(arguments: &PrintScaleArguments) -> Result<(), Failure> {
    let file = file().ok_or_else(|| {
        let help = format!("set HOME, or name a folder in {FOLDER_VARIABLE}");
        Problem::input("there is no place to store the printer's factor", help)
    })?;
    let measured = arguments.measured.join(" ");
    match measured.trim() {
        "" => show(&file),
        "off" => remove(&file),
        measured => match Scale::measured(measured) {
            Ok(scale) if scale.is_true() => remove(&file),
            Ok(scale) => store(&file, scale),
            Err(error) => Err(Problem::input(error.message, error.help).into()),
        },
    }
}

/// The factor that is stored, if there is one.
pub fn stored() -> Result<Option<KnownScale>, Failure> {
    let scale = match file() {
        Some(file) => read(&file)?,
        None => None,
    };
    Ok(scale.map(|scale| KnownScale { scale, told_by: ToldBy::Ruler }))
}

/// Corrects a layout's pages by the stored factor, unless its spec says what the printer does.
pub fn correct(layout: &mut Layout) -> Result<(), Failure> {
    let by_spec = layout.print_scale.as_ref().is_some_and(|known| known.told_by == ToldBy::Spec);
    if !by_spec {
        layout.print_scale = stored()?;
    }
    Ok(())
}

/// Where the factor is stored: in the folder named by `CUTLEAF_SETTINGS`, or in the user's folder for
/// settings (XDG Base Directory Specification; on Windows the application data).
fn file() -> Option<PathBuf> {
    let set =
        |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let shared = || {
        set("XDG_CONFIG_HOME")
            .filter(|folder| folder.is_absolute())
            .or_else(|| set("APPDATA"))
            .or_else(|| set("HOME").map(|home| home.join(".config")))
            .map(|folder| folder.join("cutleaf"))
    };
    set(FOLDER_VARIABLE).or_else(shared).map(|folder| folder.join(FILE))
}

fn read(file: &Path) -> Result<Option<Scale>, Failure> {
    let text = match fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(fault(file, &format!("can't be read: {error}"))),
    };
    match serde_json::from_str::<Scale>(&text) {
        Ok(scale) if scale.is_sound() => Ok(Some(scale)),
        Ok(_) => Err(fault(file, "holds no factor that a printer may have")),
        Err(error) => Err(fault(file, &format!("holds no factor: {error}"))),
    }
}

fn fault(file: &Path, what: &str) -> Failure {
    let message = format!("`{}` {what}", file.display());
    Problem::input(message, "remove it with `cutleaf print-scale off`, then measure again").into()
}

fn show(file: &Path) -> Result<(), Failure> {
    match read(file)? {
        Some(scale) => {
            say(format_args!("The printer prints {}; pages are corrected.", scale.shown()))
        }
        None => say(
            "No factor is stored: pages are printed as they are. Print a page, measure its ruler of \
             6 in, and store what it measured: cutleaf print-scale 5.97",
        ),
    }
    Ok(())
}

fn remove(file: &Path) -> Result<(), Failure> {
    match fs::remove_file(file) {
        Ok(()) => say("The stored factor is removed: pages are printed as they are."),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            say("No factor is stored: pages are printed as they are.");
        }
        Err(error) => return Err(fault(file, &format!("can't be removed: {error}"))),
    }
    Ok(())
}

fn store(file: &Path, scale: Scale) -> Result<(), Failure> {
    let unwritten = |error: std::io::Error| -> Failure {
        let message = format!("`{}` can't be written: {error}", file.display());
        let help = format!("check the folder's permissions, or name another in {FOLDER_VARIABLE}");
        Problem::input(message, help).into()
    };
    let folder = file.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(unwritten)?;
    let text = serde_json::to_string(&scale)
        .map_err(|error| Problem::input(error.to_string(), "please report this"))?;
    // Into a sibling first: what stood there before a failed write still stands.
    let fresh = tempfile::Builder::new().prefix(".new-").tempfile_in(folder).map_err(unwritten)?;
    fs::write(fresh.path(), format!("{text}\n")).map_err(unwritten)?;
    fresh.persist(file).map_err(|error| unwritten(error.error))?;
    say(format_args!(
        "Stored: the printer prints {}. Pages built from now on are corrected.",
        scale.shown()
    ));
    Ok(())
}
