//! `cut`: says that sheets of a spread have been cut, so that the stock knows.

use cutleaf::description::Problem;
use cutleaf::model::SheetId;
use cutleaf::plan::Spending;

use super::args::CutArguments;
use super::folder::Folder;
use super::stock::{of_spread, of_stock, say_conflicts};
use super::{Failure, chain, counted, say};

/// Enters sheets as cut.
pub fn run(arguments: &CutArguments) -> Result<(), Failure> {
    let shown = chain::folder_of(&arguments.build, &arguments.out)?;
    let folder = Folder::of_spread(&shown)?;
    let chain = chain::read(&folder, &shown)?;
    let spec = chain::spec_of(&arguments.build, &folder, &chain);
    let spec = chain::known(spec.as_deref())?;
    let held = of_spread::open(&arguments.stock, spec)?;
    let mut held = held.ok_or_else(|| {
        let help = "`cutleaf stock init` writes a stock.yaml to fill in; then build the spread again, so \
                    that it is cut from that";
        Problem::input("there is no stock.yaml to enter that in", help)
    })?;
    held.say_noticed();
    let name = held.name_of(spec);
    // Said once it is entered.
    let mut lines = Vec::new();
    let mut count = 0;
    loop {
        let next = Spending::new(&chain, &held.shelf, &name).next_cut(&arguments.sheet)?;
        let Some(next) = next else { break };
        count += next.sheets.iter().map(|sheet| sheet.count.places()).sum::<usize>();
        let kept = held.shelf.cut_of_run(next.kind, &name, &next.run, &next.sheets);
        let kept = kept.map_err(|problem| of_stock(&held, problem))?;
        let names = next.sheets.iter();
        let ids: Vec<String> =
            names.map(|sheet| SheetId::from(sheet.id.as_str()).span(sheet.count)).collect();
        lines.push(format!("Cut: {}.", ids.join(", ")));
        let units = chain.build().shown_units();
        for offcut in kept {
            lines.push(format!(
                "  Pencil {} on the offcut of {} {}, from {}.",
                offcut.label,
                offcut.paper,
                offcut.shape.bounds().show(units),
                offcut.from
            ));
        }
    }
    held.save()?;
    lines.iter().for_each(say);
    if count == 0 {
        say("Nothing is left to enter: every sheet that comes from the stock is entered as cut.");
    } else {
        say(format_args!("{} entered; `cutleaf undo` takes that back.", counted(count, "sheet")));
    }
    say_conflicts(&held.shelf);
    Ok(())
}
