//! The order of the cuts, printed small at the ends of their lines, outside the trims.

use kurbo::{Circle, Point};

use crate::draw::Anchor;
use crate::draw::display_list::{Item, Outline, Paint, Shape};
use crate::emit::printed_page::{BLACK, CROP, PLAIN, POINT, WHITE, line, words};
use crate::record::Cut;

use super::{Column, Sheet};

/// Radius of the ring round a cut's number, in inches.
const RING: f64 = 0.065;
/// Points of a cut's number.
const NUMBER: f64 = 5.5;
/// Lengths that differ by less are one, in inches.
const SAME: f64 = 1e-6;
/// Length of the tick at the edge of a cut that no crop mark shows, in inches.
const TICK: f64 = 0.12;

/// The numbers of a page's cuts.
pub(super) fn numbers<'a>(sheet: &Sheet<'_>) -> Vec<Item<'a>> {
    let cut_sheet = sheet.record.sheets.iter().find(|one| one.id == sheet.page.sheet);
    let columns = sheet.columns();
    let mut items = Vec::new();
    for cut in cut_sheet.iter().flat_map(|sheet| &sheet.cuts) {
        let is_start = |start: f64| cut.from[1] >= start - SAME && cut.to[1] <= start + SAME;
        let [x, y] = if sheet.page.start.is_some_and(is_start) {
            // Nothing is printed above: tick and number stand below, away from the words at the left.
            let right = sheet.page.size[0] - sheet.margin;
            let y = cut.from[1] + 0.125 * POINT;
            let tick = [right - TICK, right].map(|x| Point::new(x, y));
            items.push(Shape::lines([tick], line(BLACK, 0.25)).into());
            [right - RING - 0.01, cut.from[1] + RING + 0.01]
        } else {
            place(sheet, &columns, cut).unwrap_or_else(|| {
                let ends = [sheet.margin, sheet.page.size[0] - sheet.margin - TICK];
                let ticks =
                    ends.map(|left| [left, left + TICK].map(|x| Point::new(x, cut.from[1])));
                items.push(Shape::lines(ticks, line(BLACK, 0.25)).into());
                [sheet.margin + TICK + CROP[1] + RING, cut.from[1]]
            })
        };
        // White inside, for colour may run on below it.
        let ring = Shape::new(Outline::Disc(Circle::new((x, y), RING)));
        items.push(ring.filled(Paint::Ink(WHITE, 1.0)).stroked(line(BLACK, 0.25)).into());
        // A figure's middle lies half its height, about 0.36 em, above its baseline.
        let base = y + 0.36 * NUMBER / 72.0;
        let number = words(PLAIN, NUMBER, [x, base], &cut.number.to_string());
        items.push(number.anchored(Anchor::Middle).into());
    }
    items
}

/// Where a cut's number stands; nothing for the cut that frees the blank rest of the page.
fn place(sheet: &Sheet<'_>, columns: &[Column<'_>], cut: &Cut) -> Option<[f64; 2]> {
    let same = |one: f64, other: f64| (one - other).abs() < SAME;
    let beyond = sheet.away() + CROP[0] + RING + 0.015;
    let [x, y] = cut.from;
    if same(x, cut.to[0]) {
        // A strip is cut to its width: the number stands on what falls off.
        let strips = columns.iter().flat_map(|column| &column.strips);
        let ends = |strip: &&&crate::record::Strip| {
            same(strip.at[1], y) && same(strip.at[0] + strip.size[0], x)
        };
        let height = cut.to[1] - y;
        if let Some(strip) = strips.clone().find(ends)
            && same(strip.size[1], height)
        {
            return Some([x + sheet.bleed + CROP[1] + RING, y + height / 2.0]);
        }
        let top = columns.iter().map(|column| column.top).fold(f64::INFINITY, f64::min);
        return Some([x, top - beyond]);
    }
    let inside = |column: &&Column<'_>| {
        column.left > x - SAME
            && column.right < cut.to[0] + SAME
            && y > column.top - SAME
            && y < column.bottom + SAME
    };
    let column = columns.iter().find(inside)?;
    Some([column.right + beyond, y])
}
