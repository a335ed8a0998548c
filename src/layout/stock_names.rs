//! Names of papers and offcuts: sheets, cut files and what is left over are told apart by them alone.

use std::collections::BTreeMap;

use crate::description::{Place, slug};
use crate::model::SheetSource;

use super::reading::Reader;

/// Notes papers whose sheets, and so their cut files, would have the same names.
pub(super) fn papers(reader: &mut Reader<'_>) {
    let papers = &reader.spec.papers.0;
    for (index, (name, paper)) in papers.iter().enumerate() {
        for (other, earlier) in &papers[..index] {
            let Some(shared) = shared(name, other) else { continue };
            let message = format!(
                "the papers `{other}`{} and `{name}` would both have sheets called `{shared}-1`",
                on_line(earlier.place)
            );
            let help = "rename one of them: signs, spaces and capitals make no difference in a \
                        file's name, nor does what follows the 40th letter";
            reader.problem(paper.place, message, help);
        }
    }
}

/// The name that the sheets of two papers would share, were it only on a disk that knows no capitals.
fn shared(one: &str, other: &str) -> Option<String> {
    let [one, other] = [one, other].map(|name| caseless(&slug(name)));
    if one == other || redo_of(&one, &other) {
        return Some(one);
    }
    redo_of(&other, &one).then_some(other)
}

/// Whether the sheets of a paper are called as those of another's redo are.
fn redo_of(name: &str, other: &str) -> bool {
    let number = name.strip_prefix(other).and_then(|rest| rest.strip_prefix("-redo-"));
    number
        .is_some_and(|number| !number.is_empty() && number.bytes().all(|one| one.is_ascii_digit()))
}

/// A name as a disk that knows no capitals compares it.
fn caseless(name: &str) -> String {
    name.chars().flat_map(char::to_uppercase).flat_map(char::to_lowercase).collect()
}

/// The ids of the offcuts, paper by paper: as written, or the paper's name and a number that is free.
pub(super) fn offcuts(reader: &mut Reader<'_>) -> Vec<Vec<String>> {
    let mut taken: BTreeMap<String, Place> = BTreeMap::new();
    let papers = &reader.spec.papers.0;
    let written = papers.iter().flat_map(|(_, paper)| &paper.value.offcuts);
    for id in written.filter_map(|offcut| offcut.id.as_ref()) {
        let name = id.value.trim();
        if name.is_empty() || name == SheetSource::NEW {
            let message = format!("an offcut can't be called `{name}`");
            let help = "`new` is what a sheet from the shop is called: give it another id";
            reader.problem(id.place, message, help);
        }
        if let Some(earlier) = taken.insert(name.to_owned(), id.place) {
            let message =
                format!("two offcuts are called `{name}`: this one and that{}", on_line(earlier));
            reader.problem(id.place, message, "give each an id of its own");
        }
    }
    let mut ids = Vec::new();
    for (name, paper) in papers {
        let mut number = 0;
        let mut numbered = || loop {
            number += 1;
            let id = format!("{}-offcut-{number}", slug(name));
            if taken.insert(id.clone(), Place::default()).is_none() {
                return id;
            }
        };
        let offcuts = paper.value.offcuts.iter();
        ids.push(
            offcuts
                .map(|offcut| match &offcut.id {
                    Some(id) => id.value.trim().to_owned(),
                    None => numbered(),
                })
                .collect(),
        );
    }
    ids
}

/// Where something stands, for a message that points elsewhere.
pub(super) fn on_line(place: Place) -> String {
    place.line.map_or_else(String::new, |line| format!(" (line {line})"))
}
