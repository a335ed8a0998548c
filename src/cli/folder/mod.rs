//! A run's folder: held while a command works on it, and written whole or not at all.
//!
//! A run is drawn into a hidden sibling first. Where a run stands already, the files in it that the
//! program did not write are linked into the sibling, then the two folders change places in one call of
//! the system: whatever stops the program, the old or the new run stands whole at its path. Only then
//! is the old one taken away, and of it nothing that isn't known to be the program's or to stand in the
//! new one as well. What a killed command left is cleared by the next.

mod exchange;
mod leftovers;
pub mod lock;
mod standing;
mod tree;

use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use cutleaf::description::Problem;
use cutleaf::plan::redo_name;

use super::{Failure, one_line};
use lock::Lock;
pub use standing::Standing;

/// What the hidden siblings of a run's folder have in their names, before what they are.
const OURS: &str = "cutleaf";
/// The file that makes a folder a run's.
pub const RECORD: &str = "record.json";

/// A run's folder that no other command works on as long as this is kept.
pub struct Folder {
    /// As the user named it.
    shown: PathBuf,
    /// Where it really is: links are followed.
    path: PathBuf,
    /// Folders that had to be made to hold it, the innermost first.
    made: Vec<PathBuf>,
    lock: Option<Lock>,
}

impl Drop for Folder {
    fn drop(&mut self) {
        self.lock = None;
        // A command that wrote nothing leaves no empty folders; one that isn't empty stays.
        let _ = self.made.iter().try_for_each(fs::remove_dir);
    }
}

impl Folder {
    /// The folder that a build writes; the folders above it are made. Waits for other commands.
    pub fn to_build(shown: &Path) -> Result<Self, Failure> {
        let fault = |error: io::Error| unwritten(shown, &error, BUILD_HELP);
        let parent = shown.parent().unwrap_or(Path::new("."));
        if let Some(file) =
            shown.ancestors().find(|path| path.exists()).filter(|path| path.is_file())
        {
            let message = format!("`{}` is a file, and a folder goes there", file.display());
            return Err(Problem::input(message, BUILD_HELP).into());
        }
        let missing = |folder: &&Path| !folder.as_os_str().is_empty() && !folder.exists();
        let made = parent.ancestors().take_while(missing).map(Path::to_owned).collect();
        if fs::symlink_metadata(shown).is_err() {
            fs::create_dir_all(parent).map_err(fault)?;
        }
        let path = real(shown).map_err(fault)?;
        let folder = Self { shown: shown.to_owned(), path, made, lock: None };
        let folder = folder.held(BUILD_HELP)?;
        if folder.path.exists() && !folder.path.join(RECORD).is_file() {
            return Err(Problem::input(
                format!("`{}` stands there already and is no spread's folder", shown.display()),
                "give the spread another name, or another folder with --out",
            )
            .into());
        }
        Ok(folder)
    }

    /// The folder of a spread that was built. Waits for other commands.
    pub fn of_spread(shown: &Path) -> Result<Self, Failure> {
        let fault = |error: io::Error| {
            let message = format!("`{}` can't be read: {error}", shown.join(RECORD).display());
            Problem::input(message, "name the folder of a built spread, such as out/kite-day")
        };
        let path = real(shown).map_err(fault)?;
        let folder = Self { shown: shown.to_owned(), path, made: Vec::new(), lock: None };
        folder.held("check the folder's permissions")
    }

    /// The folder of a spread that was built, only to be looked at: nobody is waited for.
    pub fn to_read(shown: &Path) -> io::Result<Self> {
        Ok(Self { shown: shown.to_owned(), path: real(shown)?, made: Vec::new(), lock: None })
    }

