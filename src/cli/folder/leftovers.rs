//! What is left beside a run's folder: an old run that was replaced, and what a killed command began.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use super::standing::Standing;
use super::tree::{self, Written};
use super::{EARLIER, Folder, RECORD};

/// Clears what killed commands left of a folder that is held, so that nobody works there any more. What
/// can't be cleared stays for the next command: it is in nobody's way.
pub(super) fn clear(folder: &Folder) {
    for begun in folders_in(&folder.path, tree::is_unfinished_redo) {
        let _ = fs::remove_dir_all(begun);
    }
    let siblings = |what: &str| {
        let prefix = folder.sibling_name(what);
        let prefix = prefix.to_string_lossy().into_owned();
        folders_in(folder.parent(), |name| name.to_string_lossy().starts_with(&prefix))
    };
    for begun in siblings("new-") {
        let _ = fs::remove_dir_all(begun);
    }
    let old = siblings("old-");
    if let Some(old) = old.iter().find(|old| old.join(RECORD).is_file())
        && fs::symlink_metadata(&folder.path).is_err()
    {
        // Killed between two renames, where the system can't exchange folders.
        let _ = fs::rename(old, &folder.path);
    }
    let earlier = format!("{}{EARLIER}", folder.name().to_string_lossy());
    let aside = |name: &OsStr| name.to_string_lossy().starts_with(&earlier);
    let mut keepers = vec![folder.path.clone()];
    keepers.extend(folders_in(folder.parent(), aside));
    for replaced in old.iter().chain(&siblings("swap-")) {
        retire(replaced, &keepers);
    }
}

fn folders_in(parent: &Path, named: impl Fn(&OsStr) -> bool) -> Vec<PathBuf> {
    let entries = fs::read_dir(parent).into_iter().flatten().flatten();
    let is_folder = |entry: &fs::DirEntry| entry.file_type().is_ok_and(|kind| kind.is_dir());
    let named = entries.filter(|entry| is_folder(entry) && named(&entry.file_name()));
    let mut found: Vec<PathBuf> = named.map(|entry| entry.path()).collect();
    found.sort();
    found
}

/// Takes a run away that was replaced: the files that the program wrote, and those that one of `keepers`
/// has too. Anything else, such as a file that the user put there at this very moment, moves to the same
/// place in the first of them. Its record goes last: it says which files are the program's.
pub(super) fn retire(old: &Path, keepers: &[PathBuf]) {
    if keepers.first().is_none_or(|folder| !folder.join(RECORD).is_file()) || !old.is_dir() {
        return;
    }
    let written = Standing::read(old).map(|standing| standing.written()).unwrap_or_default();
    take_away(old, Path::new(""), &written, keepers);
    let record = old.join(RECORD);
    let is_alone = fs::read_dir(old).is_ok_and(|left| left.flatten().count() == 1);
    let is_ours = written.contains(Path::new(RECORD))
        || keepers.iter().any(|keeper| tree::same(&record, &keeper.join(RECORD)));
    if is_alone && is_ours {
        let _ = fs::remove_file(record);
    }
    let _ = fs::remove_dir(old);
}

fn take_away(old: &Path, below: &Path, written: &Written, keepers: &[PathBuf]) {
    for entry in fs::read_dir(old.join(below)).into_iter().flatten().flatten() {
        let path = below.join(entry.file_name());
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            if below.as_os_str().is_empty() && tree::is_unfinished_redo(&entry.file_name()) {
                let _ = fs::remove_dir_all(entry.path());
                continue;
            }
            take_away(old, &path, written, keepers);
            // Goes only if nothing is in it any more.
            let _ = fs::remove_dir(entry.path());
        } else if path != Path::new(RECORD) {
            let is_kept = || keepers.iter().any(|one| tree::same(&entry.path(), &one.join(&path)));
            if written.contains(&path) || is_kept() {
                let _ = fs::remove_file(entry.path());
            } else if let Some(folder) = keepers.first() {
                rescue(&entry.path(), &folder.join(&path));
            }
        }
    }
}

/// Moves a file to a place that is free; where it isn't, the file stays.
fn rescue(from: &Path, to: &Path) {
    if fs::symlink_metadata(to).is_ok() {
        return;
    }
    if let Some(inside) = to.parent() {
        let _ = fs::create_dir_all(inside);
    }
    let _ = fs::rename(from, to);
}
