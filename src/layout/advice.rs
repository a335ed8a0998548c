//! Named warnings about a finished layout.

use std::collections::BTreeMap;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, Rect, Shape};

use crate::length::Length;
use crate::outline::{self, FLATTENING, Ring};
use crate::record::Warning;

use super::{Layout, PlacedPhoto};

/// How far a piece may reach over the page's edge before it is named, in inches: nobody sees 1/64.
const OVER_THE_EDGE: f64 = 1.0 / 64.0;
/// A piece of which less than this shows is as good as hidden, in square inches.
const HARDLY_SHOWS: f64 = 0.01;

/// The warnings that follow from where everything lies.
pub(super) fn advice(layout: &Layout) -> Vec<Warning> {
    let mut warnings = off_the_page(layout);
    warnings.extend(hidden(layout));
    warnings.extend(layout.photos.iter().filter_map(|photo| looking_away(layout, photo)));
    warnings
}

/// Something that lies on a page: what is needed to judge its place.
struct Lying<'a> {
    id: &'a str,
    photo: bool,
    page: usize,
    order: u32,
    line: u64,
    outline: BezPath,
}

/// Everything on the pages, lowest first.
fn lying(layout: &Layout) -> Vec<Lying<'_>> {
    let pieces = layout.pieces.iter().map(|piece| Lying {
        id: &piece.id,
        photo: false,
        page: piece.page,
        order: piece.order,
        line: piece.place.line,
        outline: outline::laying(&piece.drawing.outline, piece.turn, piece.at)
            * &piece.drawing.outline,
    });
    let photos = layout.photos.iter().map(|photo| {
        let [width, height] = photo.size.to_inches();
        let print = outline::rectangle(width, height);
        Lying {
            id: &photo.id,
            photo: true,
            page: photo.page,
            order: photo.order,
            line: photo.place.line,
            outline: outline::laying(&print, photo.turn, photo.at) * &print,
        }
    });
    let mut all: Vec<Lying<'_>> = pieces.chain(photos).collect();
    all.sort_by_key(|one| one.order);
    all
}

fn off_the_page(layout: &Layout) -> Vec<Warning> {
    let [width, height] = layout.page.to_inches();
    let page = Rect::new(0.0, 0.0, width, height);
    let mut warnings = Vec::new();
    for one in lying(layout) {
        let bounds = one.outline.bounding_box();
        let over =
            [page.x0 - bounds.x0, bounds.x1 - page.x1, page.y0 - bounds.y0, bounds.y1 - page.y1];
        let most = over.into_iter().fold(0.0, f64::max);
        if most <= OVER_THE_EDGE {
            continue;
        }
        let left_page = layout.pages.get(one.page) == Some(&"left");
        let gutter =
            layout.pages.len() == 2 && (if left_page { over[1] } else { over[0] }) > OVER_THE_EDGE;
        let by = Length::inches(most).show(layout.units);
        let warning = match (one.photo, gutter) {
            (true, true) => Warning {
                kind: "photo cut by the gutter".to_owned(),
                message: format!("`{}` reaches {by} over the gutter", one.id),
                help: "move it onto one page, or print it in two parts".to_owned(),
                ..Warning::default()
            },
            _ => Warning {
                kind: "off the page".to_owned(),
                message: format!("`{}` reaches {by} over the edge of its page", one.id),
                help: "move it in, or trim it after glueing if that is the look".to_owned(),
                ..Warning::default()
            },
        };
        warnings.push(Warning { piece: one.id.to_owned(), line: one.line, ..warning });
    }
    warnings
}

/// Pieces of which nothing is to be seen: from the topmost down, against all that lies higher united.
fn hidden(layout: &Layout) -> Vec<Warning> {
    let mut warnings = Vec::new();
    let mut higher: BTreeMap<usize, Vec<Ring>> = BTreeMap::new();
    for one in lying(layout).iter().rev() {
        let rings = outline::rings(&one.outline, FLATTENING);
        let higher = higher.entry(one.page).or_default();
        let showing: f64 = rings
            .overlay(higher, OverlayRule::Difference, FillRule::NonZero)
            .iter()
            .flatten()
            .map(outline::ring_area)
            .sum::<f64>()
            .abs();
        if showing < HARDLY_SHOWS && !higher.is_empty() {
            warnings.push(Warning {
                kind: "hidden".to_owned(),
                message: format!("`{}` is hidden by what lies on it", one.id),
                help: "leave it out, or list it after what covers it".to_owned(),
                piece: one.id.to_owned(),
                line: one.line,
            });
        }
        let united = higher.overlay(&rings, OverlayRule::Union, FillRule::NonZero);
        *higher = united.into_iter().flatten().collect();
    }
    warnings.reverse();
    warnings
}

/// A photo at the outer side of its page whose people look off the spread (common practice: they
/// look in).
fn looking_away(layout: &Layout, photo: &PlacedPhoto) -> Option<Warning> {
    let [width, _] = layout.page.to_inches();
    let spread = width * layout.pages.len() as f64;
    let middle = width * photo.page as f64 + photo.at[0] + photo.size.width.to_inches() / 2.0;
    let away = match photo.looks.as_str() {
        "left" => middle < spread / 3.0,
        "right" => middle > spread * 2.0 / 3.0,
        _ => false,
    };
    away.then(|| Warning {
        kind: "looks off the spread".to_owned(),
        message: format!(
            "`{}` looks {} from the spread's {} side",
            photo.name, photo.looks, photo.looks
        ),
        help: "swap it with a photo of the other side, so that the eye is led inwards".to_owned(),
        piece: photo.id.clone(),
        line: photo.place.line,
    })
}
