//! What of a spec has changed since its spread was built: pieces that are the same keep their cut.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use crate::description::{Problem, Problems};
use crate::layout::{Layout, PaperOnHand, StoryPiece};
use crate::model::Stock;
use crate::model::length::Size;
use crate::plan::{OnPage, Page, Plan, StoryPage};
use crate::record::{Photo, Piece, Record, Strip};

use super::chain::{Chain, add_fonts};
use super::{on_hand, path_of, whole};

/// What has changed between a build with its redos and its spec as it reads now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Pieces and photos that have to be cut or printed anew.
    pub changed: Vec<Change>,
    /// Those that the spec has got since.
    pub added: Vec<String>,
    /// Those that it has no longer.
    pub gone: Vec<String>,
    /// Those that are the same and only lie elsewhere: nothing is cut again for them.
    pub moved: Vec<String>,
}

/// A piece or photo that is another now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Its id.
    pub id: String,
    /// What was and what is, in words.
    pub what: String,
}

impl Changes {
    /// Whether something has to be cut or printed.
    pub fn is_empty(&self) -> bool {
        self.changed.is_empty() && self.added.is_empty()
    }

    /// Whether a piece or photo has to be cut or printed.
    fn holds(&self, id: &str) -> bool {
        self.changed.iter().any(|change| change.id == id) || self.added.iter().any(|one| one == id)
    }
}

/// What has changed since a build and its redos, by the spread as its spec reads now.
pub fn changes(chain: &Chain, spread: &Layout) -> Result<Changes, Problem> {
    let before = chain.whole();
    let now = now(spread, before);
    let mut changes = Changes::default();
    let units = spread.units;
    let (was, is) = (things(before)?, things(&now)?);
    for (id, thing) in &is {
        let Some(earlier) = was.get(id) else {
            changes.added.push((*id).to_owned());
            continue;
        };
        if earlier.made == thing.made && thing.runs_on && !earlier.runs_on {
            // Halves whose pattern runs on are cut from other places of their sheet.
            let what = "its pattern is to run on over the gutter".to_owned();
            changes.changed.push(Change { id: (*id).to_owned(), what });
        } else if earlier.made != thing.made {
            let show = |thing: &Thing| {
                let [width, height] = thing.size;
                let on = if thing.paper.is_empty() { "" } else { " of " };
                format!("{}{on}{}", Size::inches(width, height).show(units), thing.paper)
            };
            let (was, is) = (show(earlier), show(thing));
            let what = match was == is {
                true => format!("{is}, of another form or print than before"),
                false => format!("was {was}, is {is}"),
            };
            changes.changed.push(Change { id: (*id).to_owned(), what });
        } else if earlier.lies != thing.lies {
            changes.moved.push((*id).to_owned());
        }
    }
    let gone = was.keys().filter(|id| !is.contains_key(*id));
    changes.gone = gone.map(|id| (*id).to_owned()).collect();
    Ok(changes)
}

/// A layout of what has changed, to be cut from the paper that is left.
pub fn changed_layout(
    chain: &Chain,
    spread: &Layout,
    changes: &Changes,
) -> Result<Layout, Problems> {
    let last = chain.latest();
    let mut papers = Vec::new();
    for paper in &spread.papers {
        let left = last.papers.iter().find(|known| known.name == paper.name);
        let stock = match left {
            Some(left) => on_hand(left, last, &[].into(), &[].into()).stock,
            None => paper.stock.clone(),
        };
        papers.push(PaperOnHand { stock, ..paper.clone() });
    }
    let mut layout = Layout {
        papers,
        pieces: spread.pieces.iter().filter(|piece| changes.holds(&piece.id)).cloned().collect(),
        photos: spread.photos.iter().filter(|photo| changes.holds(&photo.id)).cloned().collect(),
        strips: spread.strips.iter().filter(|strip| changes.holds(&strip.id)).cloned().collect(),
        photo_stock: super::photos::stock(last),
        stamps: Vec::new(),
        redo: chain.next_number(),
        follows: Some(last.paper_digest()),
        origin: None,
        ..spread.clone()
    };
    add_bought(&mut layout, chain, spread);
    Ok(layout)
}

