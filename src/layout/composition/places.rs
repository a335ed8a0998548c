//! What stands where on a spread: people that look in, words over photos, clusters.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Point, Rect, Shape as _};

use crate::geometry::{self, FLATTENING, Ring};
use crate::layout::PlacedPhoto;
use crate::model::length::Length;
use crate::model::{AdviceKind, Facing};

use super::change::Change;
use super::scene::{Group, Role, Scene};
use super::{Found, listed};
use crate::layout::lying::What;

/// The middle of a photo is this share of each of its sides (common practice, no source: what a photo shows
/// stands in the middle or at a third).
const MIDDLE: f64 = 0.5;
/// Less of a photo's middle than this may be covered.
const TOUCHES: f64 = 0.02;
/// Words move by whole steps of this, in inches.
const STEP: f64 = 1.0 / 8.0;
/// Shapes that are larger than this are no part of a cluster, in square inches.
const SMALL: f64 = 5.0;
/// Shapes of a cluster are no further from each other than this, in inches.
const TOGETHER: f64 = 3.0 / 4.0;
/// Three clusters make a triangle if it covers this share of the spread (common practice, no source).
const A_TRIANGLE: f64 = 0.03;

/// Photos at the outer side of the spread whose people look off it (common practice: they look in).
pub(super) fn facing(scene: &Scene<'_>) -> Vec<Found> {
    let layout = scene.layout;
    let [width, _] = layout.page.to_inches();
    let spread = width * layout.pages.len() as f64;
    let middle = |photo: &PlacedPhoto| {
        width * photo.page as f64 + photo.at[0] + photo.size.width.to_inches() / 2.0
    };
    let looks_away = |facing: Facing, middle: f64| match facing {
        Facing::Left => middle < spread / 3.0,
        Facing::Right => middle > spread * 2.0 / 3.0,
    };
    let mut found = Vec::new();
    for photo in &layout.photos {
        let Some(facing) = photo.facing.filter(|facing| looks_away(*facing, middle(photo))) else {
            continue;
        };
        let message = format!(
            "`{}` lies at the {facing} of the spread and looks to the {facing}, off the pages",
            photo.name
        );
        let reason =
            "people who look in lead the eye into the spread, those who look out lead it away";
        // Only what is as large and looks in from there can take its place.
        let is_partner = |other: &&PlacedPhoto| {
            other.name != photo.name
                && other.size == photo.size
                && !looks_away(facing, middle(other))
                && other.facing.is_none_or(|way| !looks_away(way, middle(photo)))
        };
        let partners = layout.photos.iter().filter(is_partner);
        let changes = partners.map(|other| Change::Swap(photo.name.clone(), other.name.clone()));
        let one = Found::new(AdviceKind::Facing, message, reason);
        found.push(one.of(&photo.id, photo.place.line).mended_by(changes.take(2)));
    }
    found
}

/// Words of the title and strips of the story over the middle of a photo.
pub(super) fn over_photos(scene: &Scene<'_>) -> Vec<Found> {
    let words = scene.groups.iter().filter(|group| matches!(group.role, Role::Title | Role::Story));
    words.filter_map(|group| over_photo(scene, group)).collect()
}

fn over_photo(scene: &Scene<'_>, group: &Group) -> Option<Found> {
    let parts = scene.words_of(group).filter(|thing| thing.page == group.page);
    let lowest = parts.clone().map(|thing| thing.order).min()?;
    let rings: Vec<Ring> =
        parts.flat_map(|thing| geometry::rings(&thing.outline, FLATTENING)).collect();
    let photos = scene.things.iter().filter(|thing| {
        matches!(thing.what, What::Photo(..)) && thing.page == group.page && thing.order < lowest
    });
    let mut covered = photos.filter(|photo| {
        let size = photo.bounds.size() * MIDDLE;
        let middle = Rect::from_center_size(photo.bounds.center(), size);
        let middle_rings = geometry::rings(&middle.to_path(FLATTENING), FLATTENING);
        let both = rings.overlay(&middle_rings, OverlayRule::Intersect, FillRule::NonZero);
        let area: f64 = both.iter().flatten().map(geometry::ring_area).sum();
        area.abs() > TOUCHES * middle.area()
    });
    let photo = covered.next()?;
    let message = format!("`{}` lies over the middle of `{}`", group.id, photo.id());
    let reason =
        "the middle is mostly what a photo was taken for; words do well at its edge or beside it";
    let one = Found::new(AdviceKind::OverPhoto, message, reason).of_group(group);
    Some(one.mended_by(ways_off(group, photo.bounds)))
}

