//! The stock's two files: held while a command works on them, and written together or not at all.
//!
//! The new `stock.yaml` is written aside first, under a name that says which text it replaces; then the
//! ledger changes in one call of the system, which decides; then the text takes its place. What a killed
//! command left is finished by the next if the ledger knows of it, and cleared if not.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use cutleaf::description::{Problem, Problems};
use cutleaf::stock::{LEDGER_NAME, ReadFault, STOCK_NAME, Shelf, find_file};

use super::super::folder::lock::Lock;
use super::super::{Failure, one_line, say, say_beside};

/// The stock, which no other command works on as long as this is kept.
pub struct HeldStock {
    /// What stands in the files, and what is to stand there.
    pub shelf: Shelf,
    /// The user's file as it is named.
    shown: PathBuf,
    files: Files,
    text: String,
    ledger: Option<String>,
    _lock: Lock,
}

/// Where the files are.
struct Files {
    folder: PathBuf,
    stock: PathBuf,
    ledger: PathBuf,
}

impl HeldStock {
    /// The stock that belongs to a spec or a folder: the one that is named, else `stock.yaml` beside it or in
    /// the nearest folder above; nothing where there is none.
    pub fn open(named: Option<&Path>, beside: &Path) -> Result<Option<Self>, Failure> {
        let found = || find_file(beside);
        named.map(Path::to_owned).or_else(found).map(|file| Self::at(&file)).transpose()
    }

    /// The stock of the folder that is worked in; where there is none, says what to do.
    pub fn here(named: Option<&Path>) -> Result<Self, Failure> {
        Self::open(named, Path::new("."))?.ok_or_else(|| {
            let message = format!("there is no {STOCK_NAME} in this folder or one above");
            let help = "`cutleaf stock init` writes one to fill in; --stock names one elsewhere";
            Problem::input(message, help).into()
        })
    }

    fn at(shown: &Path) -> Result<Self, Failure> {
        // A folder stands for the stock in it.
        let inside = shown.is_dir().then(|| shown.join(STOCK_NAME));
        let shown = inside.as_deref().unwrap_or(shown);
        let shown = shown.strip_prefix(".").unwrap_or(shown);
        let unread = |error: io::Error| unread(shown, &error);
        let stock = fs::canonicalize(shown).map_err(unread)?;
        let folder = stock.parent().unwrap_or(Path::new(".")).to_owned();
        let ledger = folder.join(ledger_name(&stock));
        let files = Files { ledger, stock, folder };
        let waited = format!("another command with `{}`", one_line(&shown.display().to_string()));
        let lock = Lock::take(files.hidden("lock"), &files.stock, &waited)
            .map_err(|error| unwritten(shown, &error))?;
        let text = fs::read_to_string(&files.stock).map_err(unread)?;
        let ledger = match fs::read_to_string(&files.ledger) {
            Ok(ledger) => Some(ledger),
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            Err(error) => return Err(self::unread(&files.ledger, &error)),
        };
        let text =
            files.finish(text, ledger.as_deref()).map_err(|error| unwritten(shown, &error))?;
        let shelf = Shelf::read(&text, ledger.as_deref()).map_err(|fault| {
            let ReadFault { file, problems } = fault;
            if file == LEDGER_NAME {
                let text = ledger.as_deref().unwrap_or_default();
                Failure::of_spec(problems, &shown.with_file_name(ledger_name(&files.stock)), text)
            } else {
                Failure::of_spec(problems, shown, &text)
            }
        })?;
        Ok(Self { shelf, shown: shown.to_owned(), files, text, ledger, _lock: lock })
    }

    /// The folder in which the stock really is.
    pub fn folder(&self) -> &Path {
        &self.files.folder
    }

    /// The file, as it is named.
    pub fn shown(&self) -> &Path {
        &self.shown
    }

    /// How a spec is called in the ledger: its path from the stock's folder.
    pub fn name_of(&self, spec: &Path) -> String {
        let whole = fs::canonicalize(spec).unwrap_or_else(|_| spec.to_owned());
        let below = whole.strip_prefix(&self.files.folder).unwrap_or(&whole);
        below.to_string_lossy().replace('\\', "/")
    }

    /// Says what the user had changed by hand.
    pub fn say_noticed(&self) {
        let Some(entry) = self.shelf.noticed() else { return };
        let units = self.shelf.stock().units;
        for line in super::history::changes(entry, units) {
            let shown = self.shown.display();
            say_beside(&format!("Changed by hand in {shown}: {line}."));
        }
    }

    /// Writes what has changed; where nothing has, nothing is written.
    pub fn save(&mut self) -> Result<(), Failure> {
        self.saved().map_err(|unsaved| match unsaved {
            Unsaved::Before(error) => unwritten(&self.shown, &error),
            Unsaved::Decided(error) => {
                let message = format!("`{}` can't be written: {error}", self.shown.display());
                let help = "the ledger has the entry: the next command that can write finishes it";
                Problem::input(message, help).into()
            }
        })
    }