    /// The same folder once no other command works on it, and what a killed one left is cleared.
    fn held(mut self, help: &str) -> Result<Self, Failure> {
        let lock = self.sibling("lock");
        let shown = one_line(&self.shown.display().to_string());
        let other = format!("another build or redo of `{shown}`");
        let lock = Lock::take(lock, &self.path.join(RECORD), &other)
            .map_err(|error| unwritten(&self.shown, &error, help))?;
        self.lock = Some(lock);
        leftovers::clear(&self);
        if fs::metadata(&self.path).is_ok_and(|data| data.permissions().readonly()) {
            let error = io::Error::new(ErrorKind::PermissionDenied, "it is set to be read only");
            return Err(unwritten(&self.shown, &error, help));
        }
        Ok(self)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The run that stands there, if one does.
    pub fn standing(&self) -> Result<Option<Standing>, Failure> {
        if !self.path.is_dir() {
            return Ok(None);
        }
        Standing::read(&self.path).map(Some).map_err(|error| {
            Problem::input(
                format!("`{}` is not a record: {error}", self.shown.join(RECORD).display()),
                format!("name another folder with --out, or {}", self.set_aside_told()),
            )
            .into()
        })
    }

    /// The numbers of the redos that stand in it, least first.
    pub fn redos(&self) -> Vec<u32> {
        let names = fs::read_dir(&self.path).into_iter().flatten().flatten();
        let mut redos: Vec<u32> = names
            .filter(|entry| entry.path().is_dir())
            .filter_map(|entry| {
                let name = entry.file_name();
                let number = name.to_str()?.strip_prefix("redo-")?.parse().ok()?;
                (redo_name(number) == name.to_str()?).then_some(number)
            })
            .collect();
        redos.sort_unstable();
        redos
    }

    /// Writes a run. Where one stands, it is replaced whole; `keeps` says what becomes of it.
    pub fn write(&self, files: &[(String, Vec<u8>)], keeps: Keeps) -> Result<(), Failure> {
        let fault = |error: io::Error| unwritten(&self.shown, &error, BUILD_HELP);
        let fresh = tree::stage(self.parent(), &self.sibling_name("new-"), files).map_err(fault)?;
        if !self.path.is_dir() {
            tree::sync(fresh.path()).map_err(fault)?;
            fs::rename(fresh.path(), &self.path).map_err(fault)?;
            let _ = fresh.keep();
            let _ = tree::sync_folder(self.parent());
            return Ok(());
        }
        let mut keepers = vec![self.path.clone()];
        match keeps {
            Keeps::Aside => keepers.push(self.set_aside().map_err(fault)?),
            Keeps::Foreign => self.carry(files, fresh.path())?,
        }
        tree::sync(fresh.path()).map_err(fault)?;
        // From here on the sibling may be the old run: it has a name that says so.
        let old = self.renamed(fresh.keep(), "swap-").map_err(fault)?;
        let old = exchange::exchange(&old, &self.path, || self.renamed_name(&old, "old-"))
            .map_err(|error| {
                let _ = fs::remove_dir_all(&old);
                fault(error)
            })?;
        let _ = tree::sync_folder(self.parent());
        leftovers::retire(&old, &keepers);
        Ok(())
    }

    /// Writes a redo into the folder.
    pub fn write_redo(&self, number: u32, files: &[(String, Vec<u8>)]) -> Result<(), Failure> {
        let name = redo_name(number);
        let fault = |error: io::Error| {
            unwritten(&self.shown.join(&name), &error, "check the folder's permissions")
        };
        let prefix = format!(".{name}.{OURS}-new-");
        let fresh = tree::stage(&self.path, OsStr::new(&prefix), files).map_err(fault)?;
        tree::sync(fresh.path()).map_err(fault)?;
        fs::rename(fresh.path(), self.path.join(&name)).map_err(fault)?;
        let _ = fresh.keep();
        let _ = tree::sync_folder(&self.path);
        Ok(())
    }

    /// Takes a redo away. Where somebody else put files into its folder, nothing is touched.
    pub fn take_back(&self, number: u32) -> Result<(), Failure> {
        let name = redo_name(number);
        let (path, shown) = (self.path.join(&name), self.shown.join(&name));
        let fault = |error: io::Error| unwritten(&shown, &error, "check the folder's permissions");
        let written = Standing::read(&path).map(|standing| standing.written()).unwrap_or_default();
        let foreign = tree::foreign(&path, &written).map_err(fault)?;
        if let Some(one) = foreign.iter().find(|one| one.path != Path::new(RECORD)) {
            let message =
                format!("`{}` was not written by Cutleaf", shown.join(&one.path).display());
            return Err(
                Problem::input(message, "move it elsewhere, then take the redo back").into()
            );
        }
        // Under a name that the next command clears, were this one killed between.
        let gone = self.path.join(format!(".{name}.{OURS}-new-taken-back"));
        fs::rename(&path, &gone).map_err(fault)?;
        let _ = tree::sync_folder(&self.path);
        fs::remove_dir_all(&gone).map_err(fault)
    }

    /// Links the files of the standing run that the program did not write into the fresh one.
    fn carry(&self, files: &[(String, Vec<u8>)], fresh: &Path) -> Result<(), Failure> {
        let fault = |error: io::Error| -> Failure { unwritten(&self.shown, &error, BUILD_HELP) };
        let written = Standing::read(&self.path).map(|standing| standing.written());
        let written = written.unwrap_or_default();
        let foreign = tree::foreign(&self.path, &written).map_err(fault)?;
        let names = || files.iter().map(|(name, _)| Path::new(name));
        let in_the_way = |one: &&tree::Entry| {
            names().any(|name| {
                one.path.starts_with(name) || (!one.is_folder && name.starts_with(&one.path))
            })
        };
        if let Some(one) = foreign.iter().find(in_the_way) {
            let path = self.shown.join(&one.path);
            let message = format!(
                "`{}` was not written by Cutleaf, and a file of this run goes there",
                path.display()
            );
            return Err(Problem::input(message, "move it elsewhere, then build again").into());
        }
        tree::carry(&self.path, fresh, &foreign).map_err(fault)
    }

    /// Keeps the standing run whole beside the folder; returns where.
    fn set_aside(&self) -> io::Result<PathBuf> {
        let earlier = self.earlier();
        let copy = tree::stage(self.parent(), &self.sibling_name("new-"), &[])?;
        let all = tree::foreign(&self.path, &tree::Written::new())?;
        tree::carry(&self.path, copy.path(), &all)?;
        tree::sync(copy.path())?;
        fs::rename(copy.path(), &earlier)?;
        let _ = copy.keep();
        let _ = tree::sync_folder(self.parent());
        Ok(earlier)
    }

    /// Where the standing run goes when it is set aside: the first such name that is free.
    fn earlier(&self) -> PathBuf {
        let named = (1..).map(|number: u32| {
            let mut name = self.name().to_owned();
            name.push(format!("{EARLIER}{number}"));
            self.parent().join(name)
        });
        let free = |path: &PathBuf| fs::symlink_metadata(path).is_err();
        named.into_iter().find(free).unwrap_or_default()
    }

    /// What to say of the way forward that keeps the standing run.
    pub fn set_aside_told(&self) -> String {
        let name = self.earlier();
        let name = self.shown.with_file_name(name.file_name().unwrap_or_default());
        format!(
            "build with --set-aside, which keeps the run that stands there whole, as `{}`",
            name.display()
        )
    }

    fn parent(&self) -> &Path {
        self.path.parent().unwrap_or(Path::new("."))
    }

    fn name(&self) -> &OsStr {
        self.path.file_name().unwrap_or_default()
    }

    fn sibling_name(&self, what: &str) -> OsString {
        let mut name = OsString::from(".");
        name.push(self.name());
        name.push(format!(".{OURS}-{what}"));
        name
    }

    fn sibling(&self, what: &str) -> PathBuf {
        self.parent().join(self.sibling_name(what))
    }

    /// A hidden sibling under the name of another kind, with the same letters at its end.
    fn renamed_name(&self, sibling: &Path, what: &str) -> PathBuf {
        let name = sibling.file_name().unwrap_or_default().to_string_lossy();
        self.sibling(&format!("{what}{}", name.rsplit('-').next().unwrap_or_default()))
    }

    fn renamed(&self, sibling: PathBuf, what: &str) -> io::Result<PathBuf> {
        let to = self.renamed_name(&sibling, what);
        match fs::rename(&sibling, &to) {
            Ok(()) => Ok(to),
            Err(error) => {
                let _ = fs::remove_dir_all(sibling);
                Err(error)
            }
        }
    }
}

/// What becomes of a run that is replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keeps {
    /// Files in it that the program did not write stay where they are.
    Foreign,
    /// All of it is kept beside the folder.
    Aside,
}