/// Moves that take a group off a photo, the shortest first.
fn ways_off(group: &Group, photo: Rect) -> Vec<Change> {
    let Rect { x0, y0, x1, y1 } = group.bounds;
    let steps = |by: f64| (by / STEP).ceil() * STEP;
    let mut moves = vec![
        (1, steps(photo.y1 - y0)),
        (1, -steps(y1 - photo.y0)),
        (0, steps(photo.x1 - x0)),
        (0, -steps(x1 - photo.x0)),
    ];
    moves.sort_by(|(_, one), (_, other)| one.abs().total_cmp(&other.abs()));
    let change = |(axis, by)| Change::Move { group: group.clone(), axis, by: Length::inches(by) };
    moves.into_iter().map(change).collect()
}

/// Three clusters of small shapes, or more, that stand in a line.
pub(super) fn clusters(scene: &Scene<'_>) -> Vec<Found> {
    let [width, height] = scene.layout.page.to_inches();
    let on_spread = |group: &Group| group.bounds + kurbo::Vec2::new(width * group.page as f64, 0.0);
    // Where clusters are written as such, they are the ones; else small shapes near each other are taken for
    // one.
    let is_told = scene.groups.iter().any(|group| group.cluster);
    let is_one = |group: &&Group| {
        if is_told {
            return group.cluster;
        }
        group.role == Role::Shape && group.bounds.area() <= SMALL
    };
    let mut clusters: Vec<(Rect, Vec<&Group>)> = Vec::new();
    for group in scene.groups.iter().filter(is_one) {
        if is_told {
            clusters.push((on_spread(group), vec![group]));
            continue;
        }
        let mut bounds = on_spread(group);
        let mut members = vec![group];
        clusters.retain(|(other, of)| {
            let reach = bounds.inflate(TOGETHER, TOGETHER).intersect(*other);
            let is_near = reach.width() >= 0.0 && reach.height() >= 0.0 && reach.area() > 0.0;
            if is_near {
                bounds = bounds.union(*other);
                members.splice(0..0, of.iter().copied());
            }
            !is_near
        });
        clusters.push((bounds, members));
    }
    let middles: Vec<Point> = clusters.iter().map(|(bounds, _)| bounds.center()).collect();
    let mut largest: f64 = 0.0;
    for (first, one) in middles.iter().enumerate() {
        for (second, other) in middles.iter().enumerate().skip(first + 1) {
            for third in middles.iter().skip(second + 1) {
                largest = largest.max(0.5 * (*other - *one).cross(*third - *one).abs());
            }
        }
    }
    let spread = width * height * scene.layout.pages.len() as f64;
    if middles.len() < 3 || largest >= A_TRIANGLE * spread {
        return Vec::new();
    }
    let names: Vec<String> = clusters.iter().map(|(_, of)| format!("`{}`", of[0].id)).collect();
    let what = if is_told { "the clusters" } else { "the small shapes round" };
    let message = format!("{what} {} stand nearly in a line", listed(&names));
    let reason = "clusters that make a triangle lead the eye round the spread";
    let one = Found::new(AdviceKind::Clusters, message, reason);
    // The one of fewest pieces is the least to move; of several as small, the last.
    let Some((_, fewest)) = clusters.iter().rev().min_by_key(|(_, of)| of.len()) else {
        return vec![one];
    };
    let by = [height / 4.0, -height / 4.0].map(Length::inches);
    let changes = by.map(|by| match fewest[..] {
        [group] => Change::Move { group: group.clone(), axis: 1, by },
        _ => Change::MoveAll { groups: fewest.iter().copied().cloned().collect(), axis: 1, by },
    });
    vec![one.of_group(fewest[0]).mended_by(changes)]
}
