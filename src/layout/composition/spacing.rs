//! Gaps between photos, and how evenly the pages are filled.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Rect, Shape as _};

use crate::geometry::{self, FLATTENING, Ring};
use crate::model::AdviceKind;
use crate::model::length::Length;

use super::Found;
use super::change::Change;
use super::scene::{Group, Role, Scene};
use crate::layout::lying::{Thing, What};

/// Gaps that differ by no more are equal to the eye, in inches.
const EQUAL: f64 = 1.0 / 64.0;
/// Gaps that differ by more are meant to, in inches (common practice, no source).
const MEANT: f64 = 3.0 / 8.0;
/// What is further apart than this is no row, in inches.
const A_ROW: f64 = 2.0;
/// By how much the covered shares of two halves may differ (common practice, no source).
const UNEVEN: f64 = 0.4;
/// Groups that are tried on the other side at most.
const MOST_MOVED: usize = 3;
/// Free places are looked for at whole steps of this, in inches.
const STEP: f64 = 1.0 / 4.0;
/// They keep so far from what lies there, and from the edges of their side, in inches.
const CLEAR: f64 = 1.0 / 4.0;
const MARGIN: f64 = 1.0 / 2.0;
/// What covers more of its page than this is a ground, not something that weighs on one side.
const A_GROUND: f64 = 0.6;

/// Gaps in a row or a column of photos that are unlike the others in it.
pub(super) fn gaps(scene: &Scene<'_>) -> Vec<Found> {
    let mut found = Vec::new();
    for page in 0..scene.layout.pages.len() {
        let groups = scene.groups_of(page, &[Role::Photo]);
        for axis in [0, 1] {
            found.extend(odd_gaps(scene, &groups, axis));
        }
    }
    found
}

fn odd_gaps(scene: &Scene<'_>, groups: &[&Group], axis: usize) -> Vec<Found> {
    let gaps: Vec<(&Group, &Group, f64)> = groups
        .iter()
        .filter_map(|one| {
            let follows = |other: &&&Group| {
                let gap = other.span(axis)[0] - one.span(axis)[1];
                gap > EQUAL && gap < A_ROW && stand_in_a_row(one, other, axis)
            };
            let gap = |other: &Group| other.span(axis)[0] - one.span(axis)[1];
            let next = groups.iter().filter(follows).min_by(|a, b| gap(a).total_cmp(&gap(b)))?;
            Some((*one, *next, gap(next)))
        })
        .collect();
    let like = |gap: f64| gaps.iter().filter(|(.., other)| (other - gap).abs() <= EQUAL).count();
    let Some(usual) = gaps
        .iter()
        .map(|(.., gap)| *gap)
        .max_by(|one, other| like(*one).cmp(&like(*other)).then(other.total_cmp(one)))
    else {
        return Vec::new();
    };
    if gaps.len() < 2 {
        return Vec::new();
    }
    let is_odd = |gap: f64| (gap - usual).abs() > EQUAL && (gap - usual).abs() <= MEANT;
    let odd = gaps.iter().filter(|(.., gap)| is_odd(*gap));
    odd.map(|(one, other, gap)| {
        let shown = |gap: f64| Length::inches(gap).show(scene.layout.units);
        let message = format!(
            "the gap between `{}` and `{}` is {}, the one beside it {}",
            one.id,
            other.id,
            shown(*gap),
            shown(usual)
        );
        let by = Length::inches(usual - gap);
        let changes = [
            Change::Move { group: (*other).clone(), axis, by },
            Change::Move { group: (*one).clone(), axis, by: -by },
        ];
        let reason = "equal gaps make a row; nearly equal ones look like a slip";
        Found::new(AdviceKind::Gap, message, reason).of_group(other).mended_by(changes)
    })
    .collect()
}

/// Whether two things lie beside each other for half of the smaller one at least.
fn stand_in_a_row(one: &Group, other: &Group, axis: usize) -> bool {
    let [first, second] = [one.span(1 - axis), other.span(1 - axis)];
    let shared = first[1].min(second[1]) - first[0].max(second[0]);
    shared >= 0.5 * (first[1] - first[0]).min(second[1] - second[0])
}

