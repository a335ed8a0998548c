//! The page's state: the file, what is shown of it, the nest behind it and the work that is done.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use serde::{Deserialize, Serialize};
use tokio::sync::watch;

use crate::emit::spread::Table;
use crate::model::Fault;

use super::desk::{Desk, Unsaved};
use super::edit::{edit, tree};
use super::elements::Element;
use super::moves::{Asked, Known};
use super::nesting::{Found, Nesting, Sheets, Stage};
use super::view::{Mistake, Note, View, view};
use super::workshop::{Done, Progress, Workshop};

/// All that the page shows, and those who work for it.
pub(super) struct Room {
    workshop: Arc<dyn Workshop>,
    desk: Mutex<Desk>,
    shown: Mutex<Shown>,
    sheets: Mutex<Arc<Sheets>>,
    advice: Mutex<(u64, Vec<Note>)>,
    nesting: Nesting,
    work: Mutex<Work>,
    news: watch::Sender<u64>,
}

/// What is shown of the text.
#[derive(Default)]
struct Shown {
    /// The version of the text that was looked at last.
    version: u64,
    /// The last good view, and the version of the text that it is of.
    good: Option<(u64, Arc<View>)>,
    /// The mistake in the text as it is now.
    mistake: Option<String>,
}

/// A piece of work: a build, a redo, an entry.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Work {
    /// What is done; nothing before the first.
    pub what: String,
    pub running: bool,
    /// What of it is done just now.
    pub stage: String,
    pub done: Done,
}

/// A change that is asked for, of a version of the text.
#[derive(Debug, Deserialize)]
pub(super) struct Wish {
    /// The version that the page showed.
    pub version: u64,
    pub asked: Asked,
}

/// What the page is told when anything is new.
#[derive(Debug, Serialize)]
pub(super) struct News {
    pub version: u64,
    pub picture: u64,
    pub nested: u64,
    pub stage: Stage,
    pub advised: u64,
    pub work: Work,
}

/// The state as a whole.
#[derive(Debug, Serialize)]
pub(super) struct State {
    name: String,
    version: u64,
    picture: u64,
    millimetres: bool,
    page: [f64; 2],
    pages: Vec<String>,
    papers: Vec<Paper>,
    all_photos: Vec<String>,
    table: [f64; 2],
    corners: Vec<[f64; 2]>,
    elements: Vec<Element>,
    story: Option<String>,
    warnings: Vec<Note>,
    advice: Vec<Note>,
    mistake: Option<String>,
    undo: usize,
    redo: usize,
    has_stock: bool,
}

