//! Edges that miss each other, or the page's edge, by a hair.

use crate::model::AdviceKind;
use crate::model::length::Length;

use super::Found;
use super::change::Change;
use super::scene::{Group, Role, Scene};

/// Edges that are no further apart than this are one line to the eye, in inches.
const ONE_LINE: f64 = 1.0 / 64.0;
/// Edges that miss each other by less look like a slip, in inches (common practice, no source).
const A_HAIR: f64 = 1.0 / 8.0;
/// What lies further apart than this is not compared, in inches.
const NEAR: f64 = 3.0;
/// How far photos and words should keep from the page's edge, in inches (common practice, no source).
const CLEAR: f64 = 1.0 / 4.0;

fn is_a_hair(distance: f64) -> bool {
    distance > ONE_LINE && distance < A_HAIR - 1e-9
}

/// Edges of neighbours that would be one line if one of the two were moved a little.
pub(super) fn near_misses(scene: &Scene<'_>) -> Vec<Found> {
    let mut found = Vec::new();
    for page in 0..scene.layout.pages.len() {
        let groups = scene.groups_of(page, &[Role::Photo, Role::Band, Role::Story]);
        let groups: Vec<&Group> = groups.into_iter().filter(|group| group.level).collect();
        for (number, one) in groups.iter().enumerate() {
            let later = groups[number + 1..].iter();
            found.extend(
                later
                    .flat_map(|other| [0, 1].map(|axis| near_miss(scene, one, other, axis)))
                    .flatten(),
            );
        }
    }
    found
}

fn near_miss(scene: &Scene<'_>, one: &Group, other: &Group, axis: usize) -> Option<Found> {
    let [one_across, other_across] = [one.span(1 - axis), other.span(1 - axis)];
    let apart = (one_across[0] - other_across[1]).max(other_across[0] - one_across[1]);
    let [first, second] = [one.span(axis), other.span(axis)];
    let differences = [second[0] - first[0], second[1] - first[1]];
    let lies_within =
        |inner: &Group, outer: &Group| outer.bounds.union(inner.bounds) == outer.bounds;
    let is_line = differences.iter().any(|difference| difference.abs() <= ONE_LINE)
        || (differences[0] + differences[1]).abs() <= ONE_LINE;
    if apart > NEAR || is_line || lies_within(one, other) || lies_within(other, one) {
        return None;
    }
    let side = usize::from(differences[1].abs() < differences[0].abs());
    let by = differences[side];
    if !is_a_hair(by.abs()) {
        return None;
    }
    let edge = [["left", "right"], ["upper", "lower"]][axis][side];
    let by = Length::inches(by);
    let shown = if by < Length::ZERO { -by } else { by }.show(scene.layout.units);
    let message =
        format!("the {edge} edges of `{}` and `{}` miss each other by {shown}", one.id, other.id);
    let reason = "so small a step looks like a slip; in one line the two hold the page together";
    let changes = [
        Change::Move { group: other.clone(), axis, by: -by },
        Change::Move { group: one.clone(), axis, by },
    ];
    Some(Found::new(AdviceKind::NearMiss, message, reason).of_group(other).mended_by(changes))
}

/// Pieces that end a hair before the edge of their page.
pub(super) fn near_the_page_edge(scene: &Scene<'_>) -> Vec<Found> {
    let roles = [Role::Photo, Role::Band, Role::Story, Role::Title];
    let level = scene.groups.iter().filter(|group| group.level && roles.contains(&group.role));
    level
        .flat_map(|group| [0, 1].into_iter().filter_map(|axis| near_page_edge(scene, group, axis)))
        .collect()
}

fn near_page_edge(scene: &Scene<'_>, group: &Group, axis: usize) -> Option<Found> {
    let page = scene.layout.page.to_inches()[axis];
    let [from, to] = group.span(axis);
    let distances = [from, page - to];
    // An even border is meant.
    if (distances[0] - distances[1]).abs() <= ONE_LINE {
        return None;
    }
    let side = distances.iter().position(|distance| is_a_hair(*distance))?;
    let inwards = if side == 0 { 1.0 } else { -1.0 };
    let pages = scene.layout.pages.len();
    let is_gutter = axis == 0 && pages == 2 && (group.page == 0) == (side == 1);
    let edge = if is_gutter {
        "gutter"
    } else {
        [["left edge", "right edge"], ["upper edge", "lower edge"]][axis][side]
    };
    let shown = Length::inches(distances[side]).show(scene.layout.units);
    let message = format!("`{}` ends {shown} before the {edge} of its page", group.id);
    let reason = "so narrow a sliver looks like a slip, and a page's edge wears: end it at the edge, or 1/4 in from it";
    let flush = -inwards * distances[side];
    let clear = inwards * (CLEAR - distances[side]);
    let by = if group.role == Role::Band { [flush, clear] } else { [clear, flush] };
    let changes = by.map(|by| Change::Move { group: group.clone(), axis, by: Length::inches(by) });
    Some(Found::new(AdviceKind::PageEdge, message, reason).of_group(group).mended_by(changes))
}