/// What the name of a run that was set aside has after the folder's, before a number.
const EARLIER: &str = "-earlier-";
const BUILD_HELP: &str = "name another folder with --out, or check this one and its permissions";

/// Whether a folder's name is that of a run that was set aside.
pub fn is_set_aside(name: &OsStr) -> bool {
    let name = name.to_string_lossy();
    let number = name.rsplit_once(EARLIER).map(|(_, number)| number);
    number.is_some_and(|number| number.parse::<u32>().is_ok())
}

/// The path behind links; of a folder that isn't there, where it would be.
fn real(shown: &Path) -> io::Result<PathBuf> {
    match (fs::canonicalize(shown), fs::symlink_metadata(shown), shown.file_name()) {
        (Ok(path), ..) => Ok(path),
        (Err(_), Err(error), Some(name)) if error.kind() == ErrorKind::NotFound => {
            let parent = shown.parent().filter(|parent| !parent.as_os_str().is_empty());
            Ok(fs::canonicalize(parent.unwrap_or(Path::new(".")))?.join(name))
        }
        (Err(error), Ok(_), _) if error.kind() == ErrorKind::NotFound => {
            Err(io::Error::new(error.kind(), "it is a link that leads nowhere"))
        }
        (Err(error), ..) => Err(error),
    }
}

/// The failure to write, with what helps; what stood there still stands.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
fn unwritten(path: &Path, error: &io::Error, help: &str) -> Failure {
    let help = match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "free some space on the disk",
        _ => help,
    };
    Problem::input(
        format!("`{}` can't be written: {error}", path.display()),
        format!("{help}; what stood there before stands as it was"),
    )
    .into()
}