/// Adds the paper that the spec has got since the build: sheets of which it lists more than had been seen,
/// and offcuts that no record knows.
pub fn add_bought(layout: &mut Layout, chain: &Chain, spread: &Layout) {
    let known: Vec<&str> = chain
        .records()
        .flat_map(|record| &record.papers)
        .flat_map(|paper| &paper.offcuts_left)
        .map(|left| left.id.as_str())
        .chain(
            chain
                .records()
                .flat_map(|record| &record.sheets)
                .filter_map(|sheet| sheet.from.as_deref()),
        )
        .collect();
    // Of papers from the stock, the ledger knows.
    for paper in layout.papers.iter_mut().filter(|paper| !paper.from_stock) {
        let Some(now) = spread.papers.iter().find(|now| now.name == paper.name) else { continue };
        if chain.latest().papers.iter().all(|known| known.name != paper.name) {
            continue;
        }
        for listed in &now.stock {
            if let Some(id) = &listed.offcut {
                if !known.contains(&id.as_str()) {
                    paper.stock.push(listed.clone());
                }
                continue;
            }
            let bought = listed.count.saturating_sub(seen(chain, &paper.name, listed.size));
            let same = |stock: &&mut Stock| stock.offcut.is_none() && stock.size == listed.size;
            match paper.stock.iter_mut().find(same) {
                Some(stock) => stock.count += bought,
                None if bought > 0 => paper.stock.push(Stock { count: bought, ..listed.clone() }),
                None => {}
            }
        }
    }
}

/// How many sheets of a kind the build and its redos have seen: those on hand at the build, and what came
/// since.
fn seen(chain: &Chain, paper: &str, size: Size) -> u32 {
    let on_hand = |record: &Record| {
        let lines = record.totals.shopping.iter();
        let of_kind =
            lines.filter(|line| line.paper == paper && Size::of_inches(line.size) == size);
        of_kind.map(|line| line.on_hand).sum::<u32>()
    };
    let left = |record: &Record| {
        let papers = record.papers.iter().filter(|known| known.name == paper);
        let of_kind =
            papers.flat_map(|paper| &paper.left).filter(|left| Size::of_inches(left.size) == size);
        of_kind.map(|left| left.count).sum::<u32>()
    };
    let records: Vec<&Record> = chain.records().collect();
    let came = records.windows(2).map(|pair| match pair {
        [before, after] => on_hand(after).saturating_sub(left(before)),
        _ => 0,
    });
    records.first().map_or(0, |build| on_hand(build)) + came.sum::<u32>()
}

/// A piece or photo, as far as it matters here.
struct Thing<'a> {
    paper: &'a str,
    size: [f64; 2],
    /// What it is made to, such as its curves.
    made: Value,
    /// Whether its pattern is to run on over the gutter.
    runs_on: bool,
    /// Where it lies on which page.
    lies: Value,
}

/// The spread as its spec reads now in the words of a record, whose fonts bear the numbers of another's.
fn now(spread: &Layout, before: &Record) -> Record {
    // No page is arranged for that: a record lists the strips of pages, so each has one to itself.
    let page = |(place, strip): (usize, &StoryPiece)| StoryPage {
        paper: strip.paper,
        page: Page {
            strips: vec![OnPage { strip: place, ..OnPage::default() }],
            ..Page::default()
        },
        ..StoryPage::default()
    };
    let pages = spread.strips.iter().enumerate().map(page).collect();
    let mut now = Plan { spread: spread.clone(), pages, ..Plan::default() }.record();
    let mut fonts = before.fonts.clone();
    let places = add_fonts(&mut fonts, &now.fonts);
    super::chain::renumber(&mut now, &places);
    now
}

/// All that can be cut or printed, by id.
fn things(record: &Record) -> Result<BTreeMap<&str, Thing<'_>>, Problem> {
    let mut things = BTreeMap::new();
    for piece in &record.pieces {
        let strip = record.strips.iter().find(|strip| strip.id == piece.id);
        things.insert(piece.id.as_str(), of_piece(piece, strip)?);
    }
    let printed = record.photos.iter().filter(|photo| photo.picture.is_some());
    things.extend(printed.map(|photo| (photo.id.as_str(), of_photo(photo))));
    Ok(things)
}

fn of_piece<'a>(piece: &'a Piece, strip: Option<&Strip>) -> Result<Thing<'a>, Problem> {
    let windows = piece.gutted.len() + piece.opened.len();
    let outline = whole(&path_of(piece, &piece.path)?, windows);
    let outline = crate::geometry::path_data(&outline, crate::model::PATH_DECIMALS);
    let words =
        strip.map(|strip| (&strip.text, &strip.runs, &strip.ink, &strip.ground, strip.baseline));
    let allowance = piece.torn.as_ref().map(|torn| &torn.allowance);
    let made = (&piece.paper, &piece.tool, outline, &piece.lines, &piece.print, words, allowance);
    Ok(Thing {
        paper: &piece.paper,
        size: piece.size,
        made: value(&made),
        runs_on: piece.runs_on,
        lies: value(&(&piece.page, piece.at, piece.turn)),
    })
}

fn of_photo(photo: &Photo) -> Thing<'_> {
    Thing {
        paper: "",
        size: photo.size,
        made: value(&(photo.size, photo.border, &photo.picture)),
        runs_on: false,
        lies: value(&(&photo.page, photo.at, photo.turn)),
    }
}

/// A value as it is once it was written and read: what a record of the disk has been through.
fn value(of: &impl Serialize) -> Value {
    let text = serde_json::to_string(of).unwrap_or_default();
    serde_json::from_str(&text).unwrap_or_default()
}
