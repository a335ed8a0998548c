//! Follows the spec's file, and those that what is shown was made from: the stock, photos, drawings, fonts.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use notify::{RecommendedWatcher, RecursiveMode, Watcher};

use super::room::Room;

/// How long after a part of a save another one is waited for, and for how many: an editor takes well under a
/// millisecond between them, and the page is to follow within a tenth of a second.
const BETWEEN_PARTS: Duration = Duration::from_millis(3);
const MOST_PARTS: usize = 10;
/// How long a photo that is copied in its place, or the stock, has to be quiet before it is read.
const QUIET: Duration = Duration::from_millis(100);
/// The most folders that are followed beside the spec's own.
const MOST_FOLDERS: usize = 50;

/// Follows a spec's folder, since editors save by putting another file in its place, and what it names.
pub(super) fn watch(file: &Path, room: &Arc<Room>) -> io::Result<()> {
    let file = std::fs::canonicalize(file)?;
    let folder = file.parent().unwrap_or(Path::new(".")).to_owned();
    let (tell, news) = channel::<PathBuf>();
    let mut watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        for path in
            event.into_iter().filter(|event| !event.kind.is_access()).flat_map(|it| it.paths)
        {
            let _ = tell.send(path);
        }
    })
    .map_err(io::Error::other)?;
    watcher.watch(&folder, RecursiveMode::NonRecursive).map_err(io::Error::other)?;
    let weak = Arc::downgrade(room);
    let mut named =
        Named { watcher, folder, version: 0, files: BTreeSet::new(), followed: BTreeMap::new() };
    named.follow(room);
    std::thread::spawn(move || {
        let mut is_new = false;
        while let Ok(paths) = saved(&news, is_new.then_some(QUIET)) {
            let Some(room) = weak.upgrade() else { return };
            let Some(paths) = paths else {
                is_new = false;
                room.renew();
                continue;
            };
            if paths.contains(&file) {
                room.look();
            }
            named.follow(&room);
            is_new |= paths.iter().any(|path| named.files.contains(path));
        }
    });
    Ok(())
}

/// The paths of one save: it is several events, of an emptied file, its text in parts, its new name. Nothing
/// where it was quiet for some time; a fault where nobody sends any more.
fn saved(
    news: &Receiver<PathBuf>,
    quiet: Option<Duration>,
) -> Result<Option<Vec<PathBuf>>, RecvTimeoutError> {
    let first = match quiet {
        Some(quiet) => news.recv_timeout(quiet),
        None => news.recv().map_err(|_| RecvTimeoutError::Disconnected),
    };
    match first {
        Ok(first) => {
            let more = (0..MOST_PARTS).map_while(|_| news.recv_timeout(BETWEEN_PARTS).ok());
            Ok(Some(std::iter::once(first).chain(more).collect()))
        }
        Err(RecvTimeoutError::Timeout) => Ok(None),
        Err(RecvTimeoutError::Disconnected) => Err(RecvTimeoutError::Disconnected),
    }
}

/// The files from which what is shown was made, but for the spec's own.
struct Named {
    watcher: RecommendedWatcher,
    /// The spec's folder.
    folder: PathBuf,
    /// The version of the text that names them.
    version: u64,
    files: BTreeSet<PathBuf>,
    /// Their folders, as the spec says them and as they are told of.
    followed: BTreeMap<PathBuf, PathBuf>,
}

impl Named {
    /// Follows the files that the text as it is now names.
    fn follow(&mut self, room: &Room) {
        let Some((version, files)) = room.named(self.version) else { return };
        self.version = version;
        self.files.clear();
        for file in files {
            let file = self.folder.join(file);
            let (Some(folder), Some(name)) = (file.parent(), file.file_name()) else { continue };
            if let Some(folder) = self.followed(folder) {
                self.files.insert(folder.join(name));
            }
        }
    }

    /// A folder as it is told of, if it can be followed.
    fn followed(&mut self, folder: &Path) -> Option<PathBuf> {
        if let Some(known) = self.followed.get(folder) {
            return Some(known.clone());
        }
        let real = std::fs::canonicalize(folder).ok()?;
        if real != self.folder && !self.followed.values().any(|known| *known == real) {
            if self.followed.len() >= MOST_FOLDERS {
                return None;
            }
            self.watcher.watch(&real, RecursiveMode::NonRecursive).ok()?;
        }
        self.followed.insert(folder.to_owned(), real.clone());
        Some(real)
    }
}
