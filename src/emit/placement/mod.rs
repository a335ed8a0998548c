//! `print/placement.pdf` and `print/placement-whole.pdf`: where every piece goes, at full size.
//!
//! The first is tiled on the printer's paper: tiles overlap and carry join marks, lettered alike on both
//! sides of a seam. The second has each page of the spread on one page of its own size. Edges that show
//! are solid, hidden ones dashed, and numbers give the order of glueing down.

mod plan;
mod tiles;

use std::sync::Arc;

use kurbo::{Affine, Rect};

use crate::lettering::fonts::Font;
use crate::model::length::Units;
use crate::record::Record;

use super::guide::flow::{Flow, GREY};
use super::guide::shown;
use super::printed_page::{BLACK, BOLD, PLAIN, WHITE, lettered, ticks};
use crate::draw::Anchor;
use crate::draw::pdf::{Canvas, Document, Layer};
use plan::{Label, PagePlan, Thing};
use tiles::{Join, Tile, Tiling};

/// Widths of lines in points: edges that show, hidden ones, the page's own.
const EDGE: f32 = 0.9;
const HIDDEN: f32 = 0.6;
const PAGE_EDGE: f32 = 1.4;
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
    let plans: Vec<PagePlan> =
        record.pages.iter().map(|page| PagePlan::of(record, *page, label_font, &marks)).collect();
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
        for tile in tiling.tiles() {
            let name = format!("{} page, tile {}", plan.page, tile.name);
            document.page(tiling.paper, &name, |canvas| {
                draw_tile(canvas, record, plan, &tiling, &tile);
            });
        }
    }
    document.finish()
}

fn whole(record: &Record, plans: &[PagePlan], label_font: &Arc<Font>) -> Result<Vec<u8>, String> {
    let title = format!("{}: placement guide, whole pages", record.name);
    let mut document = lettered(&title, label_font)?;
    for plan in plans {
        document.page(record.page, &format!("{} page", plan.page), |canvas| {
            draw_page(canvas, record, plan, [0.0; 2], |_| true);
        });
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
        flow.item(&format!(
            "{}. {} ({}): {left} from the left, {top} from the top{turned}",
            thing.number, thing.id, thing.of
        ));
    }
    flow.write(document);
}

fn draw_tile(
    canvas: &mut Canvas<'_>,
    record: &Record,
    plan: &PagePlan,
    tiling: &Tiling,
    tile: &Tile,
) {
    let [left, top] = tiling.at;
    // A name that lies whole on another tile is not cut off on this one.
    let is_whole_on = |label: &Label, tile: &Tile| tile.area().contains_rect(label.bounds);
    let is_whole = |label: &Label| tiling.tiles().iter().any(|other| is_whole_on(label, other));
    let is_named = |label: &Label| {
        is_whole_on(label, tile) || tile.area().overlaps(label.bounds) && !is_whole(label)
    };
    canvas.clipped(tiling.at, tile.size, |canvas| {
        draw_page(canvas, record, plan, [left - tile.from[0], top - tile.from[1]], is_named);
    });
    canvas.layer(Layer::Marks, |canvas| {
        canvas.pen(GREY, 0.3);
        canvas.rectangle(tiling.at, tile.size);
        canvas.pen(BLACK, 0.6);
        canvas.fill(BLACK);
        for join in tiling.joins(tile) {
            let at = [0, 1].map(|axis| tiling.at[axis] + join.at[axis] - tile.from[axis]);
            canvas.line([at[0] - JOIN, at[1]], [at[0] + JOIN, at[1]]);
            canvas.line([at[0], at[1] - JOIN], [at[0], at[1] + JOIN]);
            canvas.text(BOLD, SMALL, [at[0] + 0.04, at[1] - 0.05], Anchor::Start, &join.name);
        }
        header(canvas, record, plan, tiling, tile);
    });
}

/// The line above a tile: what it is, a check ruler, and a small map.
fn header(canvas: &mut Canvas<'_>, record: &Record, plan: &PagePlan, tiling: &Tiling, tile: &Tile) {
    let [left, top] = tiling.at;
    let base = top - 0.14;
    canvas.fill(BLACK);
    let name = format!("{} page, tile {}", plan.page, tile.name);
    canvas.text(BOLD, SMALL + 2.0, [left, base - 0.17], Anchor::Start, &name);
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
    canvas.text(PLAIN, SMALL, [left, base], Anchor::Start, &told);
    let [columns, rows] = tiling.counts;
    let cell = MAP / f64::from(columns.max(rows));
    let map = [left + tiling.room[0] - cell * f64::from(columns), base - MAP + 0.02];
    for row in 0..rows {
        for column in 0..columns {
            let at = [map[0] + cell * f64::from(column), map[1] + cell * f64::from(row)];
            if [column, row] == tile.place {
                canvas.area(at, [cell; 2]);
            }
            canvas.pen(BLACK, 0.5);
            canvas.rectangle(at, [cell; 2]);
        }
    }
    let right = map[0] - 0.2;
    let start = right - step * f64::from(steps);
    let y = base - 0.17;
    canvas.pen(BLACK, 0.6);
    canvas.line([start, y], [right, y]);
    ticks(canvas, [start, y], true, (step, steps), [-0.09, -0.05]);
}

/// A page of the spread with its top left at a place, and the names that `is_named` lets through.
fn draw_page(
    canvas: &mut Canvas<'_>,
    record: &Record,
    plan: &PagePlan,
    at: [f64; 2],
    is_named: impl Fn(&Label) -> bool,
) {
    let lay = Affine::translate((at[0], at[1]));
    // White under what lies higher, so that only edges that show are solid.
    canvas.fill(WHITE);
    for thing in &plan.things {
        canvas.pen(BLACK, EDGE);
        canvas.path(&(lay * &thing.path), true, true);
        canvas.pen(GREY, HIDDEN);
        if thing.faces.len() > 1 {
            for face in &thing.faces {
                canvas.path(&(lay * face), true, true);
            }
            canvas.pen(BLACK, EDGE);
            canvas.path(&(lay * &thing.path), false, true);
        }
    }
    canvas.pen(GREY, HIDDEN);
    canvas.dashes(&[2.5, 2.5]);
    for thing in &plan.things {
        if !thing.covered.elements().is_empty() {
            canvas.clipped_to(&(lay * &thing.covered), |canvas| {
                canvas.path(&(lay * &thing.path), false, true);
            });
        }
    }
    canvas.dashes(&[]);
    canvas.pen(BLACK, PAGE_EDGE);
    canvas.rectangle(at, record.page);
    for thing in &plan.things {
        if let Some(label) = thing.label.as_ref().filter(|label| is_named(label)) {
            draw_label(canvas, thing, label, at);
        }
    }
}

/// A thing's number and name where it shows.
fn draw_label(canvas: &mut Canvas<'_>, thing: &Thing, label: &Label, at: [f64; 2]) {
    let Rect { x0, y0, .. } = label.bounds;
    canvas.fill(BLACK);
    let [x, y] = [x0 + at[0], y0 + at[1] + label.rise];
    canvas.text(BOLD, label.size, [x, y], Anchor::Start, &thing.number.to_string());
    if let Some(shift) = label.name_at {
        canvas.text(PLAIN, label.size, [x + shift, y], Anchor::Start, &thing.id);
    }
}
