//! The spec's file: what it says now, saved at once and whole, and the steps that lead back.

use std::collections::VecDeque;
use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::model::Fault;

use super::edit::{Edited, Splice, difference, spliced};

/// Steps back that are kept.
const MOST_STEPS: usize = 500;
/// Bytes of steps back that are kept: a longer way back is forgotten from its far end.
const MOST_BYTES: usize = 4_000_000;
/// The largest file that is read: as large as a spec may be.
const LARGEST: u64 = 1_000_000;

/// How the name of a file begins that is written beside the spec, before it is put in its place.
const BESIDE: &str = ".cutleaf-";
/// How many letters and digits follow.
const LETTERS_OF_CHANCE: usize = 6;
/// After how long such a file is one that nobody puts in its place any more.
const LEFT: Duration = Duration::from_secs(60);

/// A spec's file.
#[derive(Debug)]
pub(super) struct Desk {
    /// Where it really stands.
    file: PathBuf,
    /// Its text as it was read or written last.
    text: String,
    /// Counts every change of the text, and each time that the file goes or comes back.
    version: u64,
    back: VecDeque<Splice>,
    forth: Vec<Splice>,
    /// Why the file can't be read now, if it can't.
    lost: Option<String>,
}

/// Why something was not saved.
#[derive(Debug)]
pub(super) enum Unsaved {
    /// The file was changed elsewhere meanwhile; what it says now was read.
    Changed,
    /// It can't be done.
    Fault(Fault),
}

impl Desk {
    /// Reads a spec's file.
    pub(super) fn open(file: &Path) -> io::Result<Self> {
        let file = fs::canonicalize(file)?;
        let text = read(&file)?;
        clear(file.parent().unwrap_or(Path::new(".")));
        Ok(Self { file, text, version: 1, back: VecDeque::new(), forth: Vec::new(), lost: None })
    }

