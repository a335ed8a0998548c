//! Named warnings about a finished layout.

use std::collections::BTreeMap;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{Rect, Shape};

use crate::geometry::{self, FLATTENING, Ring};
use crate::model::length::Length;
use crate::model::{PageName, Warning};

use super::Layout;
use super::lying::{Thing, What, lying};

/// How far a piece may reach over the page's edge before it is named, in inches: nobody sees 1/64.
const OVER_THE_EDGE: f64 = 1.0 / 64.0;
/// A piece of which less than this shows is as good as hidden, in square inches.
const HARDLY_SHOWS: f64 = 0.01;

/// The warnings that follow from where everything lies.
pub(super) fn warnings(layout: &Layout) -> Vec<Warning> {
    let mut warnings = off_the_page(layout);
    warnings.extend(hidden(layout));
    warnings
}

/// The title group or story that a piece is part of: what is told once for all its letters or strips.
fn whole_of(id: &str) -> Option<&str> {
    if id.starts_with("journaling.") {
        return Some("journaling");
    }
    let name = id.strip_prefix("title.")?.split('.').next()?;
    id.get(.."title.".len() + name.len())
}

/// How many pieces a title group or a story has, and how many of them are concerned.
struct Share<'a> {
    whole: &'a str,
    concerned: usize,
    of: usize,
}

impl<'a> Share<'a> {
    fn of(layout: &'a Layout, whole: &'a str, ids: &[&str]) -> Self {
        let is_part = |id: &str| whole_of(id) == Some(whole);
        Self {
            whole,
            concerned: ids.iter().filter(|id| is_part(id)).count(),
            of: layout.pieces.iter().filter(|piece| is_part(&piece.id)).count(),
        }
    }

    /// What is concerned, as a sentence begins: the whole, or so many of its pieces.
    fn told(&self, what: &str) -> String {
        let Self { whole, concerned, of } = self;
        if concerned == of {
            return format!("`{whole}`");
        }
        format!("{concerned} of the {of} {what} of `{whole}`")
    }

    /// Whether more than one thing is spoken of.
    fn is_plural(&self) -> bool {
        self.concerned != self.of && self.concerned > 1
    }
}

/// Letters of a title, strips of a story.
fn parts_of(whole: &str) -> &'static str {
    if whole == "journaling" { "strips" } else { "pieces" }
}

/// How far something reaches over the edges of its page, in inches: over any, and over the gutter.
fn over_the_edge(layout: &Layout, one: &Thing<'_>) -> [f64; 2] {
    let [width, height] = layout.page.to_inches();
    let page = Rect::new(0.0, 0.0, width, height);
    let bounds = one.outline.bounding_box();
    let over = [page.x0 - bounds.x0, bounds.x1 - page.x1, page.y0 - bounds.y0, bounds.y1 - page.y1];
    let left_page = layout.pages.get(one.page) == Some(&PageName::Left);
    let gutter = match layout.pages.len() {
        2 if left_page => over[1],
        2 => over[0],
        _ => 0.0,
    };
    [over.into_iter().fold(0.0, f64::max), gutter]
}

fn off_the_page(layout: &Layout) -> Vec<Warning> {
    let over: Vec<(Thing<'_>, [f64; 2])> = lying(layout)
        .into_iter()
        .map(|one| {
            let over = over_the_edge(layout, &one);
            (one, over)
        })
        .filter(|(_, [most, _])| *most > OVER_THE_EDGE)
        .collect();
    let ids: Vec<&str> = over.iter().map(|(one, _)| one.id()).collect();
    let mut warnings = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for (one, [most, gutter]) in &over {
        let by = |most: f64| Length::inches(most).show(layout.units);
        let warning = match (
            matches!(one.what, What::Photo(..)),
            *gutter > OVER_THE_EDGE,
            whole_of(one.id()),
        ) {
            (true, true, _) => Warning {
                kind: "photo cut by the gutter".to_owned(),
                message: format!("`{}` reaches {} over the gutter", one.id(), by(*most)),
                help: "move it onto one page, or print it in two parts".to_owned(),
                piece: Some(one.id().to_owned()),
                ..Warning::default()
            },
            (_, _, Some(whole)) if told.contains(&whole) => continue,
            (_, _, whole) => {
                let parts = over.iter().filter(|(part, _)| match whole {
                    Some(whole) => whole_of(part.id()) == Some(whole),
                    None => part.id() == one.id(),
                });
                let most = parts.map(|(_, [most, _])| *most).fold(0.0, f64::max);
                told.extend(whole);
                let share = whole.map(|whole| Share::of(layout, whole, &ids));
                let what = match &share {
                    Some(share) => share.told(parts_of(share.whole)),
                    None => format!("`{}`", one.id()),
                };
                let reach = match share.is_some_and(|share| share.is_plural()) {
                    true => "reach up to",
                    false => "reaches",
                };
                Warning {
                    kind: "off the page".to_owned(),
                    message: format!("{what} {reach} {} over the edge of its page", by(most)),
                    help: "move it in, or trim it after glueing if that is the look".to_owned(),
                    piece: Some(whole.unwrap_or(one.id()).to_owned()),
                    ..Warning::default()
                }
            }
        };
        warnings.push(Warning { line: one.line(), ..warning });
    }
    warnings
}

/// Pieces of which nothing is to be seen: from the topmost down, against all that lies higher united.
fn hidden(layout: &Layout) -> Vec<Warning> {
    let all = lying(layout);
    let mut found: Vec<&Thing<'_>> = Vec::new();
    let mut higher: BTreeMap<usize, Vec<Ring>> = BTreeMap::new();
    for one in all.iter().rev() {
        let rings = geometry::rings(&one.outline, FLATTENING);
        let higher = higher.entry(one.page).or_default();
        let showing: f64 = rings
            .overlay(higher, OverlayRule::Difference, FillRule::NonZero)
            .iter()
            .flatten()
            .map(geometry::ring_area)
            .sum::<f64>()
            .abs();
        if showing < HARDLY_SHOWS && !higher.is_empty() {
            found.push(one);
        }
        let united = higher.overlay(&rings, OverlayRule::Union, FillRule::NonZero);
        *higher = united.into_iter().flatten().collect();
    }
    found.reverse();
    let ids: Vec<&str> = found.iter().map(|one| one.id()).collect();
    let mut warnings = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for one in found {
        let whole = whole_of(one.id());
        if whole.is_some_and(|whole| told.contains(&whole)) {
            continue;
        }
        told.extend(whole);
        let share = whole.map(|whole| Share::of(layout, whole, &ids));
        let what = match &share {
            Some(share) => share.told(parts_of(share.whole)),
            None => format!("`{}`", one.id()),
        };
        let [are, it] = match share.is_some_and(|share| share.is_plural()) {
            true => ["are", "them"],
            false => ["is", "it"],
        };
        warnings.push(Warning {
            kind: "hidden".to_owned(),
            message: format!("{what} {are} hidden by what lies on {it}"),
            help: "leave it out, or list it after what covers it".to_owned(),
            piece: Some(whole.unwrap_or(one.id()).to_owned()),
            line: one.line(),
        });
    }
    warnings
}
