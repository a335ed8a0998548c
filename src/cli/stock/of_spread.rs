//! The stock that a spread is cut from: what it can count on, and what it reserves.

use std::path::Path;

use cutleaf::model::length::Size;
use cutleaf::plan::{Chain, Spending};
use cutleaf::record::Record;
use cutleaf::stock::{Stock, Use};

use super::super::{Failure, counted, say_beside};
use super::args::FromStockArguments;
use super::{HeldStock, of_stock, table};

/// The stock that belongs to a spread.
pub struct OfSpread {
    /// What it can count on.
    pub stock: Stock,
    /// The sheets of the run that stands which are entered as cut.
    pub entered: Vec<String>,
}

impl OfSpread {
    /// The stock that belongs to a spec, if there is one: what is on hand, less what other spreads reserved.
    /// Given the run that stands, the paper that it has taken counts as on hand, since a build of the same
    /// spread cuts the same.
    pub fn find(
        arguments: &FromStockArguments,
        spec: &Path,
        standing: Option<&Chain>,
    ) -> Result<Option<Self>, Failure> {
        let Some(mut held) = open(arguments, spec)? else { return Ok(None) };
        held.say_noticed();
        held.note();
        let name = held.name_of(spec);
        let Some(chain) = standing else {
            let folder = Some(held.folder().to_owned());
            let stock = Stock { folder, ..held.shelf.stock_for(&name) };
            return Ok(Some(Self { stock, entered: Vec::new() }));
        };
        let spending = Spending::new(chain, &held.shelf, &name);
        let entered = spending.entered(false).into_iter().map(str::to_owned).collect();
        let folder = Some(held.folder().to_owned());
        Ok(Some(Self { stock: Stock { folder, ..spending.stock_before() }, entered }))
    }
}

/// The stock that belongs to a spec, held, if there is one and it is not to be left alone.
pub fn open(arguments: &FromStockArguments, spec: &Path) -> Result<Option<HeldStock>, Failure> {
    if arguments.no_stock {
        return Ok(None);
    }
    let beside = spec.parent().filter(|folder| !folder.as_os_str().is_empty());
    HeldStock::open(arguments.file.as_deref(), beside.unwrap_or(Path::new(".")))
}

/// Reserves what a build and its redos have still to cut, in place of what was reserved for the spread
/// before. Says so, and where others reserved what is lacking, beside the results.
pub fn reserve(arguments: &FromStockArguments, spec: &Path, chain: &Chain) -> Result<(), Failure> {
    let Some(mut held) = open(arguments, spec)? else { return Ok(()) };
    let name = held.name_of(spec);
    let uses = Spending::new(chain, &held.shelf, &name).uses();
    held.shelf.reserve(&name, uses).map_err(|problem| of_stock(&held, problem))?;
    held.save()?;
    let mut told = vec![reserved(&held, &name, spec)];
    told.extend(table::conflicts(&held.shelf));
    told.extend(kept_for_others(&held, &name, chain.latest()));
    told.iter().filter(|line| !line.is_empty()).for_each(|line| say_beside(line));
    Ok(())
}

/// What is reserved for a spread, and what to do once it is cut; nothing where nothing is.
fn reserved(held: &HeldStock, name: &str, spec: &Path) -> String {
    let uses = held.shelf.on_hand().reserved_by(name);
    let sheets = uses.iter().map(|one| match one {
        Use::Sheets { count, .. } => *count,
        Use::Offcut { .. } => 0,
    });
    let sheets: u32 = sheets.sum();
    let offcuts = uses.iter().filter(|one| matches!(one, Use::Offcut { .. })).count();
    let parts = [(sheets.to_string(), "sheet"), (offcuts.to_string(), "leftover")];
    let parts = parts.into_iter().filter(|(count, _)| count != "0");
    let parts: Vec<String> = parts.map(|(count, what)| counted(count, what)).collect();
    if parts.is_empty() {
        return String::new();
    }
    format!(
        "Reserved in {}: {}. Once they are cut: `cutleaf cut {}`.",
        held.shown().display(),
        parts.join(" and "),
        spec.display()
    )
}

/// Which spreads have reserved the paper of which some has to be bought.
fn kept_for_others(held: &HeldStock, name: &str, record: &Record) -> Vec<String> {
    let mut told = Vec::new();
    let on_hand = held.shelf.on_hand();
    let others: Vec<&str> = on_hand.specs().filter(|other| *other != name).collect();
    for line in record.totals.shopping.iter().filter(|line| line.buy > 0) {
        for other in &others {
            let size = Size::of_inches(line.size);
            let reserved = on_hand.reserved_by(other).iter();
            let kept: u32 = reserved.map(|one| one.sheets_of(&line.paper, size)).sum();
            if kept > 0 {
                let size = size.show(record.shown_units());
                told.push(format!("{other} has reserved {kept} of {} {size}.", line.paper));
            }
        }
    }
    told
}