    /// The file's name, as messages show it.
    pub(super) fn name(&self) -> String {
        self.file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    pub(super) fn version(&self) -> u64 {
        self.version
    }

    /// Why the file can't be read now, if it can't.
    pub(super) fn lost(&self) -> Option<&str> {
        self.lost.as_deref()
    }

    /// How many steps lead back, and forth again.
    pub(super) fn steps(&self) -> [usize; 2] {
        [self.back.len(), self.forth.len()]
    }

    /// Reads the file again; whether anything is new. What changed elsewhere is a step that can be taken
    /// back, as one of the page's own is.
    pub(super) fn look(&mut self) -> bool {
        match read(&self.file) {
            Ok(text) => {
                let was_lost = self.lost.take().is_some();
                if text == self.text {
                    self.version += u64::from(was_lost);
                    return was_lost;
                }
                let back = difference(&text, &self.text);
                self.note(back);
                self.forth.clear();
                self.text = text;
                self.version += 1;
                true
            }
            Err(error) => {
                let lost = told(&self.file, &error);
                let is_new = self.lost.as_ref() != Some(&lost);
                self.lost = Some(lost);
                self.version += u64::from(is_new);
                is_new
            }
        }
    }

    /// Counts the version up: the text is the same, but what it names was changed.
    pub(super) fn renew(&mut self) {
        self.version += 1;
    }

    /// Saves an edited text.
    pub(super) fn save(&mut self, edited: Edited) -> Result<(), Unsaved> {
        self.write(&edited.text)?;
        self.note(edited.back);
        self.forth.clear();
        self.text = edited.text;
        self.version += 1;
        Ok(())
    }

    /// Takes the last step back.
    pub(super) fn undo(&mut self) -> Result<(), Unsaved> {
        let nothing = || {
            Unsaved::Fault(Fault::new(
                "there is no step to take back",
                "nothing was changed since the page was opened",
            ))
        };
        let step = self.back.back().cloned().ok_or_else(nothing)?;
        let forth = self.step(&step)?;
        self.back.pop_back();
        self.forth.push(forth);
        Ok(())
    }

    /// Makes the step that was taken back last again.
    pub(super) fn redo(&mut self) -> Result<(), Unsaved> {
        let nothing =
            || Unsaved::Fault(Fault::new("there is no step to make again", "none was taken back"));
        let step = self.forth.last().cloned().ok_or_else(nothing)?;
        let back = self.step(&step)?;
        self.forth.pop();
        self.note(back);
        Ok(())
    }

    /// Puts a splice into the text and saves it; what leads back.
    fn step(&mut self, step: &Splice) -> Result<Splice, Unsaved> {
        let text = spliced(&self.text, step).ok_or(Unsaved::Changed)?;
        self.write(&text)?;
        let back = difference(&text, &self.text);
        self.text = text;
        self.version += 1;
        Ok(back)
    }

    fn note(&mut self, back: Splice) {
        self.back.push_back(back);
        let bytes =
            |steps: &VecDeque<Splice>| steps.iter().map(|step| step.text.len()).sum::<usize>();
        while self.back.len() > MOST_STEPS
            || (self.back.len() > 1 && bytes(&self.back) > MOST_BYTES)
        {
            self.back.pop_front();
        }
    }

    /// Writes a text in the file's place, at once and whole: beside it first, then put in its place. A file
    /// that says something else than was read is never overwritten.
    fn write(&mut self, text: &str) -> Result<(), Unsaved> {
        if self.look() {
            return Err(Unsaved::Changed);
        }
        let fault = |message: String, help: &str| Unsaved::Fault(Fault::new(message, help));
        if let Some(lost) = &self.lost {
            return Err(fault(lost.clone(), "put it back; nothing was saved"));
        }
        let shown = self.file.display().to_string();
        let failed = |error: io::Error| {
            fault(
                format!("`{shown}` can't be saved: {error}"),
                "it stands as it was; check the disk and the folder's permissions",
            )
        };
        let permissions = fs::metadata(&self.file).map_err(failed)?.permissions();
        if permissions.readonly() {
            return Err(fault(
                format!("`{shown}` is read-only"),
                "allow writing to it; nothing was saved",
            ));
        }
        let folder = self.file.parent().unwrap_or(Path::new("."));
        let mut beside = tempfile::Builder::new()
            .prefix(BESIDE)
            .rand_bytes(LETTERS_OF_CHANCE)
            .tempfile_in(folder)
            .map_err(failed)?;
        beside.write_all(text.as_bytes()).map_err(failed)?;
        beside.as_file().set_permissions(permissions).map_err(failed)?;
        beside.as_file().sync_all().map_err(failed)?;
        // A disk may take its time: what was saved elsewhere meanwhile is not overwritten either.
        if self.look() {
            return Err(Unsaved::Changed);
        }
        beside.persist(&self.file).map_err(|error| failed(error.error))?;
        Ok(())
    }
}

/// Removes what a save that was cut off left in a folder: nothing depends on whether it can.
fn clear(folder: &Path) {
    let is_left = |entry: &fs::DirEntry| {
        let name = entry.file_name();
        let chance = name.to_str().and_then(|name| name.strip_prefix(BESIDE));
        let is_named_so = chance.is_some_and(|letters| {
            letters.len() == LETTERS_OF_CHANCE
                && letters.bytes().all(|letter| letter.is_ascii_alphanumeric())
        });
        // Of the entry itself: a link is no file here.
        let known = || entry.metadata().ok().filter(fs::Metadata::is_file)?.modified().ok();
        is_named_so && known().and_then(|at| at.elapsed().ok()).is_some_and(|age| age > LEFT)
    };
    for entry in fs::read_dir(folder).into_iter().flatten().flatten().filter(is_left) {
        let _ = fs::remove_file(entry.path());
    }
}

fn read(file: &Path) -> io::Result<String> {
    if fs::metadata(file)?.len() > LARGEST {
        return Err(io::Error::new(ErrorKind::FileTooLarge, "it is larger than 1 MB"));
    }
    fs::read_to_string(file)
}

fn told(file: &Path, error: &io::Error) -> String {
    let shown = file.display();
    #[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
    match error.kind() {
        ErrorKind::NotFound => format!("`{shown}` is not there any more"),
        ErrorKind::InvalidData => format!("`{shown}` is no text in UTF-8"),
        _ => format!("`{shown}` can't be read: {error}"),
    }
}