/// Pages, or the halves of a single page, of which one is left free much more than the other.
pub(super) fn balance(scene: &Scene<'_>) -> Vec<Found> {
    let [width, height] = scene.layout.page.to_inches();
    let halves = match scene.layout.pages.len() {
        2 => [(0, Rect::new(0.0, 0.0, width, height)), (1, Rect::new(0.0, 0.0, width, height))],
        _ => [
            (0, Rect::new(0.0, 0.0, width / 2.0, height)),
            (0, Rect::new(width / 2.0, 0.0, width, height)),
        ],
    };
    let [left, right] = halves.map(|(page, field)| covered(scene, page, field));
    if (left - right).abs() <= UNEVEN {
        return Vec::new();
    }
    let (fuller, freer) = if left > right { ("left", "right") } else { ("right", "left") };
    let what = if scene.layout.pages.len() == 2 { "page" } else { "half of the page" };
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    let message = format!(
        "{} of the {fuller} {what} is covered, and {} of the {freer} one",
        percent(left.max(right)),
        percent(left.min(right))
    );
    let reason =
        "the eye stays on the full side; a photo or the story could go over to the free one";
    let [full, free] = if left > right { [halves[0], halves[1]] } else { [halves[1], halves[0]] };
    let one = Found::new(AdviceKind::Balance, message, reason);
    vec![one.mended_by(moved_over(scene, full, free, (left - right).abs()))]
}

/// Groups of the full field that would make both alike, each at a free place of the other.
fn moved_over(
    scene: &Scene<'_>,
    (from, full): (usize, Rect),
    (to, free): (usize, Rect),
    difference: f64,
) -> Vec<Change> {
    let groups = scene.groups_of(from, &[Role::Photo, Role::Story]);
    // What it weighs goes from one side to the other.
    let left = |group: &Group| (difference - 2.0 * group.bounds.area() / full.area()).abs();
    let lies_within = |group: &&Group| group.level && full.union(group.bounds) == full;
    let mut groups: Vec<&Group> = groups.into_iter().filter(lies_within).collect();
    groups.retain(|group| left(group) <= UNEVEN);
    groups.sort_by(|one, other| left(one).total_cmp(&left(other)));
    let changes = groups.into_iter().take(MOST_MOVED).filter_map(|group| {
        let at = free_place(scene, group, to, free)?.map(Length::inches);
        Some(Change::Put { group: group.clone(), page: to, at })
    });
    changes.collect()
}

/// The place in a field nearest to where a group lies that is as large and free, grounds apart.
fn free_place(scene: &Scene<'_>, group: &Group, page: usize, field: Rect) -> Option<[f64; 2]> {
    let [width, height] = scene.layout.page.to_inches();
    let size = group.bounds.size();
    let is_in_the_way = |thing: &&Thing<'_>| {
        let is_base =
            matches!(thing.what, What::Piece(piece) if matches!(piece.kind, "base" | "panel"));
        let is_own = thing.place() == group.written;
        thing.page == page
            && !is_base
            && !is_own
            && thing.bounds.area() <= A_GROUND * width * height
    };
    let taken: Vec<Rect> = scene
        .things
        .iter()
        .filter(is_in_the_way)
        .map(|thing| thing.bounds.inflate(CLEAR, CLEAR))
        .collect();
    let steps = |from: f64, to: f64| {
        let first = ((from + MARGIN) / STEP).ceil() * STEP;
        (0_u32..)
            .map(move |step| first + f64::from(step) * STEP)
            .take_while(move |at| *at <= to - MARGIN + 1e-9)
    };
    let across = steps(field.x0, field.x1 - size.width);
    let places = across.flat_map(|x| steps(field.y0, field.y1 - size.height).map(move |y| [x, y]));
    let is_free = |[x, y]: &[f64; 2]| {
        let there = Rect::new(*x, *y, *x + size.width, *y + size.height);
        taken.iter().all(|other| there.intersect(*other).area() <= 0.0)
    };
    // As high as it is now, and mirrored.
    let mirrored = width - group.bounds.x1;
    let off = |[x, y]: &[f64; 2]| (x - mirrored).abs() + 2.0 * (y - group.bounds.y0).abs();
    places.filter(is_free).min_by(|one, other| off(one).total_cmp(&off(other)))
}

/// The share of a field of a page that something lies on, grounds left out.
fn covered(scene: &Scene<'_>, page: usize, field: Rect) -> f64 {
    let [width, height] = scene.layout.page.to_inches();
    let is_ground = |bounds: Rect| bounds.area() > A_GROUND * width * height;
    let lying = scene.things.iter().filter(|thing| {
        let is_base = matches!(thing.what, What::Piece(piece) if piece.kind == "base");
        thing.page == page && !is_base && !is_ground(thing.bounds)
    });
    let rings: Vec<Ring> =
        lying.flat_map(|thing| geometry::rings(&thing.outline, FLATTENING)).collect();
    let field_ring: Vec<Ring> = geometry::rings(&field.to_path(FLATTENING), FLATTENING);
    let covered = rings.overlay(&field_ring, OverlayRule::Intersect, FillRule::NonZero);
    let area: f64 = covered.iter().flatten().map(geometry::ring_area).sum();
    area.abs() / field.area()
}
