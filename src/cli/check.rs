//! `check`: reads, measures and nests a spread, and tells what it found.

use cutleaf::length::{Length, Size};
use cutleaf::record::Record;
use cutleaf::run;

use super::args::CheckArguments;
use super::{Failure, files, progress, say};

/// Checks a spread.
pub fn run(arguments: &CheckArguments) -> Result<(), Failure> {
    let spread = files::read_spread(&arguments.spec)?;
    let record = progress::with("nesting", || run::run(&spread.layout))
        .map_err(|problems| Failure::of_spec(problems, &spread.file, &spread.text))?;
    if arguments.json {
        say(serde_json::to_string_pretty(&record).unwrap_or_default());
    } else {
        summary(&record);
    }
    Ok(())
}

/// A record in a few lines.
pub fn summary(record: &Record) {
    let totals = &record.totals;
    say(format_args!(
        "{}: {} pieces, {} photos, {} strips on {} sheets",
        record.name,
        totals.pieces,
        record.photos.len(),
        record.strips.len(),
        totals.sheets
    ));
    let units = record.shown_units();
    let touched = |name: &str| record.sheets.iter().any(|sheet| sheet.paper == name);
    for paper in record.papers.iter().filter(|paper| touched(&paper.name)) {
        let lines = totals.shopping.iter().filter(|line| line.paper == paper.name && line.uses > 0);
        let uses: Vec<String> = lines
            .map(|line| {
                let size = Size::new(Length::inches(line.size[0]), Length::inches(line.size[1]));
                format!("{} of {} ({})", line.uses, line.on_hand, size.show(units))
            })
            .collect();
        let uses = if uses.is_empty() { "no new sheet".to_owned() } else { uses.join(", ") };
        let share = paper.used * 100.0;
        say(format_args!("  {:<12} {uses}, {share:.0} % used", paper.name));
        for note in &paper.notes {
            say(format_args!("  {:<12} {note}", ""));
        }
    }
    if let Some(first) = record.prints.first() {
        let size = Size::inches(first.size[0], first.size[1]).show(units);
        say(format_args!("  {:<12} {} of {size}", first.paper, record.prints.len()));
    }
    for warning in &record.warnings {
        let line =
            if warning.line > 0 { format!("line {}: ", warning.line) } else { String::new() };
        say(format_args!(
            "Warning, {line}{} ({}): {}",
            warning.message, warning.kind, warning.help
        ));
    }
}
