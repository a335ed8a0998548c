//! Files and folders of a run on the disk: written, linked, made to last.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs::{self, File, FileTimes};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::TempDir;

use super::OURS;

/// Paths of files in a run's folder, seen from it.
pub type Written = BTreeSet<PathBuf>;

/// Something in a run's folder that the program did not write.
#[derive(Debug)]
pub struct Entry {
    /// Its path, seen from the folder.
    pub path: PathBuf,
    /// Whether it is an empty folder, else a file or a link.
    pub is_folder: bool,
}

/// A new folder in `parent` with files in it, which is gone again if nobody keeps it.
pub fn stage(parent: &Path, prefix: &OsStr, files: &[(String, Vec<u8>)]) -> io::Result<TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(prefix);
    #[cfg(unix)]
    {
        // As any other folder: what the user's mask leaves of it.
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    let fresh = builder.tempdir_in(parent)?;
    let mut written = Vec::new();
    for (name, bytes) in files {
        let path = fresh.path().join(name);
        if let Some(inside) = path.parent() {
            fs::create_dir_all(inside)?;
        }
        let mut file = File::create_new(path)?;
        file.write_all(bytes)?;
        written.push(file);
    }
    // A disk may say only now that it is full.
    written.iter().try_for_each(File::sync_all)?;
    Ok(fresh)
}

/// Makes the folders of a tree last; its files must do so already.
pub fn sync(root: &Path) -> io::Result<()> {
    for entry in fs::read_dir(root)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            sync(&entry.path())?;
        }
    }
    sync_folder(root)
}

/// Makes the names in a folder last, where the system can.
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(not(unix)) {
        return Ok(());
    }
    match File::open(folder)?.sync_all() {
        Err(error) if matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => {
            Ok(())
        }
        ended => ended,
    }
}

/// Whether a name in a run's folder is that of a redo that was never finished.
pub fn is_unfinished_redo(name: &OsStr) -> bool {
    let name = name.to_string_lossy();
    name.starts_with(".redo-") && name.contains(&format!(".{OURS}-new-"))
}

/// What stands in a folder besides the files `written`.
pub fn foreign(root: &Path, written: &Written) -> io::Result<Vec<Entry>> {
    let mut found = Vec::new();
    foreign_below(root, Path::new(""), written, &mut found)?;
    Ok(found)
}

fn foreign_below(
    root: &Path,
    below: &Path,
    written: &Written,
    found: &mut Vec<Entry>,
) -> io::Result<()> {
    let before = found.len();
    for entry in fs::read_dir(root.join(below))? {
        let entry = entry?;
        let path = below.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            if !(below.as_os_str().is_empty() && is_unfinished_redo(&entry.file_name())) {
                foreign_below(root, &path, written, found)?;
            }
        } else if !written.contains(&path) {
            found.push(Entry { path, is_folder: false });
        }
    }
    let is_ours = || written.iter().any(|path| path.starts_with(below));
    if found.len() == before && !below.as_os_str().is_empty() && !is_ours() {
        found.push(Entry { path: below.to_owned(), is_folder: true });
    }
    Ok(())
}

/// Links entries of one folder into another, at the same paths.
pub fn carry(from: &Path, to: &Path, entries: &[Entry]) -> io::Result<()> {
    let mut made = BTreeSet::new();
    for entry in entries {
        let inside = if entry.is_folder { Some(entry.path.as_path()) } else { entry.path.parent() };
        make_folders(to, inside.unwrap_or(Path::new("")), &mut made)?;
        if !entry.is_folder {
            link(&from.join(&entry.path), &to.join(&entry.path))?;
        }
    }
    // Only now: into a folder that is only read nothing can be linked.
    for folder in made {
        if let Ok(data) = fs::metadata(from.join(&folder)) {
            fs::set_permissions(to.join(folder), data.permissions())?;
        }
    }
    Ok(())
}

/// Makes a folder and those above it in `to`; those that were not there are `made`.
fn make_folders(to: &Path, path: &Path, made: &mut BTreeSet<PathBuf>) -> io::Result<()> {
    let Some(above) = path.parent() else { return Ok(()) };
    make_folders(to, above, made)?;
    match fs::create_dir(to.join(path)) {
        Ok(()) => {
            made.insert(path.to_owned());
            Ok(())
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(()),
        Err(error) => Err(error),
    }
}

/// The same file under a second name; a copy where the disk has no such thing. A file that is gone by
/// now is none to keep.
fn link(from: &Path, to: &Path) -> io::Result<()> {
    let Ok(data) = fs::symlink_metadata(from) else { return Ok(()) };
    #[cfg(unix)]
    if data.is_symlink() {
        return std::os::unix::fs::symlink(fs::read_link(from)?, to);
    }
    match fs::hard_link(from, to) {
        Err(_) if data.is_file() => copy(from, to, &data),
        ended => ended,
    }
}

fn copy(from: &Path, to: &Path, data: &fs::Metadata) -> io::Result<()> {
    let _ = fs::remove_file(to);
    fs::copy(from, to)?;
    let file = File::options().append(true).open(to).or_else(|_| File::open(to))?;
    if let Ok(changed) = data.modified() {
        let _ = file.set_times(FileTimes::new().set_modified(changed));
    }
    file.sync_all()
}

/// Whether two paths have the same file, or files that hold the same.
pub fn same(one: &Path, other: &Path) -> bool {
    let (Ok(data), Ok(other_data)) = (fs::symlink_metadata(one), fs::symlink_metadata(other))
    else {
        return false;
    };
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        if (data.dev(), data.ino()) == (other_data.dev(), other_data.ino()) {
            return true;
        }
    }
    if data.is_symlink() || other_data.is_symlink() {
        return matches!((fs::read_link(one), fs::read_link(other)), (Ok(one), Ok(other)) if one == other);
    }
    data.is_file()
        && other_data.is_file()
        && data.len() == other_data.len()
        && same_bytes(one, other).unwrap_or(false)
}

fn same_bytes(one: &Path, other: &Path) -> io::Result<bool> {
    let open = |path| File::open(path).map(io::BufReader::new);
    let (mut one, mut other) = (open(one)?.bytes(), open(other)?.bytes());
    loop {
        match (one.next().transpose()?, other.next().transpose()?) {
            (None, None) => return Ok(true),
            (one, other) if one != other => return Ok(false),
            _ => {}
        }
    }
}
