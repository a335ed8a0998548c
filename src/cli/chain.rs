//! The build that a redo belongs to: found by its spec, its folder or a redo's folder, and read with all its
//! redos.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use cutleaf::description::Problem;
use cutleaf::plan::{Chain, redo_name};

use super::folder::{Folder, RECORD, Standing, is_set_aside};
use super::{Failure, files};

/// The folder of the build that a path names: that of its spec, its own, or that of one of its redos.
pub fn folder_of(path: &Path, out: &Path) -> Result<PathBuf, Failure> {
    let is_spec =
        |ending: &OsStr| ["yaml", "yml"].iter().any(|known| ending.eq_ignore_ascii_case(known));
    if !path.is_file() && !path.extension().is_some_and(is_spec) {
        return Ok(build_of_redo(path).unwrap_or_else(|| path.to_owned()));
    }
    let spec = fs::canonicalize(path).map_err(|error| {
        let help = "name a spec that was built, the folder of its build, or a redo's folder";
        Problem::input(format!("`{}` can't be read: {error}", path.display()), help)
    })?;
    let builds = builds_of(&spec, out);
    match builds.as_slice() {
        [one] => Ok(one.clone()),
        [] => {
            // A record that is damaged doesn't say whose it is: it may be this spec's.
            if let Some(record) = damaged(out) {
                files::read_record(&record)?;
            }
            let message = format!("`{}` has no build in `{}`", path.display(), out.display());
            let help = format!(
                "build it first: `cutleaf build {}`; if its build stands elsewhere, name that folder, or the \
                 one above it with --out",
                path.display()
            );
            Err(Problem::input(message, help).into())
        }
        several => {
            let names: Vec<String> =
                several.iter().map(|folder| format!("`{}`", folder.display())).collect();
            let message = format!("`{}` has several builds: {}", path.display(), names.join(", "));
            Err(Problem::input(message, "name the folder of the one you mean").into())
        }
    }
}

/// The one build of a spec in `out` and its redos, only looked at; nothing where there is none, several, or
/// one that can't be read.
pub fn standing(spec: &Path, out: &Path) -> Option<Chain> {
    let shown = folder_of(spec, out).ok()?;
    let folder = Folder::to_read(&shown).ok()?;
    read(&folder, &shown).ok()
}

/// The folders in `out` that were built from a spec, those that were set aside left out.
fn builds_of(spec: &Path, out: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(out).into_iter().flatten().flatten();
    let folders = entries.filter(|entry| !is_set_aside(&entry.file_name()));
    let is_of_spec = |folder: &PathBuf| {
        let standing = folder.join(RECORD).is_file().then(|| Standing::read(folder).ok()).flatten();
        standing.is_some_and(|standing| {
            let real = fs::canonicalize(folder).unwrap_or_else(|_| folder.clone());
            let theirs = standing.spec.map(|theirs| fs::canonicalize(real.join(theirs)));
            theirs.is_some_and(|theirs| theirs.is_ok_and(|theirs| theirs == spec))
        })
    };
    let mut builds: Vec<PathBuf> =
        folders.map(|entry| entry.path()).filter(|folder| is_of_spec(folder)).collect();
    builds.sort();
    builds
}

/// The first record of a build in `out` that can't be read, if there is one.
fn damaged(out: &Path) -> Option<PathBuf> {
    let entries = fs::read_dir(out).into_iter().flatten().flatten();
    let entries = entries.filter(|entry| !is_set_aside(&entry.file_name()));
    let mut folders: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    folders.sort();
    let is_damaged =
        |folder: &PathBuf| folder.join(RECORD).is_file() && Standing::read(folder).is_err();
    folders.into_iter().find(is_damaged).map(|folder| folder.join(RECORD))
}

/// The folder of the build, if a folder is that of one of its redos.
fn build_of_redo(folder: &Path) -> Option<PathBuf> {
    let real = fs::canonicalize(folder).ok()?;
    let name = real.file_name()?.to_str()?;
    let number: u32 = name.strip_prefix("redo-")?.parse().ok()?;
    let build = real.parent().filter(|above| above.join(RECORD).is_file())?;
    let shown = folder.parent().filter(|above| !above.as_os_str().is_empty());
    // Seen from inside the redo's folder, `..` is the build's.
    let shown = shown.filter(|above| fs::canonicalize(above).is_ok_and(|above| above == build));
    (redo_name(number) == name).then(|| shown.unwrap_or(build).to_owned())
}

/// The spec of a build: the one that was named, or the one that the record knows; nothing where that is not
/// where it was.
pub fn spec_of(named: &Path, folder: &Folder, chain: &Chain) -> Option<PathBuf> {
    let spec = chain.build().spec.as_ref();
    let known = || spec.map(|spec| folder.path().join(spec)).filter(|path| path.is_file());
    Some(named.to_owned()).filter(|path| path.is_file()).or_else(known)
}

/// The spec of a build, for a command that can't do without it.
pub fn known(spec: Option<&Path>) -> Result<&Path, Failure> {
    spec.ok_or_else(|| {
        let message = "the spec of this build is not where it was";
        let help = "name the spec itself, with --out for the folder of builds";
        Problem::input(message, help).into()
    })
}

/// Reads a build and its redos; or names the one that is missing, damaged, or doesn't follow.
pub fn read(folder: &Folder, shown: &Path) -> Result<Chain, Failure> {
    let mut chain = Chain::of(files::read_record(&shown.join(RECORD))?);
    for number in folder.redos() {
        let expected = chain.next_number();
        if number != expected {
            let missing = shown.join(redo_name(expected));
            let message = format!(
                "`{}` is missing, and `{}` used the paper that it left",
                missing.display(),
                redo_name(number)
            );
            let help = format!(
                "put it back, or take back the redos after it: `cutleaf redo {} --undo`",
                shown.display()
            );
            return Err(Problem::input(message, help).into());
        }
        let redo = files::read_record(&shown.join(redo_name(number)).join(RECORD))?;
        chain = chain.then(redo)?;
    }
    Ok(chain)
}
