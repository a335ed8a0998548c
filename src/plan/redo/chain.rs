//! A build and its redos, one after the other: what there is to do again, and what paper is left.

use std::collections::{BTreeMap, BTreeSet};

use crate::description::Problem;
use crate::record::{FontUsed, Record, Strip};

/// A build and the redos that followed it. Each redo says which paper it found, so a redo that is missing
/// between two others, or was changed by hand, is noticed.
///
/// ```
/// use cutleaf::plan::Chain;
/// use cutleaf::record::Record;
///
/// let build = Record::default();
/// let redo = Record { follows: Some(build.paper_digest()), ..Record::default() };
/// let chain = Chain::of(build.clone()).then(redo.clone()).unwrap();
/// assert_eq!(chain.next_number(), 2);
/// let stranger = Record { follows: Some("another".to_owned()), ..Record::default() };
/// assert!(Chain::of(build).then(stranger).is_err());
/// ```
#[derive(Clone, Debug)]
pub struct Chain {
    build: Record,
    redos: Vec<Record>,
    whole: Record,
}

impl Chain {
    /// A build that nothing has followed yet.
    pub fn of(build: Record) -> Self {
        let mut whole = build.clone();
        whole.strips = each_once(whole.strips);
        Self { whole, build, redos: Vec::new() }
    }

    /// The chain with the redo that follows; or says that it follows another.
    pub fn then(mut self, redo: Record) -> Result<Self, Problem> {
        let number = self.next_number();
        // An older record doesn't say what it follows.
        if redo.follows.as_ref().is_some_and(|digest| *digest != self.latest().paper_digest()) {
            let before = if number == 1 { "the build".to_owned() } else { redo_name(number - 1) };
            let message = format!("`{}` doesn't follow {before}", redo_name(number));
            let help = "one of the two was changed, or made from another build: put back the records that \
                        belong together, or take the later redos back with `redo --undo`";
            return Err(Problem::input(message, help));
        }
        add(&mut self.whole, redo.clone());
        self.redos.push(redo);
        Ok(self)
    }

    /// The record of the build.
    pub fn build(&self) -> &Record {
        &self.build
    }

    /// The latest record: it knows what paper is left.
    pub fn latest(&self) -> &Record {
        self.redos.last().unwrap_or(&self.build)
    }

    /// The redos, in their order.
    pub fn redos(&self) -> &[Record] {
        &self.redos
    }

    /// All records, from the build's to the latest.
    pub(super) fn records(&self) -> impl Iterator<Item = &Record> {
        std::iter::once(&self.build).chain(&self.redos)
    }

    /// The number of the redo that would come next, from 1.
    pub fn next_number(&self) -> u32 {
        u32::try_from(self.redos.len()).unwrap_or(u32::MAX).saturating_add(1)
    }

    /// Everything that can be done again, as one record: the sheets of all, and each piece, photo and strip
    /// as it was made last.
    pub(super) fn whole(&self) -> &Record {
        &self.whole
    }
}

/// The name of a redo, which is that of its folder.
pub fn redo_name(number: u32) -> String {
    format!("redo-{number}")
}

/// Adds what a redo made to everything that was made before.
fn add(whole: &mut Record, mut redo: Record) {
    let places = add_fonts(&mut whole.fonts, &redo.fonts);
    renumber(&mut redo, &places);
    // Of a piece that is cut several times, some are cut again: there are still as many.
    for piece in &mut redo.pieces {
        let earlier = whole.pieces.iter().find(|earlier| earlier.id == piece.id);
        piece.copies = earlier.map_or(piece.copies, |earlier| earlier.copies.max(piece.copies));
    }
    for photo in &mut redo.photos {
        let earlier = whole.photos.iter().find(|earlier| earlier.id == photo.id);
        photo.copies = earlier.map_or(photo.copies, |earlier| earlier.copies.max(photo.copies));
    }
    overlay(&mut whole.pieces, redo.pieces, |piece| piece.id.to_string());
    overlay(&mut whole.photos, redo.photos, |photo| photo.id.to_string());
    overlay(&mut whole.strips, each_once(redo.strips), |strip| strip.id.to_string());
    whole.sheets.extend(redo.sheets);
    whole.prints.extend(redo.prints);
}

/// Strips of which each copy is told, one of each.
fn each_once(strips: Vec<Strip>) -> Vec<Strip> {
    let mut known = BTreeSet::new();
    strips.into_iter().filter(|strip| known.insert(strip.id.clone())).collect()
}

/// Puts later ones in the place of those with the same id, and the others behind.
fn overlay<T>(all: &mut Vec<T>, later: Vec<T>, id: impl Fn(&T) -> String) {
    let mut places: BTreeMap<String, usize> =
        all.iter().enumerate().map(|(place, one)| (id(one), place)).collect();
    for one in later {
        match places.get(&id(&one)).and_then(|&place| all.get_mut(place)) {
            Some(earlier) => *earlier = one,
            None => {
                places.insert(id(&one), all.len());
                all.push(one);
            }
        }
    }
}

/// Gives the fonts of a record's words the places that they have in another list.
pub(super) fn renumber(record: &mut Record, places: &[usize]) {
    let printed = record.pieces.iter_mut().filter_map(|piece| piece.print.as_mut());
    let texts = printed.filter_map(|print| print.text.as_mut());
    let runs = texts.flat_map(|text| &mut text.runs);
    for run in runs.chain(record.strips.iter_mut().flat_map(|strip| &mut strip.runs)) {
        run.font = places.get(run.font).copied().unwrap_or(usize::MAX);
    }
}

/// Adds fonts to a list; gives their places in it.
pub(super) fn add_fonts(all: &mut Vec<FontUsed>, more: &[FontUsed]) -> Vec<usize> {
    let place = |font: &FontUsed| {
        all.iter().position(|known| known == font).unwrap_or_else(|| {
            all.push(font.clone());
            all.len() - 1
        })
    };
    more.iter().map(place).collect()
}
