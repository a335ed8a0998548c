//! Kits that differ by a name: the spread laid out once for each name, and made one.
//!
//! `{name}` in the words of the title, in the words printed on pieces and in the story stands for it. A piece
//! that is the same for every name is one piece in as many copies; one that differs bears the name behind its
//! id, `title.name.A@anna`. On the spread, the first kit is drawn.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use rayon::prelude::*;

use crate::description::{
    Copies, Element, Marked, Place, Problem, Problems, Spec, Text, Written, slug,
};
use crate::lettering::fonts::FontBook;
use crate::model::{PieceId, Run, Warning};

use super::reading::Reader;
use super::title::used;
use super::{Layout, PlacedPhoto, PlacedPiece, StoryPiece, each, label_fonts};

/// What stands for the name.
const NAME: &str = "{name}";
/// Different names at most: the spread is laid out for each of them.
const MOST_NAMES: usize = 300;
/// Pieces that differ from each other at most, over all names.
const MOST_PIECES: usize = 6_000;

/// Lays a spec out for each name of its list, and makes one layout of all.
pub(super) fn lay_out(spec: &Spec, folder: &Path, fonts: &FontBook) -> Result<Layout, Problems> {
    let Some(list) = &spec.each else { return super::lay_out_one(spec, folder, fonts) };
    let mut reader = Reader::new(spec)?;
    let names = each::names(&mut reader, folder, list).unwrap_or_default();
    reader.stop_on_problems()?;
    let place = list.place;
    if let Some(said) = &spec.copies {
        let copies = said
            .value
            .as_ref()
            .map_err(|fault| Problem::at(said.place, &fault.message, &fault.help))?;
        let Copies(copies) = *copies;
        if usize::try_from(copies) != Ok(names.len()) {
            let at = if said.place.line.is_some() { said.place } else { place };
            let message = format!(
                "{copies} copies are asked for, and `{}` has {} names",
                &*list.value.file.value,
                names.len()
            );
            let help = "leave `copies` out: there are as many kits as names";
            return Err(Problem::at(at, message, help).into());
        }
    }
    let mut kits: Vec<(&str, u32)> = Vec::new();
    for name in &names {
        match kits.iter_mut().find(|(known, _)| known == name) {
            Some((_, count)) => *count += 1,
            None => kits.push((name, 1)),
        }
    }
    if kits.len() > MOST_NAMES {
        let message = format!("there are {} different names", kits.len());
        let help = format!("make kits for {MOST_NAMES} names at a time, or fewer");
        return Err(Problem::at(place, message, help).into());
    }
    let layouts: Vec<Result<Layout, Problems>> = kits
        .par_iter()
        .map(|(name, count)| super::lay_out_one(&for_name(spec, name, *count), folder, fonts))
        .collect();
    let mut laid = Vec::new();
    for (layout, (name, _)) in layouts.into_iter().zip(&kits) {
        laid.push(layout.map_err(|problems| of_name(problems, name, kits.len()))?);
    }
    let mut whole = merged(laid, &kits, place)?;
    whole.names.clone_from(&names);
    if kits.len() > 1 && !is_named(spec) {
        whole.warnings.push(Warning {
            kind: "no name used".to_owned(),
            message: "`each` names the kits, and `{name}` stands nowhere: all are alike".to_owned(),
            help: "write `{name}` in the title's words, in what is printed on a piece, or in the story"
                .to_owned(),
            line: place.line,
            ..Warning::default()
        });
    }
    label_fonts::add(&mut whole, fonts);
    let mut known: Vec<Warning> = Vec::new();
    for warning in std::mem::take(&mut whole.warnings) {
        if !known.contains(&warning) {
            known.push(warning);
        }
    }
    whole.warnings = known;
    Ok(whole)
}

/// The spec for one name, in as many copies as there are kits of it.
fn for_name(spec: &Spec, name: &str, count: u32) -> Spec {
    let mut spec = spec.clone();
    spec.each = None;
    spec.copies = Some(Written::of(&count.to_string(), Place::default()));
    for group in &mut spec.title {
        let words = &mut group.value.words;
        // The group keeps its id whatever the name: it is named after its first word.
        if group.value.id.is_none() {
            let text = words.value.text();
            let first = text.split_whitespace().next().unwrap_or_default();
            if first.contains(NAME) {
                let id = Text(slug(first));
                group.value.id = Some(Marked { value: id, place: words.place });
            }
        }
        for span in &mut words.value.0 {
            put(&mut span.words, name);
        }
    }
    for page in [&mut spec.left, &mut spec.right, &mut spec.single].into_iter().flatten() {
        for element in &mut page.pieces {
            let print = element.value.print_mut();
            if let Some(text) = print.and_then(|print| print.value.text.as_mut()) {
                put(text, name);
            }
        }
    }
    if let Some(story) = &mut spec.journaling {
        put(&mut story.value.text, name);
    }
    spec
}

