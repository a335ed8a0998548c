//! The check ruler of a printed page: whether the printer keeps to the scale.

use crate::draw::display_list::Item;
use crate::emit::printed_page::{BLACK, PLAIN, SMALL, line, ruler, words};
use crate::journal::RULER_ROOM;
use crate::model::length::{Length, Units};
use crate::model::printer::{RULER_INCHES, RULER_MILLIMETRES, Scale};

use super::Sheet;

/// Distance of the ruler from the rim that the printer can't reach, in inches, across and down.
const INSET: [f64; 2] = [0.05, 0.32];
/// Lengths of every other tick, in inches.
const TICKS: [f64; 2] = [0.1, 0.06];

/// Width of a page from which there is room for long sentences, in inches.
const WIDE: f64 = 6.5;

/// A ruler's step, and how many steps it has across and down.
struct Ruler {
    step: f64,
    across: u32,
    down: u32,
}

impl Ruler {
    fn of(sheet: &Sheet<'_>) -> Self {
        let metric = sheet.record.shown_in == Units::Millimetres;
        let (step, across) =
            if metric { (10.0 / 25.4, RULER_MILLIMETRES / 10) } else { (0.5, RULER_INCHES * 2) };
        let fits = |axis: usize, steps: u32| -> u32 {
            let before = [sheet.margin, sheet.top][axis];
            let room = sheet.page.size[axis] - before - sheet.margin - INSET[axis];
            (0..=steps).rev().find(|steps| step * f64::from(*steps) <= room).unwrap_or(0)
        };
        let across = fits(0, across);
        // Down as far as across where that leaves no blank paper to keep, or else half as far.
        let ends = sheet.strips.iter().map(|strip| strip.at[1] + strip.size[1]);
        let printed = ends.fold(sheet.top + RULER_ROOM, f64::max);
        let whole = sheet.top + INSET[1] + step * f64::from(across);
        let down = fits(1, if whole < printed { across } else { across / 2 });
        Self { step, across, down }
    }

    fn length(&self, steps: u32, metric: bool) -> String {
        match metric {
            true => format!("{} mm", steps * 10),
            false => format!("{} in", f64::from(steps) * self.step),
        }
    }
}

/// A ruler across and one down.
pub(super) fn rulers<'a>(sheet: &Sheet<'_>) -> [Item<'a>; 2] {
    let Ruler { step, across, down } = Ruler::of(sheet);
    let start = corner(sheet);
    [(true, across), (false, down)]
        .map(|(runs, count)| ruler(start, runs, (step, count), TICKS, line(BLACK, 0.5)))
}

/// Where the rulers meet.
fn corner(sheet: &Sheet<'_>) -> [f64; 2] {
    [sheet.margin + INSET[0], sheet.top + INSET[1]]
}

/// How a sheet is fed that was printed once, above the ruler's own words.
pub(super) fn feeding<'a>(sheet: &Sheet<'_>) -> Option<Item<'a>> {
    let start = Length::inches(sheet.page.start?).show(sheet.record.shown_in);
    let [left, top] = corner(sheet);
    let text = match sheet.page.size[0] >= WIDE {
        true => format!(
            "Feed the sheet that was printed once, its printed end at the top: nothing is printed above {start}."
        ),
        false => format!("The sheet's printed end at the top; free below {start}."),
    };
    Some(words(PLAIN, SMALL, [left, top - 0.225], &text).into())
}

/// What the ruler must measure and what to do if it doesn't.
pub(super) fn instructions<'a>(sheet: &Sheet<'_>) -> Item<'a> {
    let ruler = Ruler::of(sheet);
    let metric = sheet.record.shown_in == Units::Millimetres;
    let [left, top] = corner(sheet);
    let across = ruler.length(ruler.across, metric);
    let down = ruler.length(ruler.down, metric);
    let wrong = if metric { "149.3 mm" } else { "5.97" };
    let times = match sheet.page.count.get() {
        1 => String::new(),
        count => format!("Print {count} times. "),
    };
    let mut text =
        format!("{times}Print at 100 %: the ruler must measure {across} across, {down} down.");
    text.push_str(&match &sheet.record.print_scale {
        Some(scale) => {
            let scale = Scale { across: scale.across, down: scale.down };
            format!(" Corrected for a printer that prints {}.", scale.shown())
        }
        None => format!(" If it measures {wrong}: cutleaf print-scale {wrong}"),
    });
    words(PLAIN, SMALL, [left, top - 0.1], &text).into()
}