    /// Writes down what the user had changed by hand, where that can be written: for commands that only look.
    pub fn note(&mut self) {
        if self.shelf.noticed().is_some() {
            let _ = self.saved();
        }
    }

    fn saved(&mut self) -> Result<(), Unsaved> {
        let (text, ledger) = (self.shelf.text().to_owned(), self.shelf.ledger_text());
        if text == self.text && ledger == self.ledger {
            return Ok(());
        }
        let next = self.files.next(&self.text);
        let fresh = self.files.hidden("new-ledger");
        let decided = (|| {
            if text != self.text {
                write_new(&next, &text, Some(&self.files.stock))?;
            }
            write_new(&fresh, &self.shelf.whole_ledger(), None)?;
            fs::rename(&fresh, &self.files.ledger)
        })();
        if let Err(error) = decided {
            let _ = fs::remove_file(&next);
            let _ = fs::remove_file(&fresh);
            return Err(Unsaved::Before(error));
        }
        let _ = sync(&self.files.folder);
        if text != self.text {
            fs::rename(&next, &self.files.stock).map_err(Unsaved::Decided)?;
        }
        if ledger.is_none() {
            // With its opening alone it says as much as none.
            let _ = fs::remove_file(&self.files.ledger);
        }
        let _ = sync(&self.files.folder);
        (self.text, self.ledger) = (text, ledger);
        Ok(())
    }
}

/// Why something was not written.
enum Unsaved {
    /// Nothing has changed.
    Before(io::Error),
    /// The ledger has changed; the user's file has yet to follow.
    Decided(io::Error),
}

impl Files {
    /// A hidden file beside the stock.
    fn hidden(&self, what: &str) -> PathBuf {
        let name = self.stock.file_name().unwrap_or_default().to_string_lossy();
        self.folder.join(format!(".{name}.cutleaf-{what}"))
    }

    /// Where the text waits that is to replace another.
    fn next(&self, replaced: &str) -> PathBuf {
        self.hidden(&format!("next-{}", Shelf::text_name(replaced)))
    }

    /// Finishes what a killed command began, or clears what it left; the text as it stands then.
    fn finish(&self, text: String, ledger: Option<&str>) -> io::Result<String> {
        let next = self.next(&text);
        let mut text = text;
        if let (Ok(waiting), Some(ledger)) = (fs::read_to_string(&next), ledger)
            && Shelf::is_shown_last(ledger, &waiting)
        {
            fs::rename(&next, &self.stock)?;
            let _ = sync(&self.folder);
            text = waiting;
        }
        let prefix = self.hidden("next-");
        let prefix = prefix.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let new_ledger = self.hidden("new-ledger");
        for entry in fs::read_dir(&self.folder)?.flatten() {
            let is_next = entry.file_name().to_string_lossy().starts_with(&prefix);
            if is_next || entry.path() == new_ledger {
                // Left by a command that was killed; where it can't be removed it hinders nobody.
                let _ = fs::remove_file(entry.path());
            }
        }
        Ok(text)
    }
}

/// The ledger's name: that of a stock under another name than usual is named after it.
fn ledger_name(stock: &Path) -> String {
    let stem = stock.file_stem().unwrap_or_default().to_string_lossy();
    if stem == "stock" { LEDGER_NAME.to_owned() } else { format!("{stem}-ledger.jsonl") }
}

/// Writes a file that lasts, with the permissions of another.
fn write_new(path: &Path, text: &str, like: Option<&Path>) -> io::Result<()> {
    let written = (|| {
        let mut file = File::create(path)?;
        file.write_all(text.as_bytes())?;
        if let Some(like) = like {
            file.set_permissions(fs::metadata(like)?.permissions())?;
        }
        file.sync_all()
    })();
    if written.is_err() {
        let _ = fs::remove_file(path);
    }
    written
}

/// Makes the names in a folder last, where the system can.
fn sync(folder: &Path) -> io::Result<()> {
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

#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
fn unread(file: &Path, error: &io::Error) -> Failure {
    let help = match error.kind() {
        ErrorKind::NotFound => "check the path; `cutleaf stock init` writes one to fill in",
        ErrorKind::InvalidData => "it is a text file in UTF-8",
        _ => "check the file's permissions",
    };
    Problem::input(format!("`{}` can't be read: {error}", file.display()), help).into()
}

#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of the standard library")]
fn unwritten(file: &Path, error: &io::Error) -> Failure {
    let help = match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "free some space on the disk",
        _ => "check the folder and its permissions",
    };
    let message = format!("`{}` can't be written: {error}", file.display());
    Problem::input(message, format!("{help}; what stood there before stands as it was")).into()
}

/// Says what is reserved beyond what is on hand.
pub fn say_conflicts(shelf: &Shelf) {
    super::table::conflicts(shelf).into_iter().for_each(say);
}

/// A problem of the stock, told beside its text where it has a place.
pub fn of_stock(held: &HeldStock, problem: Problem) -> Failure {
    Failure::of_spec(Problems::from(problem), held.shown(), held.shelf.text())
}
