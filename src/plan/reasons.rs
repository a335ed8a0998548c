//! The nester's reasons in words, for the record's notes.

use crate::nest::{Item, Limit, Note};

/// Pieces that can't share a sheet.
pub(super) struct Apart {
    /// Their names.
    pub list: String,
    /// Whether they are as many as the sheets.
    pub proves: bool,
}

/// Why one sheet less can't do, each reason once: the names of the pieces tell more than that their sizes, or
/// a search to the end, forbid it.
pub(super) fn limits(limit: Option<Limit>, apart: Option<Apart>) -> Vec<String> {
    let proves = apart.as_ref().is_some_and(|apart| apart.proves);
    let limit = limit.filter(|limit| !proves || matches!(limit, Limit::Area(_)));
    let told = limit.map(|limit| format!("one sheet less can't do: {}", of_limit(limit)));
    let apart = apart.map(|Apart { list, proves }| match proves && limit.is_none() {
        true => format!("{list} can't share a sheet, so one sheet less can't do"),
        false => format!("{list} can't share a sheet"),
    });
    told.into_iter().chain(apart).collect()
}

/// A limit in words.
fn of_limit(limit: Limit) -> String {
    match limit {
        Limit::Area(covered) => format!("the pieces cover {} sheets", above_whole(covered)),
        Limit::Sizes => "too many of the pieces are too large to share a sheet".to_owned(),
        Limit::Tried => "every way of sharing the pieces out was tried".to_owned(),
    }
}

/// A number with as few decimals as still show that it is more than a whole one: `1.2`, `1.03`.
fn above_whole(number: f64) -> String {
    let shown = |decimals: usize| format!("{number:.decimals$}");
    let is_whole = |shown: &String| shown.trim_end_matches('0').ends_with('.');
    (1..4).map(shown).find(|shown| !is_whole(shown)).unwrap_or_else(|| shown(1))
}

/// What else the nester says of its answer.
pub(super) fn notes(notes: &[Note], items: &[Item]) -> Vec<String> {
    notes.iter().map(|&note| of_note(note, items)).collect()
}

fn of_note(note: Note, items: &[Item]) -> String {
    match note {
        Note::NoSize { item } => {
            let name = items.get(item).map_or("a piece", |item| item.id.as_str());
            format!("{name} has no size, so there is nothing to cut")
        }
        Note::TooMany { most } => format!("no more than {most} pieces are cut in one go"),
        Note::NoneCheaper => {
            "no cheaper sheets can do: every way of sharing the pieces out was tried".to_owned()
        }
        Note::Stopped => {
            "the search was stopped early; this is the best found until then".to_owned()
        }
    }
}