#[derive(Debug, Serialize)]
struct Paper {
    name: String,
    color: String,
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Room {
    pub(super) fn new(desk: Desk, workshop: Arc<dyn Workshop>) -> Arc<Self> {
        let room = Arc::new(Self {
            workshop,
            desk: Mutex::new(desk),
            shown: Mutex::default(),
            sheets: Mutex::default(),
            advice: Mutex::default(),
            nesting: Nesting::default(),
            work: Mutex::default(),
            news: watch::Sender::new(0),
        });
        room.show();
        room
    }

    /// Calls at each bit of news.
    pub(super) fn listen(&self) -> watch::Receiver<u64> {
        self.news.subscribe()
    }

    fn tell(&self) {
        self.news.send_modify(|count| *count += 1);
    }

    /// Looks whether the file was changed elsewhere.
    pub(super) fn look(self: &Arc<Self>) {
        if held(&self.desk).look() {
            self.show();
        }
    }

    /// Lays the same text out anew: the stock or a file that it names was changed.
    pub(super) fn renew(self: &Arc<Self>) {
        held(&self.desk).renew();
        self.show();
    }

    /// The files from which a text is laid out, seen from its folder, with the version of the text; nothing
    /// where it is still that version. Any word that ends as a file's name does may be one.
    pub(super) fn named(&self, known: u64) -> Option<(u64, Vec<PathBuf>)> {
        let desk = held(&self.desk);
        let version = desk.version();
        if version == known {
            return None;
        }
        let root = tree::parse(desk.text());
        let words = root.iter().flat_map(tree::Node::words).map(PathBuf::from);
        let files = words.filter(|file| file.extension().is_some());
        Some((version, files.chain(self.workshop.stock_files()).collect()))
    }

    /// Lays the text out and draws it; a mistake keeps the last good picture.
    fn show(self: &Arc<Self>) {
        let (text, version, file, lost) = {
            let desk = held(&self.desk);
            (desk.text().to_owned(), desk.version(), desk.name(), desk.lost().map(str::to_owned))
        };
        self.nesting.pause(version);
        let seen = match &lost {
            Some(lost) => Err(Mistake(format!("{lost}\nThe page shows it as it was last."))),
            None => view(&text, &file, self.workshop.as_ref()),
        };
        self.show_as(version, seen.map(Arc::new));
    }

    /// Shows what was made of a version of the text, unless that of a later one is shown.
    fn show_as(self: &Arc<Self>, version: u64, seen: Result<Arc<View>, Mistake>) {
        {
            let mut shown = held(&self.shown);
            if shown.version > version {
                return;
            }
            shown.version = version;
            shown.mistake = None;
            match &seen {
                Ok(view) => shown.good = Some((version, Arc::clone(view))),
                Err(Mistake(told)) => shown.mistake = Some(told.clone()),
            }
        }
        self.tell();
        match seen {
            Ok(view) => self.nest(version, &view),
            Err(_) => self.nesting.stop(version),
        }
    }

    /// Searches for the nest of a view in the background.
    fn nest(self: &Arc<Self>, version: u64, view: &Arc<View>) {
        let room = Arc::downgrade(self);
        self.nesting.begin(version, view, &self.workshop, move |found| {
            let Some(room) = room.upgrade() else { return };
            match found {
                Found::Sheets(sheets) => {
                    let mut known = held(&room.sheets);
                    if known.version <= sheets.version {
                        *known = Arc::new(sheets);
                    }
                }
                Found::Advice(version, advice) => {
                    let mut known = held(&room.advice);
                    if known.0 <= version {
                        *known = (version, advice);
                    }
                }
            }
            room.tell();
        });
    }

    /// Makes a change that is asked for.
    pub(super) fn change(self: &Arc<Self>, wish: &Wish) -> Result<(), Unsaved> {
        let before = {
            let shown = held(&self.shown);
            let Some((version, view)) = shown.good.clone() else { return Err(unreadable()) };
            if shown.mistake.is_some() {
                return Err(unreadable());
            }
            if version != wish.version {
                return Err(Unsaved::Changed);
            }
            view
        };
        let mut desk = held(&self.desk);
        if desk.version() != wish.version {
            return Err(Unsaved::Changed);
        }
        let root = tree::parse(desk.text()).ok_or_else(unreadable)?;
        let known = Known { layout: &before.layout, root: &root, elements: &before.elements };
        let edited = known
            .changes(&wish.asked)
            .and_then(|changes| edit(desk.text(), &changes))
            .map_err(Unsaved::Fault)?;
        if edited.text == desk.text() {
            return Ok(());
        }
        // A change that the spec can't have is not saved; what it will look like is shown once it is.
        self.nesting.pause(wish.version);
        let next = view(&edited.text, &desk.name(), self.workshop.as_ref());
        let next = match next {
            Ok(next) => next,
            Err(Mistake(told)) => {
                self.nest(wish.version, &before);
                return Err(Unsaved::Fault(Fault::new(told, "nothing was changed")));
            }
        };
        let saved = desk.save(edited);
        let version = desk.version();
        drop(desk);
        if saved.is_err() {
            return self.after(saved);
        }
        self.show_as(version, Ok(Arc::new(next)));
        Ok(())
    }

    /// Takes the last step back, or makes it again; of another version than that which the page showed, if
    /// it says so, nothing is taken back.
    pub(super) fn step(self: &Arc<Self>, back: bool, seen: Option<u64>) -> Result<(), Unsaved> {
        let saved = {
            let mut desk = held(&self.desk);
            if seen.is_some_and(|seen| seen != desk.version()) {
                return Err(Unsaved::Changed);
            }
            if back { desk.undo() } else { desk.redo() }
        };
        self.after(saved)
    }

    /// Shows what was saved, or what was found in its place.
    fn after(self: &Arc<Self>, saved: Result<(), Unsaved>) -> Result<(), Unsaved> {
        self.show();
        saved
    }

    /// Does a piece of work in the background, one at a time; whether it was begun.
    pub(super) fn work(
        self: &Arc<Self>,
        what: &str,
        work: impl FnOnce(&dyn Workshop, Progress) -> Done + Send + 'static,
    ) -> bool {
        {
            let mut now = held(&self.work);
            if now.running {
                return false;
            }
            *now = Work { what: what.to_owned(), running: true, ..Work::default() };
        }
        self.tell();
        let room = Arc::clone(self);
        std::thread::spawn(move || {
            // The nest's threads leave the room to the work.
            let version = held(&room.shown).version;
            room.nesting.stop(version);
            let told = Arc::clone(&room);
            let stage: Progress = Arc::new(move |stage: &str| {
                stage.clone_into(&mut held(&told.work).stage);
                told.tell();
            });
            let done = catch_unwind(AssertUnwindSafe(|| work(room.workshop.as_ref(), stage)));
            let done = done.unwrap_or_else(|_| Done {
                well: false,
                lines: vec![format!(
                    "{} failed: see what it says where it was started",
                    room.what()
                )],
            });
            {
                let mut now = held(&room.work);
                now.running = false;
                now.done = done;
            }
            room.tell();
            let good = held(&room.shown).good.clone();
            if let Some((version, view)) = good {
                room.nest(version, &view);
            }
        });
        true
    }

    /// What is done now.
    fn what(&self) -> String {
        held(&self.work).what.clone()
    }

    pub(super) fn news(&self) -> News {
        let (version, picture) = {
            let shown = held(&self.shown);
            (shown.version, shown.good.as_ref().map_or(0, |(version, _)| *version))
        };
        let sheets = self.sheets();
        let (nested, stage) = (sheets.version, sheets.stage);
        News {
            version,
            picture,
            nested,
            stage,
            advised: held(&self.advice).0,
            work: held(&self.work).clone(),
        }
    }

    pub(super) fn sheets(&self) -> Arc<Sheets> {
        Arc::clone(&held(&self.sheets))
    }

    /// What is shown, with the version of the text that it is of.
    pub(super) fn picture(&self) -> Option<(u64, Arc<View>)> {
        held(&self.shown).good.clone()
    }

    pub(super) fn workshop(&self) -> &Arc<dyn Workshop> {
        &self.workshop
    }

    pub(super) fn state(&self) -> State {
        let (undo, story) = {
            let desk = held(&self.desk);
            let story = tree::parse(desk.text())
                .and_then(|root| Some(root.get("journaling")?.get("text")?.text()?.to_owned()));
            (desk.steps(), story)
        };
        let shown = held(&self.shown);
        let view = shown.good.as_ref().map(|(_, view)| view);
        let layout = view.map(|view| &view.layout);
        let advice = held(&self.advice);
        let is_now = |version: u64| version == shown.version;
        let notes = if is_now(advice.0) { advice.1.clone() } else { Vec::new() };
        let table = view.map_or_else(|| Table::of([12.0; 2], 2), |view| view.table.clone());
        let papers = layout.iter().flat_map(|layout| &layout.papers);
        let papers =
            papers.map(|paper| Paper { name: paper.name.clone(), color: paper.color.to_string() });
        State {
            name: layout.map(|layout| layout.name.clone()).unwrap_or_default(),
            version: shown.version,
            picture: shown.good.as_ref().map_or(0, |(version, _)| *version),
            millimetres: view.is_some_and(|view| view.is_metric()),
            page: layout.map_or([12.0; 2], |layout| layout.page.to_inches()),
            pages: layout.map_or_else(Vec::new, |layout| {
                layout.pages.iter().map(ToString::to_string).collect()
            }),
            papers: papers.collect(),
            all_photos: view.map_or_else(Vec::new, |view| view.photos.clone()),
            table: table.size,
            corners: table.corners,
            elements: view.map_or_else(Vec::new, |view| view.elements.clone()),
            story,
            warnings: view.map_or_else(Vec::new, |view| view.warnings()),
            advice: notes,
            mistake: shown.mistake.clone(),
            undo: undo[0],
            redo: undo[1],
            has_stock: self.workshop.has_stock(),
        }
    }
}

fn unreadable() -> Unsaved {
    Unsaved::Fault(Fault::new(
        "the spec has a mistake, so nothing can be moved now",
        "mend it in an editor: the page follows once it is saved; or take the last step back",
    ))
}
