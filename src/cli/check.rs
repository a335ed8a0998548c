//! `check`: reads, measures and nests a spread, and tells what it found.

use cutleaf::description::in_short;
use cutleaf::model::SheetSource;
use cutleaf::model::length::Size;
use cutleaf::plan;
use cutleaf::record::{Paper, Record, Sheet, ShoppingLine, in_all};

use super::args::CheckArguments;
use super::stock::OfSpread;
use super::{Done, Failure, chain, counted, files, progress, say, say_json, to_buy};

/// Checks a spread.
pub fn run(arguments: &CheckArguments) -> Result<Done, Failure> {
    // What the spread's own build has taken, it has; a check of the same spec lacks nothing.
    let standing = chain::standing(&arguments.spec, &arguments.out);
    let stock = OfSpread::find(&arguments.stock, &arguments.spec, standing.as_ref())?;
    let stock = stock.as_ref().map(|known| &known.stock);
    let spec = files::read_spec(&arguments.spec)?.with_copies(arguments.copies);
    let mut spread = spec.lay_out(stock)?;
    spread.layout.strict = arguments.strict;
    let record = progress::with("nesting", || plan::record(&spread.layout))
        .map_err(|problems| Failure::of_spec(problems, &spread.file, &spread.text))?;
    if arguments.json {
        say_json(&record);
    } else {
        summary(&record);
    }
    Ok(to_buy::told(&record))
}

/// A record in a few lines.
pub fn summary(record: &Record) {
    let totals = &record.totals;
    let mut parts = vec![counted(totals.pieces, "piece")];
    let some = [(record.photos_in_all(), "photo"), (record.strips_in_all(), "strip")];
    for (count, what) in some.into_iter().filter(|(count, _)| *count > 0) {
        parts.push(counted(count, what));
    }
    let kits = match record.kits.get() {
        1 => String::new(),
        kits => format!("{kits} kits: "),
    };
    say(format_args!(
        "{}: {kits}{} on {}",
        in_short(&record.name),
        parts.join(", "),
        counted(totals.sheets, "sheet")
    ));
    let touched = |paper: &&Paper| record.sheets.iter().any(|sheet| sheet.paper == paper.name);
    let papers: Vec<&Paper> = record.papers.iter().filter(touched).collect();
    let names = papers.iter().map(|paper| paper.name.as_str());
    let names = names.chain(record.prints.first().map(|first| first.paper.as_str()));
    let widest = names.map(|name| name.chars().count()).max().unwrap_or(0);
    for paper in papers {
        let share = paper.used * 100.0;
        let uses = uses(record, paper);
        say(format_args!("  {:<widest$}  {uses}; {share:.0} % becomes pieces", paper.name));
        for used in &paper.offcuts_used {
            let units = record.shown_units();
            let size = Size::inches(used.size[0], used.size[1]).show(units);
            let told = used.told(units);
            say(format_args!("  {:<widest$}    offcut {} ({size}): {told}", "", used.id));
        }
        for note in &paper.notes {
            say(format_args!("  {:<widest$}    {note}", ""));
        }
    }
    if let Some(first) = record.prints.first() {
        let known = totals.shopping.iter().find(|line| line.paper == first.paper);
        let uses = known.map_or_else(
            || {
                let size = Size::inches(first.size[0], first.size[1]).show(record.shown_units());
                format!("{} of {size}", counted(in_all(&record.prints), "sheet"))
            },
            |line| of_size(record, line),
        );
        say(format_args!("  {:<widest$}  {uses}", first.paper));
    }
    if let Some(price) = totals.price {
        let unpriced = totals.shopping.iter().any(|line| line.uses > 0 && line.price.is_none());
        let rest = if unpriced { ", and some that has no price" } else { "" };
        say(format_args!("  {:<widest$}  {price:.2} worth of new paper{rest}", "in all"));
    }
    for fitted in &record.fitted {
        let line = fitted.line.map_or_else(String::new, |line| format!("line {line}: "));
        let write = fitted
            .write
            .as_ref()
            .map_or_else(String::new, |write| format!("; to keep it: {write}"));
        say(format_args!("Fitted, {line}{}{}", in_short(&fitted.message), in_short(&write)));
    }
    for warning in &record.warnings {
        let line = warning.line.map_or_else(String::new, |line| format!("line {line}: "));
        say(format_args!(
            "Warning, {line}{} ({}): {}",
            in_short(&warning.message),
            warning.kind,
            in_short(&warning.help)
        ));
    }
    for advice in &record.advice {
        let line = advice.line.map_or_else(String::new, |line| format!("line {line}: "));
        let write = advice
            .write
            .as_ref()
            .map_or_else(String::new, |write| format!("; tried, and it helps: {write}"));
        say(format_args!(
            "Advice, {line}{} ({}): {}{}",
            in_short(&advice.message),
            advice.kind,
            in_short(&advice.reason),
            in_short(&write)
        ));
    }
}

/// What is used of a paper, on hand and to buy.
fn uses(record: &Record, paper: &Paper) -> String {
    let lines = record.totals.shopping.iter();
    let mut told: Vec<String> = lines
        .filter(|line| line.paper == paper.name && line.uses > 0)
        .map(|line| of_size(record, line))
        .collect();
    let old = record.sheets.iter().filter(|sheet| {
        sheet.paper == paper.name && matches!(record.source(sheet), SheetSource::Offcut(_))
    });
    let old = in_all(old);
    if old > 0 {
        told.push(counted(old, "leftover"));
    }
    let fed_once = |sheet: &Sheet| matches!(record.source(sheet), SheetSource::FedOnce(_));
    if record.sheets.iter().any(|sheet| sheet.paper == paper.name && fed_once(sheet)) {
        told.push("a sheet that was printed once".to_owned());
    }
    told.join("; ")
}

/// The sheets of one size.
fn of_size(record: &Record, line: &ShoppingLine) -> String {
    let size = Size::inches(line.size[0], line.size[1]).show(record.shown_units());
    let mut told = Vec::new();
    let had = line.uses.saturating_sub(line.buy);
    if had > 0 {
        told.push(format!("{had} of {} on hand", line.on_hand));
    }
    if line.buy > 0 {
        let price = line.buy_price.map_or_else(String::new, |price| format!(" ({price:.2})"));
        told.push(format!("{} to buy{price}", line.buy));
    }
    format!("{size}: {}", told.join(", "))
}
