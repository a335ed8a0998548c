//! `print/placement.pdf` and `print/placement-whole.pdf`: where every piece goes, at full size.
//!
//! The first is tiled on the printer's paper: tiles overlap and carry join marks, lettered alike on both
//! sides of a seam. The second has each page of the spread on one page of its own size. Edges that show
//! are solid, hidden ones dashed, and numbers give the order of glueing down.

mod plan;
mod tiles;

use std::sync::Arc;

use kurbo::{Affine, Rect, Shape as _};

use crate::geometry;
use crate::lettering::fonts::Font;
use crate::model::length::Units;
use crate::record::Record;

use super::guide::flow::Flow;
use super::guide::shown;
use super::labels::Label;
use super::printed_page::{BLACK, BOLD, GREY, PLAIN, POINT, WHITE, lettered, line, ruler, words};
use crate::draw::Layer;
use crate::draw::display_list::{Group, Item, Outline, Paint, Shape};
use crate::draw::pdf::Document;
use plan::PagePlan;
use tiles::{Join, Tile, Tiling};

/// Widths of lines in points: edges that show, hidden ones, the page's own.
const EDGE: f64 = 0.9;
const HIDDEN: f64 = 0.6;
const PAGE_EDGE: f64 = 1.4;
/// Foam squares under what shows: their line, and their grey.
const FOAM: f64 = 0.3;
const FOAM_GREY: &str = "#ececec";
/// Dashes of hidden lines in inches.
const DASHES: [f64; 2] = [2.5 * POINT, 2.5 * POINT];
/// Points of the line above a tile.
const SMALL: f64 = 8.0;
/// Side of the small map of tiles in inches, at most.
const MAP: f64 = 0.34;
/// Arm of a join mark in inches.
const JOIN: f64 = 0.15;
/// Length of the check ruler in inches or centimetres.
const RULER: [u32; 2] = [2, 5];

/// The tiled guide, and the one with whole pages.
pub fn placement_pdfs(record: &Record, label_font: &Arc<Font>) -> Result<[Vec<u8>; 2], String> {
    let tiling = tiling(record);
    let marks: Vec<Rect> = tiling
        .tiles()
        .iter()
        .flat_map(|tile| tiling.joins(tile))
        .map(|join| taken(&join))
        .collect();
    let plans = record.pages.iter().map(|page| PagePlan::of(record, *page, label_font, &marks));
    // Of a redo, what nothing lies on is left out.
    let is_shown = |plan: &PagePlan| !record.is_redo() || !plan.things.is_empty();
    let plans: Vec<PagePlan> = plans.filter(is_shown).collect();
    let (tiled, whole) =
        rayon::join(|| tiled(record, &plans, label_font), || whole(record, &plans, label_font));
    Ok([tiled?, whole?])
}

fn tiling(record: &Record) -> Tiling {
    Tiling::of(record.page, record.printer_paper(), record.rules.printer_margin)
}

/// What a join mark takes up on the page.
fn taken(join: &Join) -> Rect {
    let [x, y] = join.at;
    Rect::new(x, y, x, y).inflate(JOIN, JOIN)
}

fn tiled(record: &Record, plans: &[PagePlan], label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    // The whole pages are not corrected: they reach their edges, which would be cut off.
    let title = format!("{}: placement guide", record.name);
    let mut document = lettered(&title, label_font)?.corrected(record.printed_scale());
    let tiling = tiling(record);
    for plan in plans {
        order(&mut document, record, plan);
        let holds = |tile: &Tile| {
            let area = Rect::from(tile.area);
            plan.things.iter().any(|thing| thing.path.bounding_box().overlaps(area))
        };
        let tiles = tiling.tiles().into_iter();
        for tile in tiles.filter(|tile| !record.is_redo() || holds(tile)) {
            let name = format!("{} page, tile {}", plan.page, tile.name);
            document.page(tiling.paper, &name, &on_tile(record, plan, &tiling, &tile, label_font));
        }
    }
    document.finish()
}

fn whole(record: &Record, plans: &[PagePlan], label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    let title = format!("{}: placement guide, whole pages", record.name);
    let mut document = lettered(&title, label_font)?;
    for plan in plans {
        let items = on_page(record, plan, label_font, |_| true);
        document.page(record.page, &format!("{} page", plan.page), &items);
    }
    document.finish()
}

/// The order of glueing down, as a list.
fn order(document: &mut Document, record: &Record, plan: &PagePlan) {
    let units = record.shown_units();
    let mut flow = Flow::new(&format!("{} page", plan.page), "Glue down in this order");
    for thing in &plan.things {
        let [left, top] = thing.at.map(|edge| shown(edge, units));
        let turned = if thing.turn.abs() > 1e-9 {
            format!(", turned {:.0}°", thing.turn)
        } else {
            String::new()
        };
        let under = thing.tucked.as_ref().map_or_else(String::new, |tucked| {
            let host = plan.things.iter().find(|other| other.id == tucked.under.as_str());
            let number = host.map_or_else(String::new, |host| format!("{}. ", host.number));
            let (side, shows) = (&tucked.side, shown(tucked.shows, units));
            format!(
                "; goes under the {side} edge of {number}{}, {shows} of it showing",
                tucked.under
            )
        });
        let foam = thing.raised.as_ref().map_or_else(String::new, |raised| {
            let (square, height) = (shown(raised.square, units), shown(raised.height, units));
            let squares = if raised.at.len() == 1 { "foam square" } else { "foam squares" };
            format!("; on {} {squares} of {square}, {height} high", raised.at.len())
        });
        flow.item(&format!(
            "{}. {} ({}): {left} from the left, {top} from the top{turned}{under}{foam}",
            thing.number, thing.id, thing.of
        ));
    }
    flow.write(document);
}

