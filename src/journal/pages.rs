//! Strips on the printer's paper: flush under each other, in columns, in the story's order.

use crate::model::Fault;
use crate::model::length::Length;

/// Room at the top of a printed page for the ruler and its line of instructions, in inches.
pub const RULER_ROOM: f64 = 0.75;
/// Length of the ruler that runs down a printed page, in inches.
pub const RULER_DOWN: f64 = 3.0;
/// Room below the strips for crop marks and notes, in inches.
const NOTES_ROOM: f64 = 0.875;
/// Room left of each column for strip numbers and crop marks, in inches.
const NUMBER_ROOM: f64 = 0.5;
/// Room below a block of strips for crop marks, in inches.
const MARK_ROOM: f64 = 0.2;
/// Room right of a block of strips for crop marks and the numbers of cuts, in inches.
const CUT_ROOM: f64 = 0.36;
/// How far a colour under the type is printed beyond the trim, in inches, so that a cut that is off by a
/// hair shows no white (common practice, no source).
pub const BLEED: f64 = 0.125;

/// Where a strip lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripPlace {
    /// The page, from 0.
    pub page: usize,
    /// Top left of the trim.
    pub at: [f64; 2],
}

/// Arranges strips of one height on pages of `paper` with a rim of `margin`, in inches. Strips lie
/// flush (`kerf` apart, what the blade takes), so that one cut serves two, and columns are as wide as the
/// widest strip, so that one fence setting frees them all. `bleed` is how far colour runs on beyond the outer
/// trims.
pub fn arrange(
    strips: &[[f64; 2]],
    paper: [f64; 2],
    margin: f64,
    kerf: f64,
    bleed: f64,
) -> Result<Vec<StripPlace>, Fault> {
    arrange_below(0.0, strips, paper, margin, kerf, bleed)
}

/// The same where the first page is free below `start` alone, ruler and marks included. Where no strip has
/// room there, it is left empty; [`room_below`] tells.
pub fn arrange_below(
    start: f64,
    strips: &[[f64; 2]],
    paper: [f64; 2],
    margin: f64,
    kerf: f64,
    bleed: f64,
) -> Result<Vec<StripPlace>, Fault> {
    let widest = strips.iter().map(|strip| strip[0]).fold(0.0, f64::max);
    let tallest = strips.iter().map(|strip| strip[1]).fold(0.0, f64::max) + kerf;
    let first_left = on_mark(margin + NUMBER_ROOM + bleed);
    let right = paper[0] - margin - CUT_ROOM - bleed;
    let between = NUMBER_ROOM + CUT_ROOM + 2.0 * bleed;
    let room = [right - first_left + between, room_below(0.0, paper, margin, bleed)];
    let column = widest + between;
    let whole = |room: f64, each: f64| -> usize {
        let count = (room / each + 1e-9).floor();
        (0..10_000_usize).take_while(|&n| (n as f64) < count).count()
    };
    let (columns, rows) = (whole(room[0], column), whole(room[1], tallest));
    if columns == 0 || rows == 0 {
        return Err(Fault::new(
            format!("a strip of {widest:.3} x {tallest:.3} in does not fit the printer's page"),
            "make the strips narrower, or name a larger `printer: {paper: …}`",
        ));
    }
    let rows_below = whole(room_below(start, paper, margin, bleed), tallest);
    let place = |index: usize| {
        let on_first = columns * rows_below;
        let (page, on_page, rows, top) = match index.checked_sub(on_first) {
            None => (0, index, rows_below, start),
            Some(later) => (1 + later / (columns * rows), later % (columns * rows), rows, 0.0),
        };
        let (column_number, row) = (on_page / rows, on_page % rows);
        let first_top = first_top(top, margin, bleed);
        let left = first_left + column * column_number as f64;
        let top = first_top + tallest * row as f64;
        StripPlace { page, at: [left, top] }
    };
    Ok((0..strips.len()).map(place).collect())
}

/// Height of the room for strips below `start` on a page, in inches, less than 0 where there is none.
pub fn room_below(start: f64, paper: [f64; 2], margin: f64, bleed: f64) -> f64 {
    paper[1] - margin - MARK_ROOM - bleed - first_top(start, margin, bleed)
}

/// Where the first strip begins on a page that is free below `start`.
fn first_top(start: f64, margin: f64, bleed: f64) -> f64 {
    on_mark(margin.max(start) + RULER_ROOM + bleed)
}

/// Where the blank rest of a printed page begins, below everything that is printed on it. `bottom` is where
/// the lowest strip ends, `top` where printing begins.
pub fn blank_from(bottom: Length, top: Length) -> Length {
    let printed = (bottom.to_inches() + NOTES_ROOM).max(top.to_inches() + RULER_ROOM + RULER_DOWN);
    Length::inches(on_mark(printed))
}

/// The next mark of a ruler, in inches: trims begin on one, whatever the printer's margin.
fn on_mark(at: f64) -> f64 {
    (at * 16.0 - 1e-9).ceil() / 16.0
}
