//! One command at a time works on a run's folder.
//!
//! The lock is the system's own on an empty hidden file beside the folder: it ends with the program,
//! however that ends. The file is taken away with the lock; one that a killed command left hinders nobody.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// A lock that is held as long as this is kept.
pub struct Lock {
    _file: File,
    /// The file to take away with it.
    path: Option<PathBuf>,
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Before the lock itself ends: who waits for it looks whether the file still stands.
        if cfg!(unix)
            && let Some(path) = &self.path
        {
            let _ = fs::remove_file(path);
        }
    }
}

impl Lock {
    /// Takes the lock on the file `path`, and waits for it if another command has it: `other` says which that
    /// is. Where that file can't be made, as in a folder that is only read, another serves `in_its_place`.
    pub fn take(path: PathBuf, in_its_place: &Path, other: &str) -> io::Result<Self> {
        let mut told = false;
        loop {
            let made =
                OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&path);
            let (file, path) = match made {
                Ok(file) => (file, Some(path.clone())),
                Err(error) if is_forbidden(&error) => match File::open(in_its_place) {
                    Ok(file) => (file, None),
                    Err(_) => return Err(error),
                },
                Err(error) => return Err(error),
            };
            wait(&file, other, &mut told)?;
            if path.as_deref().is_none_or(|path| is_still_there(&file, path)) {
                return Ok(Self { _file: file, path });
            }
        }
    }
}

fn is_forbidden(error: &io::Error) -> bool {
    matches!(error.kind(), ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
}

/// Waits for the lock, and says so once. Where the disk knows no locks, nobody is waited for.
fn wait(file: &File, other: &str, told: &mut bool) -> io::Result<()> {
    let mut locked = match file.try_lock() {
        Ok(()) => return Ok(()),
        Err(TryLockError::Error(error)) => Err(error),
        Err(TryLockError::WouldBlock) => {
            if !*told {
                let _ = writeln!(io::stderr(), "Waiting for {other} to end.");
                *told = true;
            }
            file.lock()
        }
    };
    loop {
        match locked {
            Err(error) if error.kind() == ErrorKind::Interrupted => locked = file.lock(),
            Err(error) if error.kind() == ErrorKind::Unsupported => return Ok(()),
            ended => return ended,
        }
    }
}

/// Whether the file is still the one at its path: the command before may have taken it away.
#[cfg(unix)]
fn is_still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let id = |data: fs::Metadata| (data.dev(), data.ino());
    file.metadata().ok().map(id) == fs::metadata(path).ok().map(id)
}

#[cfg(not(unix))]
fn is_still_there(_: &File, _: &Path) -> bool {
    true
}
