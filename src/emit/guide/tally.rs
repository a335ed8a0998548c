//! Boxes to tick with a pencil: one for each time that the same is done.

use kurbo::Rect;

use super::columns::COLUMN;
use super::entries::{Block, Drawing, Entry};
use super::machine_step;
use crate::draw::display_list::Shape;
use crate::emit::printed_page::{BLACK, line};
use crate::record::{Record, Sheet};

/// Side of a box, and from one to the next, in inches.
const BOX: f64 = 0.15;
const STEP: f64 = 0.22;
/// Room left of the first box, as of a list's words, in inches.
const INDENT: f64 = 0.17;
/// Boxes that are drawn at most: of more, each stands for ten.
const MOST: u32 = 150;

/// How often a sheet is cut, where that is more than once, and a box for each time.
pub(super) fn cut_alike(block: &mut Block<'_>, record: &Record, sheet: &Sheet) {
    let count = sheet.count.get();
    if sheet.count.is_one() {
        return;
    }
    let stack = record.rules.stack.get();
    let on_machine = machine_step::is_due(sheet);
    let stacked = !on_machine && !sheet.cuts.is_empty() && stack > 1;
    let told = match (on_machine, stacked) {
        (true, _) => format!(
            "Cut {count} sheets like this. The machine takes one at a time: load {count} times."
        ),
        (false, true) => {
            format!("Cut {count} sheets like this, in {}.", stacks(count, stack))
        }
        (false, false) => format!("Cut {count} sheets like this."),
    };
    block.item(&told);
    boxes(block, if stacked { count.div_ceil(stack) } else { count });
}

/// So many sheets in stacks, in words.
fn stacks(count: u32, stack: u32) -> String {
    let (whole, rest) = (count / stack, count % stack);
    let whole = match whole {
        0 => return format!("one stack of {rest}"),
        1 => format!("one stack of {stack}"),
        whole => format!("{whole} stacks of {stack}"),
    };
    match rest {
        0 => whole,
        1 => format!("{whole} and a single sheet"),
        rest => format!("{whole} and one of {rest}"),
    }
}

/// Adds boxes to tick.
pub(super) fn boxes(block: &mut Block<'_>, count: u32) {
    let number = if count > MOST { count.div_ceil(10) } else { count };
    if number < count {
        block.small("Each box stands for ten:");
    }
    let a_row = ((COLUMN - INDENT) / STEP).floor().max(1.0);
    let places = (0..number).map(|place| {
        let place = f64::from(place);
        [INDENT + (place % a_row) * STEP, (place / a_row).floor() * STEP]
    });
    let items = places.map(|[x, y]| {
        let square = Shape::rectangle(Rect::new(x, y, x + BOX, y + BOX));
        square.stroked(line(BLACK, 0.8)).into()
    });
    let rows = (f64::from(number) / a_row).ceil();
    let size = [COLUMN, rows * STEP];
    block.add(Entry::Drawing(Drawing { size, items: items.collect() }));
}