/// A tile on its paper.
fn on_tile<'a>(
    record: &Record,
    plan: &PagePlan,
    tiling: &Tiling,
    tile: &Tile,
    font: &Font,
) -> [Item<'a>; 2] {
    let [left, top] = tiling.at;
    // A name that lies whole on another tile is not cut off on this one.
    let is_whole_on =
        |label: &Label, tile: &Tile| Rect::from(tile.area).contains_rect(label.bounds());
    let is_whole = |label: &Label| tiling.tiles().iter().any(|other| is_whole_on(label, other));
    let area = Rect::from(tile.area);
    let is_named = |label: &Label| {
        is_whole_on(label, tile) || area.overlaps(label.bounds()) && !is_whole(label)
    };
    let lay = Affine::translate((left - tile.area.at[0], top - tile.area.at[1]));
    let page = Group {
        clip: Some(Outline::Rectangle(area, 0.0)),
        ..Group::laid(lay, on_page(record, plan, font, is_named))
    };
    let rim = Shape::rectangle(lay.transform_rect_bbox(area)).stroked(line(GREY, 0.3));
    let mut marks = vec![rim.into()];
    for join in tiling.joins(tile) {
        let at = lay * geometry::point(join.at);
        let arms = [(JOIN, 0.0), (0.0, JOIN)].map(|arm| [at - arm, at + arm]);
        marks.push(Shape::lines(arms, line(BLACK, 0.6)).into());
        marks.push(words(BOLD, SMALL, [at.x + 0.04, at.y - 0.05], &join.name).into());
    }
    marks.extend(header(record, plan, tiling, tile));
    [page.into(), Group::on(Layer::Marks, marks).into()]
}

/// The line above a tile: what it is, a check ruler, and a small map.
fn header<'a>(record: &Record, plan: &PagePlan, tiling: &Tiling, tile: &Tile) -> Vec<Item<'a>> {
    let [left, top] = tiling.at;
    let base = top - 0.14;
    let name = format!("{} page, tile {}", plan.page, tile.name);
    let metric = record.shown_in == Units::Millimetres;
    let [inches, centimetres] = RULER;
    let (steps, step, said) = if metric {
        (centimetres, 1.0 / 2.54, format!("{centimetres} cm"))
    } else {
        (inches * 2, 0.5, format!("{inches} in"))
    };
    let told = format!(
        "Print at 100 %, no scaling: the ruler measures {said}. Lay marks of one letter on \
                        each other."
    );
    let [columns, rows] = tiling.counts;
    let cell = MAP / f64::from(columns.max(rows));
    let map = [left + tiling.room[0] - cell * f64::from(columns), base - MAP + 0.02];
    let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| [column, row]));
    let cells = cells.map(|place| {
        let [x, y] = [0, 1].map(|axis| map[axis] + cell * f64::from(place[axis]));
        let edge = Shape::rectangle(Rect::new(x, y, x + cell, y + cell)).stroked(line(BLACK, 0.5));
        if place == tile.place { edge.filled(Paint::Ink(BLACK, 1.0)) } else { edge }.into()
    });
    let start = [map[0] - 0.2 - step * f64::from(steps), base - 0.17];
    let words = [
        words(BOLD, SMALL + 2.0, [left, base - 0.17], &name).into(),
        words(PLAIN, SMALL, [left, base], &told).into(),
        ruler(start, true, (step, steps), [-0.09, -0.05], line(BLACK, 0.6)),
    ];
    words.into_iter().chain(cells).collect()
}

/// A page of the spread and the names that `is_named` lets through.
fn on_page<'a>(
    record: &Record,
    plan: &PagePlan,
    font: &Font,
    is_named: impl Fn(&Label) -> bool,
) -> Vec<Item<'a>> {
    let mut items: Vec<Item<'a>> = Vec::new();
    // White under what lies higher, so that only edges that show are solid.
    let white = Paint::Ink(WHITE, 1.0);
    for thing in &plan.things {
        let edge = Shape::path(thing.path.clone()).stroked(line(BLACK, EDGE));
        items.push(edge.clone().filled(white.clone()).into());
        if !thing.foam.elements().is_empty() {
            let foam = Shape::path(thing.foam.clone()).stroked(line(GREY, FOAM));
            items.push(foam.filled(Paint::Ink(FOAM_GREY, 1.0)).into());
        }
        if thing.faces.len() > 1 {
            items.extend(thing.faces.iter().map(|face| {
                let face = Shape::path(face.clone()).filled(white.clone());
                face.stroked(line(GREY, HIDDEN)).into()
            }));
            items.push(edge.into());
        }
    }
    let covered = plan.things.iter().filter(|thing| !thing.covered.elements().is_empty());
    items.extend(covered.map(|thing| {
        let hidden = line(GREY, HIDDEN).dashed(&DASHES);
        let hidden = Shape::path(thing.path.clone()).stroked(hidden).into();
        let clip = Some(Outline::Path(thing.covered.clone()));
        Group { clip, ..Group::new(vec![hidden]) }.into()
    }));
    let [width, height] = record.page;
    let edge = Shape::rectangle(Rect::new(0.0, 0.0, width, height));
    items.push(edge.stroked(line(BLACK, PAGE_EDGE)).into());
    let labels = plan.things.iter().filter_map(|thing| thing.label.as_ref());
    items.extend(labels.filter(|label| is_named(label)).map(|label| plan::drawn(label, font)));
    items
}
