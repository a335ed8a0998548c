//! The order of the cuts, printed small at the ends of their lines, outside the trims.

use kurbo::{Circle, Shape};

use crate::draw::Anchor;
use crate::draw::pdf::Canvas;
use crate::emit::printed_page::{BLACK, CROP, WHITE};
use crate::record::Cut;

use super::{Column, Sheet};

/// Radius of the ring round a cut's number, in inches.
const RING: f64 = 0.065;
/// Points of a cut's number.
const NUMBER: f64 = 5.5;
/// Lengths that differ by less are one, in inches.
const SAME: f64 = 1e-6;
/// How finely a ring is drawn, in inches.
const FINE: f64 = 1e-4;
/// Length of the tick at the edge of a cut that no crop mark shows, in inches.
const TICK: f64 = 0.12;

/// Numbers the cuts of a page.
pub(super) fn draw(canvas: &mut Canvas<'_>, sheet: &Sheet<'_>) {
    let Some(cut_sheet) = sheet.record.sheets.iter().find(|one| one.id == sheet.page.sheet) else {
        return;
    };
    let columns = sheet.columns();
    canvas.pen(BLACK, 0.25);
    for cut in &cut_sheet.cuts {
        let at = match place(sheet, &columns, cut) {
            Some(at) => at,
            None => {
                let y = cut.from[1];
                canvas.line([sheet.margin, y], [sheet.margin + TICK, y]);
                let right = sheet.page.size[0] - sheet.margin;
                canvas.line([right - TICK, y], [right, y]);
                [sheet.margin + TICK + CROP[1] + RING, y]
            }
        };
        let ring = Circle::new((at[0], at[1]), RING).to_path(FINE);
        // White inside, for colour may run on below it.
        canvas.fill(WHITE);
        canvas.path(&ring, true, true);
        canvas.fill(BLACK);
        // A figure's middle lies half its height, about 0.36 em, above its baseline.
        let base = at[1] + 0.36 * NUMBER / 72.0;
        canvas.text(sheet.labels, NUMBER, [at[0], base], Anchor::Middle, &cut.number.to_string());
    }
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
