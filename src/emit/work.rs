//! The machine's work on a sheet, told in a line.

use crate::model::length::{Length, Units};
use crate::record::{Record, Sheet};

/// How long the machine's way on a sheet is and about how long it takes; nothing for other sheets.
pub(super) fn told(record: &Record, sheet: &Sheet) -> Option<String> {
    let work = sheet.work.as_ref()?;
    let way = |inches: f64| match record.shown_units() {
        Units::Inches => format!("{inches:.0} in"),
        Units::Millimetres => format!("{:.0} cm", inches * 2.54),
    };
    let done = work.done.iter().map(|done| {
        let lines = if done.strokes == 1 { "line" } else { "lines" };
        format!("{} {} in {} {lines}", done.process.name(), way(done.length), done.strokes)
    });
    let done = done.collect::<Vec<_>>().join(", ");
    let time = if work.seconds > 0.0 {
        let speed = Length::inches(record.pace.speed).show(record.shown_units());
        format!("; about {} at {speed} a second", lasting(work.seconds))
    } else {
        String::new()
    };
    Some(format!("{done}, {} lifted{time}", way(work.travel)))
}

/// A time as a person says it, rounded up.
fn lasting(seconds: f64) -> String {
    if seconds <= 90.0 {
        format!("{:.0} s", (seconds / 10.0).ceil() * 10.0)
    } else {
        format!("{:.0} min", (seconds / 60.0).ceil())
    }
}
