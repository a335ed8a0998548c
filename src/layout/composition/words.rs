//! Words that are hard to read.

use std::collections::BTreeSet;

use crate::model::AdviceKind;

use super::Found;
use super::change::Change;
use super::scene::Scene;
use crate::layout::lying::What;

/// Type smaller than this is hard to read on a page that lies on the knees, in points (common practice, no
/// source).
const LEAST: f64 = 9.0;

/// Type that is too small.
pub(super) fn small(scene: &Scene<'_>) -> Vec<Found> {
    let points = |size: f64| format!("{} pt", (size * 10.0).round() / 10.0);
    let reason = "type under 9 pt is hard to read on a page at arm's length";
    let mut found = Vec::new();
    if let Some(strip) = scene.layout.strips.iter().find(|strip| strip.type_size < LEAST - 1e-6) {
        let line = scene.things.iter().find(|thing| thing.id() == strip.id.as_str());
        let message = format!("the story is set in {}", points(strip.type_size));
        let one = Found::new(AdviceKind::SmallText, message, reason);
        let one = one.of("journaling", line.and_then(|thing| thing.line()));
        found.push(one.mended_by([Change::StorySize("9 pt"), Change::StorySize("10 pt")]));
    }
    let mut told = BTreeSet::new();
    for thing in &scene.things {
        let What::Piece(piece) = &thing.what else { continue };
        let Some(text) = piece.print.as_ref().and_then(|print| print.text.as_ref()) else {
            continue;
        };
        let group = scene.group_of(thing);
        // Pieces of a row carry the same words.
        let is_new = group.is_none_or(|group| group.cluster || told.insert(group.id.clone()));
        if text.type_size < LEAST - 1e-6 && is_new {
            let message =
                format!("the words on `{}` are set in {}", piece.id, points(text.type_size));
            let changes = ["9 pt", "10 pt"];
            let changes = changes.into_iter().filter_map(|size| {
                group.map(|group| Change::PrintSize { group: group.clone(), size })
            });
            let one = Found::new(AdviceKind::SmallText, message, reason);
            found.push(one.of(&piece.id, thing.line()).mended_by(changes));
        }
    }
    found
}