/// Puts the name where it belongs in a text.
fn put(text: &mut Marked<Text>, name: &str) {
    if text.value.contains(NAME) {
        text.value = Text(text.value.replace(NAME, name));
    }
}

/// Whether the name is used at all.
fn is_named(spec: &Spec) -> bool {
    let pages = [&spec.left, &spec.right, &spec.single].into_iter().flatten();
    let elements =
        pages.flat_map(|page| &page.pieces).map(|element: &Marked<Element>| &element.value);
    let printed = elements.filter_map(|element| element.common().print?.value.text.as_ref());
    let mut texts = printed.chain(spec.journaling.iter().map(|story| &story.value.text));
    texts.any(|text| text.value.contains(NAME))
        || spec.title.iter().any(|group| group.value.words.value.text().contains(NAME))
}

/// The problems of one name's kit.
fn of_name(problems: Problems, name: &str, kits: usize) -> Problems {
    let tell = |problem: Problem| match kits {
        1 => problem,
        _ => Problem { message: format!("for the name `{name}`: {}", problem.message), ..problem },
    };
    Problems(problems.0.into_iter().map(tell).collect())
}

/// One layout of all names' layouts: that of the first, with what is other in the others.
fn merged(layouts: Vec<Layout>, kits: &[(&str, u32)], place: Place) -> Result<Layout, Problems> {
    let words = words_of(kits);
    let mut layouts = layouts.into_iter();
    let mut whole = layouts.next().unwrap_or_default();
    let mut others: Vec<Layout> = layouts.collect();
    for other in &mut others {
        adopt_fonts(&mut whole, other);
    }
    // Not the first's origin: a change of the spec changes all kits.
    whole.origin = None;
    let shared = shared(&whole, &others);
    for photo in &mut whole.photos {
        photo.copies = sum_of(photo.copies, &others, |other| copies_of_photo(other, photo));
    }
    let mut first =
        Named { id_of: BTreeMap::new(), word: words.first().cloned().unwrap_or_default() };
    let name = |place: usize| kits.get(place).map(|(name, _)| (*name).to_owned());
    for piece in &mut whole.pieces {
        if shared.contains(&piece.id) {
            piece.copies = sum_of(piece.copies, &others, |other| other.copies_of(&piece.id));
        } else {
            piece.kit = name(0);
            piece.id = first.id(&piece.id);
        }
    }
    first.rename(&mut whole);
    let warned = |other: &Layout, warning: &Warning| {
        other.warnings.iter().any(|known| known.message == warning.message)
    };
    let of_all: Vec<bool> = whole
        .warnings
        .iter()
        .map(|warning| others.iter().all(|other| warned(other, warning)))
        .collect();
    let mut warnings: Vec<Warning> = Vec::new();
    for (number, mut other) in (1..).zip(others) {
        let mut named =
            Named { id_of: BTreeMap::new(), word: words.get(number).cloned().unwrap_or_default() };
        let mut own: Vec<PlacedPiece> = Vec::new();
        for mut piece in std::mem::take(&mut other.pieces) {
            if !shared.contains(&piece.id) {
                piece.kit = name(number);
                piece.id = named.id(&piece.id);
                own.push(piece);
            }
        }
        named.rename(&mut other);
        let is_own = |id: &PieceId| own.iter().any(|piece| piece.id == *id);
        whole.strips.extend(other.strips.into_iter().filter(|strip| is_own(&strip.id)));
        whole.thin.extend(other.thin.into_iter().filter(|(id, _)| is_own(id)));
        for mut warning in other.warnings {
            let is_known = whole.warnings.iter().any(|known| known.message == warning.message);
            if !is_known {
                warning.message =
                    format!("for {}: {}", name(number).unwrap_or_default(), warning.message);
                warnings.push(warning);
            }
        }
        whole.pieces.extend(own);
    }
    if whole.pieces.len() > MOST_PIECES {
        let message = format!("the kits have {} different pieces", whole.pieces.len());
        let help = format!("make fewer kits at a time: {MOST_PIECES} pieces at most");
        return Err(Problem::at(place, message, help).into());
    }
    for (warning, is_of_all) in whole.warnings.iter_mut().zip(of_all) {
        if !is_of_all {
            warning.message = format!("for {}: {}", name(0).unwrap_or_default(), warning.message);
        }
    }
    whole.warnings.extend(warnings);
    whole.kits = kits.iter().map(|(_, count)| *count).sum();
    for (place, piece) in whole.pieces.iter_mut().enumerate() {
        // Of a kit that is not drawn, the pieces come last.
        if piece.kit.is_some() && piece.kit != name(0) {
            piece.order = u32::try_from(place).unwrap_or(u32::MAX);
        }
    }
    Ok(whole)
}

