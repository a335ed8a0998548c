//! Advice with a good eye: what a careful crafter would look at again before she glues.
//!
//! Each piece of advice says what is seen and why it is worth a look. A change is offered only after it was
//! made: written into the spec, laid out anew, and seen to help without another piece of advice, a warning or
//! a fault in its place. Advice stops nothing, and each kind can be switched off by `advice: {without: …}`.

mod change;
mod colors;
mod edges;
mod places;
mod scene;
mod spacing;
mod words;

use std::collections::BTreeSet;
use std::num::NonZeroU64;
use std::path::Path;

use super::{Layout, lay_out_one};
use crate::lettering::fonts::FontBook;
use crate::model::{Advice, AdviceKind};

use change::Change;
use scene::{Group, Scene};

/// Changes that are laid out anew at most, for all advice together: each takes as long as laying out.
const MOST_TRIED: usize = 8;

/// What is seen, and the changes that may mend it, the likeliest first.
struct Found {
    advice: Advice,
    changes: Vec<Change>,
}

impl Found {
    fn new(kind: AdviceKind, message: String, reason: &str) -> Self {
        let reason = reason.to_owned();
        Self {
            advice: Advice { kind, message, reason, write: None, piece: None, line: None },
            changes: Vec::new(),
        }
    }

    fn of(self, piece: &str, line: Option<NonZeroU64>) -> Self {
        let advice = Advice { piece: Some(piece.to_owned()), line, ..self.advice };
        Self { advice, ..self }
    }

    fn of_group(self, group: &Group) -> Self {
        self.of(&group.id, group.line)
    }

    fn mended_by(mut self, changes: impl IntoIterator<Item = Change>) -> Self {
        self.changes.extend(changes);
        self
    }

    /// What makes it the same advice on another layout.
    fn key(&self) -> (&'static str, Option<String>) {
        (self.advice.kind.name(), self.advice.piece.clone())
    }
}

/// The advice on a layout. `folder` and `fonts` are those it was laid out with: changes are tried with them.
pub fn advise(layout: &Layout, folder: &Path, fonts: &FontBook) -> Vec<Advice> {
    let found = found(layout);
    let known: BTreeSet<_> = found.iter().map(Found::key).collect();
    let warned = warned(layout);
    let mut left = MOST_TRIED;
    let mut helps = |key: &(&'static str, Option<String>), change: &Change| {
        let (write, spec) = change.written(layout)?;
        left = left.checked_sub(1)?;
        let changed = lay_out_one(&spec, folder, fonts).ok()?;
        let after: BTreeSet<_> = self::found(&changed).iter().map(Found::key).collect();
        let mends = !after.contains(key) && after.is_subset(&known);
        (mends && self::warned(&changed).is_subset(&warned)).then_some(write)
    };
    let advice = found.iter().map(|one| {
        let key = one.key();
        let write = one.changes.iter().find_map(|change| helps(&key, change));
        Advice { write, ..one.advice.clone() }
    });
    advice.collect()
}

/// What is seen, of the kinds that the spec doesn't switch off, in the order of the kinds.
fn found(layout: &Layout) -> Vec<Found> {
    let scene = Scene::of(layout);
    let mut found = Vec::new();
    for kind in AdviceKind::ALL {
        if layout.without_advice.contains(&kind) {
            continue;
        }
        found.extend(match kind {
            AdviceKind::Facing => places::facing(&scene),
            AdviceKind::LoneColor => colors::alone(&scene),
            AdviceKind::Clusters => places::clusters(&scene),
            AdviceKind::Contrast => colors::contrast(&scene),
            AdviceKind::SmallText => words::small(&scene),
            AdviceKind::OverPhoto => places::over_photos(&scene),
            AdviceKind::SameColor => colors::touching(&scene),
            AdviceKind::NearMiss => edges::near_misses(&scene),
            AdviceKind::Gap => spacing::gaps(&scene),
            AdviceKind::Balance => spacing::balance(&scene),
            AdviceKind::PageEdge => edges::near_the_page_edge(&scene),
            // Known once the sheets are planned, which tries it.
            AdviceKind::SavesASheet => Vec::new(),
        });
    }
    found
}

/// The warnings of a layout, by kind and piece.
fn warned(layout: &Layout) -> BTreeSet<(String, Option<String>)> {
    let warnings = layout.warnings.iter();
    warnings.map(|warning| (warning.kind.clone(), warning.piece.clone())).collect()
}

/// Names as a sentence lists them: `a`, `a and b`, `a, b and c`.
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
