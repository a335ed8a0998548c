//! Two folders change places.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Puts `fresh` at `folder`, which stands; returns where the old one is now. Where the system can't
/// exchange two folders in one call, the old one is at `aside` for a moment, from where the next command
/// takes it back if this one is killed just then.
pub fn exchange(
    fresh: &Path,
    folder: &Path,
    aside: impl FnOnce() -> PathBuf,
) -> io::Result<PathBuf> {
    if in_one_call(fresh, folder)? {
        return Ok(fresh.to_owned());
    }
    let aside = aside();
    fs::rename(folder, &aside)?;
    if let Err(error) = fs::rename(fresh, folder) {
        return match fs::rename(&aside, folder) {
            Ok(()) => Err(error),
            Err(_) => Err(io::Error::new(
                error.kind(),
                format!(
                    "{error}; the old run is at `{}`, the next command puts it back",
                    aside.display()
                ),
            )),
        };
    }
    Ok(aside)
}

/// Exchanges two folders; `false` where the system or the disk has no such call.
#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn in_one_call(one: &Path, other: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => Ok(false),
        Err(error) => Err(error.into()),
    }
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn in_one_call(_: &Path, _: &Path) -> io::Result<bool> {
    Ok(false)
}