/// The names as they stand in ids, each another.
fn words_of(kits: &[(&str, u32)]) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for (name, _) in kits {
        let word = slug(name);
        let numbered = (2..).map(|number| format!("{word}-{number}"));
        let mut all = std::iter::once(word.clone()).chain(numbered);
        words.extend(all.find(|word| !words.contains(word)));
    }
    words
}

/// What bears a name in its id.
struct Named {
    id_of: BTreeMap<PieceId, PieceId>,
    word: String,
}

impl Named {
    /// The id of a piece of this name.
    fn id(&mut self, id: &PieceId) -> PieceId {
        let named: PieceId = format!("{id}@{}", self.word).into();
        self.id_of.insert(id.clone(), named.clone());
        named
    }

    /// Gives strips, thin places and warnings the ids of their pieces.
    fn rename(&self, layout: &mut Layout) {
        let rename = |id: &mut PieceId| {
            if let Some(named) = self.id_of.get(id) {
                id.clone_from(named);
            }
        };
        layout.strips.iter_mut().for_each(|strip| rename(&mut strip.id));
        layout.thin.iter_mut().for_each(|(id, _)| rename(id));
        for piece in layout.warnings.iter_mut().filter_map(|warning| warning.piece.as_mut()) {
            if let Some(named) = self.id_of.get(piece.as_str()) {
                *piece = named.to_string();
            }
        }
    }
}

fn sum_of(first: u32, others: &[Layout], of: impl Fn(&Layout) -> u32) -> u32 {
    others.iter().map(of).fold(first, u32::saturating_add)
}

fn copies_of_photo(layout: &Layout, photo: &PlacedPhoto) -> u32 {
    layout.photos.iter().find(|other| other.id == photo.id).map_or(0, |other| other.copies)
}

/// The pieces that are the same for every name, wherever they lie.
fn shared(whole: &Layout, others: &[Layout]) -> std::collections::BTreeSet<PieceId> {
    let is_shared = |piece: &&PlacedPiece| {
        others.iter().all(|other| {
            let same = other.pieces.iter().find(|one| one.id == piece.id);
            same.is_some_and(|same| is_same(piece, same) && same_strip(whole, other, &piece.id))
        })
    };
    whole.pieces.iter().filter(is_shared).map(|piece| piece.id.clone()).collect()
}

/// Whether two pieces are made in the same way.
fn is_same(one: &PlacedPiece, other: &PlacedPiece) -> bool {
    let made = |piece: &PlacedPiece| {
        let together = (piece.together.clone(), piece.runs_on);
        (piece.kind, piece.paper, piece.tool, piece.turns, piece.size, together)
    };
    made(one) == made(other)
        && one.drawing == other.drawing
        && one.finished == other.finished
        && one.print == other.print
}

/// Whether the strips behind two pieces, if they are strips, bear the same words.
fn same_strip(one: &Layout, other: &Layout, id: &PieceId) -> bool {
    let strip = |layout: &Layout| -> Option<(String, Vec<Run>)> {
        let strip: &StoryPiece = layout.strips.iter().find(|strip| strip.id == *id)?;
        Some((strip.text.clone(), strip.runs.clone()))
    };
    strip(one) == strip(other)
}

/// Gives a layout's words the places that their fonts have in another, which takes them up.
fn adopt_fonts(whole: &mut Layout, other: &mut Layout) {
    let places: Vec<usize> =
        other.fonts.iter().map(|font| used(whole, &Arc::clone(font))).collect();
    let printed = other.pieces.iter_mut().filter_map(|piece| piece.print.as_mut());
    let texts = printed.filter_map(|print| print.text.as_mut()).flat_map(|text| &mut text.runs);
    for run in texts.chain(other.strips.iter_mut().flat_map(|strip| &mut strip.runs)) {
        run.font = places.get(run.font).copied().unwrap_or(run.font);
    }
}
